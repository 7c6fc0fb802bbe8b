"""Open Throwover from a checkout: `python packaging/start.py [FILE]`.

Needs Python 3.11 or newer and nothing else; does all the set-up itself. Where there is no
screen it checks the linkage and writes curves, picture and readings into a folder instead.
"""

import argparse
import os
import subprocess
import sys

# Before the other modules, whose syntax an old Python may not know.
if sys.version_info < (3, 11):  # noqa: UP036 - people do run it with an older one
    sys.exit(
        "Throwover needs Python 3.11 or newer, and this is Python "
        + sys.version.split()[0]
        + "; install a newer one and run this again with it."
    )

from setup_env import ENVIRONMENT, ROOT, prepare, program_of
from system_libraries import SetupError

sys.path.insert(1, str(ROOT))
from app.screen import has_screen  # needs nothing installed either

FOLDER = "throwover-check"
_INVISIBLE = ("offscreen", "minimal")


def main() -> int:
    """Set up, then run the program; its exit code."""
    arguments = _arguments()
    screen = arguments.no_screen is None and _has_screen()
    try:
        prepare(window=screen and "DISPLAY" in os.environ)
    except SetupError as error:
        print(error, file=sys.stderr)
        return 1
    throwover = str(program_of(ENVIRONMENT, "throwover"))
    file = [arguments.file] if arguments.file else []
    if screen:
        return _run([throwover, *file])
    folder = arguments.no_screen or FOLDER
    print(f"{_why()}: checking the linkage and writing it into {folder} ...", flush=True)
    return _run([throwover, "portrait", *file, "--into", folder], QT_QPA_PLATFORM="offscreen")


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        prog="start.py", description="Set up Throwover in this checkout and open it."
    )
    parser.add_argument(
        "file", nargs="?", metavar="FILE", help="project to open (default: a worked example)"
    )
    parser.add_argument(
        "--no-screen",
        nargs="?",
        const=FOLDER,
        metavar="FOLDER",
        help="open no window: check the project and write curves, a picture of the window and the "
        f"readings into FOLDER (default: {FOLDER}); happens by itself where there is no screen",
    )
    return parser.parse_args()


def _has_screen() -> bool:
    if os.environ.get("QT_QPA_PLATFORM", "").split(":")[0] in _INVISIBLE:
        return False
    return has_screen()


def _why() -> str:
    """Why no window is opened: a screen that is named but does not answer is worth a word."""
    named = [name for name in ("WAYLAND_DISPLAY", "DISPLAY") if os.environ.get(name)]
    if not named or os.environ.get("QT_QPA_PLATFORM") or "--no-screen" in sys.argv:
        return "Without a screen"
    listed = " and ".join(f"{name}={os.environ[name]}" for name in named)
    return f"The screen that {listed} names does not answer"


def _run(command: list[str], **variables: str) -> int:
    return subprocess.run(command, env={**os.environ, **variables}, check=False).returncode


if __name__ == "__main__":
    try:
        sys.exit(main())
    except KeyboardInterrupt:
        sys.exit(130)
