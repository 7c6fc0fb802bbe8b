"""File names made of what people call things: they never lead anywhere else. Needs no Qt."""

from __future__ import annotations

import re
import unicodedata

LONGEST = 60
"""Bytes that such a name takes at most, so that it fits on every disk with its ending."""

_TAKEN = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)$", re.IGNORECASE)
"""Names that Windows keeps for devices."""


def file_stem(title: str, otherwise: str = "lever") -> str:
    """A title as a file name without ending: letters, digits and hyphens, in lower case.

    `otherwise` where nothing of the title can stay.
    """
    letters = unicodedata.normalize("NFC", title).lower()
    words = re.sub(r"[^\w-]+", "-", letters).replace("_", "-")
    stem = _shortened(re.sub(r"-{2,}", "-", words).strip("-"))
    if not stem or _TAKEN.match(stem):
        return f"{otherwise}-{stem}".strip("-")
    return stem


def _shortened(stem: str) -> str:
    return stem.encode()[:LONGEST].decode(errors="ignore").strip("-")
