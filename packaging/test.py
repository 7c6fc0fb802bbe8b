"""Check Throwover from a checkout: `python packaging/test.py [arguments for pytest]`.

Does all the set-up itself, then checks style, types and the direction of imports and runs the
tests. With --without-qt the solver's tests run once more where Qt is not installed.
"""

import argparse
import subprocess
import sys
from pathlib import Path

if sys.version_info < (3, 11):  # noqa: UP036 - people do run it with an older one
    sys.exit(
        "Throwover needs Python 3.11 or newer, and this is Python "
        + sys.version.split()[0]
        + "; install a newer one and run this again with it."
    )

from setup_env import ENVIRONMENT, ROOT, prepare, prepare_without_qt, program_of
from system_libraries import SetupError

_ALL_CORES = ("--numprocesses=auto", "--dist=worksteal")


def main() -> int:
    """Run every step; 0 when all pass, else 1."""
    parser = argparse.ArgumentParser(
        prog="test.py", description=__doc__.splitlines()[0], allow_abbrev=False
    )
    parser.add_argument(
        "--without-qt", action="store_true", help="run the solver's tests without Qt as well"
    )
    options, for_pytest = parser.parse_known_args()
    try:
        python = prepare(develop=True)
        bare = prepare_without_qt() if options.without_qt else None
    except SetupError as error:
        print(error, file=sys.stderr)
        return 1
    failed = [
        name for name, command in _steps(python, bare, for_pytest) if not _passes(name, command)
    ]
    print(f"\nFailed: {', '.join(failed)}." if failed else "\nAll steps passed.", flush=True)
    return 1 if failed else 0


def _steps(
    python: Path, bare: Path | None, for_pytest: list[str]
) -> list[tuple[str, list[str | Path]]]:
    steps: list[tuple[str, list[str | Path]]] = [
        ("ruff check", [program_of(ENVIRONMENT, "ruff"), "check"]),
        ("ruff format", [program_of(ENVIRONMENT, "ruff"), "format", "--check"]),
        ("mypy", [python, "-m", "mypy"]),
        ("lint-imports", [program_of(ENVIRONMENT, "lint-imports")]),
    ]
    if bare:
        solver: list[str | Path] = [bare, "-m", "pytest", "-q", *_ALL_CORES, "tests/solver"]
        steps.append(("solver tests without Qt", solver))
    return [*steps, ("pytest", [python, "-m", "pytest", *_ALL_CORES, *for_pytest])]


def _passes(name: str, command: list[str | Path]) -> bool:
    print(f"\n== {name} ==", flush=True)
    return subprocess.run(command, cwd=ROOT, check=False).returncode == 0


if __name__ == "__main__":
    try:
        sys.exit(main())
    except KeyboardInterrupt:
        sys.exit(130)
