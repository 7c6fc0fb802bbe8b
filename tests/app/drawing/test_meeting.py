"""Many boxes and pieces at once, against shapely, one pair at a time."""

import numpy as np
import pytest
import shapely

from app.drawing.boxes import Box
from app.drawing.meeting import (
    around_frames,
    around_lines,
    close,
    cross,
    frames,
    grown,
    lengths,
    overlap,
)

RANDOM = np.random.default_rng(7)
BOXES = [
    Box((float(x), float(y)), float(wide), float(high), float(turn))
    for x, y, wide, high, turn in RANDOM.uniform((0, 0, 1, 1, -90), (60, 60, 12, 4, 90), (60, 5))
]
LINES = RANDOM.uniform(0.0, 60.0, (80, 4))
SHAPES = [shapely.Polygon(box.corners()) for box in BOXES]
PIECES = [shapely.LineString(line.reshape(2, 2)) for line in LINES]


def test_boxes_that_overlap() -> None:
    held = frames(BOXES)
    one, other = close(around_frames(held), around_frames(held))
    met = set(
        zip(
            *(index[overlap(held[one], held[other])].tolist() for index in (one, other)),
            strict=True,
        )
    )
    assert met == {
        (i, j)
        for i, first in enumerate(SHAPES)
        for j, second in enumerate(SHAPES)
        if first.intersection(second).area > 1e-6
    }


def test_lengths_of_pieces_in_boxes() -> None:
    held = frames(BOXES)
    box, piece = close(around_frames(held), around_lines(LINES))
    found = np.zeros((len(BOXES), len(LINES)))
    found[box, piece] = lengths(held[box], LINES[piece])
    known = [[shape.intersection(piece).length for piece in PIECES] for shape in SHAPES]
    assert found == pytest.approx(np.asarray(known), abs=1e-9)


def test_level_and_upright_pieces() -> None:
    held = frames([Box((5.0, 5.0), 5.0, 2.0)] * 4)
    lines = np.asarray(
        [(0.0, 6.0, 20.0, 6.0), (3.0, 0.0, 3.0, 20.0), (0.0, 8.0, 9.0, 8.0), (11.0, 0.0, 11.0, 9.0)]
    )
    assert lengths(held, lines) == pytest.approx([10.0, 4.0, 0.0, 0.0])


def test_pieces_that_cross() -> None:
    one, other = (index.ravel() for index in np.indices((len(LINES), len(LINES))))
    crossed = cross(LINES[one], LINES[other]).reshape(len(LINES), len(LINES))
    known = [[a is not b and a.crosses(b) for b in PIECES] for a in PIECES]
    assert crossed.tolist() == known


def test_nothing_is_close_to_nothing() -> None:
    for first, second in ((frames(()), frames(BOXES)), (frames(BOXES), frames(()))):
        one, other = close(around_frames(first), around_frames(second))
        assert len(one) == len(other) == 0


def test_a_margin_is_added_on_every_side() -> None:
    (made,) = grown(frames(BOXES[:1]), 2.0, 1.0)
    assert made[2:4].tolist() == [BOXES[0].half_width + 2.0, BOXES[0].half_height + 1.0]
