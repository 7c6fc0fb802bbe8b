"""Links as plates: one outline per link, found once per shape and moved rigidly into each pose."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF
from PySide6.QtGui import QPolygonF

from app.sketch.shapes import Rigid, inside
from solver.bars import Line, Place, plate_outline
from solver.model import FRAME, Design, Link, Pivot, Screw, Slider
from solver.outlines import extent as size_of
from solver.outlines import half_widths, layer_of


@dataclass(frozen=True, slots=True)
class Plate:
    """The outline of one link in its drawn pose (mm): plain places, polygon, ring and edges."""

    outline: Line
    polygon: QPolygonF
    ring: QPolygonF
    """The polygon with its first corner again at the end."""
    pieces: list[QLineF]


@lru_cache(maxsize=512)
def _rounded(points: tuple[Place, ...], half_width: float) -> Plate:
    return _plate(tuple(plate_outline(points, half_width)))


@lru_cache(maxsize=512)
def _plate(outline: tuple[Place, ...]) -> Plate:
    corners = [QPointF(x, y) for x, y in outline]
    ring = corners + corners[:1]
    pieces = [QLineF(a, b) for a, b in pairwise(ring)]
    return Plate(list(outline), QPolygonF(corners), QPolygonF(ring), pieces)


@dataclass(frozen=True, slots=True)
class Spot:
    """What there is at a point, whatever the pose: lengths in mm."""

    is_pivot: bool
    """A pin: shared by two links, or the pin of a slider."""
    pin: float
    """The radius that a pin is drawn with: its own, but never as wide as the plates on it."""
    cover: float
    """Half the width of the widest moving plate; 0 where there is none."""
    screw: Screw | None


@dataclass(frozen=True, slots=True)
class Measures:
    """What the drawing of a design goes by, mm: its size, and half the width of each plate."""

    size: float
    widths: Mapping[str, float]
    spots: Mapping[str, Spot]
    drawn: Mapping[str, Place]
    stacked: tuple[Link, ...]
    """The moving links from the lowest plate to the uppermost; the lever last in its layer."""
    plates: dict[str, Plate] = field(default_factory=dict)
    """The plates that have been asked for so far, in their drawn places."""


_latest: list[tuple[Design, Measures]] = []
"""The designs drawn last. Found by identity: hashing a design costs more than measuring it."""


def measures(design: Design) -> Measures:
    """The measures of a design; many drawing functions ask for them within one painting."""
    for known, found in _latest:
        if known is design:
            return found
    drawn = {point.name: (point.x, point.y) for point in design.points}
    widths = half_widths(design)
    found = Measures(size_of(design), widths, _spots(design, widths), drawn, _stacked(design))
    _latest.insert(0, (design, found))
    del _latest[4:]
    return found


def extent(design: Design) -> float:
    """The size of the linkage: the diagonal (mm) of the rectangle around its points, 1 or more."""
    return measures(design).size


def half_width(design: Design, link: Link) -> float:
    """Half the width (mm) of a link's plate."""
    return measures(design).widths[link.name]


def spot(design: Design, name: str) -> Spot:
    """What there is at a point. KeyError for an unknown one."""
    return measures(design).spots[name]


def _spots(design: Design, widths: Mapping[str, float]) -> dict[str, Spot]:
    links: dict[str, list[Link]] = {point.name: [] for point in design.points}
    for link in design.links:
        for name in link.points:
            links.setdefault(name, []).append(link)
    sliding = {slider.point for slider in design.sliders}
    pins = {pivot.point: pivot.pin_diameter for pivot in reversed(design.pivots)}
    screws = {screw.point: screw for screw in reversed(design.screws)}
    usual = Pivot("").pin_diameter
    found = {}
    for name, those in links.items():
        radius = pins.get(name, usual) / 2.0
        plates = [link.name for link in those if link.name != FRAME and len(link.points) > 1]
        found[name] = Spot(
            is_pivot=len(those) > 1 or name in sliding,
            pin=min(radius, 0.62 * min((widths[link.name] for link in those), default=radius)),
            cover=max((widths[link] for link in plates), default=0.0),
            screw=screws.get(name),
        )
    return found


def guide_half(design: Design, slider: Slider) -> float:
    """Half the width (mm) of a slider's guide: rails as wide as a plate, a slot within one."""
    width = half_width(design, design.link(slider.guide))
    pin = min(0.9 * design.pivot_at(slider.point).pin_diameter, 0.042 * extent(design))
    return 1.05 * pin if slider.guide == FRAME else 0.58 * width


def plate_of(design: Design, link: Link) -> Plate:
    """The link's plate in its drawn place."""
    known = measures(design).plates
    if link.name not in known:
        known[link.name] = _plate_of(design, link)
    return known[link.name]


def _plate_of(design: Design, link: Link) -> Plate:
    settled = design.plate_of(link.name)
    if settled is not None and settled.outline:
        return _plate(settled.outline)
    drawn = measures(design).drawn
    points = tuple(drawn[name] for name in link.points if name in drawn)
    return _rounded(points, half_width(design, link))


def motion_of(design: Design, link: Link, places: Mapping[str, Place]) -> Rigid:
    """The motion of a link from its drawn place into the pose that `places` gives."""
    drawn = measures(design).drawn
    names = [name for name in link.points if name in drawn and name in places]
    return Rigid([drawn[name] for name in names], [places[name] for name in names])


def on_plate(design: Design, link: Link, places: Mapping[str, Place], place: Place) -> bool:
    """Whether a place lies on a link's plate in the pose that `places` gives."""
    if not link.points:
        return False
    drawn = motion_of(design, link, places).back(place)
    return inside(plate_of(design, link).outline, drawn)


def stacking(design: Design) -> tuple[Link, ...]:
    """The moving links from the lowest plate to the uppermost; the lever last in its layer."""
    return measures(design).stacked


def _stacked(design: Design) -> tuple[Link, ...]:
    def level(link: Link) -> tuple[int, bool]:
        return (layer_of(design, link.name), link.name == design.lever)

    return tuple(sorted(design.links[1:], key=level))
