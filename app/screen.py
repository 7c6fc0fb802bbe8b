"""Whether there is a screen to open a window on; Qt ends the program where it finds none."""

from __future__ import annotations

import os
import re
import socket
import sys

_LOCAL = re.compile(r"(?:unix)?:(\d+)(?:\.\d+)?")


def has_screen() -> bool:
    """Whether a window can be opened, as far as can be told without opening one."""
    if os.environ.get("QT_QPA_PLATFORM") or not sys.platform.startswith("linux"):
        return True
    if os.environ.get("WAYLAND_DISPLAY"):
        return True
    display = os.environ.get("DISPLAY", "")
    local = _LOCAL.fullmatch(display)
    return _answers(local[1]) if local else bool(display)


def _answers(number: str) -> bool:
    """Whether an X server of this machine takes connections; a stale DISPLAY names one gone."""
    path = f"/tmp/.X11-unix/X{number}"
    for address in (f"\0{path}", path):
        with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as server:
            server.settimeout(1.0)
            try:
                server.connect(address)
            except OSError:
                continue
            return True
    return False
