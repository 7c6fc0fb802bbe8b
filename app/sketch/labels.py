"""Names on the sheet, each beside what it names and clear of the others.

The placing is plain arithmetic in pixels. While a hand moves things, labels keep the side they
have, so that nothing flickers; they are placed anew when it rests.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
from PySide6.QtCore import QRectF

from app.session import Ref
from app.sketch import springs, symbols
from app.sketch.body import point_radius
from app.sketch.boxes import Bar, Rect, crossing, overlap, pieces_of, within
from app.sketch.ghosts import ghost_colour
from app.sketch.picture import Picture
from app.sketch.plates import half_width, spot
from app.sketch.sheet import Lens, Sheet
from app.theme import thinned
from solver.bars import Place, bones
from solver.model import Force

_SIDES: tuple[tuple[float, float], ...] = (
    (0.8, -0.8),
    (1.0, 0.0),
    (-0.8, -0.8),
    (-1.0, 0.0),
    (0.8, 0.8),
    (-0.8, 0.8),
    (0.0, -1.0),
    (0.0, 1.0),
)
Rank = Literal["ghost", "point", "part"]

_COVERS_LABEL = 10.0
_COVERS_POINT = 3.0
_COVERS_BAR: dict[Rank, float] = {"ghost": 1.3, "point": 1.3, "part": 2.2}
"""A part's name is read as well a little farther off; a point's rather close to it."""
_OFF_SHEET = 6.0
_FAR = 0.8
_BESIDE = 2.0
"""Pixels that labels stay clear of plates, springs and the knob."""
_CLEAR = 3.0
"""Pixels between a knob and its own label."""
_RINGS = 3
"""Distances at which a label may stand on each side."""
CROWD = 12
"""With more labels than this the names of ordinary points stay a little fainter."""
_CROWDED, _QUIET = 0.9, 0.6
"""Shares of their ink that names have then, still 4.5 : 1 on paper, and beside what is dragged."""


@dataclass(frozen=True, slots=True)
class Label:
    """A name to place: what it names, its text, where (pixels) and how far off to stay clear."""

    key: Ref
    text: str
    x: float
    y: float
    clear: float
    rank: Rank
    width: float = 0.0
    height: float = 0.0

    def box(self, side: int) -> Rect:
        """The label's box on one side of its place; sides past the eighth are farther off."""
        ring, index = divmod(side, len(_SIDES))
        dx, dy = _SIDES[index]
        clear = self.clear + ring * self.height
        x = self.x + dx * clear + _sign(dx) * self.width / 2.0
        y = self.y + dy * clear + _sign(dy) * self.height / 2.0
        return (x - self.width / 2.0, y - self.height / 2.0, self.width, self.height)


@dataclass(frozen=True, slots=True)
class Placed:
    """A label with its side and its box.

    `covered` where no side was free of another label, or none of a part's or point's in view.
    """

    label: Label
    side: int
    covered: bool

    @property
    def box(self) -> Rect:
        """Left, top, width, height in pixels."""
        return self.label.box(self.side)


def _sign(number: float) -> float:
    return math.copysign(1.0, number) if number else 0.0


def place_labels(
    labels: Sequence[Label],
    bars: Iterable[Bar],
    sheet: Rect,
    before: Mapping[Ref, int],
    cards: Sequence[Rect] = (),
) -> list[Placed]:
    """Find each label its side: the first in the list have the first choice.

    `bars` are what the labels should keep off, `sheet` is the visible part, and
    `before` the sides that the labels had, which they keep where nothing speaks against it.
    `cards` are boxes that cover what is under them.
    """
    ends, half = pieces_of(list(bars))
    sides = range(_RINGS * len(_SIDES))
    placed: list[Placed] = []
    taken: list[Rect] = list(cards)
    for label in labels:
        through = crossing(np.array([label.box(side) for side in sides]), ends, half)
        bars_there = through.sum(axis=1).tolist()
        costs = [
            _cost(label, index, taken, labels, bars_there[index], sheet)
            - 0.5 * (before.get(label.key) == index)
            for index in sides
        ]
        side = min(range(len(costs)), key=costs.__getitem__)
        cut = label.rank != "ghost" and not within(label.box(side), sheet)
        covered = cut or costs[side] >= _COVERS_LABEL - 0.5
        placed.append(Placed(label, side, covered))
        if not placed[-1].covered:
            taken.append(placed[-1].box)
    return placed


def _cost(
    label: Label,
    side: int,
    taken: Sequence[Rect],
    labels: Sequence[Label],
    bars: int,
    sheet: Rect,
) -> float:
    """What a side costs at which the label lies on so many bars."""
    box = label.box(side)
    ring, index = divmod(side, len(_SIDES))
    cost = 0.06 * index + _FAR * ring
    cost += _COVERS_LABEL * sum(overlap(box, other) for other in taken)
    if not within(box, sheet):
        cost += _OFF_SHEET
    cost += _COVERS_POINT * sum(
        box[0] - 4.0 < other.x < box[0] + box[2] + 4.0
        and box[1] - 4.0 < other.y < box[1] + box[3] + 4.0
        for other in labels
        if other is not label
    )
    return cost + _COVERS_BAR[label.rank] * bars


def labels_of(sheet: Lens, picture: Picture) -> list[Label]:
    """Every name that the picture calls for, the most important first."""
    knob, grip = _knob(sheet, picture), picture.design.grip
    found = [
        _label(sheet, Ref("rest", ghost.key), ghost.label, ghost.grip, knob, "ghost")
        for ghost in picture.ghosts
    ]
    for name, place in picture.places.items():
        if name == grip:
            clear = knob
        else:
            here = spot(picture.design, name)
            radius = max(here.pin * sheet.scale, point_radius(sheet, picture, name))
            clear = max(min(max(here.cover * sheet.scale, radius) + 3.0, 30.0), 7.0)
        found.append(_label(sheet, Ref("point", name), name, place, clear, "point"))
    found.extend(_part_labels(sheet, picture))
    return found


