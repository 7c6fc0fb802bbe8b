import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from solver import files
from solver.checks import problems
from solver.codec import Json
from solver.errors import FileProblem
from solver.model import Point
from solver.project import Display, Project, Variant
from tests.solver.strategies import projects, sketches, sound_projects
from tests.solver.test_edit import gate

posix = pytest.mark.skipif(os.name != "posix", reason="modes and links of a POSIX file system")

GATE = Project("Gate", (Variant("first", gate(), "as drawn"), Variant("second", gate())), 1)

json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=8,
)


def at(*steps: str | int, to: object) -> str:
    """The gate's file with one value changed."""
    value = files.encode(GATE)
    inner: Any = value
    for step in steps[:-1]:
        inner = inner[step]
    inner[steps[-1]] = to
    return json.dumps(value)


def without(*steps: str | int) -> str:
    value = files.encode(GATE)
    inner: Any = value
    for step in steps[:-1]:
        inner = inner[step]
    del inner[steps[-1]]
    return json.dumps(value)


def listing(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def places(value: object) -> Iterator[tuple[str | int, ...]]:
    """The path to every value inside a JSON value."""
    items = (
        value.items()
        if isinstance(value, dict)
        else enumerate(value)
        if isinstance(value, list)
        else ()
    )
    for step, inner in items:
        yield (step,)
        for rest in places(inner):
            yield (step, *rest)


# ---- there and back ----------------------------------------------------------------------


@given(projects())
def test_what_is_saved_is_what_is_loaded(project: Project) -> None:
    text = files.dumps(project)
    assert files.loads(text) == project
    assert files.dumps(files.loads(text)) == text


@settings(max_examples=20)
@given(sound_projects())
def test_saving_and_loading_a_file(project: Project) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "lever.throwover"
        files.save(project, path)
        assert files.load(path) == project
        assert listing(Path(folder)) == ["lever.throwover"]


@given(sketches())
def test_half_done_sketches_are_kept(design: object) -> None:
    project = Project("t", (Variant("v", design),))  # type: ignore[arg-type]  # it is a Design
    opened = files.loads(files.dumps(project)).design
    assert opened == design
    assert list(map(str, problems(opened))) == list(map(str, problems(project.design)))


def test_the_text_is_readable_and_ends_with_a_newline() -> None:
    text = files.dumps(replace(GATE, title="Größe 3 µm"))
    assert text.startswith(
        '{\n  "format": "throwover-project",\n  "version": 1,\n  "title": "Größe'
    )
    assert text.endswith("}\n")
    spring = json.loads(text)["variants"][0]["design"]["springs"][0]
    assert list(spring)[:3] == ["kind", "name", "a"]
    assert spring["rod"] is None


def test_whole_numbers_in_the_model_make_the_same_file() -> None:
    text = files.dumps(GATE)
    whole = gate().points[3]
    design = replace(
        gate(),
        points=tuple(Point(p.name, int(p.x), int(p.y)) if p == whole else p for p in gate().points),
    )
    assert files.dumps(GATE.with_design(design)) == text


def test_keys_with_a_default_may_be_left_out() -> None:
    text = without("variants", 0, "design", "springs", 0, "end_friction")
    assert files.loads(text) == GATE
    assert files.loads(without("display")).display == Display()


def test_a_byte_order_mark_is_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "mark.throwover"
    path.write_bytes(b"\xef\xbb\xbf" + files.dumps(GATE).encode())
    assert files.load(path) == GATE


@pytest.mark.parametrize("number", [float("nan"), float("inf"), 10**400])
def test_numbers_that_are_not_finite_are_not_saved(number: float, tmp_path: Path) -> None:
    path = tmp_path / "gate.throwover"
    files.save(GATE, path)
    design = replace(gate(), points=(Point("pivot", number, 0.0), *gate().points[1:]))
    with pytest.raises(FileProblem, match=r"variants\[1\].design.points\[0\].x: expected a finite"):
        files.save(GATE.with_design(design), path)
    assert files.load(path) == GATE


# ---- what does not fit -------------------------------------------------------------------

SLIDER = ("variants", 0, "design", "sliders", 0)
SPRING = ("variants", 1, "design", "springs", 0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            at(*SPRING, "rate", to="2"),
            "variants[1].design.springs[0].rate: expected a number, found text",
        ),
        (
            at(*SPRING, "wire", to="1.2 mm"),
            "variants[1].design.springs[0].wire: expected a number, found text",
        ),
        (at(*SPRING, "coils", to=False), "coils: expected a number, found true or false"),
        (at(*SPRING, "order_note", to=4711), "order_note: expected text, found a number"),
        (at(*SPRING, "rate", to=True), "rate: expected a number, found true or false"),
        (at(*SPRING, "rate", to=None), "rate: expected a number, found null"),
        (at(*SPRING, "rate", to=10**400), "rate: expected a finite number"),
        (at(*SPRING, "rate", to=1.5).replace("1.5", "1e999"), "rate: expected a finite number"),
        (at(*SPRING, "captive", to=1), "captive: expected true or false, found a number"),
        (at(*SPRING, "name", to=["coil"]), "name: expected text, found a list"),
        (at(*SPRING, "kind", to="gas"), 'kind: expected "compression" or "extension" or "torsion"'),
        (at(*SPRING, "colour", to="red"), 'springs[0]: there is no key "colour" here'),
        (at(*SPRING, to=[]), "springs[0]: expected an object, found a list"),
        (at(*SPRING, to={}), 'springs[0]: the key "kind" is missing'),
        (without(*SPRING, "free_length"), 'springs[0]: the key "free_length" is missing'),
        (at(*SPRING, "rod", to={"closed": 3}), 'rod: the key "reach" is missing'),
        (
            at("variants", 0, "design", "sliders", 0, "along", to=["a"]),
            "along: expected a list of 2",
        ),
        (at("variants", 0, "design", "points", to={}), "design.points: expected a list, found an"),
        (at("variants", 0, "name", to="\ud800"), "variants[0].name: holds half a character"),
        (at("variants", to=[]), "a project needs a variant"),
        (at("current", to=2), "“current” must point at one"),
        (at("current", to=0.5), "current: expected a whole number"),
        (at("display", to={"units": "feet"}), 'display.units: expected "metric" or "inch"'),
        (at("title", to=1).replace('"title": 1', '"title": NaN'), "NaN is not a number"),
        (at("title", to=1).replace('"title": 1', '"title": -Infinity'), "-Infinity is not"),
        (at("extra", to=1), 'there is no key "extra" here'),
        (at("format", to="drawing"), 'it has no "format": "throwover-project"'),
        (
            at("version", to=7),
            "was written by a newer Throwover (format version 7); this one reads up to 1.",
        ),
        (at("version", to=10**300), "newer Throwover (format version over a thousand million)"),
        (at("version", to=0), "version: expected a whole number above 0"),
        (at("version", to=True), "version: expected a whole number above 0"),
        (at("version", to="1"), "version: expected a whole number above 0"),
        (without("version"), "version: expected a whole number above 0"),
        ('{"format": "a", "format": "b"}', 'the key "format" stands twice in one object'),
        ("[1, 2]", "is not a Throwover project"),
        ('{\n"format": x}', "cannot be read from line 2, column 11 on"),
        ("", "is empty"),
        (" \n", "is empty"),
        ("[" * 200_000, "nested too deeply"),
        ('{"a":' * 200_000, "nested too deeply"),
        ("1" * 5000, "a number in it is too long"),
    ],
)
def test_says_what_is_wrong_and_where(text: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(FileProblem) as refused:
        files.loads(text)
    assert words in str(refused.value)
    assert str(refused.value).endswith(".")
    path = tmp_path / "gate.throwover"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FileProblem, match=r"^“gate\.throwover” ") as from_file:
        files.load(path)
    assert words in str(from_file.value)


