import datetime
import math
from dataclasses import replace
from pathlib import Path

import pytest

from app.drawing.arranging import FIRST_ROW
from app.drawing.boxes import primitives
from app.drawing.chosen import Wanted
from app.drawing.dimension_parts import ARROW, line_ends, text_middle
from app.drawing.dimensioning import Distance
from app.drawing.ink import bounds
from app.drawing.metrics import text_width
from app.drawing.model import (
    Circle,
    Drawing,
    Layer,
    LinearDimension,
    Text,
)
from app.drawing.names import hole_numbers
from app.drawing.paper import SCALES, SIZES, sheet_size
from app.drawing.poses import posed
from app.drawing.sheet import compose, dimension_choices, same_view, viewed
from app.drawing.view_block import Detail, view_block
from solver.errors import DesignProblem
from solver.layouts import LAYOUTS, Layout
from solver.model import Stops
from solver.parts_list import parts_list
from solver.project import (
    AngleFrom,
    DimensionChoice,
    Display,
    OwnDimension,
    Project,
    Sheet,
    Variant,
)
from tests.app.drawing.faults import overlaps, texts
from tests.app.drawing.sheets import (
    DAY,
    rows_under,
    sheet_of,
    solved,
    unfixed_sheet_of,
)
from tests.example_files import EXAMPLES, named

FLAP = next(path for path in EXAMPLES if "sorting" in path.name)
TWIN = next(path for path in EXAMPLES if "twin" in path.name)
DIVERTER = next(path for path in EXAMPLES if "diverter" in path.name)
CLAMP = next(path for path in EXAMPLES if "clamp" in path.name)
LATCH = next(path for path in EXAMPLES if "latch" in path.name)


def said(pages: tuple[Drawing, ...]) -> str:
    return "\n".join(text.text for page in pages for text in texts(page))


def keys(pages: tuple[Drawing, ...]) -> set[str]:
    return {dimension.key for dimension in pages[0].dimensions()}


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", ["A4", "A3"])
def test_both_units_take_no_text_away(path: Path, size: str) -> None:
    pages = sheet_of(path, size=size, units="both", landscape=False)
    assert "…" not in said(pages)
    assert [fault for page in pages for fault in overlaps(page)] == []


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_everything_drawn_lies_on_the_sheet(path: Path) -> None:
    for page in sheet_of(path, size="A4", units="inch"):
        left, bottom, right, top = bounds(page.elements)
        assert left >= 0.0
        assert bottom >= 0.0
        assert right <= page.size[0]
        assert top <= page.size[1]


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_every_dimension_that_is_on_is_on_the_sheet(path: Path) -> None:
    project, analysis = solved(path)
    pages = sheet_of(path)
    wanted = {one.title: one.key for one in dimension_choices(project, analysis) if one.shown}
    told = {wanted[title] for title in left_to_tables(pages)}
    assert keys(pages) | told == set(wanted.values())
    # Only what the table of the spring tells too.
    assert all(key.startswith("spring:") for key in told)


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", SIZES)
def test_values_stand_on_their_lines_where_these_have_room(path: Path, size: str) -> None:
    """ISO 129-1: above the line; on what prolongs it only where there is no room."""
    units = "mm" if size in ("A4", "A3") else "inch"
    beyond = [
        one.key
        for one in sheet_of(path, size=size, units=units)[0].dimensions()
        if isinstance(one, LinearDimension) and roomy(one) and not on_its_line(one)
    ]
    assert [key for key in beyond if not key.startswith("link:")] == []
    assert len(beyond) <= 1  # the distance of two holes that no free line is left for


def test_a_long_text_stands_over_the_arrow_heads_of_its_line() -> None:
    (long,) = (one for one in sheet_of(DIVERTER)[0].dimensions() if one.key.endswith(":DC"))
    assert isinstance(long, LinearDimension)
    assert long.text == "dead centre 60.01"
    assert on_its_line(long)
    assert not roomy(long)


def roomy(one: LinearDimension) -> bool:
    return text_width(one.text, one.height) + 2.0 * ARROW <= math.dist(*line_ends(one))


