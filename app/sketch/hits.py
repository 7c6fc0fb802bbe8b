"""What is under the cursor."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from app.session import Ref
from app.sketch import springs, symbols
from app.sketch.picture import Ghost, Picture
from app.sketch.plates import guide_half, half_width, motion_of, on_plate, plate_of, stacking
from app.sketch.shapes import distance, gap_to_segment, inside
from solver.bars import Place
from solver.model import Force, Load, TorsionSpring

REACH = 9.0
"""Pixels within which a point is hit."""


@dataclass(frozen=True, slots=True)
class Hit:
    """What was hit; `part` tells what of it where that matters."""

    ref: Ref
    part: Literal["", "stop", "ghost"] = ""


class Finder:
    """Looks for what lies at a place of a picture seen at `scale` pixels per mm."""

    def __init__(self, picture: Picture, scale: float) -> None:
        self._picture = picture
        self._scale = scale
        self._unit = min(max(scale / 2.6, 0.7), 1.7)

    def hit(self, place: Place, skip: frozenset[str] = frozenset()) -> Hit | None:
        """The uppermost thing at a place; points first. Points named in `skip` are not seen."""
        name = self.point(place, skip)
        if name is not None:
            return Hit(Ref("point", name))
        for find in (self._symbol, self._stop, self._spring, self._slider, self._ghost_grip):
            found = find(place)
            if found is not None:
                return found
        link = self.plate(place)
        if link is not None:
            return Hit(Ref("link", link))
        return self._ghost_lever(place)

    def point(self, place: Place, skip: frozenset[str] = frozenset()) -> str | None:
        """The nearest point within reach."""
        near = [
            (distance(place, at), name)
            for name, at in self._picture.places.items()
            if name not in skip
        ]
        gap, name = min(near, default=(float("inf"), ""))
        return name if gap * self._scale <= REACH else None

    def plate(self, place: Place) -> str | None:
        """The uppermost link whose plate lies at a place; the lever's knob counts as lever."""
        design, places = self._picture.design, self._picture.places
        if any(link.name == design.lever for link in design.links) and design.grip in places:
            knob = 1.35 * half_width(design, design.link(design.lever))
            if distance(place, places[design.grip]) <= max(knob, 6.0 / self._scale):
                return design.lever
        for link in reversed(stacking(design)):
            if len(link.points) > 1 and on_plate(design, link, places, place):
                return link.name
        return None

    def _symbol(self, place: Place) -> Hit | None:
        design, places = self._picture.design, self._picture.places
        for weight in design.weights:
            at = symbols.weight_centre(
                places[weight.point], design.gravity, self._scale, self._unit
            )
            if distance(place, at) * self._scale <= 11.0 * self._unit:
                return Hit(Ref("weight", weight.name))
        for load in design.loads:
            if self._on_load(load, place):
                return Hit(Ref("load", load.name))
        return None

    def _on_load(self, load: Load, place: Place) -> bool:
        design, places = self._picture.design, self._picture.places
        if isinstance(load, Force):
            start = places[load.point]
            tip = symbols.force_tip(start, load, self._scale, self._unit)
            return gap_to_segment(place, start, tip) * self._scale <= 6.0
        points = [places[name] for name in design.link(load.link).points]
        off = distance(place, symbols.longest_middle(points)) * self._scale
        return abs(off - symbols.torque_radius(self._unit)) <= 5.0

    def _spring(self, place: Place) -> Hit | None:
        places = self._picture.places
        for spring in reversed(self._picture.design.springs):
            radius = springs.coil_radius(spring, self._picture.size, self._scale)
            if isinstance(spring, TorsionSpring):
                on = distance(place, places[spring.pivot]) <= radius
            else:
                on = gap_to_segment(place, places[spring.a], places[spring.b]) <= radius
            if on:
                return Hit(Ref("spring", spring.name))
        return None

    def _slider(self, place: Place) -> Hit | None:
        places = self._picture.places
        for slider in reversed(self._picture.design.sliders):
            a, b = (places[name] for name in slider.along)
            reach = max(guide_half(self._picture.design, slider), 5.0 / self._scale)
            if gap_to_segment(place, a, b) <= reach:
                return Hit(Ref("slider", slider.name))
        return None

    def _rests(self) -> Iterator[Ghost]:
        return (ghost for ghost in self._picture.ghosts if ghost.key != "dead centre")

    def _stop(self, place: Place) -> Hit | None:
        for ghost in self._rests():
            if distance(place, ghost.stop) * self._scale <= 12.0 * self._unit:
                return Hit(Ref("rest", ghost.key), "stop")
        return None

    def _ghost_grip(self, place: Place) -> Hit | None:
        for ghost in self._rests():
            width = half_width(ghost.design, ghost.design.link(ghost.design.lever))
            if distance(place, ghost.grip) <= max(1.35 * width, REACH / self._scale):
                return Hit(Ref("rest", ghost.key), "ghost")
        return None

    def _ghost_lever(self, place: Place) -> Hit | None:
        for ghost in self._rests():
            link = ghost.design.link(ghost.design.lever)
            back = motion_of(ghost.design, link, ghost.places).back(place)
            if inside(plate_of(ghost.design, link).outline, back):
                return Hit(Ref("rest", ghost.key), "ghost")
        return None
