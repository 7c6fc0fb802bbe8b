"""A go zone as plain numbers, which need no geometry library to be shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from shapely import MultiPolygon

    from solver.go_zone import GoZone
    from solver.spans import Span

_STURDY = "in about 999 of 1\N{NO-BREAK SPACE}000 copies (room for three standard deviations)"
"""What is promised where a point survives the tolerances; see `solver.sturdy`."""

Place = tuple[float, float]
Ring = tuple[Place, ...]


@dataclass(frozen=True, slots=True)
class ZoneEdge:
    """A stretch of a zone's edge (mm) and what ends the zone there; "" for the window's border.

    `label_at` is where to write it; None where another stretch bears the same words.
    """

    label: str
    line: Ring
    label_at: Place | None


@dataclass(frozen=True, slots=True)
class ZoneShape:
    """Where a point may lie: closed rings (mm, drawn pose), of which inner ones are holes.

    window: x0, y0, x1, y1 of what was looked at. holds: every limit holds; survives: each
    also in about 999 of 1000 copies that are off by their tolerances. A point in a slot has lines
    instead of rings.
    """

    point: str
    window: tuple[float, float, float, float]
    holds: tuple[Ring, ...]
    survives: tuple[Ring, ...]
    hold_lines: tuple[Ring, ...]
    survive_lines: tuple[Ring, ...]
    edges: tuple[ZoneEdge, ...]
    inside: bool
    blocked: tuple[str, ...]

    @property
    def empty(self) -> bool:
        """Whether there is no place where every limit holds."""
        return not (self.holds or self.hold_lines)

    @property
    def open_ended(self) -> bool:
        """Whether the zone goes on beyond the window."""
        return any(not edge.label for edge in self.edges)

    def sentence(self) -> str:
        """What the drawing means."""
        if self.blocked:
            failing = " and ".join(f"“{label}”" for label in self.blocked[:2])
            return f"{self.point}: no place around here helps, {failing} fails at all of them."
        if self.empty:
            return f"{self.point}: there is no place around here where all limits hold together."
        told = f"{self.point}: all limits hold in the shaded zone"
        if self.survives or self.survive_lines:
            return f"{told}; hatched: each {_STURDY}."
        return f"{told}; nowhere in it does each hold {_STURDY}."


def shape_of(zone: GoZone) -> ZoneShape:
    """The plain numbers of a go zone."""
    return ZoneShape(
        point=zone.point,
        window=zone.window,
        holds=_rings(zone.zone),
        survives=() if zone.sturdy is None else _rings(zone.sturdy),
        hold_lines=tuple((span.start, span.end) for span in zone.spans),
        survive_lines=tuple((span.start, span.end) for span in zone.sturdy_spans or ()),
        edges=(
            *(ZoneEdge(edge.label, edge.line, edge.label_at) for edge in zone.edges),
            *(edge for span in zone.spans for edge in _ends(span)),
        ),
        inside=zone.inside,
        blocked=zone.blocked,
    )


def _rings(polygons: MultiPolygon) -> tuple[Ring, ...]:
    return tuple(
        tuple((float(x), float(y)) for x, y in ring.coords)
        for polygon in polygons.geoms
        for ring in (polygon.exterior, *polygon.interiors)
    )


def _ends(span: Span) -> tuple[ZoneEdge, ...]:
    ends = ((span.start, span.start_label), (span.end, span.end_label))
    return tuple(ZoneEdge(label, (at, at), at if label else None) for at, label in ends)