def on_its_line(one: LinearDimension) -> bool:
    first, second = line_ends(one)
    x, y = text_middle(one)
    size, half = math.dist(first, second), text_width(one.text, one.height) / 2.0
    along = (
        (x - first[0]) * (second[0] - first[0]) + (y - first[1]) * (second[1] - first[1])
    ) / size
    return half - 0.1 <= along <= size - half + 0.1


def test_rows_of_dimensions_stand_close_to_what_they_measure() -> None:
    page = unfixed_sheet_of(TWIN, size="Letter", units="inch")[0]
    (low,) = (one for one in page.dimensions() if one.key == "up:left flap pivot")
    assert isinstance(low, LinearDimension)
    assert low.text == "0.984"
    edge = max(
        bounds([one])[2]
        for one in page.elements
        if getattr(one, "layer", 0) in PARTS or getattr(one, "key", "").startswith("link:")
    )
    assert low.through[0] - edge == pytest.approx(FIRST_ROW)


PARTS = {Layer.OUTLINE, Layer.PHANTOM}


def test_a_holes_name_gives_way_to_its_number_where_it_would_stand_far_off() -> None:
    names = {
        size: {text.text for text in texts(page) if text.text[:1].isdigit()}
        for size in ("A4", "A3")
        for page in unfixed_sheet_of(TWIN, size=size)[:1]
    }
    assert "11" in names["A4"]
    assert "11 link arm" in names["A3"]
    assert "1 lever pivot" in names["A4"] & names["A3"]


def left_to_tables(pages: tuple[Drawing, ...]) -> list[str]:
    told = [one for one in pages[0].notices if "see the tables: " in one]
    return [
        title
        for one in told
        for title in one.removesuffix(".").split("see the tables: ")[1].split("; ")
    ]


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_dimensions_measure_what_they_say(path: Path) -> None:
    page = sheet_of(path)[0]
    assert any(page.scale == pytest.approx(paper / real) for paper, real in SCALES)
    for dimension in page.dimensions():
        if isinstance(dimension, LinearDimension):
            tips = [
                part.points[0]
                for part in primitives(dimension)
                if getattr(part, "filled", False) and hasattr(part, "points")
            ]
            drawn = sum((a - b) ** 2 for a, b in zip(*tips, strict=True)) ** 0.5
            assert drawn / page.scale == pytest.approx(dimension.value)
            assert float(dimension.text.split()[-1]) == pytest.approx(dimension.value, abs=0.005)


def test_sheet_sizes_are_those_of_iso_216_and_the_inch_sheets() -> None:
    assert sheet_size("A4", landscape=False) == (210.0, 297.0)
    assert sheet_size("A3", landscape=True) == (420.0, 297.0)
    assert sheet_size("Letter", landscape=False) == pytest.approx((8.5 * 25.4, 11.0 * 25.4))
    assert sheet_size("Tabloid", landscape=True) == pytest.approx((17.0 * 25.4, 11.0 * 25.4))


def test_scales_are_those_of_iso_5455() -> None:
    steps = {real / paper for paper, real in SCALES if real > paper}
    assert {2.0, 5.0, 10.0, 20.0, 50.0, 100.0} <= steps
    assert {3.0, 4.0, 2.5} & steps == set()


def test_a_larger_sheet_has_no_smaller_scale() -> None:
    small, large = (sheet_of(TWIN, size=size)[0].scale for size in ("A4", "A3"))
    assert large >= small


def test_a_wished_scale_is_kept() -> None:
    pages = sheet_of(FLAP, scale="1:5")
    assert pages[0].scale == pytest.approx(0.2)
    assert "1:5" in said(pages)


def test_a_scale_that_does_not_fit_is_given_up_in_words() -> None:
    pages = sheet_of(TWIN, scale="2:1", size="A4")
    assert pages[0].scale == pytest.approx(0.2)
    assert pages[0].notices[0] == "2:1 does not fit on A4; drawn at 1:5."
    assert pages[0].notices[0] in said(pages)


def test_a_scale_that_fits_gives_no_notice() -> None:
    page = sheet_of(FLAP, scale="1:2")[0]
    assert (page.scale, page.notices) == (0.5, ())


