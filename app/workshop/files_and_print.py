"""Papers into files that the user names, and onto a printer."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QDialog, QFileDialog, QWidget

from app.busy import busy
from app.drawing.pdf import page_layout
from app.drawing.printer import print_pages
from app.file_names import plain_name
from app.settings import Settings
from app.workshop.papers import Kind, Paper, Papers, file_name
from solver.errors import FileProblem

_WORDS: dict[Kind, str] = {
    "pdf": "PDF, all pages",
    "svg": "SVG drawing",
    "png": "PNG picture",
    "dxf": "DXF drawing",
    "csv": "CSV table",
    "html": "Web page",
}


def export(parent: QWidget, papers: Papers, paper: Paper, name: str, settings: Settings) -> str:
    """Ask for a file name, write the paper, and say in a sentence what was written.

    "" where the user gave no name; ThrowoverError with a sentence where it cannot be written.
    """
    filters = {f"{_WORDS[kind]} (*.{kind})": kind for kind in paper.kinds}
    dialog = QFileDialog(parent, f"Write the {paper.title.lower()}", str(settings.folder))
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setNameFilters(list(filters))
    dialog.filterSelected.connect(lambda words: dialog.setDefaultSuffix(filters[words]))
    dialog.setDefaultSuffix(paper.kinds[0])
    dialog.selectFile(file_name(name, paper.key, paper.kinds[0]))
    chosen = dialog.exec() == QDialog.DialogCode.Accepted
    names, wish = dialog.selectedFiles(), filters[dialog.selectedNameFilter()]
    dialog.deleteLater()
    if not chosen or not names:
        return ""
    path, kind = _named(Path(names[0]), paper, wish)
    with busy():
        written = papers.write(paper.key, kind, path)
    settings.folder = path.parent
    return _sentence(paper, written)


def _named(path: Path, paper: Paper, wish: Kind) -> tuple[Path, Kind]:
    """The path and the format that its ending says; FileProblem for an ending of nothing here."""
    ending = path.suffix.removeprefix(".").lower()
    for kind in paper.kinds:
        if kind == ending:
            return path, kind
    if ending in _WORDS:
        listed = ", ".join(paper.kinds)
        raise FileProblem(
            f"The {paper.title.lower()} is not written as {ending}; choose one of {listed}."
        )
    return path.with_name(f"{path.name}.{wish}"), wish


def _sentence(paper: Paper, written: tuple[Path, ...]) -> str:
    first = written[0]
    if len(written) == 1:
        return f"{paper.title} written to “{first.name}” in {first.parent}."
    names = ", ".join(f"“{path.name}”" for path in written)
    return f"{paper.title} written to {len(written)} files in {first.parent}: {names}."


def print_paper(parent: QWidget, papers: Papers, paper: Paper) -> str:
    """Ask for a printer and print the pages at true size; a sentence, "" where the user left.

    ThrowoverError with a sentence where it cannot be printed.
    """
    pages = papers.pages(paper.key)
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageLayout(page_layout(pages[0]))
    # The name becomes a file's where the printer is one, and a title may hold a path.
    printer.setDocName(plain_name(f"{papers.project.title or 'Lever'} {paper.title}"))
    dialog = QPrintDialog(printer, parent)
    dialog.setWindowTitle(f"Print the {paper.title.lower()}")
    chosen = dialog.exec() == QDialog.DialogCode.Accepted
    dialog.deleteLater()
    if not chosen:
        return ""
    first, last = printer.fromPage(), printer.toPage()
    wanted = pages[first - 1 : last] if first > 0 else pages
    if not wanted:
        raise FileProblem(f"There are no such pages: the {paper.title.lower()} has {len(pages)}.")
    with busy():
        print_pages(printer, wanted)
    return f"{paper.title}: {len(wanted)} of {len(pages)} pages sent to the printer at true size."
