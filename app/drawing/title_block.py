"""The title block: the fields of ISO 7200 in its 180 mm."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.drawing.metrics import cut, plain, text_width
from app.drawing.model import LEAST_TEXT, Element, Layer, Line, Place, Polyline, Text

WIDTH = 180.0
HEIGHT = 30.0
_ROW = 10.0
_VALUE = 3.5
"""Height of what is written in the fields, mm."""
_PAD = 1.2


@dataclass(frozen=True, slots=True)
class TitleFields:
    """What the title block says."""

    title: str
    owner: str
    number: str
    revision: str
    date: str
    creator: str
    approver: str
    document_type: str
    scale: str
    units: str
    tolerances: str
    sheet: str


def title_block(fields: TitleFields, corner: Place) -> Iterator[Element]:
    """The title block with its lower right corner at a place."""
    right, bottom = corner
    left, top = right - WIDTH, bottom + HEIGHT
    outline = ((left, bottom), (right, bottom), (right, top), (left, top))
    yield Polyline(Layer.BORDER, outline, closed=True)
    rows = (
        (
            ("Title", fields.title, 96.0),
            ("Number", fields.number, 54.0),
            ("Rev.", fields.revision, 30.0),
        ),
        (
            *(("Owner", fields.owner, 60.0), ("Drawn by", fields.creator, 45.0)),
            *(("Approved by", fields.approver, 45.0), ("Date", fields.date, 30.0)),
        ),
        (
            *(("Document", fields.document_type, 60.0), ("Scale", fields.scale, 20.0)),
            *(("Dimensions in", fields.units, 30.0), ("Tolerances", fields.tolerances, 50.0)),
            ("Sheet", fields.sheet, 20.0),
        ),
    )
    for index, row in enumerate(rows):
        yield from _row(row, (left, top - index * _ROW), last=index == len(rows) - 1)


def _row(
    row: tuple[tuple[str, str, float], ...], corner: Place, *, last: bool
) -> Iterator[Element]:
    x, top = corner
    if not last:
        yield Line(Layer.TABLES, (x, top - _ROW), (x + WIDTH, top - _ROW))
    for index, (caption, value, width) in enumerate(row):
        if index:
            yield Line(Layer.TABLES, (x, top), (x, top - _ROW))
        yield Text(caption, (x + _PAD, top - 3.4), LEAST_TEXT)
        room, bold = width - 2.0 * _PAD, caption == "Title"
        # What is long is written smaller before anything is left out.
        fits = text_width(plain(value), _VALUE, bold) <= room
        height = _VALUE if fits else LEAST_TEXT
        shown = cut(value, height, room, bold)
        if shown:
            yield Text(shown, (x + _PAD, top - _ROW + 1.6), height, bold=bold)
        x += width
