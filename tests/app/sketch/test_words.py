"""Names, cards, dimensions and the note beside the cursor keep off one another."""

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
import shapely
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter, QTransform

from app.background.zones import shape_of
from app.document import Document
from app.session import Session
from app.sketch.arrows import arrows_of
from app.sketch.boxes import Rect, crossing, meeting, overlap, overlapping, touches_any
from app.sketch.callouts import Anchor, Wish, held, placed
from app.sketch.canvas import SketchCanvas
from app.sketch.dimensions import draw_dimensions
from app.sketch.navigation import fitted
from app.sketch.picture import Picture
from app.sketch.room import Room, emptiest
from app.sketch.sheet import Lens, Sheet
from app.sketch.words import Found, Words
from app.sketch.zone import zone_wishes
from app.theme import LIGHT
from solver import edit, files
from solver.go_zone import go_zone
from solver.layouts import LAYOUTS
from solver.model import Design
from solver.project import Project, Variant
from solver.sensitivity import sensitivities
from tests.app.leftovers import Keeper
from tests.app.sketch.board import PlainBoard
from tests.app.waiting import Wait
from tests.example_files import EXAMPLES

AREA = (0.0, 0.0, 640.0, 450.0)
LEGEND = (380.0, 380.0, 250.0, 60.0)


def wish(name: str, x: float, y: float, rides: bool = False) -> Wish:
    return Wish(("zone", name), name, 100.0, 20.0, (Anchor((x, y), (0.0, -1.0), 12.0),), rides)


def lens_on(picture: Picture, area: Rect = AREA) -> Lens:
    box = picture.box
    assert box is not None
    scale, (x, y) = fitted(box, area[2], area[3])
    view = QTransform(scale, 0, 0, -scale, area[2] / 2 - scale * x, area[3] / 2 + scale * y)
    return Lens(view, "")


def found_in(design: Design, point: str, lens: Lens, picture: Picture) -> Found:
    zone = shape_of(go_zone(design, point, cells=24, positions=31))
    effects = sensitivities(design, "holding_force", positions=61)
    return Found(zone, effects, arrows_of(lens, picture, effects), (LEGEND,))


def test_a_card_lies_on_the_side_that_is_wished_for() -> None:
    (card,) = placed([wish("edge", 300.0, 200.0)], Room(AREA))
    assert card.box == (250.0, 168.0, 100.0, 20.0)


def test_cards_keep_off_names_bars_and_each_other() -> None:
    room = Room(AREA, names=[(240.0, 160.0, 120.0, 20.0)])
    room.add([((300.0, 200.0), (400.0, 120.0), 8.0)], 3.0)
    cards = placed([wish("one", 300.0, 200.0), wish("two", 305.0, 205.0)], room)
    assert not overlap(cards[0].box, cards[1].box)
    for card in cards:
        assert not overlap(card.box, room.names[0])
        assert not touches_any(card.box, [((300.0, 200.0), (400.0, 120.0), 0.0)])


def test_a_card_goes_farther_off_rather_than_over_a_name() -> None:
    name = (330.0, 160.0, 60.0, 20.0)
    (card,) = placed([wish("edge", 300.0, 200.0)], Room(AREA, names=[name]))
    assert not overlap(card.box, name)


def test_a_card_without_room_is_left_out() -> None:
    assert placed([wish("edge", 30.0, 20.0)], Room((0.0, 0.0, 90.0, 60.0))) == []


def test_a_card_that_is_not_worth_what_it_covers_is_left_out() -> None:
    room = Room(AREA, names=[(0.0, 0.0, 640.0, 450.0)])
    cheap, dear = wish("one", 300.0, 200.0), replace(wish("two", 300.0, 200.0), worth=5.0)
    assert [card.text for card in placed([cheap, dear], room)] == ["one"]


def test_cards_stay_while_a_hand_moves_things() -> None:
    still, riding = wish("edge", 300.0, 200.0), wish("point", 100.0, 200.0, rides=True)
    before = placed([still, riding], Room(AREA))
    moved = [wish("edge", 320.0, 190.0), wish("point", 110.0, 205.0, rides=True)]
    after = held(before, [*moved, wish("new", 320.0, 200.0)], Room(AREA))
    assert after[0].box == before[0].box
    assert after[0].foot == (320.0, 190.0)
    left, top, _, _ = before[1].box
    assert after[1].box == (left + 10.0, top + 5.0, 100.0, 20.0)
    assert not overlap(after[2].box, after[0].box)


