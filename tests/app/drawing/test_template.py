"""The drilling template: everything on some page, nothing twice out of place, seams that meet."""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from app.drawing.boxes import text_box
from app.drawing.ink import segments
from app.drawing.model import Circle, Drawing, Layer, Line, Polyline, Text
from app.drawing.paper import SIZES, Area
from app.drawing.template import template
from app.drawing.template_head import CHECK
from app.drawing.template_parts import Mark, content
from app.drawing.tiles import HEAD, MARGIN, OVERLAP, STRIP, tiling
from solver import edit, files
from solver.errors import DesignProblem
from solver.holes import holes
from solver.model import FRAME
from solver.project import Project
from solver.screws import fixing_holes
from tests.app.drawing.faults import ink_in, overlaps, texts
from tests.example_files import EXAMPLES, named

FLAP = next(path for path in EXAMPLES if "diverter" in path.name)
ODD = "🙂../../x 🍎🍐 WWWWWWWWWWWWWWWWWWWWW עברית"
HOSTILE = "🙂‮" + "../../x " * 40 + "עברית"


def project_of(path: Path = FLAP, **sheet: object) -> Project:
    project = files.load(path)
    return replace(project, sheet=replace(project.sheet, **sheet))  # type: ignore[arg-type]


def unscrewed(project: Project) -> Project:
    """The project without screws, and the frame without its fixing holes."""
    design = project.design
    for point in fixing_holes(design):
        design = edit.remove(design, "point", point)
    return project.with_design(replace(design, screws=()))


def every_link(project: Project) -> list[str]:
    return [link.name for link in project.design.links]


def circles(page: Drawing) -> dict[tuple[float, float], float]:
    """Centre in the model and diameter of every hole on a page."""
    x, y = page.origin
    return {
        (round(part.centre[0] - x, 6), round(part.centre[1] - y, 6)): 2.0 * part.radius
        for part in page.elements
        if isinstance(part, Circle) and part.layer is Layer.HOLES
    }


def window_of(page: Drawing) -> Area:
    start = MARGIN + STRIP
    return Area(start, start, page.size[0] - MARGIN, page.size[1] - MARGIN - HEAD)


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("units", ["mm", "inch", "both"])
def test_texts_keep_clear_of_each_other(path: Path, size: str, units: str) -> None:
    project = project_of(path, size=size, units=units)
    pages = template(project, every_link(project))
    assert [fault for page in pages for fault in overlaps(page)] == []


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_frames_holes_are_on_the_pages_at_true_size_and_named(path: Path) -> None:
    project = project_of(path, size="A4")
    pages = template(project)
    found: dict[tuple[float, float], float] = {}
    for page in pages:
        assert page.scale == 1.0
        found |= circles(page)
    wanted = {
        (round(hole.x, 6), round(hole.y, 6)): hole.diameter
        for hole in holes(project.design, FRAME, project.sheet.holes)
    }
    assert found == pytest.approx(wanted)
    said = "\n".join(text.text for page in pages for text in texts(page))
    for hole in holes(project.design, FRAME, project.sheet.holes):
        assert hole.point in said


def test_a_link_keeps_its_distances_when_it_is_laid_along_the_page() -> None:
    project = project_of()
    (page,) = template(project, ["rod"])
    (a, _), (b, _) = circles(page).items()
    ends = [project.design.point(name) for name in ("lever foot", "flap arm")]
    apart = ((ends[0].x - ends[1].x) ** 2 + (ends[0].y - ends[1].y) ** 2) ** 0.5
    assert abs(a[0] - b[0]) == pytest.approx(apart, abs=1e-5)
    assert a[1] == pytest.approx(b[1], abs=1e-5)


def test_every_page_says_which_it_is_and_has_both_rulers_and_the_line_to_measure_them() -> None:
    pages = template(project_of(size="A4", landscape=False), ["rod", "frame", "lever"])
    assert [page.name for page in pages] == ["rod", "frame, 1 of 2", "frame, 2 of 2", "lever"]
    for number, page in enumerate(pages, start=1):
        said = [text.text for text in texts(page)]
        assert "Print at 100 %, then measure the ruler." in CHECK
        assert said.count(CHECK) == 1
        assert said.count("100 mm") == said.count("4 in") == 2
        assert sum(f"page {number} of 4 altogether" in text for text in said) == 1
    assert any("page 2 of 2 of this plate" in text.text for text in texts(pages[2]))


