"""The pinned Qt binding survives what a drag does to it."""

import subprocess
import sys

# Some releases lose a reference to None in calls that return it, and the process aborts after
# some 5000 of them where None is not immortal (Python 3.11). Prints how many were lost.
_MANY_CALLS = """
import sys
from PySide6.QtCore import QObject, QPointF
from PySide6.QtWidgets import QApplication, QGraphicsScene

app = QApplication([])
scene = QGraphicsScene()
item = scene.addRect(0, 0, 1, 1)
thing = QObject()
before = sys.getrefcount(None)
for n in range(50_000):
    item.setPos(QPointF(n % 7, n % 5))
    item.setVisible(n % 2 == 0)
    item.update()
    thing.parent()
print(before - sys.getrefcount(None))
"""


def test_200_000_qt_calls_lose_no_reference() -> None:
    done = subprocess.run(
        [sys.executable, "-c", _MANY_CALLS], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert abs(int(done.stdout)) < 100