def test_the_emptiest_corner_is_the_first_that_covers_nothing() -> None:
    corners = [(540.0, 420.0, 100.0, 30.0), (0.0, 420.0, 100.0, 30.0), (0.0, 0.0, 100.0, 30.0)]
    assert emptiest(Room(AREA), corners) == 0
    room = Room(AREA, bars=[(((500.0, 430.0), (640.0, 430.0), 2.0), 1.0)])
    assert emptiest(room, corners) == 1


def test_many_boxes_and_lines_are_compared_as_single_ones_are() -> None:
    boxes = [(x * 7.0, y * 9.0, 20.0, 10.0) for x in range(5) for y in range(5)]
    lines = [((3.0, 2.0), (40.0, 37.0)), ((10.0, -5.0), (10.0, 60.0)), ((0.0, 21.0), (50.0, 21.0))]
    pieces = np.array([(*a, *b) for a, b in lines])
    through = crossing(np.array(boxes), pieces)
    over = overlapping(np.array(boxes), np.array(boxes))
    for row, box in enumerate(boxes):
        around = shapely.box(box[0], box[1], box[0] + box[2], box[1] + box[3])
        assert list(through[row]) == [around.intersects(shapely.LineString(line)) for line in lines]
        assert list(over[row]) == [overlap(box, other) for other in boxes]
    assert meeting(pieces, pieces).tolist() == [
        [False, True, True], [True, False, True], [True, True, False]
    ]  # fmt: skip


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_words_on_every_example_keep_off_one_another(qapp: object, path: Path) -> None:
    design = files.load(path).design
    board = PlainBoard(design)
    picture = board.picture
    lens = lens_on(picture)
    spring = design.springs[0] if design.springs else None
    point = getattr(spring, "a", None) or design.grip
    found = found_in(design, point, lens, picture)
    words = Words()
    words.place(lens, picture, AREA, found, steady=False)
    boxes = [card.box for card in words.cards]
    boxes += [name.box for name in words.names if not name.covered]
    about = {card.key for card in words.cards}
    assert found.zone is not None
    hung = [wish.key for wish in zone_wishes(lens, found.zone, AREA) if wish.anchors]
    assert about.issuperset(hung)
    assert ("arrow", found.arrows[0].point) in about  # the one that matters most
    for one, other in combinations([*boxes, LEGEND], 2):
        assert not overlap(one, other)
    for arrow in found.arrows:
        way = [(arrow.foot, arrow.tip, 0.0)]
        assert not any(touches_any(card.box, way) for card in words.cards)


def test_words_at_rest_follow_from_the_design_alone(qapp: object) -> None:
    design = files.load(EXAMPLES[2]).design
    board = PlainBoard(design)
    lens = lens_on(board.picture)
    words, other = Words(), Words()

    def boxes(those: Words, found: Found, steady: bool = False) -> list[Rect]:
        those.place(lens, board.picture, AREA, found, steady)
        return [name.box for name in those.names] + [card.box for card in those.cards]

    found = found_in(design, "lever foot", lens, board.picture)
    before = boxes(words, found)
    foot = design.point("lever foot")
    shifted = edit.move_point(design, foot.name, foot.x + 25.0, foot.y - 10.0)
    board.session.document.apply(shifted, "Move")
    elsewhere = boxes(words, found_in(board.design, "lever foot", lens, board.picture))
    boxes(words, found, steady=True)
    board.session.document.undo_stack.undo()
    assert boxes(words, found) == before == boxes(other, found)
    assert elsewhere != before


def test_the_note_stays_in_view_and_off_other_words(qapp: object) -> None:
    lens, words = Lens(QTransform(), ""), Words()
    for cursor in [(5.0, 5.0), (635.0, 5.0), (5.0, 445.0), (635.0, 445.0), (300.0, 440.0)]:
        left, top, width, height = words.beside(lens, cursor, "x 171.0  y −137.0", AREA, [])
        assert left >= 0.0
        assert top >= 0.0
        assert left + width <= AREA[2]
        assert top + height <= AREA[3]
    card = (310.0, 215.0, 140.0, 20.0)
    assert not overlap(words.beside(lens, (300.0, 200.0), "x 171.0", AREA, [card]), card)


