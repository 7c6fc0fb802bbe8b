"""Curves as a drawing in black: told apart by line and name, painted by every backend."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.curves.scale import Scale, fitted, round_step, span_of, tick_text
from app.drawing.metrics import text_width
from app.drawing.model import LEAST_TEXT, Element, Layer, Line, Place, Polyline, Text
from app.drawing.placing import Candidate, Placer

_POINTS = 241
"""Points that a curve is drawn with at most."""
_LEFT, _BOTTOM, _TOP = 13.0, 12.0, 6.0
"""Room (mm) for the numbers at the axes and for the title."""


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
    named = [*_marks(plot, frame, placer), *_names(plot, courses, placer)]
    return (*under, *axes, *courses, *named)


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
        width = text_width(name, LEAST_TEXT)
        places = [
            (x + side, y)
            for y in np.linspace(_BOTTOM + 1.0, frame.top - 3.6, 12)
            for side in _sides(plot, frame, value, width)
            if x + side > _LEFT and x + side + width < frame.right
        ]
        found = placer.best(
            Candidate(place, (Text(name, (float(place[0]), float(place[1])), LEAST_TEXT),))
            for place in places
        )
        if found is not None:
            placer.take(found.elements)
            yield from found.elements


def _sides(plot: Plot, frame: _Frame, value: float, width: float) -> tuple[float, ...]:
    """How far from its line (mm) a mark's name may begin: beside it, or beside its zone."""
    found = [1.0, -1.0 - width]
    x = frame.at(value, 0.0)[0]
    for start, end in plot.zones:
        if start <= value <= end:
            left, right = (frame.at(edge, 0.0)[0] for edge in (start, end))
            found += [right - x + 1.0, left - x - 1.0 - width]
    return tuple(found)


def _names(plot: Plot, courses: Sequence[Polyline], placer: Placer) -> Iterator[Element]:
    """Each curve's name beside it."""
    if len(plot.curves) < 2:
        return
    for curve, course in zip(plot.curves, courses, strict=True):
        found = placer.best(_beside(curve.name, course))
        if found is not None:
            placer.take(found.elements)
            yield from found.elements


def _beside(name: str, course: Polyline) -> Iterator[Candidate[Place]]:
    width = text_width(name, LEAST_TEXT)
    count = len(course.points)
    right = max(x for x, _ in course.points)
    for share in (0.15, 0.85, 0.25, 0.75, 0.35, 0.65, 0.5):
        x, y = course.points[min(count - 1, int(share * count))]
        left = min(x - width / 2.0, right - width)
        for off in (1.2, -3.6, 2.5, -5.0, 4.0, -6.5):
            place = (left, y + off)
            yield Candidate(place, (Text(name, place, LEAST_TEXT),), 0.3 * abs(off))