def test_holes_lie_where_the_table_says() -> None:
    page = sheet_of(LATCH)[0]
    centres = [
        ((e.centre[0] - page.origin[0]) / page.scale, (e.centre[1] - page.origin[1]) / page.scale)
        for e in page.elements
        if isinstance(e, Circle)
    ]
    rows = [row for row in rows_under((page,), "Drill ⌀") if row["Pin ⌀"] != "–"]
    assert len(rows) > 5
    for row in rows:
        place = tuple(float(row[axis].replace("−", "-")) for axis in ("x", "y"))
        assert any(pytest.approx(place, abs=0.006) == centre for centre in centres), row


def test_another_datum_moves_the_origin() -> None:
    first, second = sheet_of(LATCH), sheet_of(LATCH, datum="latch pivot")
    row = rows_under(second, "Drill ⌀")[0]
    assert (row["Hole"], row["x"], row["y"]) == ("latch pivot", "0", "0")
    assert "across:lever pivot" not in keys(first)
    assert "up:lever pivot" in keys(second)


def test_a_datum_that_is_gone_falls_back_to_the_pivot() -> None:
    row = rows_under(sheet_of(LATCH, datum="no such point"), "Drill ⌀")[0]
    assert row["Hole"] == "lever pivot"


def test_a_dimension_can_be_hidden_and_another_shown() -> None:
    choices = (DimensionChoice("throw", shown=False), DimensionChoice("across:grip", shown=True))
    found = keys(sheet_of(FLAP, dimensions=choices))
    assert "throw" not in found
    assert "across:grip" in found
    assert "across:grip" not in keys(sheet_of(FLAP))


def places(page: Drawing, but: str) -> dict[str, tuple[float, float]]:
    """Where the text of each dimension and name is from the datum, but that of one dimension."""
    found: dict[str, tuple[float, float]] = {}
    for element in page.elements:
        key = getattr(element, "key", "")
        named = isinstance(element, Text) and element.across == element.upward == "middle"
        if (key and key != but) or named:
            for part in primitives(element):
                if isinstance(part, Text):
                    x, y = (a - b for a, b in zip(part.at, page.origin, strict=True))
                    found[f"{key} {part.text}"] = (round(x, 6), round(y, 6))
    return found


@pytest.mark.parametrize("path", [FLAP, TWIN, LATCH], ids=named)
def test_hiding_a_dimension_moves_no_other_text(path: Path) -> None:
    project, analysis = solved(path)
    whole, view = sheet_of(path)[0], viewed(project, analysis)
    for index, one in enumerate(whole.dimensions()):
        choices = (DimensionChoice(one.key, shown=False),)
        hidden = replace(project, sheet=replace(project.sheet, dimensions=choices))
        assert same_view(hidden, project)
        pages = compose(hidden, analysis, today=DAY, view=view)
        if index < 2:
            assert pages == sheet_of(path, dimensions=choices)
        assert one.key not in keys(pages[:1])
        assert places(pages[0], one.key) == places(whole, one.key)


def test_adding_dimensions_moves_no_other_text() -> None:
    own = OwnDimension("grip", "spring anchor")
    for key, changes in (
        ("own:grip:spring anchor:straight", {"own_dimensions": (own,)}),
        ("across:grip", {"dimensions": (DimensionChoice("across:grip"),)}),
    ):
        more = sheet_of(FLAP, **changes)[0]
        assert key in keys((more,))
        before, after = places(sheet_of(FLAP)[0], key), places(more, key)
        moved = {
            text for text in before if not text.startswith(" ") and after[text] != before[text]
        }
        assert moved == set()


def test_small_dimensions_go_to_the_tables_and_the_sheet_says_which() -> None:
    pages = sheet_of(TWIN, size="A4")
    project, analysis = solved(TWIN)
    every = {choice.title: choice.key for choice in dimension_choices(project, analysis)}
    left_out = left_to_tables(pages)
    assert not {every[title] for title in left_out} & keys(pages)
    assert "main spring at rest A, pin to pin" in left_out


