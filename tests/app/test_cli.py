"""The command line as a user runs it."""

import argparse
import csv
import io
import json
import os
import re
import shlex
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from app.cli import _parser
from app.report import as_csv
from solver import files
from solver.analysis import analyse
from solver.model import Limit
from solver.project import Display, Project, Variant
from tests.app.projects_for_tests import impossible, project

ROOT = Path(__file__).resolve().parent.parent.parent


def throwover(*arguments: str | Path, **variables: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "app", *map(str, arguments)],
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        encoding="utf-8",
        env={**os.environ, "PYTHONIOENCODING": "utf-8", **variables},
    )


def limited(*limits: Limit) -> Project:
    made = project()
    return made.with_design(replace(made.design, limits=limits))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "lever.throwover"


def test_check_prints_verdict_limits_and_readings(file: Path) -> None:
    files.save(limited(Limit("peak_effort", at_most=1e6)), file)
    done = throwover("check", file)
    assert done.returncode == 0
    assert done.stderr == ""
    assert "Gate lever" in done.stdout
    assert "holds  " in done.stdout
    assert "Throw" in done.stdout


def test_check_tells_by_its_exit_code_that_a_limit_fails(file: Path) -> None:
    files.save(limited(Limit("peak_effort", at_most=1e6), Limit("throw", at_most=1.0)), file)
    done = throwover("check", file)
    assert done.returncode == 1
    assert "FAILS  " in done.stdout
    assert done.stderr == ""


def test_check_json_is_in_base_units_whatever_is_shown(file: Path) -> None:
    made = limited(Limit("throw", at_most=1.0))
    records = []
    for display in (Display(), Display("inch", "x")):
        files.save(replace(made, display=display), file)
        done = throwover("check", file, "--json")
        assert done.returncode == 1
        records.append(json.loads(done.stdout))
    metric, inch = records
    assert metric["readings"] == inch["readings"]
    assert metric["readings"]["peak_effort"]["unit"] == "N"
    assert metric["limits_hold"] is False
    assert metric["limits"][0]["at_most"] == 1.0
    assert metric["limits"][0]["unit"] == "deg"


def test_check_shows_the_projects_units(file: Path) -> None:
    files.save(replace(project(), display=Display("inch")), file)
    assert " lbf" in throwover("check", file).stdout


def test_check_takes_the_variant_that_is_named(file: Path) -> None:
    made = project()
    strict = replace(made.design, limits=(Limit("throw", at_most=1.0),))
    files.save(replace(made, variants=(*made.variants, Variant("strict", strict))), file)
    assert throwover("check", file).returncode == 0
    assert throwover("check", file, "--variant", "strict").returncode == 1
    done = throwover("check", file, "--variant", "loose")
    assert done.returncode == 2
    assert "“first”, “strict”" in done.stderr


@pytest.mark.parametrize(
    "content", [None, "", '{"format": ', "[1, 2]", '"\\ud800"', "NaN", "[" * 100_000]
)
def test_a_file_that_cannot_be_used_gets_one_sentence(file: Path, content: str | None) -> None:
    if content is not None:
        file.write_text(content, encoding="utf-8")
    done = throwover("check", file)
    assert done.returncode == 2
    assert done.stdout == ""
    assert file.name in done.stderr
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr


def test_a_design_that_cannot_be_solved_gets_one_sentence(file: Path) -> None:
    made = project()
    files.save(made.with_design(impossible(made.design)), file)
    done = throwover("check", file)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr


def test_check_needs_no_qt(file: Path) -> None:
    files.save(project(), file)
    code = (
        "import sys; from app.cli import main; main(['check', sys.argv[1]]);"
        "sys.exit(any(name.startswith('PySide6') for name in sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(file)], cwd=ROOT, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_a_reader_that_has_seen_enough_is_no_error(file: Path) -> None:
    files.save(project(), file)
    code = (
        "import os, sys; from app.cli import main; ours, theirs = os.pipe(); os.close(ours);"
        "os.dup2(theirs, 1); sys.exit(main(['check', sys.argv[1]]))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(file)], cwd=ROOT, capture_output=True, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")


def test_an_old_console_gets_what_it_can_show(file: Path) -> None:
    files.save(project(title="Hebel für die Klappe →"), file)
    done = throwover("check", file, PYTHONIOENCODING="ascii")
    assert done.returncode == 0
    assert "Hebel f?r die Klappe ?" in done.stdout


def test_every_command_is_listed_in_its_group_and_has_an_example_that_can_be_typed() -> None:
    overview = throwover("--help").stdout
    groups = ("Look", "Choose", "Into the workshop")
    assert [line for line in overview.splitlines() if line in groups] == list(groups)
    parser = _parser()
    (found,) = (each for each in parser._actions if isinstance(each, argparse._SubParsersAction))
    commands = set(found.choices) - {"open"}
    assert len(commands) == 12
    for command in sorted(commands):
        assert overview.count(f"  throwover {command} ") == 1
        told = found.choices[command].format_help()
        example = re.search(rf"^(?:example:| ) throwover ({command} .*)$", told, re.MULTILINE)
        assert example, told
        assert parser.parse_args(shlex.split(example[1])).command == command


def test_help_and_version_for_a_stranger() -> None:
    assert throwover("--version").stdout.startswith("throwover ")
    overview = throwover("--help")
    assert overview.returncode == 0
    for command in ("check", "portrait"):
        assert f"throwover {command}" in overview.stdout
        more = throwover(command, "--help")
        assert "--variant" in more.stdout
    assert "exit code: 0" in throwover("check", "--help").stdout


@pytest.mark.parametrize(
    "display", ["", ":97531", "unix:97531.0", "localhost:59535"], ids=["none", "gone", "old", "far"]
)
@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="elsewhere there is a screen")
def test_without_a_screen_the_window_says_what_to_do_instead(display: str) -> None:
    done = throwover(QT_QPA_PLATFORM="", DISPLAY=display, WAYLAND_DISPLAY="")
    assert done.returncode == 2
    assert "throwover portrait --into" in done.stderr
    assert done.stderr.count("\n") == 1
    done = throwover("my.throwover", QT_QPA_PLATFORM="", DISPLAY=display, WAYLAND_DISPLAY="")
    assert done.returncode == 2
    assert "throwover portrait my.throwover --into" in done.stderr


def test_portrait_writes_picture_curves_and_readings(file: Path, tmp_path: Path) -> None:
    files.save(limited(Limit("throw", at_most=1.0)), file)
    into = tmp_path / "new" / "folder"
    done = throwover("portrait", file, "--into", into, DISPLAY="", QT_QPA_PLATFORM="")
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert str(into) in done.stdout
    assert sorted(path.name for path in into.iterdir()) == [
        "curves.csv",
        "readings.json",
        "readings.txt",
        "window.png",
    ]
    assert (into / "readings.txt").read_text(encoding="utf-8") in done.stdout
    assert (into / "readings.json").read_text(encoding="utf-8") == throwover(
        "check", file, "--json"
    ).stdout
    with (into / "curves.csv").open(encoding="utf-8", newline="") as stream:
        header, *rows = csv.reader(stream)
    assert header[:4] == [
        *("travel (°)", "lever direction (°)", "travel at the grip (mm)", "energy (mJ)")
    ]
    assert len(rows) == 721
    assert (into / "window.png").read_bytes().startswith(b"\x89PNG")


def test_the_curves_are_in_the_projects_units() -> None:
    analysis = analyse(project().design)
    metric, inch = (
        list(csv.reader(io.StringIO(as_csv(analysis, display))))
        for display in (Display(), Display("inch"))
    )
    assert inch[0][2:4] == ["travel at the grip (in)", "energy (in·lbf)"]
    assert float(metric[-1][2]) == pytest.approx(25.4 * float(inch[-1][2]))
    assert float(metric[9][3]) == pytest.approx(25.4 * 4.4482216152605 * float(inch[9][3]))


def test_portrait_without_a_file_shows_the_worked_example(tmp_path: Path) -> None:
    done = throwover("portrait", "--into", tmp_path)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "window.png").stat().st_size > 10_000


def test_portrait_into_a_place_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = throwover("portrait", "--into", tmp_path / "file")
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
