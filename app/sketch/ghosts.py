"""The rests and dead centre in outline, the grip's path, and the stops.

Each has its line style (dashed, chain, short dashes) and its label as well as its colour.
"""

from __future__ import annotations

from PySide6.QtGui import QColor

from app.sketch import springs, symbols
from app.sketch.picture import Ghost, Picture
from app.sketch.plates import half_width, motion_of, plate_of, stacking
from app.sketch.shapes import distance, heading, nearest_turn
from app.sketch.sheet import CHAIN, DASHED, NARROW, SHORT_DASHED, WIDE, Sheet
from app.theme import Theme

STYLES = {"A": DASHED, "B": CHAIN, "dead centre": SHORT_DASHED}


def ghost_colour(theme: Theme, key: str) -> QColor:
    """The theme's colour for a rest or for dead centre."""
    return {"A": theme.rest_a, "B": theme.rest_b}.get(key, theme.dead_centre)


def draw_ghosts(sheet: Sheet, picture: Picture, strong: frozenset[str] = frozenset()) -> None:
    """Paint the ghosts; those whose keys are in `strong` with wide lines."""
    _draw_grip_path(sheet, picture)
    for ghost in sorted(picture.ghosts, key=lambda ghost: ghost.key != "dead centre"):
        _draw_ghost(sheet, ghost, picture.size, ghost.key in strong)
    for ghost in picture.ghosts:
        if ghost.key != "dead centre":
            symbols.draw_stop(
                sheet, ghost.stop, ghost.outward, ghost_colour(sheet.theme, ghost.key)
            )


def _draw_ghost(sheet: Sheet, ghost: Ghost, size: float, strong: bool) -> None:
    colour = ghost_colour(sheet.theme, ghost.key)
    sheet.stroke(colour, WIDE if strong else 1.25 * NARROW, STYLES[ghost.key])
    for link in stacking(ghost.design):
        if len(link.points) > 1 and all(name in ghost.places for name in link.points):
            motion = motion_of(ghost.design, link, ghost.places)
            sheet.plate(plate_of(ghost.design, link), motion)
    if ghost.whole:
        for spring in ghost.design.springs:
            if springs.is_coil(spring):
                sheet.lines([[ghost.places[name] for name in springs.spring_ends(spring)]])
    width = half_width(ghost.design, ghost.design.link(ghost.design.lever))
    sheet.stroke(colour, WIDE if strong else 1.25 * NARROW)
    sheet.circle(ghost.grip, max(1.35 * width * sheet.scale, 6.0))


def _draw_grip_path(sheet: Sheet, picture: Picture) -> None:
    """The arc that the grip travels, a narrow line from rest to rest."""
    first, last = picture.ghost("A"), picture.ghost("B")
    if first is None or last is None:
        return
    stops = first.design.stops
    start = nearest_turn(heading(first.pivot, first.grip), stops.rest_a)
    sheet.stroke(sheet.theme.faint_ink, NARROW)
    sheet.arc(first.pivot, distance(first.pivot, first.grip), start, _throw(first))


def _throw(ghost: Ghost) -> float:
    return ghost.design.stops.rest_b - ghost.design.stops.rest_a
