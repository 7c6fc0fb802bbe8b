"""Curves as a drawing in black: told apart by line and name, painted by every backend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from app.curves.scale import Scale, fitted, round_step, span_of, tick_text
from app.drawing.crossed import interrupted
from app.drawing.metrics import text_width
from app.drawing.model import LEAST_TEXT, Element, Layer, Line, Place, Polyline, Text
from app.drawing.placing import Candidate, Placer

_POINTS = 241
"""Points that a curve is drawn with at most."""
_LEFT, _BOTTOM, _TOP = 13.0, 12.0, 6.0
"""Room (mm) for the numbers at the axes and for the title."""
_ROW = 5.4
"""What a text takes between two lines with air, mm."""
_UNDER = 0.5 * LEAST_TEXT
"""From the middle of a text down to its base line, mm."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One curve in display units, and the line that it is drawn with."""

    name: str
    x: NDArray[np.float64]
    y: NDArray[np.float64]
    layer: Layer


@dataclass(frozen=True, slots=True)
class Plot:
    """Curves over one axis; `zones` are hatched from x to x, `marks` named upright lines."""

    title: str
    across: str
    curves: tuple[Curve, ...]
    zones: tuple[tuple[float, float], ...] = ()
    marks: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class _Frame:
    size: tuple[float, float]
    x: Scale
    y: Scale

    @property
    def right(self) -> float:
        return self.size[0] - 2.0

    @property
    def top(self) -> float:
        return self.size[1] - _TOP

    def rows(self) -> list[float]:
        """Base lines (mm) of texts that lie between two lines of the grid, from below."""
        lines = sorted({_BOTTOM, *(self.at(0.0, tick)[1] for tick in self.y.ticks()), self.top})
        places: list[float] = []
        for low, high in pairwise(lines):
            count = max(1, 2 * int((high - low) / _ROW) - 1)
            half = min(_ROW, high - low) / 2.0
            places += np.linspace(low + half, high - half, count).tolist()
        return [place - _UNDER for place in places]

    def at(self, x: float, y: float) -> Place:
        """Where values are on the paper, mm."""
        u = (x - self.x.low) / (self.x.high - self.x.low)
        v = (y - self.y.low) / (self.y.high - self.y.low)
        return _LEFT + u * (self.right - _LEFT), _BOTTOM + v * (self.top - _BOTTOM)


def draw_plot(plot: Plot, size: tuple[float, float]) -> tuple[Element, ...]:
    """The plot in a rectangle of that width and height (mm) with its lower left corner at 0, 0."""
    low, high = span_of(*(curve.x for curve in plot.curves))
    along = Scale(low, high, round_step(high - low, 6))
    up = fitted(*span_of(*(curve.y for curve in plot.curves), with_zero=True))
    frame = _Frame(size, along, up)
    courses = [_course(curve, frame) for curve in plot.curves]
    axes = list(_axes(plot, frame))
    under = [*_grid(frame), *_zones(plot, frame)]
    placer = Placer((*under, *courses, *axes))
    named = [*_marks(plot, frame, placer), *_names(plot, frame, courses, placer)]
    # A name that finds no place free of lines has those of the grid interrupted around it.
    return tuple(interrupted((*under, *axes, *courses, *named)))


