"""The program in a real window on a virtual screen, moved by a virtual hand."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication

from app.examples import first_example
from app.main import open_window
from app.settings import Settings
from solver import files
from tests.app.leftovers import Keeper
from tests.app.waiting import Wait

ROOT = Path(__file__).resolve().parent.parent.parent
SIZE = (1600, 1000)
WINDOW = (1584, 960)
"""What a desktop's frame leaves of it for the window."""
NEEDED = ("Xvfb", "xdotool")

pytestmark = [
    pytest.mark.screen,
    pytest.mark.skipif(
        not all(shutil.which(tool) for tool in NEEDED), reason="needs Xvfb and xdotool"
    ),
]


@dataclass(frozen=True)
class Screen:
    """A virtual screen with a program on it."""

    display: str

    def hand(self, *command: str) -> str:
        """Run xdotool; what it says."""
        done = subprocess.run(
            ["xdotool", *command],
            env={**os.environ, "DISPLAY": self.display},
            capture_output=True,
            text=True,
            check=True,
            timeout=60,
        )
        return done.stdout

    def key(self, keys: str) -> None:
        """Press keys, such as ctrl+s."""
        self.hand("key", "--clearmodifiers", keys)

    def drag(self, start: QPoint, by: QPoint) -> None:
        """Drag with the left button in steps, as a hand does."""
        self.hand("mousemove", "--sync", str(start.x()), str(start.y()), "mousedown", "1")
        for step in range(1, 6):
            x, y = start.x() + by.x() * step // 5, start.y() + by.y() * step // 5
            self.hand("mousemove", str(x), str(y))
        self.hand("mouseup", "1")


@pytest.fixture
def screen() -> Iterator[Screen]:
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-screen", "0", f"{SIZE[0]}x{SIZE[1]}x24", "-nolisten", "tcp"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    assert server.stdout is not None
    yield Screen(f":{server.stdout.readline().strip()}")
    server.terminate()
    server.wait()
    server.stdout.close()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    example = first_example()
    assert example is not None
    return Path(shutil.copy(example, tmp_path / "mine.throwover"))


@pytest.fixture
def program(screen: Screen, file: Path) -> Iterator[subprocess.Popen[bytes]]:
    """The program with the file open, its window in front and taking keys."""
    running = subprocess.Popen(
        [sys.executable, "-m", "app", str(file)],
        cwd=ROOT,
        env={**os.environ, "DISPLAY": screen.display, "QT_QPA_PLATFORM": "xcb"},
    )
    found = screen.hand("search", "--sync", "--onlyvisible", "--name", "mine.throwover")
    screen.hand("windowfocus", "--sync", found.split()[0])
    yield running
    running.kill()
    running.wait()


def anchor(file: Path, keep: Keeper, name: str) -> QPoint:
    """Where a point is on the screen: an invisible window of that size has it in that place."""
    window = keep(open_window(Settings(), file))
    window.resize(*WINDOW)
    window.show()
    window.panels.reset()
    window.fill()
    QApplication.processEvents()
    place = window.canvas.to_pixel(window.session.places()[name]).toPoint()
    return window.canvas.viewport().mapTo(window, place)


def test_drag_save_undo_save_redo_save(
    program: subprocess.Popen[bytes], screen: Screen, file: Path, keep: Keeper, wait: Wait
) -> None:
    screen.key("ctrl+s")
    first, before = file.read_bytes(), files.load(file)
    name = before.design.springs[0].b  # type: ignore[union-attr]
    screen.drag(anchor(file, keep, name), QPoint(-40, 30))
    screen.key("ctrl+s")
    wait.until(lambda: files.load(file) != before)
    second, after = file.read_bytes(), files.load(file)
    old, new = before.design.point(name), after.design.point(name)
    assert new.x < old.x - 5.0
    assert new.y < old.y - 5.0
    others = {p for p in before.design.points if p.name != name}
    assert others <= set(after.design.points)
    screen.key("ctrl+z")
    screen.key("ctrl+s")
    wait.until(lambda: file.read_bytes() == first)
    screen.key("ctrl+y")
    screen.key("ctrl+s")
    wait.until(lambda: file.read_bytes() == second)
    screen.key("ctrl+q")
    assert program.wait(20) == 0


def test_the_keyboard_alone_draws_the_linkage_in_another_pose(
    program: subprocess.Popen[bytes], screen: Screen, file: Path, wait: Wait
) -> None:
    before = files.load(file).design
    screen.key("a")
    screen.key("ctrl+d")
    screen.key("ctrl+s")
    wait.until(lambda: files.load(file).design != before)
    grip = files.load(file).design.point(before.grip)
    assert grip.x < before.point(before.grip).x
    assert program.poll() is None
