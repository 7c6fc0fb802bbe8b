"""Pages on a printer, at true size."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtGui import QPainter
from PySide6.QtPrintSupport import QPrinter

from app.drawing.model import Drawing
from app.drawing.painting import paint
from app.drawing.pdf import page_layout
from solver.errors import FileProblem


def print_pages(printer: QPrinter, pages: Sequence[Drawing]) -> None:
    """Print the pages 1:1, each on a sheet of its own size.

    What lies in the strip that a printer cannot reach is lost; nothing is shrunk to fit.
    FileProblem where the printer takes nothing.
    """
    printer.setFullPage(True)
    printer.setPageLayout(page_layout(pages[0]))
    painter = QPainter()
    if not painter.begin(printer):
        raise FileProblem("The printer takes nothing: see whether it is on and has paper.")
    for index, page in enumerate(pages):
        if index:
            printer.setPageLayout(page_layout(page))
            printer.newPage()
        painter.save()
        painter.scale(printer.logicalDpiX() / 25.4, printer.logicalDpiY() / 25.4)
        paint(painter, page)
        painter.restore()
    painter.end()
