"""Studies from the command line, as a user runs them."""

import csv
import io
import json
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from app.studies.sweep_words import MOST_COPIES
from solver import files, units
from solver.analysis import analyse
from solver.model import Limit, Tolerances
from solver.number_names import with_number
from solver.project import Display
from solver.sensitivity import sensitivities
from solver.spread import spread
from solver.sweep import crossings, sweep
from solver.sweep_copies import HOLD_ALL, sure_ranges, sweep_copies
from tests.app.projects_for_tests import project
from tests.app.test_cli import throwover

HOLDS = Limit("holding_force", at_least=0.1)
WIDE = Limit("hang_zone", at_most=30.0)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "lever.throwover"


def saved(file: Path, *limits: Limit, **tolerances: float) -> None:
    made = project("compression")
    off = Tolerances(**tolerances)  # type: ignore[arg-type]
    files.save(made.with_design(replace(made.design, limits=limits, tolerances=off)), file)


def test_spread_tells_the_shares_that_the_solver_finds(file: Path) -> None:
    saved(file, HOLDS)
    done = throwover("spread", file, "--copies", "256", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    record = json.loads(done.stdout)
    expected = spread(files.load(file).design, 256)
    assert record["all_limits"]["count"] == expected.all_limits.count
    assert record["readings"]["holding_force"]["percentile_5"] == pytest.approx(
        expected.readings["holding_force"].low
    )
    shares = [*record["contributions"]["shares"].values(), record["contributions"]["together"]]
    assert sum(shares) == pytest.approx(1.0, abs=1e-4)


def test_spread_by_its_exit_code_says_that_too_few_hold(file: Path) -> None:
    saved(file)
    middle = spread(files.load(file).design, 256).readings["holding_force"].middle
    saved(file, Limit("holding_force", at_least=middle))
    assert throwover("spread", file, "--copies", "256").returncode == 1
    assert throwover("spread", file, "--copies", "256", "--share", "30").returncode == 0


def test_spread_text_and_table_name_every_reading(file: Path) -> None:
    saved(file, HOLDS)
    text = throwover("spread", file, "--copies", "64").stdout
    assert "of 64 copies hold all limits" in text
    assert "What spreads “Holding force, weaker rest”" in text
    head, *rows = csv.reader(io.StringIO(throwover("spread", file, "--csv").stdout))
    assert head[0] == "reading"
    assert {"holding_force", "throw"} <= {row[0] for row in rows}


def test_spread_of_holes_only_says_so_and_leaves_the_file(file: Path) -> None:
    saved(file, HOLDS, hole=0.4)
    before = file.read_bytes()
    done = throwover("spread", file, "--copies", "64", "--only", "holes")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Holes ±0.4 mm, everything else exact." in done.stdout
    named = done.stdout.partition("What spreads")[2].splitlines()[1:]
    assert named
    assert all("hole of" in line or "together" in line for line in named)
    assert file.read_bytes() == before
    assert "everything else exact" not in throwover("spread", file, "--copies", "64").stdout


def test_sensitivity_in_three_forms(file: Path) -> None:
    saved(file, HOLDS)
    expected = sensitivities(files.load(file).design, "holding_force")
    record = json.loads(throwover("sensitivity", file, "--json").stdout)
    assert [each["number"] for each in record["numbers"]] == [
        each.number.path for each in expected.ranked
    ]
    table = list(csv.reader(io.StringIO(throwover("sensitivity", file, "--csv").stdout)))
    assert len(table) == len(expected.ranked) + 1
    text = throwover("sensitivity", file).stdout
    assert expected.ranked[0].number.path in text
    assert " per mm" in text


def test_an_unknown_reading_is_one_sentence_with_the_known_ones(file: Path) -> None:
    saved(file)
    done = throwover("sensitivity", file, "--reading", "beauty")
    assert done.returncode == 2
    assert "There is no reading “beauty”; there is" in done.stderr
    assert done.stderr.count("\n") == 1


def test_near_readings_are_told(file: Path) -> None:
    saved(file)
    done = throwover("sensitivity", file, "--reading", "hold force")
    assert done.returncode == 2
    assert "near it: “Holding force, weaker rest” (holding_force); “" in done.stderr


def test_a_sweep_takes_the_words_of_the_window(file: Path) -> None:
    saved(file)
    spring = files.load(file).design.springs[0].name
    told = {
        throwover(
            *("sweep", file, "--steps", "3", "--copies", "0"),
            *("--over", f"{number}=2..3 N/mm", "--reading", reading),
        ).stdout
        for number, reading in (
            (f"springs.{spring}.rate", "holding_force"),
            (f"Rate of {spring}", "holding force, weaker rest"),
        )
    }
    assert len(told) == 1
    assert "Holding force, weaker rest (N)" in told.pop()


def test_sweep_equals_single_analyses(file: Path) -> None:
    saved(file)
    design = files.load(file).design
    path = f"springs.{design.springs[0].name}.rate"
    done = throwover("sweep", file, "--over", f"{path}=2..3 N/mm", "--steps", "3", "--csv")
    _, *rows = csv.reader(io.StringIO(done.stdout))
    assert [float(row[0]) for row in rows] == [2.0, 2.5, 3.0]
    for rate, holding in rows:
        analysed = analyse(with_number(design, path, float(rate)))
        value = analysed.readings["holding_force"].value
        assert float(holding) == pytest.approx(value, rel=1e-4)


def test_sweep_of_two_numbers_in_inches(file: Path) -> None:
    made = project("compression")
    files.save(replace(made, display=Display("inch")), file)
    name = made.design.springs[0].name
    over = (f"springs.{name}.free_length=3..3.2", f"springs.{name}.rate=2 N/mm..3 N/mm")
    both = ("sweep", file, "--over", over[0], "--by", over[1], "--steps", "3")
    head, *rows = csv.reader(io.StringIO(throwover(*both, "--csv").stdout))
    assert head[0].endswith("(in)")
    assert len(rows) == 9
    record = json.loads(throwover(*both, "--json").stdout)
    assert record["values"][0] == pytest.approx(3 * 25.4)
    assert len(record["rows"]) == 3
    refused = throwover(*both, "--copies", "100")
    assert (refused.returncode, refused.stdout) == (2, "")
    assert "leave out --by, or --copies" in refused.stderr


def test_sweep_tells_what_the_window_does_of_limits_and_copies(file: Path) -> None:
    saved(file)
    design = files.load(file).design
    path, values = f"springs.{design.springs[0].name}.rate", np.linspace(1.0, 3.0, 9)
    middle = float(
        sweep(design, path, values, ["holding_force"]).readings["holding_force"][3:5].mean()
    )
    saved(file, Limit("holding_force", at_least=middle))
    design = files.load(file).design
    (at,) = crossings(sweep(design, path, values, ["holding_force"]), "holding_force", middle)
    shares = sweep_copies(design, path, values, 100)
    held = shares.readings[HOLD_ALL.key]
    assert 0.0 < held[held > 0.0].min() < 99.0
    (sure,) = crossings(shares, HOLD_ALL.key, MOST_COPIES)
    ((low, high),) = sure_ranges(shares, MOST_COPIES)
    assert low < sure < high == math.inf  # of 100 copies that all hold, 96 are sure to
    ask = ("sweep", file, "--over", f"{path}=1..3 N/mm", "--steps", "9", "--copies", "100")

    record = json.loads(throwover(*ask, "--json").stdout)
    assert (record["copies"], record[HOLD_ALL.key]) == (100, held.tolist())
    assert record["meets"] == [
        {"reading": "holding_force", "at_least": middle, "at": [float(at)]},
        {
            **{"reading": HOLD_ALL.key, "at_least": 99.0, "at": [float(sure)]},
            "range_95": [[low, None]],
        },
    ]

    text = throwover(*ask).stdout
    where = f"at rate of {design.springs[0].name} {units.show(float(at), 'rate', Display())}"
    assert "“Holding force, weaker rest” meets its limit, at least" in text
    assert where in text
    assert "“Copies that hold all limits” is 99 % at rate of" in text
    assert f"(95 % sure: {low:.3f} N/mm or above)" in text
    assert (
        "100 copies at each of 9 values: a share near 50 % is right to 10 %, "
        "one near 99 % to 3 % (95 % sure)."
    ) in text

    table, meets = throwover(*ask, "--csv").stdout.split("\n\n")
    head, *rows = csv.reader(io.StringIO(table))
    assert head[2] == "Copies that hold all limits (%)"
    assert [float(row[2]) for row in rows] == pytest.approx(held.tolist())
    _, *places = csv.reader(io.StringIO(meets))
    assert [float(row[2]) for row in places] == pytest.approx([float(at), float(sure)], rel=1e-8)
    assert [row[3:] for row in places] == [["", ""], [f"{low:.9g}", ""]]


def test_sweep_makes_no_copies_where_none_are_wanted_or_no_limit_is_set(file: Path) -> None:
    saved(file)
    path = f"springs.{files.load(file).design.springs[0].name}.rate"
    over = ("sweep", file, "--over", f"{path}=2..3 N/mm", "--steps", "3")
    assert json.loads(throwover(*over, "--json").stdout)["copies"] == 0
    assert "add one" in throwover(*over, "--copies", "50").stderr
    saved(file, HOLDS)
    assert "copies" not in throwover(*over, "--copies", "0").stdout
    assert json.loads(throwover(*over, "--json").stdout)["copies"] == 1000
    many = throwover(*over[:-1], "1000", "--copies", "2000")
    assert (many.returncode, many.stderr.count("\n")) == (2, 1)
    assert "make fewer" in many.stderr


@pytest.mark.parametrize("over", ["nonsense", "springs.none.rate=1..2", "gravity.strength=a..b"])
def test_a_range_that_cannot_be_read_is_one_sentence(file: Path, over: str) -> None:
    saved(file)
    done = throwover("sweep", file, "--over", over)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr


def test_tune_writes_the_answer_beside_what_was_there(file: Path, tmp_path: Path) -> None:
    saved(file)
    now = analyse(files.load(file).design).readings["holding_force"].value
    saved(file, Limit("holding_force", at_least=1.05 * now), Limit("hang_zone", at_most=30.0))
    before, name = file.read_bytes(), files.load(file).design.springs[0].name
    into = tmp_path / "tuned.throwover"
    done = throwover(
        "tune", file, "--rate", f"{name}=2..4", "--budget", "600", "--copies", "64", "--into", into
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert file.read_bytes() == before
    project = files.load(into)
    assert [variant.name for variant in project.variants] == ["first", "first tuned"]
    assert analyse(project.design).good
    assert "All limits hold." in done.stdout


def test_tune_names_what_is_in_conflict_and_exits_with_1(file: Path) -> None:
    saved(file, Limit("holding_force", at_least=900.0), Limit("peak_effort", at_most=0.1))
    grip = files.load(file).design.grip
    done = throwover(
        "tune", file, "--point", f"{grip}=2 mm", "--budget", "300", "--copies", "16", "--json"
    )
    assert done.returncode == 1
    record = json.loads(done.stdout)
    assert not record["holds"]
    assert len(record["conflict"]) >= 2


def test_tune_takes_springs_from_a_list_and_rests(file: Path, tmp_path: Path) -> None:
    saved(file)
    name = files.load(file).design.springs[0].name
    drawer = tmp_path / "drawer.txt"
    drawer.write_text("soft; 2.0; 80; 45\nhard; 3.0; 80; 45\n", encoding="utf-8")
    done = throwover(
        "tune", file, "--springs", f"{name}={drawer}", "--rest", "A=2°", "--most",
        "holding_force", "--budget", "300", "--copies", "16",
    )  # fmt: skip
    assert done.stderr == ""
    assert "Holding force, weaker rest: " in done.stdout
    missing = throwover("tune", file, "--springs", f"{name}={tmp_path / 'none.txt'}")
    assert missing.returncode == 2
    assert missing.stderr.count("\n") == 1


@pytest.mark.parametrize("command", ["spread", "sensitivity", "sweep", "tune"])
def test_help_tells_form_and_exit_codes(command: str) -> None:
    told = throwover(command, "--help").stdout
    assert told.startswith(f"usage: throwover {command}")
    assert "exit code: 0" in told
    assert "--variant" in told
    assert f"throwover {command}" in throwover("--help").stdout


def test_tune_finds_the_smallest_change_of_which_enough_copies_hold(
    file: Path, tmp_path: Path
) -> None:
    made = project("compression")
    now = analyse(made.design).readings["holding_force"].value
    saved(file, Limit("holding_force", at_least=now), WIDE)
    into = tmp_path / "tuned.throwover"
    name = made.design.springs[0].name
    wanted = ("--nearest", "--share", "97", "--into", into, "--json")
    done = throwover("tune", file, "--rate", f"{name}=2..5", *wanted)
    record = json.loads(done.stdout)
    assert (done.returncode, record["reached"], record["share_wanted"]) == (0, True, 0.97)
    assert record["copies_before"] < 0.7 < 0.97 <= record["copies_after"] < 0.985
    assert spread(files.load(into).design).all_limits.share == record["copies_after"]


def test_tune_exits_with_1_where_too_few_copies_can_hold(file: Path) -> None:
    made = project("compression")
    now = analyse(made.design).readings["holding_force"].value
    saved(file, Limit("holding_force", at_least=0.999 * now), WIDE)
    grip = made.design.grip
    done = throwover("tune", file, "--point", f"{grip}=0.01 mm", "--nearest", "--share", "99")
    assert done.returncode == 1
    assert "of copies only, not in 99.0 %" in done.stdout
    assert throwover("tune", file, "--point", f"{grip}=1", "--share", "100").returncode == 2
