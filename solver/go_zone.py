"""The go zone: where one point of a design may lie so that every limit holds.

The zone does not depend on where the point is now, only on the rest of the design: while the
point itself is dragged, it can be kept.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from solver.errors import DesignProblem
from solver.model import Design
from solver.moves import slots_of
from solver.regions import Grid, edges, region
from solver.spans import Span, spans
from solver.sturdy import losses
from solver.survey import Survey
from solver.window import search_line, search_window

if TYPE_CHECKING:
    from shapely import MultiPolygon

Values = NDArray[np.float64]
Window = tuple[float, float, float, float]
Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class ZoneEdge:
    """A stretch of the zone's edge (places, mm) and what ends the zone there.

    label: a limit or condition in words, "" where only the window ends it; label_at: where to
    write it, None where another stretch with the same label bears it.
    """

    label: str
    line: tuple[Place, ...]
    label_at: Place | None


@dataclass(frozen=True, slots=True)
class GoZone:
    """Where a point may lie (mm, drawn pose); can be sent between processes.

    window: x0, y0, x1, y1, the area looked at; zone and sturdy: polygons with holes, sturdy (if
    asked for) where the limits hold in copies too; spans and sturdy_spans: the same for a point
    that rides in a slot, which moves along it only (the polygons are then empty); inside: whether
    the point is in the zone now; blocked: what fails everywhere in the window.
    """

    point: str
    window: Window
    zone: MultiPolygon
    edges: tuple[ZoneEdge, ...]
    spans: tuple[Span, ...]
    sturdy: MultiPolygon | None
    sturdy_spans: tuple[Span, ...] | None
    inside: bool
    blocked: tuple[str, ...]


def go_zone(
    design: Design,
    point: str,
    window: Window | None = None,
    *,
    cells: int = 64,
    positions: int = 91,
    tolerance: bool = False,
    worst: bool = False,
) -> GoZone:
    """Where a point may lie so that all limits and conditions (`solver.margins`) hold.

    A grid of `cells` by `cells` is laid over the window (x0, y0, x1, y1 in mm); without one, over
    the surroundings of the part of the zone nearest the point, found on coarse grids first. With
    `tolerance`, a second region leaves room for the design's tolerances, as in `solver.sturdy`
    (`worst`: all at their worst together). The weight of plates follows
    the point as in `solver.plate_model`.

    Raises DesignProblem for a design that cannot be solved, a point that is not there, or one
    that two slots hold in place.
    """
    if all(each.name != point for each in design.points):
        raise DesignProblem(f"There is no point “{point}” in this sketch.", point)
    survey = Survey.of(design, point)
    slots = slots_of(design, point)
    if len(slots) > 1:
        raise DesignProblem(
            f"Point “{point}” sits in two slots, “{slots[0].name}” and “{slots[1].name}”, so it "
            "has one place only: move the slots instead.",
            point,
        )
    study = _Study(design, survey, positions, tolerance, worst)
    if slots:
        return study.along(slots[0].along, window, 4 * cells)
    return study.over(window or search_window(survey), cells)


@dataclass(frozen=True, slots=True)
class _Study:
    design: Design
    survey: Survey
    positions: int
    tolerance: bool
    worst: bool

    def over(self, window: Window, cells: int) -> GoZone:
        """The zone of a point that may go anywhere."""
        grid = Grid.over(window, cells + 1)
        x0, y0, x1, y1 = window
        middle, half = complex(x0 + x1, y0 + y1) / 2.0, max(x1 - x0, y1 - y0) / 2.0
        fields, taken = self._fields(grid.places, middle, half)
        zone = region(grid, fields)
        found = tuple(
            ZoneEdge(self._label(edge.key), edge.line, edge.label_at)
            for edge in edges(grid, fields, zone)
        )
        sturdy = region(grid, _less(fields, taken)) if self.tolerance else None
        return self._zone(window, fields, zone=zone, edges=found, sturdy=sturdy)

    def along(self, slot: tuple[str, str], window: Window | None, count: int) -> GoZone:
        """The zone of a pin in a slot through two points."""
        a, b = (self._place(name) for name in slot)
        way = (b - a) / abs(b - a)
        if window:
            places = _clipped(self.survey.present, way, window, count)
        else:
            places = search_line(self.survey, way, count)
        half = abs(complex(places[-1]) - complex(places[0])) / 2.0
        fields, taken = self._fields(places, complex(places[0] + places[-1]) / 2.0, half)
        found = tuple(spans(places, fields, self.survey.labels))
        sturdy = None
        if self.tolerance:
            sturdy = tuple(spans(places, _less(fields, taken), self.survey.labels))
        ends = [complex(places[0]), complex(places[-1])]
        xs, ys = sorted(p.real for p in ends), sorted(p.imag for p in ends)
        around = window or (xs[0], ys[0], xs[1], ys[1])
        return self._zone(around, fields, spans=found, sturdy_spans=sturdy)

    def _fields(
        self, places: NDArray[np.complex128], middle: complex, half: float
    ) -> tuple[Values, Values]:
        near = self.survey.within(self.design, middle, half)
        return near.fields(places, self.positions, self._taken if self.tolerance else None)

    def _taken(self, inside: NDArray[np.complex128]) -> Values:
        """What tolerances take of the margins at places inside the zone."""
        places = _spread_out(inside)
        return losses(self.design, self.survey, places, self.positions, self.worst)

    def _zone(
        self,
        window: Window,
        fields: Values,
        *,
        zone: MultiPolygon | None = None,
        edges: tuple[ZoneEdge, ...] = (),
        spans: tuple[Span, ...] = (),
        sturdy: MultiPolygon | None = None,
        sturdy_spans: tuple[Span, ...] | None = None,
    ) -> GoZone:
        from shapely import MultiPolygon

        everywhere = fields.reshape(-1, fields.shape[-1]).max(axis=0)
        present = np.array([self.survey.present])
        return GoZone(
            point=self.survey.point,
            window=window,
            zone=MultiPolygon() if zone is None else zone,
            edges=edges,
            spans=spans,
            sturdy=sturdy,
            sturdy_spans=sturdy_spans,
            inside=bool(self.survey.least(present, self.positions)[0] >= 0.0),
            blocked=tuple(self._label(int(at)) for at in np.flatnonzero(everywhere < 0.0)),
        )

    def _label(self, key: int) -> str:
        return self.survey.labels[key] if key >= 0 else ""

    def _place(self, name: str) -> complex:
        point = self.design.point(name)
        return complex(point.x, point.y)


def _less(fields: Values, taken: Values) -> Values:
    result: Values = np.maximum(fields - taken, -1e3)
    return result


def _spread_out(places: NDArray[np.complex128], count: int = 5) -> NDArray[np.complex128]:
    """Up to `count` of some places, far from each other, and the first far from their middle."""
    if not len(places):
        return places
    away = np.abs(places - places.mean())
    chosen = [int(np.argmax(away))]
    away = np.abs(places - places[chosen[0]])
    while len(chosen) < min(count, len(places)):
        chosen.append(int(np.argmax(away)))
        away = np.minimum(away, np.abs(places - places[chosen[-1]]))
    return places[chosen]


def _clipped(start: complex, way: complex, window: Window, count: int) -> NDArray[np.complex128]:
    """Places on a line through `start` within a window, evenly spaced."""
    x0, y0, x1, y1 = window
    corners = np.array([complex(x, y) for x in (x0, x1) for y in (y0, y1)])
    along = np.real((corners - start) * way.conjugate())
    steps = np.linspace(along.min(), along.max(), count)
    return start + steps * way
