"""Pages as a PDF file, at true size."""

from __future__ import annotations

import re
import uuid
from collections.abc import Sequence

from PySide6.QtCore import QBuffer, QIODevice, QMarginsF, QSizeF, QUuid
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter

from app.drawing.metrics import plain
from app.drawing.model import Drawing
from app.drawing.painting import need_application, paint

_DOTS = 1200
"""Dots per inch of the coordinates in the file."""
_MM = _DOTS / 25.4

_STAMPS = (
    (re.compile(rb"\(D:\d{14}Z\)"), b"(D:20000101000000Z)"),
    (
        re.compile(rb'Date="\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00"'),
        b'Date="2000-01-01T00:00:00+00:00"',
    ),
)
"""When the file was made, and what stands there instead: the same drawing, the same file.

Both are of one length, because a PDF file counts its bytes.
"""


def as_pdf(pages: Sequence[Drawing]) -> bytes:
    """The pages as one PDF file; equal pages give equal bytes."""
    need_application()
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(_DOTS)
    writer.setCreator("Throwover")
    writer.setTitle(plain(pages[0].title))
    name = uuid.uuid5(uuid.NAMESPACE_OID, repr(tuple(pages)))
    writer.setDocumentId(QUuid(str(name)))
    writer.setPageLayout(page_layout(pages[0]))
    painter = QPainter(writer)
    for index, page in enumerate(pages):
        if index:
            writer.setPageLayout(page_layout(page))
            writer.newPage()
        painter.save()
        painter.scale(_MM, _MM)
        paint(painter, page)
        painter.restore()
    painter.end()
    return _undated(bytes(buffer.data().data()))


def page_layout(page: Drawing) -> QPageLayout:
    """The sheet of a page without margins: the drawing brings its own."""
    width, height = page.size
    # A size with the long side first would be turned: Qt wants it upright and a direction.
    size = QPageSize(
        QSizeF(min(width, height), max(width, height)),
        QPageSize.Unit.Millimeter,
        "",
        QPageSize.SizeMatchPolicy.ExactMatch,
    )
    lying = width > height
    way = QPageLayout.Orientation.Landscape if lying else QPageLayout.Orientation.Portrait
    layout = QPageLayout(size, way, QMarginsF())
    layout.setMode(QPageLayout.Mode.FullPageMode)
    return layout


def _undated(data: bytes) -> bytes:
    for stamp, instead in _STAMPS:
        data = stamp.sub(instead, data)
    return data
