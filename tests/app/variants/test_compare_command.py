"""`throwover compare` as a user runs it."""

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from solver import files
from solver.model import Limit
from tests.app.projects_for_tests import project
from tests.app.test_cli import ROOT, throwover
from tests.app.variants.showing import EXAMPLE, four


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "lever.throwover"
    made = four()
    files.save(replace(made, variants=made.variants[:3]), path)
    return path


def test_it_prints_verdicts_table_and_changes() -> None:
    done = throwover("compare", EXAMPLE)
    assert done.returncode == 0
    assert done.stderr == ""
    assert "Holding force, weaker rest" in done.stdout
    assert "No link “rod” any more." in done.stdout


def test_every_number_is_that_of_check() -> None:
    compared = json.loads(throwover("compare", EXAMPLE, "--json").stdout)
    for variant in compared["variants"]:
        done = throwover("check", EXAMPLE, "--json", "--variant", variant["variant"])
        checked = json.loads(done.stdout)
        assert {key: variant[key] for key in checked} == checked


def test_the_share_of_copies_is_that_of_spread() -> None:
    compared = json.loads(throwover("compare", EXAMPLE, "--json").stdout)
    shares = []
    for variant in compared["variants"]:
        done = throwover("spread", EXAMPLE, "--json", "--variant", variant["variant"])
        found = json.loads(done.stdout)
        assert variant["copies"]["of"] == found["copies"]
        assert variant["copies"]["all_limits"] == found["all_limits"]["share"]
        limits = {each["reading"]: each for each in found["limits"]}
        for key, own in variant["copies"]["readings"].items():
            assert own["percentile_5"] == found["readings"][key]["percentile_5"]
            assert own["percentile_95"] == found["readings"][key]["percentile_95"]
            assert own["all_at_worst"] == limits[key]["worst"]
        shares.append(variant["copies"]["all_limits"])
    # What the example is for: fewer parts, but too few copies that hold.
    assert shares[0] >= 0.99 > shares[1]


def test_the_variants_named_are_compared_in_that_order(file: Path) -> None:
    done = throwover("compare", file, "--variants", "pulls", "with rod", "--json")
    assert done.returncode == 0
    names = [variant["variant"] for variant in json.loads(done.stdout)["variants"]]
    assert names == ["pulls", "with rod"]


def test_a_limit_that_fails_in_one_variant_gives_exit_code_1(file: Path) -> None:
    made = files.load(file)
    strict = replace(made.variants[1].design, limits=(Limit("throw", at_most=1.0),))
    variants = (made.variants[0], replace(made.variants[1], design=strict))
    files.save(replace(made, variants=variants), file)
    done = throwover("compare", file)
    assert done.returncode == 1
    assert "✕" in done.stdout
    assert done.stderr == ""


def test_a_variant_that_cannot_be_solved_is_told_and_the_rest_compared(tmp_path: Path) -> None:
    path = tmp_path / "lever.throwover"
    files.save(four(), path)
    done = throwover("compare", path)
    assert done.returncode == 2
    assert done.stderr.startswith("Variant “stuck” cannot be solved: ")
    assert done.stderr.count("\n") == 1
    assert "Holding force" in done.stdout


def test_it_writes_table_and_page(file: Path, tmp_path: Path) -> None:
    page, table = tmp_path / "compared.pdf", tmp_path / "compared.csv"
    done = throwover("compare", file, "--pdf", page, "--csv", table, DISPLAY="")
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    assert f"Written: {table}, {page}" in done.stdout
    assert page.read_bytes().startswith(b"%PDF")
    assert table.read_text(encoding="utf-8").startswith("group,what,unit,1 with rod,2 direct")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--variants", "direct"), "2 to 4"),
        (("--variants", "direct", "none"), "There is no variant “none”"),
        (("--pdf", "no/such/folder/page.pdf"), "was not saved"),
    ],
)
def test_what_cannot_be_done_gets_one_sentence(
    file: Path, arguments: tuple[str, ...], words: str
) -> None:
    done = throwover("compare", file, *arguments)
    assert done.returncode == 2
    assert words in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_project_with_one_variant_says_how_to_get_a_second(tmp_path: Path) -> None:
    path = tmp_path / "lever.throwover"
    files.save(project(), path)
    done = throwover("compare", path)
    assert done.returncode == 2
    assert "Keep as a variant" in done.stderr


def test_help_for_a_stranger() -> None:
    assert "throwover compare FILE" in throwover("--help").stdout
    more = throwover("compare", "--help").stdout
    assert more.startswith("usage: throwover compare FILE")
    assert "exit code: 0" in more


def test_without_a_page_it_needs_no_qt(file: Path) -> None:
    code = (
        "import sys; from app.cli import main; main(['compare', sys.argv[1]]);"
        "sys.exit(any(name.startswith('PySide6') for name in sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(file)], cwd=ROOT, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr


def test_the_differences_are_to_the_variant_named(file: Path) -> None:
    done = throwover("compare", file, "--against", "pulls")
    assert (
        "In brackets: difference to 3, of the numbers as shown (exact in the CSV)." in done.stdout
    )
    record = json.loads(throwover("compare", file, "--against", "pulls", "--json").stdout)
    assert record["against"] == "pulls"
    unlike = {each["variant"]: bool(each["different"]) for each in record["variants"]}
    assert not unlike.pop("pulls")
    assert all(unlike.values())


def test_a_variant_to_compare_against_must_be_compared(file: Path) -> None:
    named = ("--variants", "with rod", "direct")
    done = throwover("compare", file, *named, "--against", "pulls")
    assert done.returncode == 2
    assert "“pulls” is not among those compared" in done.stderr
    assert throwover("compare", file, "--against", "nobody").returncode == 2