def _course(curve: Curve, frame: _Frame) -> Polyline:
    known = np.flatnonzero(np.isfinite(curve.x) & np.isfinite(curve.y))
    step = max(1, len(known) // _POINTS)
    kept = [*known[::step], *known[-1:]]
    places = [frame.at(float(curve.x[index]), float(curve.y[index])) for index in kept]
    return Polyline(curve.layer, tuple(places) if len(places) > 1 else (*places, *places))


def _grid(frame: _Frame) -> Iterator[Element]:
    for tick in frame.x.ticks():
        x = frame.at(tick, 0.0)[0]
        yield Line(Layer.HATCH, (x, _BOTTOM), (x, _BOTTOM + 1.5))
    for tick in frame.y.ticks():
        y = frame.at(0.0, tick)[1]
        yield Line(Layer.HATCH, (_LEFT, y), (frame.right, y))


def _axes(plot: Plot, frame: _Frame) -> Iterator[Element]:
    corners = (
        (_LEFT, _BOTTOM),
        (frame.right, _BOTTOM),
        (frame.right, frame.top),
        (_LEFT, frame.top),
    )
    yield Polyline(Layer.THIN, corners, closed=True)
    zero = frame.at(0.0, 0.0)[1]
    if _BOTTOM < zero < frame.top:
        yield Line(Layer.SYMBOLS, (_LEFT, zero), (frame.right, zero))
    yield Text(plot.title, (_LEFT, frame.size[1] - 3.6), LEAST_TEXT, bold=True)
    for tick in frame.x.ticks():
        words, x = tick_text(tick, frame.x.step), frame.at(tick, 0.0)[0]
        yield Text(words, (x, _BOTTOM - 4.2), LEAST_TEXT, "middle")
    yield Text(plot.across, (frame.right, _BOTTOM - 8.4), LEAST_TEXT, "right")
    for tick in frame.y.ticks():
        y = frame.at(0.0, tick)[1]
        yield Text(tick_text(tick, frame.y.step), (_LEFT - 1.2, y), LEAST_TEXT, "right", "middle")


def _zones(plot: Plot, frame: _Frame) -> Iterator[Element]:
    """Upright strokes, a millimetre apart, and at both edges."""
    for start, end in plot.zones:
        first, last = (frame.at(edge, 0.0)[0] for edge in (start, end))
        count = max(1, round(last - first))
        for index in range(count + 1):
            x = first + (last - first) * index / count
            yield Line(Layer.HATCH, (x, _BOTTOM), (x, frame.top))


def _marks(plot: Plot, frame: _Frame, placer: Placer) -> Iterator[Element]:
    for name, value in plot.marks:
        x = frame.at(value, 0.0)[0]
        yield Line(Layer.CENTRES, (x, _BOTTOM), (x, frame.top))
        found = placer.best(_at_line(name, x, _clear(plot, frame, value), frame))
        if found is not None:
            placer.take(found.elements)
            yield from found.elements


def _clear(plot: Plot, frame: _Frame, value: float) -> tuple[float, float]:
    """How far (mm) left and right what belongs to a mark reaches: its line, or its zone."""
    x = frame.at(value, 0.0)[0]
    left, right = x, x
    for start, end in plot.zones:
        if start <= value <= end:
            left, right = (frame.at(edge, 0.0)[0] for edge in (start, end))
    return left, right


def _at_line(
    name: str, x: float, reach: tuple[float, float], frame: _Frame
) -> Iterator[Candidate[Place]]:
    """Places for the name of an upright line: beside it, or further away with a leader."""
    width = text_width(name, LEAST_TEXT)
    for off in (1.0, 4.0, 7.0, 10.0, 14.0, 18.0, 22.0, 26.0):
        for left in (reach[1] + off, reach[0] - off - width):
            if left < _LEFT + 1.0 or left + width > frame.right - 1.0:
                continue
            end = left - 0.8 if left > x else left + width + 0.8
            for row in frame.rows():
                elements: list[Element] = [Text(name, (left, row), LEAST_TEXT)]
                if off > 1.0:
                    up = row + _UNDER
                    elements.append(Line(Layer.THIN, (end, up), (x, up)))
                yield Candidate((left, row), tuple(elements), 0.05 * (off - 1.0))


def _names(
    plot: Plot, frame: _Frame, courses: Sequence[Polyline], placer: Placer
) -> Iterator[Element]:
    """Each curve's name beside it."""
    if len(plot.curves) < 2:
        return
    for curve, course in zip(plot.curves, courses, strict=True):
        found = placer.best(_beside(curve.name, course, frame))
        if found is not None:
            placer.take(found.elements)
            yield from found.elements


def _beside(name: str, course: Polyline, frame: _Frame) -> Iterator[Candidate[Place]]:
    """Places for a curve's name between the lines of the grid, the nearer to it the better."""
    width = text_width(name, LEAST_TEXT)
    for index in range(0, len(course.points), max(1, len(course.points) // 24)):
        x, y = course.points[index]
        left = x - width / 2.0
        if left < _LEFT + 1.0 or left + width > frame.right - 1.0:
            continue
        for row in frame.rows():
            place = (left, row)
            yield Candidate(place, (Text(name, place, LEAST_TEXT),), 0.3 * abs(row + _UNDER - y))
