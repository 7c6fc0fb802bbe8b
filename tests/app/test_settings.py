"""What is remembered between runs."""

from pathlib import Path

import pytest
from PySide6.QtCore import QByteArray

from app.recent import MOST, RecentFiles
from app.settings import LAYOUT_VERSION, Settings, data_folder, settings_file
from solver.project import Display


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "settings.ini"


def test_everything_comes_back(file: Path, tmp_path: Path) -> None:
    settings = Settings(file)
    settings.theme = "dark"
    settings.snap = 0.5
    settings.display = Display("inch", "x")
    settings.folder = tmp_path
    settings.keep_layout("usual", QByteArray(b"geometry\x00\xff"), QByteArray(b"state"))
    settings.recent = (Path("/a b/ä.throwover"), Path("/c,d.throwover"))
    settings.sync()
    again = Settings(file)
    assert again.theme == "dark"
    assert again.snap == 0.5
    assert again.display == Display("inch", "x")
    assert again.folder == tmp_path
    assert again.layout("usual") == (QByteArray(b"geometry\x00\xff"), QByteArray(b"state"))
    assert again.recent == (Path("/a b/ä.throwover"), Path("/c,d.throwover"))


def test_a_damaged_file_reads_as_defaults(file: Path) -> None:
    file.write_text(
        "[look]\ntheme=plaid\n[sketch]\nsnap=wide\n[units]\nsystem=cubit\nangle_from=7\n"
        "[window]\nversion=2\ngeometry=zzz\n[recent]\nsize=many\n[files]\nfolder=/no/such/place\n",
        encoding="utf-8",
    )
    settings = Settings(file)
    assert settings.theme == "system"
    assert settings.snap == 1.0
    assert settings.display == Display()
    assert settings.layout("usual") is None
    assert settings.recent == ()
    assert settings.folder == Path.home()


def test_an_arrangement_of_other_docks_is_not_used(
    file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings = Settings(file)
    settings.keep_layout("small", QByteArray(b"geometry"), QByteArray(b"state"))
    assert settings.layout("small") is not None
    assert settings.layout("usual") is None
    monkeypatch.setattr("app.settings.LAYOUT_VERSION", LAYOUT_VERSION + 1)
    assert Settings(file).layout("small") is None


def test_tests_keep_out_of_the_users_home(own_home: Path) -> None:
    assert settings_file().is_relative_to(own_home)
    assert data_folder().is_relative_to(own_home)


def test_recent_files_the_latest_first_and_each_once(file: Path, tmp_path: Path) -> None:
    recent = RecentFiles(Settings(file))
    paths = [tmp_path / f"{number}.throwover" for number in range(MOST + 2)]
    for path in paths:
        path.touch()
        recent.add(path)
    recent.add(paths[5])
    assert recent.paths()[0] == paths[5]
    assert len(recent.paths()) == len(set(recent.paths())) == MOST
    paths[5].unlink()
    assert paths[5] not in recent.paths()
    recent.clear()
    assert recent.paths() == ()