@given(st.binary(max_size=200))
@example(b"\xff\xfe{}")
@example(b'{"format": "throwover-project"\x00')
def test_any_bytes_are_refused_with_a_file_problem(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bytes.throwover"
        path.write_bytes(data)
        with pytest.raises(FileProblem):
            files.load(path)


@given(json_values)
def test_any_json_is_refused_with_a_file_problem(value: object) -> None:
    with pytest.raises(FileProblem):
        files.decode(value)
    with pytest.raises(FileProblem):
        files.loads(json.dumps(value))


@settings(max_examples=300)
@given(st.data(), json_values)
def test_a_file_with_one_value_changed_is_read_or_refused(
    data: st.DataObject, other: object
) -> None:
    changed = files.encode(GATE)
    *steps, last = data.draw(st.sampled_from(list(places(changed))))
    inner: Any = changed
    for step in steps:
        inner = inner[step]
    inner[last] = other
    with suppress(FileProblem):
        assert isinstance(files.loads(json.dumps(changed)), Project)


@given(st.data())
def test_a_file_cut_short_is_refused(data: st.DataObject) -> None:
    text = files.dumps(GATE)
    end = data.draw(st.integers(0, len(text) - 2))
    with pytest.raises(FileProblem):
        files.loads(text[:end])


def test_older_versions_are_brought_up_one_step_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    def named(content: Json) -> Json:
        return {**content, "title": content["title"] + " (named)"}

    def noted(content: Json) -> Json:
        return {**content, "title": content["title"] + " (noted)"}

    old = files.dumps(GATE)
    monkeypatch.setattr(files, "VERSION", 3)
    monkeypatch.setattr(files, "MIGRATIONS", {1: named, 2: noted})
    assert files.loads(old).title == "Gate (named) (noted)"
    assert files.loads(old.replace('"version": 1', '"version": 2')).title == "Gate (noted)"
    assert files.loads(files.dumps(GATE)) == GATE


def test_every_older_version_has_its_step() -> None:
    assert sorted(files.MIGRATIONS) == list(range(1, files.VERSION))


# ---- files that are not there, not files, not ours ---------------------------------------


@posix
def test_opening_what_is_no_project_file(tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    big = tmp_path / "big.throwover"
    with big.open("wb") as file:
        file.truncate(files.LARGEST + 1)
    os.mkfifo(tmp_path / "pipe")
    for path, words in (
        (tmp_path, "is not a file that holds a project"),
        (tmp_path / "pipe", "is not a file that holds a project"),
        (tmp_path / "none.throwover", "“none.throwover” cannot be opened: there is no such file"),
        (tmp_path / "none" / "x.throwover", "no such file or folder"),
        (big / "x.throwover", "no such folder"),
        (tmp_path / "loop", "links lead in a circle"),
        (tmp_path / ("x" * 300), "name is too long"),
        (tmp_path / "a\0b", "character that file names cannot have"),
        (big, "too large for a project (over 32 MB)"),
        (Path("/dev/zero"), "is not a file that holds a project"),
    ):
        with pytest.raises(FileProblem) as refused:
            files.load(path)
        assert words in str(refused.value)


@posix
def test_saving_where_no_file_can_be(tmp_path: Path) -> None:
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    os.mkfifo(tmp_path / "pipe")
    before = listing(tmp_path)
    for path, words in (
        (tmp_path, "something else of that name"),
        (tmp_path / "pipe", "something else of that name"),
        (tmp_path / "none" / "x.throwover", "was not saved: there is no such file or folder"),
        (tmp_path / "loop", "links lead in a circle"),
        (tmp_path / ("x" * 300), "name is too long"),
        (tmp_path / "a\0b", "character that file names cannot have"),
    ):
        with pytest.raises(FileProblem) as refused:
            files.save(GATE, path)
        assert words in str(refused.value)
    assert listing(tmp_path) == before


@contextmanager
def nobody() -> Iterator[Path]:
    """A folder that may be read but not written, and no rights of the super-user meanwhile."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "ours.throwover").write_text("before", encoding="utf-8")
        (folder / "ours.throwover").chmod(0o600)
        (folder / "mine.throwover").write_text("before", encoding="utf-8")
        (folder / "mine.throwover").chmod(0o444)
        folder.chmod(0o555)
        super_user = os.geteuid() == 0
        if super_user:
            os.seteuid(65534)
        try:
            yield folder
        finally:
            if super_user:
                os.seteuid(0)
            folder.chmod(0o755)


@posix
def test_without_permission_nothing_changes() -> None:
    with nobody() as folder:
        for name, words in (("new", "no permission"), ("mine", "write-protected")):
            with pytest.raises(FileProblem, match=words):
                files.save(GATE, folder / f"{name}.throwover")
        if not os.access(folder / "ours.throwover", os.R_OK, effective_ids=True):
            with pytest.raises(FileProblem, match="cannot be opened: you have no permission"):
                files.load(folder / "ours.throwover")
        assert listing(folder) == ["mine.throwover", "ours.throwover"]
        assert (folder / "mine.throwover").read_text(encoding="utf-8") == "before"


@posix
def test_a_full_disk_leaves_the_old_file_whole(tmp_path: Path) -> None:
    """A limit on the size of files stands for the disk: writing fails half-way."""
    path = tmp_path / "gate.throwover"
    files.save(GATE, path)
    code = (
        "import resource, signal, sys; from solver import files; from solver.errors import *\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "project = files.load(sys.argv[1])\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))\n"
        "try: files.save(project, sys.argv[1])\n"
        "except FileProblem as problem: print(problem)\n"
    )
    run = subprocess.run(
        [sys.executable, "-B", "-c", code, str(path)], capture_output=True, text=True, check=True
    )
    assert (
        run.stdout == "“gate.throwover” was not saved: there is no room for a file of that size.\n"
    )
    assert files.load(path) == GATE
    assert listing(tmp_path) == ["gate.throwover"]


@posix
def test_the_mode_of_a_file_is_kept_and_new_ones_follow_the_umask(tmp_path: Path) -> None:
    path = tmp_path / "gate.throwover"
    before = os.umask(0o027)
    try:
        files.save(GATE, path)
    finally:
        os.umask(before)
    assert path.stat().st_mode & 0o777 == 0o640
    path.chmod(0o664)
    files.save(GATE, path)
    assert path.stat().st_mode & 0o777 == 0o664


@posix
def test_a_link_goes_on_pointing_at_its_file(tmp_path: Path) -> None:
    (tmp_path / "store").mkdir()
    target = tmp_path / "store" / "gate.throwover"
    link = tmp_path / "latest.throwover"
    link.symlink_to(target)
    files.save(GATE, link)
    assert link.is_symlink()
    assert files.load(target) == GATE
    assert listing(tmp_path / "store") == ["gate.throwover"]