def _knob(sheet: Lens, picture: Picture) -> float:
    design = picture.design
    try:
        width = half_width(design, design.link(design.lever))
    except KeyError:
        width = 5.0
    return max(1.35 * width * sheet.scale, 6.0) + _CLEAR


def _part_labels(sheet: Lens, picture: Picture) -> list[Label]:
    design, places, unit = picture.design, picture.places, sheet.unit
    found = []
    for spring in design.springs:
        middle = springs.spring_middle(spring, places)
        clear = springs.coil_radius(spring, picture.size, sheet.scale) * sheet.scale + 4.0
        found.append((Ref("spring", spring.name), middle, clear))
    for weight in design.weights:
        at = symbols.weight_centre(places[weight.point], design.gravity, sheet.scale, unit)
        found.append((Ref("weight", weight.name), at, 10.0 * unit))
    for load in design.loads:
        if isinstance(load, Force):
            at = symbols.force_tip(places[load.point], load, sheet.scale, unit)
            found.append((Ref("load", load.name), at, 5.0 * unit))
        else:
            link = design.link(load.link)
            at = symbols.longest_middle([places[name] for name in link.points])
            found.append((Ref("load", load.name), at, symbols.torque_radius(unit) + 4.0))
    return [_label(sheet, ref, ref.name, at, clear, "part") for ref, at, clear in found]


def _label(sheet: Lens, key: Ref, text: str, at: Place, clear: float, rank: Rank) -> Label:
    x, y = sheet.pixels(at)
    width, height = sheet.text_size(text, _pixels(rank))
    return Label(key, text, x, y, clear, rank, width + 6.0, height)


def _pixels(rank: Rank) -> int:
    return 13 if rank == "ghost" else 12


def bars_of(sheet: Lens, picture: Picture) -> list[Bar]:
    """What labels keep off."""
    design = picture.design
    pixels = {name: sheet.pixels(place) for name, place in picture.places.items()}
    bars: list[Bar] = []
    for link in design.links[1:]:
        half = half_width(design, link) * sheet.scale + _BESIDE
        ends = bones([pixels[name] for name in link.points if name in pixels])
        bars.extend((a, b, half) for a, b in ends)
    for spring in design.springs:
        if springs.is_coil(spring):
            a, b = springs.spring_ends(spring)
            coil = springs.coil_radius(spring, picture.size, sheet.scale) * sheet.scale + _BESIDE
            bars.append((pixels[a], pixels[b], coil))
    for name in design.links[0].points if design.links else ():
        if name in pixels and (here := spot(design, name)).is_pivot:
            left, right = symbols.pivot_ground(pixels[name], here.cover * sheet.scale, sheet.unit)
            bars.append((left, right, symbols.HATCH * sheet.unit))
    knobs = [ghost.grip for ghost in picture.ghosts]
    if design.grip in pixels:
        knobs.append(picture.places[design.grip])
    radius = _knob(sheet, picture) - _CLEAR
    bars.extend((sheet.pixels(at), sheet.pixels(at), radius) for at in knobs)
    return bars


class Lettering:
    """The labels on the sheet and the sides they were given."""

    def __init__(self) -> None:
        self._sides: dict[Ref, int] = {}
        self._covered: set[Ref] = set()

    def place(
        self,
        sheet: Lens,
        picture: Picture,
        area: Rect,
        steady: bool,
        arrows: Sequence[Bar] = (),
        cards: Sequence[Rect] = (),
    ) -> list[Placed]:
        """The placed labels; with `steady` they keep the sides that they have.

        Else the sides follow from what is on the sheet alone, whatever was there before.
        `arrows` are more to keep off, `cards` boxes that would cover a label.
        """
        labels = labels_of(sheet, picture)
        if steady and all(label.key in self._sides for label in labels):
            return [
                Placed(label, self._sides[label.key], label.key in self._covered)
                for label in labels
            ]
        bars = [*bars_of(sheet, picture), *arrows]
        placed = place_labels(labels, bars, area, self._sides if steady else {}, cards)
        self._sides = {each.label.key: each.side for each in placed}
        self._covered = {each.label.key for each in placed if each.covered}
        return placed


def draw_labels(
    sheet: Sheet, placed: Sequence[Placed], strong: frozenset[Ref], quiet: bool = False
) -> None:
    """Paint labels: those in `strong` in full ink and above all; covered ones only if strong."""
    crowded = sum(each.label.rank != "ghost" for each in placed) > CROWD
    for each in sorted(placed, key=lambda each: each.label.key in strong):
        stressed = each.label.key in strong
        if stressed or not each.covered:
            _draw_label(sheet, each, stressed, _QUIET if quiet else _CROWDED if crowded else 1.0)


def _draw_label(sheet: Sheet, placed: Placed, stressed: bool, share: float) -> None:
    theme, rank = sheet.theme, placed.label.rank
    box = QRectF(*placed.box)
    sheet.scrap(box, 235 if stressed else 165)
    colour = theme.ink if stressed else theme.faint_ink
    if rank == "ghost":
        colour = ghost_colour(theme, placed.label.key.name)
    elif share < 1.0 and not stressed:
        colour = thinned(colour, theme.paper, share)
    sheet.text(box, placed.label.text, colour, _pixels(rank))