def test_what_the_builder_ticked_is_not_left_to_the_tables() -> None:
    key = "spring:main spring:A"
    assert key not in keys(unfixed_sheet_of(TWIN, size="A4"))
    assert key in keys(unfixed_sheet_of(TWIN, size="A4", dimensions=(DimensionChoice(key),)))
    key = "spring:main spring:B"
    assert key not in keys(unfixed_sheet_of(TWIN))
    assert key in keys(unfixed_sheet_of(TWIN, dimensions=(DimensionChoice(key),)))


def test_directions_are_counted_as_in_the_window() -> None:
    project, analysis = solved(FLAP)
    for origin, rest, gravity in (
        ("upright", "24°", "180° from straight up"),
        ("x", "114°", "−90° from the right (+x)"),
    ):
        # Both words are those of the type; mypy cannot see it here.
        display = replace(project.display, angle_from=origin)  # type: ignore[arg-type]
        pages = compose(replace(project, display=display), analysis, today=DAY)
        first = rows_under(pages, "Pose")[0]
        assert (first["Pose"], first["Direction"]) == ("rest A", rest)
        assert gravity in said(pages).replace("\n", " ")
        loads = [row for row in rows_under(pages, "Direction") if "Load" in row]
        assert loads[0]["Direction"] == gravity.split()[0]


def _whole_name(row: dict[str, str]) -> str:
    """A part's name; a screw's has its head in the remark and its thread in the size."""
    if row["Name"] != "screw":
        return row["Name"]
    sunk = "countersunk " if row["Remark"].startswith("countersunk, ") else ""
    return f"{sunk}screw {row['Size']}"


def test_the_parts_list_is_on_the_sheet_unless_it_is_switched_off() -> None:
    project, _ = solved(TWIN)
    rows = [row for row in rows_under(sheet_of(TWIN), "Item") if row["Item"]]
    listed = parts_list(project.design, project.sheet)
    assert [(row["Item"], _whole_name(row), row["Count"]) for row in rows] == [
        (str(part.item), part.name, str(part.count)) for part in listed
    ]
    assert rows[0]["Size"] == "282 × 193.3 × 6"
    assert rows_under(sheet_of(TWIN, parts=False), "Item") == []


def test_a_moved_dimension_moves_by_as_much_from_the_datum() -> None:
    key = "up:spring anchor"

    def place(**changes: object) -> tuple[float, float]:
        page = sheet_of(FLAP, **changes)[0]
        found = next(one for one in page.dimensions() if one.key == key)
        assert found.text_at is not None
        return (found.text_at[0] - page.origin[0], found.text_at[1] - page.origin[1])

    before = place()
    after = place(dimensions=(DimensionChoice(key, shift_x=5.0, shift_y=-3.0),))
    assert after == pytest.approx((before[0] + 5.0, before[1] - 3.0))


def test_own_dimensions_are_drawn() -> None:
    own = (OwnDimension("grip", "spring anchor", "up"), OwnDimension("grip", "lever foot"))
    page = sheet_of(FLAP, own_dimensions=own)[0]
    found = {one.key: one for one in page.dimensions()}
    up = found["own:grip:spring anchor:up"]
    assert up.value == pytest.approx(137.03 + 96.0, abs=0.01)
    assert "own:grip:lever foot:straight" in found


def test_an_own_dimension_to_a_point_that_is_gone_is_left_out() -> None:
    own = (OwnDimension("grip", "gone"), OwnDimension("grip", "grip"))
    assert keys(sheet_of(FLAP, own_dimensions=own)) == keys(sheet_of(FLAP))


def test_the_same_project_gives_the_same_pages() -> None:
    project, analysis = solved(TWIN)
    assert compose(project, analysis, today=DAY) == compose(project, analysis, today=DAY)


def test_the_title_block_says_its_fields() -> None:
    fields = {"owner": "Quince Hill", "number": "QH-17", "revision": "C", "creator": "A. Miller"}
    text = said(sheet_of(FLAP, **fields, approver="B. Cooper", tolerance_class="coarse"))
    for value in (*fields.values(), "B. Cooper", "ISO 2768-1 coarse", "2026-05-01", "1 / 2"):
        assert value in text


