"""How wide a text is: one table for every export, so that what fits on one fits on all.

The widths are those of DejaVu Sans Condensed. Whoever paints a text in another font squeezes it
to the width that is told here; so a drawing never depends on the fonts of the machine.
"""

from __future__ import annotations

import json
import unicodedata
from functools import cache, lru_cache

from app.assets import asset

_BELOW = 0.3
"""What letters reach below the line, in heights of a capital."""
_ABOVE = 1.1
"""What letters with accents reach above it."""
_UNKNOWN = 0.95
"""Width, in em, of letters that the table does not hold; wide ones take more."""
_WIDE = 1.3
_ELLIPSIS = "…"


@cache
def _table() -> tuple[float, dict[str, float], dict[str, float]]:
    record = json.loads(asset("text-widths.json").read_text(encoding="utf-8"))
    return record["capital"], record["plain"], record["bold"]


def em_of(height: float) -> float:
    """The font size (mm) whose capitals are `height` high."""
    return height / _table()[0]


def plain(text: str) -> str:
    """A text on one line without what is no letter: controls, marks of direction, joiners.

    Direction marks would turn the texts that stand after them.
    """
    spaced = " ".join(text.split())
    return "".join(c for c in spaced if unicodedata.category(c) not in ("Cc", "Cf", "Cs", "Co"))


@lru_cache(maxsize=4096)
def text_width(text: str, height: float, bold: bool = False) -> float:
    """The width (mm) that a text takes with capitals of `height` mm."""
    capital, light, heavy = _table()
    widths = heavy if bold else light
    return sum(widths.get(c) or _guess(c) for c in text) * height / capital


def _guess(letter: str) -> float:
    if unicodedata.combining(letter):
        return 0.0
    wide = unicodedata.east_asian_width(letter) in "WF" or ord(letter) >= 0x1F000
    return _WIDE if wide else _UNKNOWN


def cut(text: str, height: float, width: float, bold: bool = False) -> str:
    """As much of a text as fits into a width (mm), with … where something is left out."""
    text = plain(text)
    if text_width(text, height, bold) <= width:
        return text
    room = width - text_width(_ELLIPSIS, height, bold)
    kept = ""
    for letter in text:
        room -= text_width(letter, height, bold)
        if room < 0.0:
            break
        kept += letter
    return f"{kept.rstrip()}{_ELLIPSIS}" if kept else ""


def cut_middle(text: str, height: float, width: float, bold: bool = False) -> str:
    """The same with what is left out in the middle: both ends tell such texts apart."""
    text = plain(text)
    if text_width(text, height, bold) <= width:
        return text
    room = width - text_width(_ELLIPSIS, height, bold)
    head, tail = "", ""
    for near, far in zip(text, reversed(text), strict=True):
        for letter, first in ((near, True), (far, False)):
            room -= text_width(letter, height, bold)
            if room < 0.0:
                return f"{head.rstrip()}{_ELLIPSIS}{tail.lstrip()}" if head else ""
            head, tail = (head + letter, tail) if first else (head, letter + tail)
    raise AssertionError("a text that is too wide has to be cut")


def wrap(text: str, height: float, width: float, bold: bool = False) -> list[str]:
    """A text broken into lines that fit into a width (mm); longer words are cut."""
    lines: list[str] = []
    for word in plain(text).split(" "):
        longer = f"{lines[-1]} {word}" if lines else ""
        if lines and text_width(longer, height, bold) <= width:
            lines[-1] = longer
        else:
            lines.append(cut(word, height, width, bold))
    return [line for line in lines if line]


def vertical_extent(height: float) -> tuple[float, float]:
    """What a line of text reaches below and above its base line (mm)."""
    return _BELOW * height, _ABOVE * height
