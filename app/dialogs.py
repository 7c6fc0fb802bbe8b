"""The dialogs of the window: file names, the question before closing, the texts under Help."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QMessageBox,
    QTextBrowser,
    QVBoxLayout,
    QWidget,
)

from app.cautions import cautions
from app.closing import close_button
from app.examples import SUFFIX
from solver.project import Display

Answer = Literal["save", "discard", "cancel"]
_FILTER = f"Throwover projects (*{SUFFIX});;All files (*)"


def caution_text(display: Display) -> str:
    """The cautions as a page, with gaps in the units shown."""
    *listed, aid = cautions((display,))
    points = "\n".join(f"<li>{caution}</li>" for caution in listed)
    return f"<h3>A sprung lever stores energy</h3>\n<ul>\n{points}\n</ul>\n<p>{aid}</p>\n"


TOUR = """\
<h3>First steps</h3>
<ol>
<li><b>Drag a point of the sketch</b>, the spring's anchor on the frame for a start. Curves,
readings and verdict follow at once. <i>Edit ▸ Undo</i> brings it back; <i>Escape</i> while
dragging does too.</li>
<li><b>Move the lever</b> with the slider under the sketch, or with the keys <b>A</b>, <b>D</b>
and <b>B</b>: rest A, dead centre, rest B. You may edit in any pose.</li>
<li><b>Read the verdict</b> below the sketch: whether the lever carries itself home from wherever
it is let go. The shaded part of the curves is the hang zone, where friction can hold it
still.</li>
<li><b>Set limits</b> beside the verdict, such as a holding force of at least 4 N. Each one
holds, or says by how much it fails.</li>
<li><b>Select a part</b> in the sketch or in the list and type exact numbers in any unit:
<i>3/8 in</i>, <i>12 mm + 2</i>, <i>1.2 lbf</i>.</li>
<li><b>Start your own</b> with <i>File ▸ New from layout</i>, and put in points, links and springs
from the <i>Add</i> menu.</li>
</ol>
"""

_ABOUT = """\
<h3>Throwover {version}</h3>
<p>Draws and computes hand levers that are always in one of two positions: throw-over, over-centre
and toggle linkages with their springs.</p>
<p>Free software under the MIT licence. A design aid: test a prototype before you rely on it
(<i>Help ▸ Cautions</i>).</p>
"""


def ask_to_open(parent: QWidget, folder: Path) -> Path | None:
    """The file that the user picks to open; None if none."""
    name, _ = QFileDialog.getOpenFileName(parent, "Open a project", str(folder), _FILTER)
    return Path(name) if name else None


def ask_where_to_save(parent: QWidget, suggested: Path) -> Path | None:
    """The file name that the user gives, with the suffix added; None if none."""
    dialog = QFileDialog(parent, "Save the project", str(suggested.parent), _FILTER)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix(SUFFIX.removeprefix("."))
    dialog.selectFile(suggested.name)
    chosen = dialog.exec() == QDialog.DialogCode.Accepted
    names = dialog.selectedFiles() if chosen else []
    dialog.deleteLater()
    return Path(names[0]) if names else None


def ask_about_changes(parent: QWidget, name: str) -> Answer:
    """What to do with unsaved changes before they would be lost."""
    buttons = QMessageBox.StandardButton
    box = QMessageBox(parent)
    box.setIcon(QMessageBox.Icon.Question)
    box.setWindowTitle("Unsaved changes")
    box.setText(f"“{name}” has changes that are not saved.")
    box.setInformativeText("Save them first?")
    box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
    box.setDefaultButton(buttons.Save)
    box.setEscapeButton(buttons.Cancel)
    pressed = box.exec()
    box.deleteLater()
    if pressed == buttons.Save:
        return "save"
    return "discard" if pressed == buttons.Discard else "cancel"


def show_text(parent: QWidget, title: str, html: str) -> QDialog:
    """Open a text beside the window; it stays while one works on."""
    dialog = QDialog(parent)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.setWindowTitle(title)
    browser = QTextBrowser(dialog)
    browser.setHtml(html)
    browser.document().setDocumentMargin(14)
    browser.setAccessibleName(title)
    browser.setFrameShape(QTextBrowser.Shape.NoFrame)
    buttons = QDialogButtonBox(dialog)
    buttons.addButton(close_button(dialog, "Close"), QDialogButtonBox.ButtonRole.RejectRole)
    column = QVBoxLayout(dialog)
    column.addWidget(browser)
    column.addWidget(buttons)
    dialog.resize(560, 440)
    dialog.show()
    return dialog


def about(version: str) -> str:
    """The text of Help ▸ About."""
    return _ABOUT.format(version=version)