def test_every_page_names_the_plate_first_then_what_it_is_made_of_and_how_many() -> None:
    project = project_of(size="A4", levers=4)
    for page in template(project, every_link(project)):
        top = sorted(texts(page), key=lambda text: -text.at[1])
        named = next(text for text in top if text.at[0] == MARGIN)
        assert named.text == page.name.split(",")[0]
        assert named.height > max(text.height for text in texts(page) if text is not named)
        plate = project.design.plate_of(named.text)
        assert plate is not None
        (facts,) = [text.text for text in top if "make" in text.text]
        assert f"{plate.thickness:g} mm thick, make 4" in facts
    bare = project.with_design(replace(project.design, plates=()))
    said = [text.text for text in texts(template(bare, ["rod"])[0])]
    assert "material and thickness are not settled, make 4" in said


def test_a_long_title_is_cut_in_its_middle_and_takes_nothing_from_the_plates_name() -> None:
    project = replace(project_of(size="A4", landscape=False), title="First " + "long " * 60 + "end")
    for page in template(project, ["rod", "frame"]):
        said = [text.text for text in texts(page)]
        assert page.name.split(",")[0] in said
        (title,) = [text for text in said if text.startswith("First")]
        assert title.endswith("end")
        assert "…" in title


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
@pytest.mark.parametrize("size", ["A4", "Tabloid"])
def test_no_line_runs_through_a_text_and_each_hole_is_named_once(path: Path, size: str) -> None:
    project = project_of(path, size=size)
    pages = template(project, every_link(project))
    for page in pages:
        ink = segments(part for part in page.elements if not isinstance(part, Text))  # type: ignore[misc]
        for text in texts(page):
            assert ink_in(text_box(text), ink) == 0.0, f"{page.name}: {text.text}"
    said = [text.text for page in pages for text in texts(page)]
    for link in every_link(project):
        for hole in holes(project.design, link, project.sheet.holes):
            assert any(text.startswith("⌀") and text.endswith(hole.point) for text in said)
    drilled = sum(len(holes(project.design, link)) for link in every_link(project))
    assert sum(text.startswith("⌀") for text in said) == drilled


def test_a_label_that_lies_apart_has_a_leader_from_its_hole() -> None:
    led = 0
    for path in EXAMPLES:
        for page in template(project_of(path, size="A4"), every_link(project_of(path))):
            leaders = [
                (part.start, part.end)
                for part in page.elements
                if isinstance(part, Line) and part.layer is Layer.THIN
            ]
            for centre, hole in page_holes(page):
                named = min(
                    (text for text in texts(page) if text.text.startswith("⌀")),
                    key=lambda text: text_distance(text, centre),
                    default=None,
                )
                if named is None or text_distance(named, centre) < hole / 2.0 + 6.0:
                    continue
                led += 1
                assert any(math.dist(start, centre) < hole / 2.0 + 0.01 for start, _ in leaders)
    assert led


def page_holes(page: Drawing) -> list[tuple[tuple[float, float], float]]:
    return [
        (part.centre, 2.0 * part.radius)
        for part in page.elements
        if isinstance(part, Circle) and part.layer is Layer.HOLES
    ]


def text_distance(text: Text, place: tuple[float, float]) -> float:
    return float(shapely.Polygon(text_box(text).corners()).distance(shapely.Point(place)))


def test_a_point_without_a_hole_has_a_cross_and_the_legend_says_so() -> None:
    project = unscrewed(project_of())
    (page,) = template(project, ["flap"])
    said = {text.text for text in texts(page)}
    assert {"flap edge", "point, nothing to drill"} <= said
    (rod,) = template(project_of(), ["rod"])
    assert "point, nothing to drill" not in {text.text for text in texts(rod)}

    def crosses(shown: Drawing) -> int:
        window = window_of(shown)
        return sum(
            part.layer is Layer.SYMBOLS and part.start[1] > window.bottom
            for part in shown.elements
            if isinstance(part, Line) and part.start[0] > window.left
        )

    assert crosses(page) == 2
    assert crosses(rod) == 0


