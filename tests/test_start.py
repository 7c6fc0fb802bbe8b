"""The start command: on a screen that does not answer it does what it does without one."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SCRIPT = """
import sys
sys.path.insert(0, "packaging")
sys.argv = ["start.py", "--no-screen"][: int(sys.argv[1])]
import start
print(start._has_screen(), start._why())
"""


def asked(more: int = 1, **variables: str) -> str:
    """What the start command makes of these environment variables."""
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, str(more)],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
        env={**os.environ, "WAYLAND_DISPLAY": "", "QT_QPA_PLATFORM": "", **variables},
    )
    return done.stdout.strip()


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="elsewhere there is a screen")
def test_a_screen_that_is_named_but_gone_is_none_and_is_told() -> None:
    assert asked(DISPLAY=":97531") == ("False The screen that DISPLAY=:97531 names does not answer")
    both = asked(DISPLAY=":97531", WAYLAND_DISPLAY="gone", XDG_RUNTIME_DIR="/none")
    assert both == (
        "False The screen that WAYLAND_DISPLAY=gone and DISPLAY=:97531 names does not answer"
    )
    assert asked(DISPLAY="") == "False Without a screen"
    assert asked(2, DISPLAY=":97531").endswith("Without a screen")
    assert asked(DISPLAY=":97531", QT_QPA_PLATFORM="offscreen") == "False Without a screen"