def test_a_date_of_the_builder_is_kept() -> None:
    assert "3 March 2026" in said(sheet_of(FLAP, date="3 March 2026"))


def test_without_an_analysis_one_is_made() -> None:
    project, analysis = solved(FLAP)
    day = datetime.date(2026, 5, 1)
    assert compose(project, today=day) == compose(project, analysis, today=day)


def test_cautions_limits_and_readings_are_said() -> None:
    text = said(sheet_of(FLAP))
    for words in ("eye protection", "ISO 13854", "design aid", "Holding force at rest A", "ok"):
        assert words in text


def test_remarks_join_the_notes() -> None:
    project, analysis = solved(FLAP)
    pages = compose(project, analysis, remarks=("Between lever and stop a finger fits.",))
    assert "Between lever and stop a finger fits." in said(pages)


def test_inches_stand_in_brackets_where_both_are_wanted() -> None:
    text = said(sheet_of(FLAP, units="both"))
    assert "150 [5.906]" in text
    assert "mm [inches]" in text
    assert "5.906" in said(sheet_of(FLAP, units="inch"))


def test_a_design_that_cannot_be_solved_is_refused_by_name() -> None:
    project, _ = solved(FLAP)
    design = replace(project.design, stops=Stops(114.0, 114.0))
    with pytest.raises(DesignProblem):
        compose(project.with_design(design))


HOSTILE = [
    "\U0001f34e\U0001f468\u200d\U0001f33e orchard",
    "\u202eשלום עולם\u202c مرحبا",
    "long " * 60,
    "../../x",
    "a\nb\tc\x00d",
    "%%d {\\P} \\U+0041 <b>&amp;",
    "",
]


def hostile(project: Project, text: str) -> Project:
    """The project with hostile words in its title, its variant and its fields."""
    sheet = replace(project.sheet, owner=text, number=text, revision=text, creator=text, date=text)
    two = tuple(replace(project.variant, name=text or "bare") for _ in range(2))
    return replace(project, title=text, sheet=sheet, variants=two, current=1)


def test_a_long_name_of_a_point_is_cut() -> None:
    project, _ = solved(FLAP)
    design, name = project.design, "../../" + "wide " * 10 + "mwmw"
    longer = replace(
        design,
        points=tuple(replace(p, name=name) if p.name == "grip" else p for p in design.points),
        links=tuple(
            replace(one, points=tuple(name if n == "grip" else n for n in one.points))
            for one in design.links
        ),
        grip=name,
    )
    pages = compose(project.with_design(longer), today=DAY)
    assert [fault for page in pages for fault in overlaps(page)] == []
    assert "…" in said(pages)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_words_are_fitted(text: str) -> None:
    project, _ = solved(FLAP)
    pages = compose(hostile(project, text), today=DAY)
    assert [fault for page in pages for fault in overlaps(page)] == []


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.key)
@pytest.mark.parametrize("angle_from", ["upright", "x"])
def test_starting_layouts_have_sheets(layout: Layout, angle_from: AngleFrom) -> None:
    project = Project(
        "lever", (Variant("first", layout.build()),), display=Display("metric", angle_from)
    )
    pages = compose(replace(project, sheet=Sheet(size="A4", levers=4)), today=DAY)
    assert [fault for page in pages for fault in overlaps(page)] == []
    assert "A row of 4 such levers" in said(pages)


def test_where_names_do_not_fit_holes_keep_their_numbers() -> None:
    project, analysis = solved(TWIN)
    poses = posed(analysis)
    short, full = (
        view_block(poses, project.sheet, Wanted(), 0.2, detail=detail).elements
        for detail in (Detail.TERSE, Detail.FULL)
    )
    numbers = {str(number) for number in hole_numbers(poses, "lever pivot").values()}
    assert numbers <= {one.text for one in short if isinstance(one, Text)}
    assert "1 lever pivot" in {one.text for one in full if isinstance(one, Text)}


def test_distances_know_their_direction() -> None:
    one = Distance("k", "t", "own", (0.0, 0.0), (30.0, 40.0), 90.0, "")
    assert one.value == pytest.approx(40.0)
    assert replace(one, angle=None).value == pytest.approx(50.0)
