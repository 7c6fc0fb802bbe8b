"""What a place costs: nothing where the paper is free, more the worse what lies there."""

import math

import pytest

from app.drawing.dimension_parts import arrow
from app.drawing.model import Element, Layer, Line, Text
from app.drawing.placing import FORBIDDEN, Candidate, Placer

TEXT = Text("150", (50.0, 50.0))


def through(layer: Layer) -> Line:
    return Line(layer, (40.0, 51.0), (80.0, 51.0))


def test_a_visible_edge_under_a_text_is_worse_than_a_phantom() -> None:
    free, phantom, edge = (
        Placer(drawn).cost([TEXT])
        for drawn in ((), [through(Layer.PHANTOM)], [through(Layer.OUTLINE)])
    )
    assert free == 0.0 < phantom < edge < FORBIDDEN


def test_texts_and_arrow_heads_never_meet() -> None:
    head = arrow((53.0, 51.0), 0.0, Layer.DIMENSIONS)
    assert Placer([head]).cost([TEXT]) == FORBIDDEN
    assert Placer([TEXT]).cost([head]) == FORBIDDEN
    far = arrow((90.0, 51.0), 0.0, Layer.DIMENSIONS)
    assert math.isfinite(Placer([far]).cost([TEXT]))


def test_texts_side_by_side_stay_a_word_apart() -> None:
    placer = Placer([TEXT])
    assert placer.cost([Text("25", (57.0, 50.0))]) == FORBIDDEN
    assert placer.cost([Text("25", (60.0, 50.0))]) == 0.0


def test_lines_to_come_cost_but_do_not_reach() -> None:
    placer = Placer([TEXT])
    reach = placer.extent()
    placer.expect([Line(Layer.DIMENSIONS, (0.0, 20.0), (200.0, 20.0))])
    assert placer.extent() == reach
    assert placer.cost([Text("85", (100.0, 19.0))]) > 0.0


def test_a_line_through_a_text_costs_more_than_one_through_a_line() -> None:
    upright = Line(Layer.DIMENSIONS, (50.0, 0.0), (50.0, 90.0))
    level = Line(Layer.DIMENSIONS, (0.0, 20.0), (90.0, 20.0))
    free, across, through_text = (Placer(drawn).cost([upright]) for drawn in ((), [level], [TEXT]))
    assert 0.0 == free < across < through_text < FORBIDDEN
    edge, phantom = (
        Placer([Line(layer, (0.0, 20.0), (90.0, 20.0))]).cost([upright])
        for layer in (Layer.OUTLINE, Layer.PHANTOM)
    )
    assert phantom < edge < across  # the nearness of the two lines costs alike
    own = Placer([]).cost([TEXT, through(Layer.DIMENSIONS)])
    assert own == through_text


def test_a_line_close_beside_another_costs_by_its_length() -> None:
    placer = Placer([Line(Layer.PHANTOM, (0.0, 20.0), (90.0, 20.0))])
    far, short, long = (
        placer.cost([Line(Layer.DIMENSIONS, (10.0, y), (end, y))])
        for y, end in ((25.0, 70.0), (21.0, 30.0), (21.0, 70.0))
    )
    assert far == 0.0
    assert short > 0.0
    assert long == pytest.approx(3.0 * short)


def test_growing_beyond_the_room_costs_by_each_mm_and_what_is_there_is_free() -> None:
    drawn = [Line(Layer.OUTLINE, (0.0, 0.0), (60.0, 30.0))]

    def longer(x: float, y: float, room: tuple[float, float]) -> float:
        return Placer(drawn, room).cost([Line(Layer.DIMENSIONS, (60.0, 30.0), (x, y))])

    assert longer(70.0, 30.0, (70.0, 30.0)) == 0.0
    assert longer(72.0, 30.0, (70.0, 30.0)) == 2.0 * longer(71.0, 30.0, (70.0, 30.0)) > 0.0
    assert longer(60.0, 32.0, (60.0, 30.0)) == 2.0 * longer(60.0, 31.0, (60.0, 30.0)) > 0.0
    assert longer(61.0, 30.0, (50.0, 30.0)) == longer(71.0, 30.0, (70.0, 30.0))


def test_what_costs_too_much_is_not_taken() -> None:
    beside = Candidate(1, (Text("25", (90.0, 50.0)),), 5.0)
    assert Placer([TEXT]).best([beside], 5.0) is None
    assert Placer([TEXT]).best([beside], 5.1) is beside


def test_the_cheapest_place_is_taken_and_the_first_of_equals() -> None:
    def at(x: float, penalty: float) -> Candidate[float]:
        made: tuple[Element, ...] = (Text("25", (x, 50.0)),)
        return Candidate(x, made, penalty)

    best = Placer([TEXT]).best([at(50.0, 0.0), at(90.0, 2.0), at(70.0, 1.0), at(80.0, 1.0)])
    assert best is not None
    assert best.item == 70.0
