"""Set-up shared by start.py and test.py: the environment, its packages, Qt's system libraries.

Standard library only: it runs before anything is installed.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

import system_libraries
from system_libraries import SetupError

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
_HERE = ROOT / "packaging"
_RUN = "requirements.txt"
_DEVELOP = "requirements-dev.txt"
_UNFINISHED = "unfinished\n"
_QT = ("pyside6-essentials", "shiboken6", "pyqtgraph")


def prepare(*, develop: bool = False, window: bool = False) -> Path:
    """Make or refresh the checkout's environment; the path of its Python.

    `develop` adds what the tests need, `window` what a window on a screen needs. Does nothing
    that is already done. Raises SetupError with a sentence for the user.
    """
    system_libraries.ensure(window=window, tests=develop)
    done = (_DEVELOP,) if develop else (_RUN, _DEVELOP)
    if not any(_stamped(ENVIRONMENT, _mark(name)) for name in done):
        name = _DEVELOP if develop else _RUN
        print("Setting up Throwover in .venv (only now, a few minutes) ...", flush=True)
        try:
            _build(ENVIRONMENT, _HERE / name, _mark(name))
        except OSError as error:
            raise SetupError(f"Set-up could not write into {ROOT}: {error.strerror}.") from error
    return python_of(ENVIRONMENT)


def prepare_without_qt() -> Path:
    """Make or refresh an environment for the solver's tests in which Qt is not installed."""
    environment = ROOT / ".venv-without-qt"
    mark = _mark(_DEVELOP)
    if not _stamped(environment, mark):
        print("Setting up an environment without Qt in .venv-without-qt ...", flush=True)
        _create(environment)
        wanted = environment / _DEVELOP
        lines = (_HERE / _DEVELOP).read_text(encoding="utf-8").splitlines()
        kept = [line for line in lines if not line.startswith(_QT)]
        wanted.write_text("\n".join(kept), encoding="utf-8")
        _install(environment, wanted)
        _stamp_of(environment).write_text(mark, encoding="utf-8")
    return python_of(environment)


def python_of(environment: Path) -> Path:
    """The Python program of a virtual environment."""
    return program_of(environment, "python")


def program_of(environment: Path, name: str) -> Path:
    """A program installed in a virtual environment."""
    if os.name == "nt":
        return environment / "Scripts" / f"{name}.exe"
    return environment / "bin" / name


def _build(environment: Path, wanted: Path, mark: str) -> None:
    _create(environment)
    _install(environment, wanted)
    # The checkout itself, so that `throwover` exists and finds `app` and `solver`.
    _pip(environment, "--no-deps", "--no-build-isolation", "--editable", str(ROOT))
    _stamp_of(environment).write_text(mark, encoding="utf-8")


def _mark(name: str) -> str:
    """What a finished environment remembers: another value means to set up again."""
    text = hashlib.sha256()
    for part in (ROOT / "pyproject.toml", _HERE / name, _HERE / "setup_env.py"):
        text.update(part.read_bytes().replace(b"\r\n", b"\n"))
    version = f"{sys.version_info[0]}.{sys.version_info[1]}"
    # The place counts because an environment cannot be moved.
    return f"{name} {version} {text.hexdigest()} {ROOT}\n"


def _stamp_of(environment: Path) -> Path:
    return environment / "throwover-setup"


def _stamped(environment: Path, mark: str) -> bool:
    try:
        found = _stamp_of(environment).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return False
    return found == mark and python_of(environment).exists()


def _create(environment: Path) -> None:
    """A virtual environment of the running Python's version, with pip; kept where it is one.

    It is marked as unfinished: pip takes a half-written package for an installed one, so
    whatever an interrupted set-up left is thrown away.
    """
    if not _stamped(environment, _UNFINISHED) and _usable(environment):
        _stamp_of(environment).write_text(_UNFINISHED, encoding="utf-8")
        return
    command = [sys.executable, "-m", "venv", "--clear", str(environment)]
    made = subprocess.run(command, capture_output=True, text=True, check=False)
    if made.returncode and system_libraries.install_venv():
        made = subprocess.run(command, capture_output=True, text=True, check=False)
    if made.returncode:
        shutil.rmtree(environment, ignore_errors=True)
        raise SetupError(_no_environment(environment))
    _stamp_of(environment).write_text(_UNFINISHED, encoding="utf-8")


def _no_environment(environment: Path) -> str:
    if not os.access(environment.parent, os.W_OK):
        return f"The folder {environment.parent} cannot be written to; copy Throwover elsewhere."
    hint = system_libraries.venv_hint()
    return f"This Python cannot make a virtual environment in {environment}{hint}."


def _usable(environment: Path) -> bool:
    """Whether it is an environment of the running Python's version with a pip that starts."""
    python = python_of(environment)
    if not python.exists():
        return False
    ask = "import sys, pip; print(*sys.version_info[:2])"
    try:
        answer = subprocess.run(
            [python, "-c", ask], capture_output=True, text=True, check=False, timeout=60
        )
    except (OSError, subprocess.TimeoutExpired):
        return False
    return answer.stdout.split() == [str(part) for part in sys.version_info[:2]]


def _install(environment: Path, wanted: Path) -> None:
    # Wheels only: a build from source would ask for compilers and fail less clearly.
    _pip(environment, "--only-binary", ":all:", "-r", str(wanted))


def _pip(environment: Path, *arguments: str) -> None:
    options = ["--quiet", "--no-input", "--disable-pip-version-check"]
    command = [str(python_of(environment)), "-m", "pip", "install", *options, *arguments]
    result = subprocess.run(
        command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, check=False
    )
    if result.returncode:
        log = environment / "setup.log"
        log.write_text(result.stdout, encoding="utf-8")
        raise SetupError(
            "The packages that Throwover needs could not be installed; check that this computer "
            f"is online and has about 1 GB free, then try again (details: {log})."
        )
