"""What the sheet shows at one moment: a plain value made from the session, drawn elsewhere."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from app.session import Ref, Session
from app.sketch.plates import extent, half_width
from app.sketch.shapes import Place, bones, bounds, distance, heading, polar
from solver.analysis import Analysis
from solver.errors import ThrowoverError
from solver.model import Design
from solver.project import Display

GhostKey = Literal["A", "B", "dead centre"]

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Ghost:
    """The linkage in one special pose, drawn in outline: a rest or dead centre.

    `whole` tells whether every point has its place; else only the lever's points have.
    """

    key: GhostKey
    design: Design
    places: Mapping[str, Place]
    whole: bool = True

    @property
    def label(self) -> str:
        """The words beside the ghost."""
        return "Dead centre" if self.key == "dead centre" else f"Rest {self.key}"

    @property
    def grip(self) -> Place:
        """The grip in this pose."""
        return self.places[self.design.grip]

    @property
    def pivot(self) -> Place:
        """The lever's pivot."""
        return self.places[self.design.lever_pivot()]

    @property
    def outward(self) -> float:
        """The direction (degrees) from the throw into this rest's stop, square to the lever."""
        stops = self.design.stops
        sense = 1.0 if stops.rest_b >= stops.rest_a else -1.0
        side = sense if self.key == "B" else -sense
        root, bar = self._grip_bar()
        # The bar may lean: of its two sides take the one that moves ahead.
        leading = heading(self.pivot, polar(root, 0.6 * distance(root, self.grip), bar)) + 90.0
        lean = math.remainder(bar + 90.0 - leading, 360.0)
        return bar + 90.0 * side * (1.0 if abs(lean) <= 90.0 else -1.0)

    @property
    def stop(self) -> Place:
        """Where the stop's face touches the lever."""
        root, bar = self._grip_bar()
        foot = polar(root, 0.6 * distance(root, self.grip), bar)
        width = half_width(self.design, self.design.link(self.design.lever))
        return polar(foot, width, self.outward)

    def _grip_bar(self) -> tuple[Place, float]:
        """The bar of the lever's plate that ends at the grip: its other end and its direction."""
        lever = self.design.link(self.design.lever)
        places = [self.places[name] for name in lever.points if name in self.places]
        for start, end in bones(places):
            if self.grip in (start, end) and start != end:
                root = start if end == self.grip else end
                return root, heading(root, self.grip)
        return self.pivot, heading(self.pivot, self.grip)


@dataclass(frozen=True, slots=True)
class Picture:
    """The drawn linkage in the pose shown, the ghosts, and what is selected."""

    design: Design
    places: Mapping[str, Place]
    ghosts: tuple[Ghost, ...]
    selection: frozenset[Ref]
    display: Display
    size: float
    """Diagonal (mm) of the drawn pose; symbols that scale with the linkage go by it."""

    @property
    def box(self) -> Box | None:
        """The rectangle (mm) around every point in every pose shown; None of an empty sheet."""
        places = list(self.places.values())
        for ghost in self.ghosts:
            places.extend(ghost.places.values())
        return bounds(places)

    def ghost(self, key: str) -> Ghost | None:
        """The ghost of that rest or of dead centre, if it is shown."""
        return next((ghost for ghost in self.ghosts if ghost.key == key), None)


class Ghosts:
    """The ghosts of an analysis, found once for each analysis."""

    def __init__(self) -> None:
        self._of: Analysis | None = None
        self._design: Design | None = None
        self._ghosts: tuple[Ghost, ...] = ()

    def of(self, analysis: Analysis | None, design: Design) -> tuple[Ghost, ...]:
        """The two rests and dead centre; with no analysis at all, the bare lever at its rests."""
        if analysis is None:
            return lever_ghosts(design)
        if analysis is not self._of:
            self._of, self._ghosts = analysis, _analysed(analysis)
        return self._ghosts


def _analysed(analysis: Analysis) -> tuple[Ghost, ...]:
    travels: list[tuple[GhostKey, float]] = [("A", 0.0), ("B", analysis.throw)]
    if analysis.dead_centre is not None:
        travels.append(("dead centre", analysis.dead_centre))
    return tuple(Ghost(key, analysis.design, analysis.pose_at(travel)) for key, travel in travels)


def lever_ghosts(design: Design) -> tuple[Ghost, ...]:
    """The lever alone, turned about its pivot to both rests; nothing where there is no lever."""
    try:
        pivot_name, lever = design.lever_pivot(), design.link(design.lever)
        pivot, grip = _place(design, pivot_name), _place(design, design.grip)
    except KeyError:
        return ()
    drawn = heading(pivot, grip)
    ghosts = []
    rests: tuple[tuple[GhostKey, float], ...] = (
        ("A", design.stops.rest_a),
        ("B", design.stops.rest_b),
    )
    for key, rest in rests:
        places = {}
        for name in lever.points:
            at = _place(design, name)
            places[name] = polar(pivot, distance(pivot, at), heading(pivot, at) + rest - drawn)
        ghosts.append(Ghost(key, design, places, whole=False))
    return tuple(ghosts)


def _place(design: Design, name: str) -> Place:
    point = design.point(name)
    return (point.x, point.y)


def picture_of(session: Session, ghosts: Ghosts) -> Picture:
    """What the session shows now."""
    design = session.document.design
    try:
        places = session.places()
    except ThrowoverError:
        places = {point.name: (point.x, point.y) for point in design.points}
    return Picture(
        design=design,
        places=places,
        ghosts=ghosts.of(session.analysis, design),
        selection=frozenset(session.selection),
        display=session.display,
        size=extent(design),
    )
