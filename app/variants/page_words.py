"""The words of the comparison's printed page: verdicts, notes, and what is different."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter

from app.study_words import TIED, with_units
from app.theme import Theme
from app.variants.comparison import Comparison
from app.variants.marks import mark, paint_disc
from app.variants.names import shortened
from app.variants.page_table import page_font
from app.variants.tables import changed

_SIZES = (13, 12)
"""Heights of the type, one for all variants; the least is 7.2 pt."""
_NARROWEST = 330.0
_GAP = 16.0
_HEAD = 22.0
_INDENT = 24.0
_FLAGS = int(Qt.TextFlag.TextWordWrap)
_WORTH_IT = 3
"""Sentences that two variants share from which on they are told of one alone."""
_HEAD_ALONE = re.compile(r"[^.!?]*:\s*(And \d+ more\.)?\s*$")
"""What is left at the end of a tuner's note without its changes."""
_JOINER = "\N{WORD JOINER}"
"""Keeps what is before and after it on one line: N/mm is no two words."""
_BEFORE_SLASHED = re.compile(rf"(?<=\d) (?=\w+{_JOINER})")


@dataclass(frozen=True, slots=True)
class _Told:
    """What is said of one variant: the verdict, and of the rest as much as there is room for."""

    number: int
    name: str
    verdict: str
    note: tuple[str, ...]
    changes: tuple[str, ...]
    against: str = ""
    alike: str = ""
    less_note: bool = False
    left_out: int = 0

    def text(self) -> str:
        note = ("Note:", *self.note, "…" if self.less_note else "")
        more = f"… and {self.left_out} more." if self.left_out else ""
        if self.left_out and not self.changes:
            more = f"{self.left_out} things, which are in the CSV table."
        changes = (self.against, *self.changes, more, self.alike)
        parts = (self.verdict, *(note if self.note else ()), *changes)
        return _tied(" ".join(filter(None, parts)))

    def shorter(self) -> _Told | None:
        """The same with a sentence less of note or changes, whichever is longer; None if bare."""
        note, changes = len("".join(self.note)), len("".join(self.changes))
        if len(self.note) > 1 and note >= changes:
            return replace(self, note=self.note[:-1], less_note=True)
        if self.changes:
            return replace(self, changes=self.changes[:-1], left_out=self.left_out + 1)
        return None


@dataclass(frozen=True, slots=True)
class PageWords:
    """The words as they are set: type size, and how many columns they stand in."""

    told: tuple[_Told, ...]
    size: int
    columns: int
    width: float

    @property
    def height(self) -> float:
        """Of all of them."""
        heights = [self.height_of(each) for each in self.told]
        return max(heights) if self.columns > 1 else sum(heights)

    @property
    def column(self) -> float:
        """The width of a column."""
        return (self.width - _GAP * (self.columns - 1)) / self.columns

    def height_of(self, told: _Told) -> float:
        """Of what is said of one variant, with its heading."""
        room = QRectF(0.0, 0.0, self.column - _INDENT, 1e4)
        metrics = QFontMetricsF(page_font(self.size))
        return _HEAD + metrics.boundingRect(room, _FLAGS, told.text()).height() + 8.0


def page_words(comparison: Comparison, width: float, most: float) -> PageWords:
    """The words for that room, all in one size; what is different is cut short if it must be."""
    base = comparison.base
    unlike = {entry.number: sentences for entry, sentences in changed(comparison)}
    told = []
    before: dict[int, tuple[str, ...]] = {}
    for entry in comparison.entries:
        changes = unlike.get(entry.number, ())
        note = _without(_sentences(entry.note), changes)
        own, alike = _shared(changes, before)
        before[entry.number] = changes
        told.append(
            _Told(
                *(entry.number, entry.name, entry.outcome.sentence),
                *(note, own),
                against=f"Different from {base.number}:" if changes else "",
                alike=alike,
            )
        )
    beside = width >= len(told) * _NARROWEST
    columns = len(told) if beside else 1
    for size in _SIZES:
        made = PageWords(tuple(told), size, columns, width)
        if made.height <= most:
            return made
    while made.height > most:
        longest = max(made.told, key=lambda each: len(each.text()) if each.shorter() else 0)
        shorter = longest.shorter()
        if shorter is None:
            break
        told = [shorter if each is longest else each for each in made.told]
        made = replace(made, told=tuple(told))
    return made


def _shared(
    changes: tuple[str, ...], before: Mapping[int, tuple[str, ...]]
) -> tuple[tuple[str, ...], str]:
    """What is told of no variant before, and how many sentences are as in one of them."""
    for number, others in before.items():
        own = tuple(each for each in changes if each not in others)
        count = len(changes) - len(own)
        if count >= _WORTH_IT:
            return own, f"{'And' if own else 'All'} {count} things as in {number}."
    return changes, ""


def _sentences(note: str) -> tuple[str, ...]:
    """The lines of a note, each ended by a stop."""
    lines = (" ".join(line.split()) for line in note.splitlines())
    return tuple(line if line[-1] in ".!?…:;" else f"{line}." for line in lines if line)


def _without(note: tuple[str, ...], changes: tuple[str, ...]) -> tuple[str, ...]:
    """The note without what is told as different anyway, as the tuner's notes have it."""
    kept = []
    for line in note:
        rest = line
        for change in changes:
            rest = rest.replace(change, "")
        if rest != line:
            rest = " ".join(_HEAD_ALONE.sub("", rest).split())
        kept.append(rest)
    return tuple(filter(None, kept))


def _tied(text: str) -> str:
    """The text with units and both ends of a change on one line."""
    text = text.replace(" → ", f"{TIED}→{TIED}").replace("/", f"{_JOINER}/{_JOINER}")
    return _BEFORE_SLASHED.sub(TIED, with_units(text))


def paint_words(painter: QPainter, box: QRectF, words: PageWords, theme: Theme) -> None:
    """Paint them from the top of the box."""
    left, top = box.left(), box.top()
    for told in words.told:
        high = words.height_of(told)
        bold = page_font(words.size, heavy=True)
        disc = QPointF(left + 9.0, top + 10.0)
        paint_disc(painter, disc, mark(told.number, theme), theme)
        painter.setFont(bold)
        painter.setPen(theme.ink)
        room = words.column - _INDENT
        name = shortened(told.name, QFontMetricsF(bold), room)
        painter.drawText(QPointF(left + _INDENT, top + 14.5), name)
        painter.setFont(page_font(words.size))
        place = QRectF(left + _INDENT, top + _HEAD, room, high - _HEAD)
        painter.drawText(place, _FLAGS, told.text())
        if words.columns > 1:
            left += words.column + _GAP
        else:
            top += high
