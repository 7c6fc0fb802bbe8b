"""The comparison as a file: one page (PDF) or the table (CSV)."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtWidgets import QFileDialog, QWidget

from app.variants import page, records
from app.variants.comparison import Comparison, Together
from solver.files import write_whole


def ask(parent: QWidget, kind: str, suggested: Path) -> Path | None:
    """The file name that the user gives, with the suffix added; None if none."""
    suffix = suggested.suffix
    dialog = QFileDialog(
        parent, f"Save the comparison as {kind}", str(suggested.parent), f"{kind} (*{suffix})"
    )
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix(suffix.removeprefix("."))
    dialog.selectFile(suggested.name)
    chosen = dialog.exec() == QFileDialog.DialogCode.Accepted
    names = dialog.selectedFiles() if chosen else []
    dialog.deleteLater()
    return Path(names[0]) if names else None


def write(
    comparison: Comparison, path: Path, share: float, together: Together, file: str = ""
) -> None:
    """Write the comparison in the form that the file's suffix names; FileProblem if it cannot be.

    `share` and `together` say where the levers stand in the pictures; `file` is the project's
    file name, for the page to say.
    """
    if path.suffix.lower() == ".csv":
        write_whole(path, records.as_csv(comparison).encode())
    else:
        write_whole(path, page.as_pdf(comparison, share, together, page.Origin(file)))
