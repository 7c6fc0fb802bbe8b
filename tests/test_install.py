"""The program as installed, away from the checkout."""

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder that holds what `pip install` makes of the checkout."""
    folder = tmp_path_factory.mktemp("installed")
    # Built from a copy, since building leaves files behind.
    source = folder / "source"
    for name in ("app", "solver", "assets"):
        shutil.copytree(
            ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__", "*.pyc")
        )
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source)
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index"]
    options = ["--no-build-isolation", "--target", str(folder / "site"), str(source)]
    subprocess.run([*command, *options], check=True, capture_output=True)
    return folder / "site"


def _run(installed: Path, code: str) -> str:
    """What the code prints; it sees the installed program and not the checkout."""
    ahead = f"import sys; sys.path.insert(0, {str(installed)!r})\n"
    done = subprocess.run(
        [sys.executable, "-c", ahead + code],
        capture_output=True,
        text=True,
        check=False,
        cwd=installed,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_every_file_of_ours_is_installed(installed: Path) -> None:
    ours = {
        path.relative_to(ROOT)
        for top in ("app", "solver", "assets")
        for path in (ROOT / top).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }
    assert {path for path in ours if not (installed / path).exists()} == set()


def test_it_finds_its_own_assets(installed: Path) -> None:
    printed = _run(installed, "from app.assets import asset; print(asset('icon.svg'))")
    assert Path(printed.strip()) == installed / "assets" / "icon.svg"


def test_its_command_checks_its_first_example(installed: Path) -> None:
    code = """
from app.cli import main
from app.examples import first_example
sys.exit(main(["check", str(first_example())]))
"""
    assert _run(installed, code).strip()
