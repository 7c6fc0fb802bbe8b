"""The keys that do again what was undone, in a box of notes."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.inspect.note_box import NoteBox
from tests.app.leftovers import Keeper

CONTROL = Qt.KeyboardModifier.ControlModifier


def test_typing_in_notes_is_done_again(keep: Keeper) -> None:
    notes = keep(NoteBox("Notes"))
    notes.show()
    for key, held in (
        (Qt.Key.Key_Y, CONTROL),
        (Qt.Key.Key_Z, CONTROL | Qt.KeyboardModifier.ShiftModifier),
    ):
        notes.load("")
        QTest.keyClicks(notes, "Spring")
        QTest.keyClick(notes, Qt.Key.Key_Return)
        QTest.keyClick(notes, Qt.Key.Key_Z, CONTROL)
        assert notes.toPlainText() != "Spring\n"
        QTest.keyClick(notes, key, held)
        assert notes.toPlainText() == "Spring\n"
