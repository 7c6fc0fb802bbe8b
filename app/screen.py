"""Whether there is a screen to open a window on; Qt ends the program where it finds none.

Needs nothing but Python: the start command asks it too, before anything is installed.
"""

from __future__ import annotations

import os
import re
import socket
import sys
from pathlib import Path

_X = re.compile(r"(?P<host>[^/]*?):(?P<number>\d{1,5})(?:\.\d+)?")
_FIRST_PORT = 6000
"""Of X servers that are reached over the network; display n is this many ports on."""
_WAIT = 2.0
"""Seconds for an answer."""


def has_screen() -> bool:
    """Whether a window can be opened, as far as can be told without opening one."""
    if os.environ.get("QT_QPA_PLATFORM") or not sys.platform.startswith("linux"):
        return True
    return _wayland_answers(os.environ.get("WAYLAND_DISPLAY", "")) or _x_answers(
        os.environ.get("DISPLAY", "")
    )


def _wayland_answers(display: str) -> bool:
    """Whether a compositor takes connections; the name of its socket is a path or lies in one."""
    path = Path(os.environ.get("XDG_RUNTIME_DIR", "")) / display
    return bool(display) and path.is_absolute() and _takes(str(path))


def _x_answers(display: str) -> bool:
    """Whether an X server takes connections; a stale DISPLAY names one that is gone."""
    named = _X.fullmatch(display)
    if named is None:
        return bool(display)
    number, host = int(named["number"]), named["host"]
    if host in ("", "unix"):
        path = f"/tmp/.X11-unix/X{number}"
        return _takes(f"\0{path}") or _takes(path)
    try:
        socket.create_connection((host, _FIRST_PORT + number), _WAIT).close()
    except (OSError, OverflowError, UnicodeError):
        return False
    return True


def _takes(address: str) -> bool:
    """Whether someone takes connections at a socket of this machine."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as server:
        server.settimeout(_WAIT)
        try:
            server.connect(address)
        except OSError:
            return False
    return True
