"""The system libraries that Qt needs on Linux: which are missing, and how to get them.

Standard library only: it runs before anything is installed.
"""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
from pathlib import Path

# Library looked for -> Debian's and Ubuntu's package.
_ALWAYS = {
    "libglib-2.0.so.0": "libglib2.0-0",
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
}
# Qt's own message blames libxcb-cursor whichever of these is missing.
_X11 = {
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
# Program looked for -> package: a virtual screen and a hand on its mouse.
_TEST_PROGRAMS = {"Xvfb": "xvfb", "xauth": "xauth", "xdotool": "xdotool"}
_FONT = "fonts-dejavu-core"
_FONT_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts")


class SetupError(Exception):
    """Set-up cannot go on; the message is the sentence for the user."""


def ensure(*, window: bool, tests: bool) -> None:
    """Install what is missing as root on Debian or Ubuntu; else say what to install.

    Does nothing outside Linux. Raises SetupError where Qt could not run.
    """
    if not sys.platform.startswith("linux"):
        return
    needed = _missing(window=window or tests)
    helpful = _missing_programs() if tests else []
    if _may_install() and needed + helpful:
        _apt_install(needed + helpful)
        needed = _missing(window=window or tests)
    if needed:
        raise SetupError(_advice(needed))


def install_venv() -> bool:
    """Install the package that Debian splits from Python; whether it was tried and worked."""
    if not (sys.platform.startswith("linux") and _may_install()):
        return False
    try:
        _apt_install(["python3-venv"])
    except SetupError:
        return False
    return True


def venv_hint() -> str:
    """What to add to the sentence about an environment that could not be made."""
    if shutil.which("apt-get"):
        return "; install what is missing with: sudo apt-get install python3-venv"
    return "; install a complete Python 3.11 or newer"


def _missing(*, window: bool) -> list[str]:
    wanted = {**_ALWAYS, **(_X11 if window else {})}
    packages = [package for library, package in wanted.items() if not _loads(library)]
    return packages if _has_font() else [*packages, _FONT]


def _missing_programs() -> list[str]:
    return [package for name, package in _TEST_PROGRAMS.items() if not shutil.which(name)]


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def _has_font() -> bool:
    """Whether any outline font is installed; with none, all text is boxes."""
    for folder in _FONT_FOLDERS:
        for _, _, names in os.walk(Path(folder).expanduser()):
            if any(name.lower().endswith((".ttf", ".otf", ".ttc")) for name in names):
                return True
    return False


def _may_install() -> bool:
    return hasattr(os, "geteuid") and os.geteuid() == 0 and shutil.which("apt-get") is not None


def _apt_install(packages: list[str]) -> None:
    print(f"Installing system packages: {' '.join(packages)} ...", flush=True)
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    install = ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *packages]
    for command in (["apt-get", "update", "-qq"], install):
        result = subprocess.run(
            command,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            check=False,
        )
    if result.returncode:
        reason = (result.stdout.strip().splitlines() or ["no reason given"])[-1]
        raise SetupError(f"System packages could not be installed ({reason}). {_advice(packages)}")


def _advice(packages: list[str]) -> str:
    names = " ".join(packages)
    if shutil.which("apt-get"):
        return f"Throwover needs system packages; get them with: sudo apt-get install {names}"
    return (
        "Throwover needs system libraries that are missing here; get those that Debian calls "
        f"{names} with this system's package manager."
    )