def test_both_rulers_are_as_long_as_they_say() -> None:
    (page, *_) = template(project_of())
    long = [
        line for line in page.elements if isinstance(line, Line) and line.layer is Layer.SYMBOLS
    ]
    spans = [(abs(line.end[0] - line.start[0]), abs(line.end[1] - line.start[1])) for line in long]
    assert np.array(sorted(spans)) == pytest.approx(np.array([(0.0, 101.6), (101.6, 0.0)]))
    left, low = min(line.start[0] for line in long), min(line.start[1] for line in long)
    ticks = [line for line in page.elements if isinstance(line, Line) and line.layer is Layer.THIN]
    assert any(
        line.start[0] == line.end[0] == pytest.approx(window_of(page).left + 100.0)
        and line.start[1] == pytest.approx(low)
        for line in ticks
    )
    assert any(
        line.start[1] == line.end[1] == pytest.approx(window_of(page).bottom + 100.0)
        and line.start[0] == pytest.approx(left)
        for line in ticks
    )


def test_seams_and_marks_cover_each_other() -> None:
    one, other = template(project_of(size="A4", landscape=False))

    def marks(page: Drawing) -> set[tuple[float, float]]:
        x, y = page.origin
        return {
            (round(part.centre[0] - x, 6), round(part.centre[1] - y, 6))
            for part in page.elements
            if isinstance(part, Circle) and part.layer is Layer.THIN
        }

    def seam(page: Drawing) -> list[float]:
        return [
            round(part.start[0] - page.origin[0], 6)
            for part in page.elements
            if isinstance(part, Line)
            and part.layer is Layer.HIDDEN
            and math.dist(part.start, part.end) > 100.0
        ]

    assert len(marks(one)) == 2
    assert marks(one) == marks(other)
    assert seam(one) == seam(other)
    apart = other.origin[0] - one.origin[0]
    assert -apart == pytest.approx(window_of(one).width - OVERLAP)


def test_nothing_of_the_model_leaves_the_window() -> None:
    for page in template(project_of(size="A4"), every_link(project_of())):
        window = window_of(page)
        for part in page.elements:
            if isinstance(part, Polyline):
                for x, y in part.points:
                    assert window.left - 1e-6 <= x <= window.right + 1e-6
                    assert window.bottom - 1e-6 <= y <= window.top + 1e-6


def test_as_few_pages_as_it_takes_whichever_way_they_lie() -> None:
    lying = template(project_of(size="A3", landscape=True))
    upright = template(project_of(size="A3", landscape=False))
    assert len(lying) == len(upright) == 1
    assert lying[0].size == (420.0, 297.0)
    assert upright[0].size == (297.0, 420.0)
    wide = project_of(next(path for path in EXAMPLES if "twin" in path.name), size="A4")
    assert len(template(wide)) == 2


def test_pages_are_counted_along_the_rows_and_name_their_neighbours() -> None:
    tiles = tiling(Area(0.0, 0.0, 3000.0, 7000.0), [(210.0, 297.0)])
    numbers = [tiles.number(r, c) for r in range(tiles.rows) for c in range(tiles.columns)]
    assert numbers == list(range(1, tiles.rows * tiles.columns + 1))
    joined = [seam.page for seam in tiles.seams(1, 1)]
    assert joined == [
        tiles.number(1, 0),
        tiles.number(1, 2),
        tiles.number(0, 1),
        tiles.number(2, 1),
    ]
    x, y = tiles.origin(0, 0)
    assert x <= 0.0
    assert y + tiles.window.height >= 7000.0


def larger(path: Path, times: float) -> Project:
    made = project_of(path, size="A4", levers=4)
    points = tuple(
        replace(point, x=point.x * times, y=point.y * times) for point in made.design.points
    )
    return made.with_design(replace(made.design, points=points))


