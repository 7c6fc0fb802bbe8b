"""What studies draw on the sheet: the zone, its words, the arrows; nothing on anything else."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QImage, QPainter, QTransform

from app.background.zones import ZoneEdge, ZoneShape, shape_of
from app.sketch.arrows import arrows_of, arrows_told, draw_arrows
from app.sketch.callouts import placed
from app.sketch.drawing import Touch, draw_sheet
from app.sketch.picture import Picture
from app.sketch.plates import extent, half_width, measures
from app.sketch.room import Room
from app.sketch.sheet import Lens, Sheet
from app.sketch.words import Words
from app.sketch.zone import draw_zone, told_of, zone_bars, zone_wishes
from app.theme import DARK, LIGHT, Theme
from solver.go_zone import go_zone
from solver.project import Display
from solver.sensitivity import sensitivities
from tests.app.projects_for_tests import layout

AREA = (0.0, 0.0, 600.0, 500.0)
VIEW = QTransform(2.0, 0.0, 0.0, -2.0, 300.0, 350.0)
SQUARE = ((-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0), (-50.0, -50.0))
INNER = ((-20.0, -20.0), (20.0, -20.0), (20.0, 20.0), (-20.0, 20.0), (-20.0, -20.0))


class Canvas:
    """An image with a painter and a sheet on it."""

    def __init__(self, theme: Theme) -> None:
        self.image = QImage(600, 500, QImage.Format.Format_ARGB32_Premultiplied)
        self.image.fill(theme.paper)
        self.painter = QPainter(self.image)
        self.painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self.sheet = Sheet(self.painter, VIEW, theme, "")

    def colour(self, x: float, y: float) -> QColor:
        """The colour at a place of the sheet, mm."""
        at = VIEW.map(QPointF(x, y)).toPoint()
        return self.image.pixelColor(at)


@pytest.fixture(params=[LIGHT, DARK], ids=["light", "dark"])
def canvas(request: pytest.FixtureRequest, qapp: object) -> Iterator[Canvas]:
    made = Canvas(request.param)
    yield made
    made.painter.end()


def zone(**changes: object) -> ZoneShape:
    edges = tuple(
        ZoneEdge(f"limit {number}", line, line[0])
        for number, line in enumerate((SQUARE[place], SQUARE[place + 1]) for place in range(4))
    )
    given = {
        "point": "grip", "window": (-60.0, -60.0, 60.0, 60.0), "holds": (SQUARE,),
        "survives": (INNER,), "hold_lines": (), "survive_lines": (), "edges": edges,
        "inside": True, "blocked": (),
    }  # fmt: skip
    return ZoneShape(**{**given, **changes})  # type: ignore[arg-type]


def test_a_zone_is_tinted_inside_and_only_there(canvas: Canvas) -> None:
    before = canvas.colour(40.0, 40.0), canvas.colour(70.0, 70.0)
    draw_zone(canvas.sheet, zone())
    assert canvas.colour(40.0, 40.0) != before[0]
    assert canvas.colour(70.0, 70.0) == before[1]


def test_what_survives_the_tolerances_is_hatched_and_not_only_tinted(canvas: Canvas) -> None:
    draw_zone(canvas.sheet, zone())
    inner = {canvas.colour(x / 2.0, 0.0).rgba() for x in range(-30, 30)}
    outer = {canvas.colour(x / 2.0, 35.0).rgba() for x in range(-30, 30)}
    assert len(outer) == 1
    assert len(inner) > 1


def test_a_zone_may_have_a_hole(canvas: Canvas) -> None:
    before = canvas.colour(0.0, 0.0)
    draw_zone(canvas.sheet, zone(holds=(SQUARE, INNER), survives=()))
    assert canvas.colour(0.0, 0.0) == before


@pytest.mark.parametrize("survives", [False, True])
def test_edges_are_seen_upon_the_parts_that_hide_them(canvas: Canvas, survives: bool) -> None:
    design = layout("compression")
    picture = Picture(design, measures(design).drawn, (), frozenset(), Display(), extent(design))
    lever = design.link(design.lever)
    (x0, y0), (x1, y1) = (picture.places[name] for name in lever.points[:2])
    # An edge across the lever, from side to side of its plate.
    x, y, half = 0.5 * (x0 + x1), 0.5 * (y0 + y1), half_width(design, lever)
    across = ((x - 3.0 * half, y), (x + 3.0 * half, y))
    edges = () if survives else (ZoneEdge("limit", across, None),)
    shown = zone(holds=(), survives=(across,) if survives else (), edges=edges)

    def painted(touch: Touch) -> list[QColor]:
        draw_sheet(canvas.sheet, picture, AREA, Words(), touch)
        return [canvas.colour(x + share * half, y) for share in (-0.4, -0.2, 0.2, 0.4)]

    bare = painted(Touch())
    assert any(one != other for one, other in zip(painted(Touch(zone=shown)), bare, strict=True))


def test_words_of_the_zone_stand_outside_of_it_and_apart(canvas: Canvas) -> None:
    room = Room(AREA)
    room.add(zone_bars(canvas.sheet, zone()), 1.5)
    cards = placed(zone_wishes(canvas.sheet, zone(), AREA), room)
    assert len(cards) == 4
    inside = canvas.sheet.view.mapRect(QRectF(-50.0, -50.0, 100.0, 100.0))
    for place, card in enumerate(cards):
        box = QRectF(*card.box)
        assert QRectF(*AREA).contains(box)
        assert not box.intersects(inside)
        assert not any(box.intersects(QRectF(*other.box)) for other in cards[:place])


def test_an_edge_off_the_screen_has_no_words(canvas: Canvas) -> None:
    line = ((900.0, 0.0), (900.0, 10.0))
    wishes = zone_wishes(canvas.sheet, zone(edges=(ZoneEdge("far", line, line[0]),)), AREA)
    assert placed(wishes, Room(AREA)) == []


def test_sentences_of_zones() -> None:
    assert "hatched: each in about 999 of 1\N{NO-BREAK SPACE}000 copies" in zone().sentence()
    assert "nowhere in it does each hold in about 999" in zone(survives=()).sentence()
    assert "“Throw” fails" in zone(holds=(), survives=(), blocked=("Throw",)).sentence()
    assert "together" in zone(holds=(), survives=()).sentence()


def test_the_words_say_in_which_part_the_point_is() -> None:
    hatched, plain, out = (0.0, 0.0), (40.0, 0.0), (70.0, 0.0)
    assert told_of(zone(), hatched).endswith("Now it is in the hatched part.")
    assert told_of(zone(), plain).endswith("Now it is in the zone, not hatched.")
    assert told_of(zone(), out).endswith("Now it is outside.")
    assert told_of(zone(survives=()), hatched).endswith("Now it is in the zone.")
    assert told_of(zone(holds=(SQUARE, INNER), survives=()), hatched).endswith("outside.")
    assert told_of(zone(holds=(), survives=()), hatched) == zone(holds=(), survives=()).sentence()


def test_the_solvers_zone_becomes_plain_numbers() -> None:
    design = layout("compression")
    found = go_zone(design, design.grip, cells=16, positions=31, tolerance=True)
    shape = shape_of(found)
    assert shape.window == found.window
    assert len(shape.holds) == sum(1 + len(part.interiors) for part in found.zone.geoms)
    assert [edge.label for edge in shape.edges] == [edge.label for edge in found.edges]


def test_arrows_point_the_way_the_solver_says(canvas: Canvas) -> None:
    design = layout("compression")
    effects = sensitivities(design, "holding_force", positions=61)
    drawn = measures(design).drawn
    picture = Picture(design, drawn, (), frozenset(), Display(), extent(design))
    paper = canvas.image.copy()
    draw_arrows(canvas.sheet, arrows_of(canvas.sheet, picture, effects))
    best = max(effects.arrows, key=lambda arrow: arrow.per_mm)
    at = VIEW.map(QPointF(*drawn[best.point]))
    along = QPointF(best.x, -best.y) * 40.0
    there, back = (at + along).toPoint(), (at - along).toPoint()
    assert canvas.image.pixelColor(there) != paper.pixelColor(there)
    assert canvas.image.pixelColor(back) == paper.pixelColor(back)
    assert "more" in arrows_told(effects)
    assert effects.reading.label in arrows_told(effects)


def test_the_card_of_a_limit_is_known_in_a_zone_with_other_edges(qapp: object) -> None:
    lens = Lens(VIEW, "")
    before, after = zone(), zone(edges=zone().edges[2:])
    keys = [{wish.key for wish in zone_wishes(lens, each, AREA)} for each in (before, after)]
    assert len(keys[0]) == 4
    assert keys[1] < keys[0]
    twice = replace(after, edges=(*after.edges, *after.edges))
    assert len({wish.key for wish in zone_wishes(lens, twice, AREA)}) == 4
