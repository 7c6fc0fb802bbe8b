"""File names made of what people call things: they never lead anywhere else. Needs no Qt."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from pathlib import Path

_LONGEST = 80
"""Bytes that such a name takes at most, so that it fits on every disk with its ending."""

_DEVICES = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)
"""Names that Windows keeps for devices."""


def plain_name(text: str) -> str:
    """The letters and digits of a text joined by dashes; "part" where none are left."""
    flat = unicodedata.normalize("NFKC", text)
    words = re.findall(r"[^\W_]+", flat)
    kept = "-".join("".join(c for c in word if c.isalnum()) for word in words)
    kept = kept.encode("utf-8")[:_LONGEST].decode("utf-8", "ignore").strip("-")
    return f"part-{kept}" if _DEVICES.fullmatch(kept) else kept or "part"


def beside(project: Path | None, made: str, suffix: str) -> Path:
    """The name offered for what is made of a project, such as "gate-sweep.csv", beside its file.

    project: its path, None before it has one: then in the home folder, under its own name.
    """
    if project is None:
        return Path.home() / f"{made}{suffix}"
    return project.with_name(f"{project.stem}-{made}{suffix}")


def file_names(title: str, parts: Iterable[str]) -> list[str]:
    """A name for each part's file, without ending: different even where the case is not told.

    Whatever a title or a name holds, they stay in their folder and can be typed.
    """
    taken: set[str] = set()
    found = []
    for part in parts:
        stem = plain_name(f"{title} {part}")
        name, number = stem, 2
        while name.casefold() in taken:
            name, number = f"{stem}-{number}", number + 1
        taken.add(name.casefold())
        found.append(name)
    return found