def test_no_page_is_printed_for_nothing_and_seams_name_only_pages_that_are() -> None:
    project = larger(next(path for path in EXAMPLES if "clamp" in path.name), 3.0)
    pages = template(project, ["frame", "lever"])
    counts = {
        name: sum(page.name.startswith(name) for page in pages) for name in ("frame", "lever")
    }
    assert counts == {"frame": 6, "lever": 3}, "the lever's fourth page would be blank"
    for page in pages:
        assert overlaps(page) == []
        drawn = [p for p in page.elements if getattr(p, "layer", None) is Layer.OUTLINE]
        assert len(drawn) > 1, "beside the stroke in the legend"
    said = [" ".join(text.text for text in texts(page)) for page in pages[6:]]
    assert ["page 2 joins here" in words for words in said] == [True, False, False]
    assert ["page 1 joins here" in words for words in said] == [False, True, True]
    assert ["page 3 joins here" in words for words in said] == [True, False, False]
    assert not any("page 4 joins" in words for words in said)


def test_a_page_within_a_plate_is_printed_though_no_line_is_on_it() -> None:
    tiles = tiling(Area(0.0, 0.0, 700.0, 900.0), [(210.0, 297.0)])
    plate = shapely.box(0.0, 0.0, 700.0, 900.0)
    assert len(tiles.without_empty(plate).pages) == tiles.rows * tiles.columns
    assert tiles.without_empty(plate.boundary).empty != frozenset()


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_names_stand_clear_of_holes_and_centre_marks(path: Path) -> None:
    project = project_of(path, size="A4")
    for page in template(project, every_link(project)):
        lines = [
            shapely.LineString([part.start, part.end])
            for part in page.elements
            if isinstance(part, Line) and part.layer is Layer.CENTRES
        ]
        rings = [shapely.Point(centre).buffer(wide / 2.0) for centre, wide in page_holes(page)]
        for text in texts(page):
            if text.text.startswith("⌀"):
                box = shapely.Polygon(text_box(text).corners())
                assert min(box.distance(part) for part in (*lines, *rings)) > 0.9, text.text


def test_names_stand_on_the_centre_line_or_just_above_the_hole() -> None:
    (page,) = template(unscrewed(project_of(EXAMPLES[4], size="A3")), ["frame"])
    placed = {text.text: text for text in texts(page) if text.text.startswith("⌀")}
    centres = dict(page_holes(page))
    beside = [
        text
        for text in placed.values()
        if any(
            text.at[1] == y and abs(abs(text.at[0] - x) - wide / 2.0 - 5.2) < 1e-6
            for (x, y), wide in centres.items()
        )
    ]
    assert len(beside) == 5
    (above,) = [text for text in placed.values() if text not in beside]
    assert any(
        abs(above.at[0] - x) < 1.3 and wide / 2.0 + 1.0 < above.at[1] - y < wide / 2.0 + 3.0
        for (x, y), wide in centres.items()
    )


def test_a_plate_takes_what_lies_within_its_edge_and_what_is_marked_beside_it() -> None:
    project = project_of(EXAMPLES[0])
    shown = content(project.design, FRAME, project.sheet)
    edge = shapely.Polygon(shown.lines[0][1])
    assert shown.taken.contains(edge.representative_point().buffer(0.1))
    apart = replace(shown, marks=(Mark((1000.0, 1000.0), 6.0, "far"),))
    assert apart.taken.intersects(shapely.Point(1000.0, 1000.0))


def test_the_series_of_holes_is_the_sheets() -> None:
    fine, coarse = (
        circles(template(project_of(holes=series), ["rod"])[0]) for series in ("fine", "coarse")
    )
    # The rod turns on both its pins: lever and flap, nearer the frame, hold them.
    assert set(fine.values()) == {5.3}
    assert set(coarse.values()) == {5.8}


@pytest.mark.parametrize("landscape", [True, False])
def test_hostile_names_stay_on_their_lines(landscape: bool) -> None:
    project = replace(project_of(size="A4", landscape=landscape), title=HOSTILE)
    design = project.design
    for link in ("lever", "rod", "flap"):
        design = edit.rename(design, "link", link, f"{ODD} {link}")
    project = project.with_design(design)
    for page in template(project, every_link(project)):
        assert overlaps(page) == []


def test_what_is_not_there_or_not_sound_is_refused() -> None:
    project = project_of()
    with pytest.raises(KeyError):
        template(project, ["no such link"])
    broken = project.with_design(replace(project.design, grip="gone"))
    with pytest.raises(DesignProblem):
        template(broken)
