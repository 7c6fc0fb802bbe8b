"""All words on the sheet: names, the cards of what studies found, the note beside the cursor.

They are placed together, so that none covers another, from what is on the sheet alone. While a
hand moves things they stay as they are, as far as they can.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QLineF, QRectF

from app.sketch.arrows import Drawn, arrow_bars, arrow_wishes
from app.sketch.boxes import Bar, Rect, overlap, within
from app.sketch.callouts import Card, Wish, held, placed
from app.sketch.grid import scale_bar_box
from app.sketch.labels import Lettering, Placed, bars_of
from app.sketch.picture import Picture
from app.sketch.room import Room
from app.sketch.sheet import NARROW, Lens, Sheet
from app.sketch.zone import zone_bars, zone_wishes
from app.theme import thinned
from solver.bars import Place, bones

if TYPE_CHECKING:
    from app.background.zones import ZoneShape
    from solver.sensitivity import Sensitivities

_PART, _EDGE, _GHOST = 3.0, 1.5, 0.25
"""What it costs to cover a part, an edge of a zone, the outline of a lever at rest."""
_MARGIN = 4.0
"""Pixels that cards stay off the edges of the view."""
_POINT = 7.0
"""Pixels around a point that cards keep off."""
_NOTE_OFF = (18.0, 22.0)
"""Pixels from the cursor to the nearest corner of the note beside it: across, down."""


@dataclass(frozen=True, slots=True)
class Found:
    """What studies found, and what lies over the sheet."""

    zone: ZoneShape | None = None
    effects: Sensitivities | None = None
    arrows: Sequence[Drawn] = ()
    held: tuple[Rect, ...] = ()
    """Boxes (pixels) that widgets on the sheet hide."""


def obstacles(lens: Lens, picture: Picture, area: Rect) -> Room:
    """The room of a sheet with the linkage on it and the scale bar."""
    left, top, width, height = area
    room = Room((left + _MARGIN, top + _MARGIN, width - 2.0 * _MARGIN, height - 2.0 * _MARGIN))
    room.names.append(scale_bar_box(lens.scale, area[1] + area[3], picture.display.units))
    room.add(bars_of(lens, picture), _PART)
    pixels = [lens.pixels(place) for place in picture.places.values()]
    room.add([(at, at, _POINT) for at in pixels], _PART)
    room.add(_ghost_bars(lens, picture), _GHOST)
    return room


def _ghost_bars(lens: Lens, picture: Picture) -> list[Bar]:
    bars: list[Bar] = []
    for ghost in picture.ghosts:
        lever = ghost.design.link(ghost.design.lever)
        pixels = [lens.pixels(ghost.places[name]) for name in lever.points if name in ghost.places]
        bars.extend((a, b, 4.0) for a, b in bones(pixels))
    return bars


class Words:
    """The words on one sheet, with what they need to stay where they are."""

    def __init__(self) -> None:
        self.names: list[Placed] = []
        self.cards: list[Card] = []
        self._lettering = Lettering()
        self._view: tuple[object, ...] = ()
        self._basis: tuple[object, ...] = ()
        self._held: tuple[Rect, ...] = ()
        self._settled = False
        self._hanging: tuple[tuple[object, ...], tuple[Wish, ...]] = ((), ())
        self._corner = 0

    def place(self, lens: Lens, picture: Picture, area: Rect, found: Found, steady: bool) -> None:
        """Find places for names and cards; with `steady` those that are there stay."""
        view = (*_numbers(lens), *area, lens.family)
        same_view, self._view = view == self._view, view
        basis = (picture, found.zone, found.effects)
        same = all(one is other for one, other in zip(basis, self._basis, strict=False))
        settled, self._settled = self._settled and found.held == self._held, not steady
        if same_view and same and self._basis and (settled or steady):
            return
        self._basis, self._held = basis, found.held
        arrows = arrow_bars(found.arrows)
        self.names = self._lettering.place(lens, picture, area, steady, arrows, found.held)
        if found.zone is None and not found.arrows:
            self.cards = []
            return
        wishes = [*self._zone_wishes(lens, found.zone, area), *arrow_wishes(lens, found.arrows)]
        if steady and same_view:
            known = {card.key for card in self.cards}
            fresh = any(wish.anchors and wish.key not in known for wish in wishes)
            room = self._room(lens, picture, area, found) if fresh else Room(area)
            self.cards = held(self.cards, wishes, room)
            return
        self.cards = placed(wishes, self._room(lens, picture, area, found))
        boxes = [card.box for card in self.cards]
        if any(overlap(name.box, box) for name in self.names for box in boxes):
            over = (*found.held, *boxes)
            self.names = self._lettering.place(lens, picture, area, steady, arrows, over)

    def _room(self, lens: Lens, picture: Picture, area: Rect, found: Found) -> Room:
        room = obstacles(lens, picture, area)
        room.cards.extend(found.held)
        room.names.extend(name.box for name in self.names if not name.covered)
        room.add(arrow_bars(found.arrows), _PART)
        if found.zone is not None:
            room.add(zone_bars(lens, found.zone), _EDGE)
        return room

    def _zone_wishes(self, lens: Lens, zone: ZoneShape | None, area: Rect) -> tuple[Wish, ...]:
        """The wishes of the zone, made anew only where zone or view are others."""
        if zone is None:
            return ()
        key = (zone, self._view)
        known, wishes = self._hanging
        if not known or known[0] is not zone or known[1] != self._view:
            wishes = zone_wishes(lens, zone, area)
            self._hanging = (key, wishes)
        return wishes

    def beside(
        self, lens: Lens, cursor: Place, text: str, area: Rect, taken: Sequence[Rect]
    ) -> Rect:
        """A box for a note beside the cursor, within `area` and clear of the boxes `taken`.

        It stays at the side of the cursor where it was for as long as that is free.
        """
        x, y = lens.pixels(cursor)
        width, height = lens.text_size(text)
        width, height = width + 14.0, height + 6.0
        across, down = _NOTE_OFF
        corners = (
            (x + across, y + down),
            (x + across, y - down - height),
            (x - across - width, y + down),
            (x - across - width, y - down - height),
        )
        order = sorted(range(len(corners)), key=lambda side: side != self._corner)
        for side in order:
            box = (*corners[side], width, height)
            if within(box, area) and not any(overlap(box, other) for other in taken):
                self._corner = side
                return box
        left, top = corners[self._corner]
        left = max(area[0], min(left, area[0] + area[2] - width))
        return (left, max(area[1], min(top, area[1] + area[3] - height)), width, height)


def _numbers(lens: Lens) -> tuple[float, float, float, float]:
    return (lens.view.m11(), lens.view.m22(), lens.view.dx(), lens.view.dy())


def draw_cards(sheet: Sheet, cards: Sequence[Card]) -> None:
    """Paint cards, each with a line to what it is about."""
    theme = sheet.theme
    for kind, colour in (("zone", theme.good), ("arrow", theme.accent)):
        lines = [_leader(card) for card in cards if card.key[0] == kind]
        sheet.stroke(colour, NARROW)
        sheet.painter.drawLines(lines)
    for card in cards:
        box = QRectF(*card.box)
        if card.key[0] == "zone":
            sheet.fill(theme.paper, theme.good)
        else:
            sheet.fill(thinned(theme.paper, theme.accent, 0.92), theme.accent)
        sheet.painter.drawRoundedRect(box, 3.0, 3.0)
        sheet.text(box, card.text, theme.ink)


def _leader(card: Card) -> QLineF:
    """From the place that a card is about to the middle of its box, which hides the end."""
    left, top, width, height = card.box
    return QLineF(card.foot[0], card.foot[1], left + width / 2.0, top + height / 2.0)
