"""The names of the rests and of dead centre in a small picture, each at the knob that it names.

Pictures side by side all have the names in full, or all have letters for the rests.

A sketch finds names a free place somewhere near; here the lever passes everywhere between the
rests, so that a rest's name stands on the far side of its knob and that of dead centre beyond it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from PySide6.QtCore import QRectF

from app.sketch.boxes import Bar, touches_any
from app.sketch.ghosts import ghost_colour
from app.sketch.labels import bars_of
from app.sketch.picture import Ghost, Picture
from app.sketch.plates import half_width
from app.sketch.sheet import Sheet

_CENTRE = "dead centre"
_SIZE = 13
_CLEAR = 4.0
_NARROW = 240.0
"""Width of a picture (pixels) below which rests are named by their letters."""
_OUTSIDE, _OVER_NAME, _OVER_PLATE, _LATER = 8.0, 8.0, 1.0, 0.1
_WORST = 4.0
"""A name that would leave the picture or cover another one is left out."""

Vector = tuple[float, float]


def paint_ghost_names(sheet: Sheet, still: Picture, paper: QRectF, letters: bool) -> None:
    """Paint the names into the picture (pixels); `letters` names the rests by these alone."""
    for ghost, text, box in placed_names(sheet, still, paper, letters):
        sheet.text(box, text, ghost_colour(sheet.theme, ghost.key), _SIZE)


def have_room(sheet: Sheet, still: Picture, paper: QRectF) -> bool:
    """Whether both rests can be named in full, clear of every pose; else all have letters."""
    plates = pose_bars(sheet, still)
    named = {
        ghost.key
        for ghost, _, box in placed_names(sheet, still, paper, letters=False)
        if not _covers(box, plates)
    }
    rests = {ghost.key for ghost in still.ghosts if ghost.key != _CENTRE}
    return paper.width() >= _NARROW and rests <= named


def pose_bars(sheet: Sheet, still: Picture) -> list[Bar]:
    """The bars of the linkage as it is drawn, at both rests and at dead centre (pixels)."""
    poses = [replace(still, places={**still.places, **each.places}) for each in still.ghosts]
    return [bar for pose in (still, *poses) for bar in bars_of(sheet, pose)]


def placed_names(
    sheet: Sheet, still: Picture, paper: QRectF, letters: bool
) -> Iterator[tuple[Ghost, str, QRectF]]:
    """Each ghost with its name and where that stands, those that find a place."""
    plates = pose_bars(sheet, still)
    taken: list[QRectF] = []
    for ghost in sorted(still.ghosts, key=lambda ghost: ghost.key == _CENTRE):
        text = ghost.key if letters and ghost.key != _CENTRE else ghost.label
        box = _placed(sheet, still, ghost, text, paper, taken, plates)
        if box is not None:
            taken.append(box)
            yield ghost, text, box


def _placed(
    sheet: Sheet,
    still: Picture,
    ghost: Ghost,
    text: str,
    paper: QRectF,
    taken: Sequence[QRectF],
    plates: Sequence[Bar],
) -> QRectF | None:
    """The best place for a name; None where each lies outside or over another name."""
    width, height = sheet.text_size(text, _SIZE)
    found: tuple[float, QRectF] | None = None
    for place, box in enumerate(_boxes(sheet, still, ghost, width + 4.0, height)):
        cost = _LATER * place
        cost += _OUTSIDE * (not paper.contains(box))
        cost += _OVER_NAME * any(box.intersects(other) for other in taken)
        cost += _OVER_PLATE * _covers(box, plates)
        if cost < (found[0] if found else _WORST):
            found = cost, box
    return found[1] if found else None


def _covers(box: QRectF, plates: Sequence[Bar]) -> bool:
    return touches_any((box.left(), box.top(), box.width(), box.height()), plates)


def _boxes(
    sheet: Sheet, still: Picture, ghost: Ghost, width: float, height: float
) -> Iterator[QRectF]:
    """Places beside the ghost's knob, the likeliest first."""
    grip, pivot = sheet.pixels(ghost.grip), sheet.pixels(ghost.pivot)
    lever = ghost.design.link(ghost.design.lever)
    knob = max(1.35 * half_width(ghost.design, lever) * sheet.scale, 6.0) + _CLEAR
    out = _unit(grip[0] - pivot[0], grip[1] - pivot[1])
    side = _away(sheet, still, ghost, out)
    if ghost.key == _CENTRE:
        ways = [(out, 0.0), (_sum(out, side), 0.0), (_sum(out, side, -1.0), 0.0), (out, height)]
    else:
        ways = [(side, 0.0), (_sum(side, out), 0.0), (_sum(side, out, -1.0), 0.0), (out, 0.0)]
    for (dx, dy), farther in ways:
        x = grip[0] + dx * (knob + farther + width / 2.0)
        y = grip[1] + dy * (knob + farther + height / 2.0)
        yield QRectF(x - width / 2.0, y - height / 2.0, width, height)


def _away(sheet: Sheet, still: Picture, ghost: Ghost, out: Vector) -> Vector:
    """Across the lever, to the side where the other rest is not."""
    across = (-out[1], out[0])
    other = still.ghost("B" if ghost.key == "A" else "A")
    if other is None:
        return across
    there, here = sheet.pixels(other.grip), sheet.pixels(ghost.grip)
    towards = across[0] * (there[0] - here[0]) + across[1] * (there[1] - here[1])
    return (-across[0], -across[1]) if towards > 0.0 else across


def _sum(one: Vector, other: Vector, times: float = 1.0) -> Vector:
    return _unit(one[0] + times * other[0], one[1] + times * other[1])


def _unit(x: float, y: float) -> Vector:
    size = math.hypot(x, y)
    return (x / size, y / size) if size > 0.0 else (0.0, -1.0)
