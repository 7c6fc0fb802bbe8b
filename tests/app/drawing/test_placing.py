"""What a place costs: nothing where the paper is free, more the worse what lies there."""

import math

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


def test_the_cheapest_place_is_taken_and_the_first_of_equals() -> None:
    def at(x: float, penalty: float) -> Candidate[float]:
        made: tuple[Element, ...] = (Text("25", (x, 50.0)),)
        return Candidate(x, made, penalty)

    best = Placer([TEXT]).best([at(50.0, 0.0), at(90.0, 2.0), at(70.0, 1.0), at(80.0, 1.0)])
    assert best is not None
    assert best.item == 70.0
