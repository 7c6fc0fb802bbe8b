"""What the sheet shows at one moment: a plain value made from the session, drawn elsewhere."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Literal

from app.session import Ref, Session
from app.sketch.plates import extent, half_width, measures
from app.sketch.shapes import bounds, distance, heading, polar
from solver import units
from solver.analysis import Analysis
from solver.bars import Place, bones
from solver.model import Design, Link
from solver.parts import FIELDS, Part, name_of, parts, references
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
    poses = analysis.poses_at([travel for _, travel in travels])
    return tuple(
        Ghost(key, analysis.design, places) for (key, _), places in zip(travels, poses, strict=True)
    )


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


def drawable(design: Design) -> Design:
    """The design without what cannot be drawn: a file may refer to parts that it does not have.

    The design itself where all is well. What is wrong with it, the analysis says.
    """
    points = {p.name for p in design.points if math.isfinite(p.x) and math.isfinite(p.y)}
    links = {link.name for link in design.links if points.intersection(link.points)}
    known: dict[str, set[str]] = {"point": points, "link": links}
    changed: dict[str, tuple[object, ...]] = {}
    for kind, field in FIELDS.items():
        those = parts(design, kind)
        kept = tuple(part for part in those if isinstance(part, Link) or _known(part, known))
        if kind == "point":
            kept = tuple(point for point in those if name_of(point) in points)
        elif kind == "link":
            kept = tuple(_with_known_points(link, points) for link in design.links)
        if kept != those:
            changed[field] = kept
    return replace(design, **changed) if changed else design  # type: ignore[arg-type]


def _known(part: Part, known: Mapping[str, set[str]]) -> bool:
    return all(name in known.get(kind, ()) for kind, name in references(part))


def _with_known_points(link: Link, points: set[str]) -> Link:
    if points.issuperset(link.points):
        return link
    return replace(link, points=tuple(name for name in link.points if name in points))


def place_told(name: str, picture: Picture) -> str:
    """A point's name and place in words, for the status bar and who listens to it."""
    x, y = picture.places[name]
    across, up = (units.show(value, "length", picture.display) for value in (x, y))
    return f"{name}: x {across}, y {up}"


class Pictures:
    """Makes the picture of what the session shows, anew only where that is something else."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._ghosts = Ghosts()
        self._basis: tuple[object, ...] = ()
        self._picture: Picture | None = None

    def now(self) -> Picture:
        """What the session shows now."""
        session = self._session
        basis = (
            *(session.document.design, session.analysis, session.direction),
            *(session.selection, session.display),
        )
        # By identity: comparing two designs costs more than drawing one.
        same = all(one is other for one, other in zip(basis, self._basis, strict=False))
        if self._picture is None or not same:
            self._basis, self._picture = basis, self._made()
        return self._picture

    def _made(self) -> Picture:
        session = self._session
        design = session.document.design
        if session.problem is not None:  # what can be solved can be drawn
            design = drawable(design)
        known = measures(design).drawn
        return Picture(
            design=design,
            places={name: at for name, at in session.places().items() if name in known},
            ghosts=self._ghosts.of(session.analysis, design),
            selection=frozenset(session.selection),
            display=session.display,
            size=extent(design),
        )
