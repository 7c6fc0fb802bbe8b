"""A mistake of the program's own costs no work and shows no traceback."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from app.autosave import Autosave
from app.mishaps import Mishaps
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import moved
from tests.app.windows_for_tests import window


def test_the_work_is_kept_and_the_log_says_where(
    qapp: QApplication, keep: Keeper, tmp_path: Path
) -> None:
    main = keep(window(tmp_path))
    document = main.session.document
    document.apply(moved(document.design), "move grip")
    mishaps = Mishaps(main, tmp_path / "new" / "mishaps.log")
    try:
        raise ZeroDivisionError("in a slot")
    except ZeroDivisionError as error:
        mishaps.take(type(error), error, error.__traceback__)
        mishaps.take(type(error), error, error.__traceback__)
    keeper: Autosave = main.autosave
    assert keeper.file.exists()
    assert main.notices.notice is not None
    assert "mishaps.log" in main.notices.notice.sentence
    assert "Traceback" not in main.notices.notice.sentence
    main.notices.answer()
    assert main.notices.notice is None, "the same mishap twice is one notice"
    log = (tmp_path / "new" / "mishaps.log").read_text(encoding="utf-8")
    assert log.count("ZeroDivisionError: in a slot") == 2
    document.undo_stack.setClean()


def test_a_log_that_cannot_be_written_is_no_second_mishap(
    qapp: QApplication, keep: Keeper, tmp_path: Path
) -> None:
    (tmp_path / "file").touch()
    main = keep(window(tmp_path))
    error = ZeroDivisionError()
    Mishaps(main, tmp_path / "file" / "mishaps.log").take(type(error), error, None)
    assert main.notices.notice is not None


def test_an_interrupt_is_left_to_python(
    qapp: QApplication, keep: Keeper, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main = keep(window(tmp_path))
    error = KeyboardInterrupt()
    Mishaps(main, tmp_path / "mishaps.log").take(type(error), error, None)
    assert main.notices.notice is None
    assert "KeyboardInterrupt" in capsys.readouterr().err
