"""The house rules that no other tool checks."""

import ast
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

import app
import solver

ROOT = Path(__file__).resolve().parent.parent
SOURCES = [
    path for top in ("solver", "app", "packaging", "tests") for path in (ROOT / top).rglob("*.py")
]
MOST_LINES = 600


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _modules() -> list[str]:
    return [
        module.name
        for package in (solver, app)
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}.")
        if not module.name.endswith("__main__")
    ]


@pytest.mark.parametrize("path", SOURCES, ids=_name)
def test_a_module_fits_in_the_head(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


@pytest.mark.parametrize("path", SOURCES, ids=_name)
def test_nothing_is_left_for_later(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    # Written in two halves, so that this file passes too.
    assert not re.search(r"\b(TO" + r"DO|FIX" + r"ME|XX" + r"X)\b", text)


def test_packaging_is_a_folder_of_scripts() -> None:
    # As a package it would hide the library of the same name that pip and pytest import.
    assert not (ROOT / "packaging" / "__init__.py").exists()


def test_solver_runs_without_qt() -> None:
    names = [name for name in _modules() if name.startswith("solver.")]
    code = f"""
import importlib, sys
for name in {names!r}:
    importlib.import_module(name)
loaded = {{name.split(".")[0] for name in sys.modules}}
print(*sorted(loaded & {{"app", "PySide6", "shiboken6", "pyqtgraph"}}))
"""
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.split() == []


def _undescribed(module_name: str) -> Iterator[str]:
    """Public methods of a module's classes that neither say what they do nor fill in a base's."""
    module = importlib.import_module(module_name)
    for _, kind in inspect.getmembers(module, inspect.isclass):
        if kind.__module__ != module_name or kind.__name__.startswith("_"):
            continue
        for name, member in vars(kind).items():
            is_code = inspect.isfunction(member) or isinstance(
                member, property | classmethod | staticmethod
            )
            if name.startswith("_") or not is_code or member.__doc__:
                continue
            if not any(name in vars(base) for base in kind.__mro__[1:]):
                yield f"{kind.__name__}.{name}"


@pytest.mark.parametrize("name", _modules())
def test_every_public_method_says_what_it_does(name: str) -> None:
    assert list(_undescribed(name)) == []


def _first_uses_of_names(path: Path) -> Iterator[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module


SCREEN = "app.screen"
"""What the start command asks of the program before that is set up."""
SET_UP = [ROOT / "app" / "screen.py", *(p for p in SOURCES if "packaging" in p.parts)]


@pytest.mark.parametrize("path", SET_UP, ids=_name)
def test_set_up_needs_the_standard_library_alone(path: Path) -> None:
    own = {SCREEN, *(p.stem for p in (ROOT / "packaging").glob("*.py"))}
    names = _first_uses_of_names(path)
    used = {name if name == SCREEN else name.split(".")[0] for name in names}
    assert used - own <= sys.stdlib_module_names


def _pins(name: str) -> dict[str, str]:
    text = (ROOT / "packaging" / name).read_text(encoding="utf-8")
    return dict(re.findall(r"^([\w.-]+)==(\S+)", text, re.MULTILINE))


def test_the_tests_run_on_the_versions_that_users_get() -> None:
    users, ours = _pins("requirements.txt"), _pins("requirements-dev.txt")
    assert users
    assert users.items() <= ours.items()


def test_every_dependency_is_pinned_and_says_why() -> None:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    project = tomllib.loads(text)["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["dev"]]
    pins = _pins("requirements-dev.txt")
    for requirement in wanted:
        name = re.split(r"[<>=]", requirement)[0]
        assert name.lower() in pins, f"{name} is not in the lock file; make it anew"
        assert re.search(re.escape(f'"{requirement}"') + r",?\s+# \w", text), f"why {name}?"


def test_changelog_tells_of_this_version() -> None:
    version = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert f"## {version['version']}" in (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
