"""The papers from the command line, on a machine without a screen."""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from app.cli import main
from app.workshop.papers import PAPERS
from solver import files
from solver.project import Variant
from tests.app.projects_for_tests import impossible, moved, project
from tests.app.test_cli import throwover
from tests.example_files import EXAMPLES


@pytest.fixture
def file(tmp_path: Path) -> Path:
    made = tmp_path / "lever.throwover"
    files.save(project(), made)
    return made


@pytest.mark.parametrize("key", PAPERS)
def test_a_paper_is_written_into_a_new_folder_without_a_screen(key: str, tmp_path: Path) -> None:
    into = tmp_path / "new" / "folder"
    done = throwover(key, EXAMPLES[0], "--into", into, DISPLAY="", QT_QPA_PLATFORM="")
    assert (done.returncode, done.stderr) == (0, "")
    written = sorted(into.iterdir())
    assert written
    for path in written:
        assert str(path) in done.stdout
        assert path.name.startswith(f"{EXAMPLES[0].stem}-{key}")


def test_a_scale_that_does_not_fit_is_said(file: Path, tmp_path: Path) -> None:
    made = project()
    files.save(replace(made, sheet=replace(made.sheet, size="A4", scale="20:1")), file)
    done = throwover("sheet", file, "--into", tmp_path / "lever.svg")
    assert done.returncode == 0
    assert "20:1 does not fit on A4; drawn at " in done.stdout


def test_a_file_and_a_variant_are_named(file: Path, tmp_path: Path) -> None:
    made = project()
    both = replace(made, variants=(*made.variants, Variant("longer", moved(made.design, 20.0))))
    files.save(both, file)
    texts = []
    for variant in ("first", "longer"):
        target = tmp_path / f"{variant}.html"
        done = throwover("report", file, "--into", target, "--variant", variant)
        assert done.returncode == 0, done.stderr
        texts.append(target.read_text(encoding="utf-8"))
    assert texts[0] != texts[1]
    assert throwover("report", file, "--into", tmp_path, "--variant", "no").returncode == 2


def test_papers_of_several_variants_are_named_after_them(file: Path, tmp_path: Path) -> None:
    """Whether the variant was asked for or is the one worked on last."""
    made = project()
    both = replace(made, variants=(*made.variants, Variant("longer", moved(made.design, 20.0))))
    files.save(replace(both, current=1), file)
    for more in ((), ("--variant", "longer"), ("--variant", "first")):
        assert throwover("parts", file, "--into", tmp_path / "out", *more).returncode == 0
    names = sorted(path.name for path in (tmp_path / "out").iterdir())
    assert names == ["lever-first-parts.csv", "lever-longer-parts.csv"]
    files.save(made, file)
    assert (
        throwover("parts", file, "--into", tmp_path / "one", "--variant", "first").returncode == 0
    )
    assert [path.name for path in (tmp_path / "one").iterdir()] == ["lever-parts.csv"]


@pytest.mark.parametrize(
    ("key", "more", "said"),
    [
        ("report", ("--format", "dxf"), "pdf, html, svg, png"),
        ("parts", ("--format", "nothing"), "csv, pdf"),
    ],
)
def test_a_format_that_there_is_not(
    file: Path, tmp_path: Path, key: str, more: tuple[str, ...], said: str
) -> None:
    done = throwover(key, file, "--into", tmp_path / "out", *more)
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    ("into", "said"),
    [
        ("", "Nothing stands after --into"),
        ("  ", "Nothing stands after --into"),
        ("out.txt", "ends in .txt"),
        ("out.tar.gz", "ends in .gz"),
        ("taken", "is not a folder"),
        ("taken/below", "part of its path is a file"),
        ("taken/x.pdf", "no such folder"),
        ("no/x.pdf", "no such file or folder"),
        ("folder.pdf", "is a folder: put a / at its end"),
        ("/dev/full", "/dev/full is not a folder"),
        ("/proc/none", "cannot be made"),
        ("x" * 300, "cannot be made"),
        ("x" * 300 + ".pdf", "too long"),
    ],
)
def test_a_target_that_is_none_gets_a_sentence_with_its_path_and_what_to_do(
    file: Path, tmp_path: Path, into: str, said: str
) -> None:
    (tmp_path / "taken").write_text("old")
    (tmp_path / "folder.pdf").mkdir()
    before = sorted(tmp_path.rglob("*"))
    named = into if not into.strip() or into.startswith("/") else f"{tmp_path}/{into}"
    done = throwover("report", file, "--into", named)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr
    assert said in done.stderr
    if into.strip():
        assert named in done.stderr
    assert re.search(r"[Nn]ame (another|one|a)|[Gg]ive it|put a /", done.stderr)
    assert sorted(tmp_path.rglob("*")) == before
    assert (tmp_path / "taken").read_text() == "old"


def test_a_folder_may_be_named_like_a_file_or_lead_upwards(file: Path, tmp_path: Path) -> None:
    (tmp_path / "inner").mkdir()
    for into, folder in (("out.txt/", "out.txt"), ("inner/../x", "x"), ("v1.2", "v1.2")):
        done = throwover("parts", file, "--into", f"{tmp_path}/{into}")
        assert (done.returncode, done.stderr) == (0, "")
        (written,) = (tmp_path / folder).iterdir()
        assert f"  {written}\n" in done.stdout


@pytest.mark.parametrize(
    "title", ["../../x", "🍎🍐", "\u202egnisrever \u05e7\u05dc\u05e4\u05d4", "long " * 60, ""]
)
@pytest.mark.parametrize("key", PAPERS)
def test_no_title_breaks_a_paper_from_the_command_line(
    key: str, title: str, tmp_path: Path
) -> None:
    made = project()
    file = tmp_path / "lever.throwover"
    files.save(replace(made, title=title), file)
    assert main([key, str(file), "--into", str(tmp_path / "out")]) == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == ["lever.throwover", "out"]
    for path in (tmp_path / "out").iterdir():
        assert path.name.startswith(f"lever-{key}")


def test_a_target_that_cannot_be_written_gets_one_sentence(file: Path, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("old")
    for into in (tmp_path / "taken", tmp_path / "taken" / "below", tmp_path / "no" / "x.pdf"):
        done = throwover("report", file, "--into", into)
        assert done.returncode == 2
        assert done.stderr.count("\n") == 1
        assert "Traceback" not in done.stderr
    assert (tmp_path / "taken").read_text() == "old"


def test_a_design_that_cannot_be_solved_gets_one_sentence_and_no_folder(
    file: Path, tmp_path: Path
) -> None:
    made = project()
    files.save(made.with_design(impossible(made.design)), file)
    done = throwover("sheet", file, "--into", tmp_path / "out")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_help_for_a_stranger() -> None:
    overview = throwover("--help").stdout
    for key, paper in PAPERS.items():
        assert f"throwover {key}" in overview
        told = throwover(key, "--help").stdout
        assert ", ".join(paper.kinds) in told
        assert "--variant" in told
        assert "exit code: 0" in told