def test_the_note_keeps_its_side_of_the_cursor_while_that_is_free(qapp: object) -> None:
    lens, words = Lens(QTransform(), ""), Words()
    card = (310.0, 215.0, 140.0, 20.0)
    first = words.beside(lens, (300.0, 200.0), "x 171.0", AREA, [card])
    left, top, _, _ = words.beside(lens, (301.0, 200.0), "x 171.0", AREA, [])
    assert (left, top) == (first[0] + 1.0, first[1])


def test_numbers_of_dimensions_keep_off_cards(qapp: object) -> None:
    board = PlainBoard(files.load(EXAMPLES[2]).design)
    lens = lens_on(board.picture)
    image = QImage(640, 450, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    sheet = Sheet(painter, lens.view, LIGHT, "")
    alone = draw_dimensions(sheet, board.picture, ("lever foot",))
    card = alone[0]
    beside = draw_dimensions(sheet, board.picture, ("lever foot",), [card])
    painter.end()
    assert len(beside) == len(alone)
    assert not any(overlap(box, card) for box in beside)


@pytest.mark.parametrize("size", [(590, 420), (652, 478)])
def test_the_legend_of_a_zone_covers_no_rest(
    keep: Keeper, wait: Wait, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    (path,) = (path for path in EXAMPLES if path.stem.startswith("09"))
    cover_no_rest(
        replace(files.load(path), current=1), "spring anchor", size, keep, wait, monkeypatch
    )


def test_the_legend_lies_rather_near_a_zone_than_on_a_rest(
    keep: Keeper, wait: Wait, monkeypatch: pytest.MonkeyPatch
) -> None:
    (design,) = (layout.build() for layout in LAYOUTS if layout.key == "extension")
    project = Project("Gate", (Variant("pulls", design),))
    cover_no_rest(project, "lever foot", (590, 420), keep, wait, monkeypatch)


def cover_no_rest(
    project: Project,
    point: str,
    size: tuple[int, int],
    keep: Keeper,
    wait: Wait,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Have a legend of six lines beside the zone of a point, and see what it covers."""
    made = Session(Document(project))
    canvas = keep(SketchCanvas(made))
    canvas.resize(*size)
    canvas.show()
    wait.until(canvas.isVisible)
    canvas.fit()
    zone = shape_of(go_zone(made.document.design, point, cells=24, positions=31))
    monkeypatch.setattr(canvas, "_zone_shown", lambda: zone)
    legend = canvas._legend
    legend.tell(
        f"{point}: all limits hold in the shaded zone; nowhere in it does each hold in about 999 "
        "of 1 000 copies (room for three standard deviations).\nArrows: which way to move each "
        "point for more “Holding force, weaker rest”."
    )
    legend.settle(*canvas._legend_room(canvas.picture))
    left, top, width, height = legend.box()
    for ghost in canvas.picture.ghosts:
        at = canvas.to_pixel(ghost.grip)
        assert not (left < at.x() < left + width and top < at.y() < top + height), ghost.key


def test_a_card_far_from_the_linkage_is_painted_whole(
    keep: Keeper, wait: Wait, monkeypatch: pytest.MonkeyPatch
) -> None:
    (design,) = (layout.build() for layout in LAYOUTS if layout.key == "compression")
    made = Session(Document(Project("Gate", (Variant("pushes", design),))))
    canvas = keep(SketchCanvas(made))
    canvas.resize(1200, 500)
    canvas.show()
    wait.until(canvas.isVisible)
    canvas.fit()
    found = shape_of(go_zone(made.document.design, "spring anchor", cells=24, positions=31))
    long = replace(found.edges[0], label="A limit with a name that takes half of the sheet" * 2)
    monkeypatch.setattr(canvas, "_zone_shown", lambda: replace(found, edges=(long,)))
    canvas._turn.start()
    wait.until(lambda: canvas._words.cards and not canvas._turn.isActive())
    (card,) = canvas._words.cards
    left, top, width, height = card.box
    corners = [QPointF(left, top), QPointF(left + width, top + height)]
    area = canvas._drawing.boundingRect()
    assert all(area.contains(QPointF(*canvas.to_world(corner))) for corner in corners)
