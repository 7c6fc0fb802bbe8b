"""The go zone on the sheet: where the selected point may lie, and what ends it where."""

from __future__ import annotations

import math
from collections import Counter
from functools import lru_cache
from itertools import pairwise

from PySide6.QtCore import QLineF, QPointF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPolygonF

from app.background.zones import Ring, ZoneEdge, ZoneShape
from app.sketch.boxes import Bar, Rect
from app.sketch.callouts import PAD, Anchor, Wish
from app.sketch.shapes import inside
from app.sketch.sheet import NARROW, SHORT_DASHED, WIDE, Lens, Sheet
from solver.bars import Place

_TINT, _TINT_DARK = 44, 72
"""Opacity of the zone, of 255; on dark paper more of a light colour is needed to be seen."""
_HATCH = 110
"""Opacity of the hatching where the tolerances are survived too."""
_BROAD = 15.0
"""Pixels that a zone on a line is drawn wide where it survives the tolerances."""
_OFF = 12.0
"""Pixels from an edge to the words beside it."""
_HANGERS = 8
"""Places along an edge that its words may hang on."""
_PIECES = 12
"""Straight pieces that an edge is taken for where words keep off it."""
_CLEAR = 2.0
"""Pixels that words stay clear of an edge."""

_Outline = tuple[QPolygonF, list[QLineF]]
"""A line in mm, and its pieces."""


def draw_zone(sheet: Sheet, zone: ZoneShape) -> None:
    """The tinted zone with its edges; the part that survives the tolerances hatched."""
    tone = sheet.theme.good
    tint = _TINT_DARK if sheet.theme.paper.lightness() < 128 else _TINT
    _fill(sheet, zone.holds, QBrush(_thin(tone, tint)))
    for lines, width in ((zone.hold_lines, _BROAD - 6.0), (zone.survive_lines, _BROAD)):
        sheet.stroke(_thin(tone, _HATCH), width)
        sheet.lines(lines)
    if zone.survives:
        hatching = QBrush(_thin(tone, _HATCH), Qt.BrushStyle.BDiagPattern)
        _fill(sheet, zone.survives, hatching)
        sheet.stroke(tone, NARROW, SHORT_DASHED)
        sheet.lines(zone.survives)
    sheet.stroke(tone, WIDE)
    sheet.lines(edge.line for edge in zone.edges if edge.label)


def draw_zone_edges(sheet: Sheet, zone: ZoneShape) -> None:
    """The edges once more, narrow, upon the parts that hide them; they lie still in a drag."""
    held, survived = _edges(zone)
    sheet.stroke(sheet.theme.good, 1.25 * NARROW)
    for ring, pieces in held:
        sheet.outline(ring, pieces)
    sheet.stroke(sheet.theme.good, 1.25 * NARROW, SHORT_DASHED)
    for ring, pieces in survived:
        sheet.outline(ring, pieces)


@lru_cache(maxsize=4)
def _edges(zone: ZoneShape) -> tuple[list[_Outline], list[_Outline]]:
    """Of a zone's own edges, and of the part that survives the tolerances."""
    held = [*(edge.line for edge in zone.edges if edge.label), *zone.hold_lines]
    survived = (*zone.survives, *zone.survive_lines)
    return [_outline(line) for line in held], [_outline(line) for line in survived]


def _outline(line: Ring) -> _Outline:
    places = [QPointF(*place) for place in line]
    return QPolygonF(places), [QLineF(a, b) for a, b in pairwise(places)]


def told_of(zone: ZoneShape, place: Place | None) -> str:
    """What the drawing means, and in which part of it the point is."""
    sentence = zone.sentence()
    if place is None or not zone.holds:
        return sentence
    if _within(zone.survives, place):
        return f"{sentence} Now it is in the hatched part."
    if not _within(zone.holds, place):
        return f"{sentence} Now it is outside."
    return f"{sentence} Now it is in the zone{', not hatched' if zone.survives else ''}."


def _within(rings: tuple[Ring, ...], place: Place) -> bool:
    """Whether a place lies in an odd number of rings: inner ones are holes."""
    return sum(inside(ring, place) for ring in rings) % 2 == 1


def zone_wishes(lens: Lens, zone: ZoneShape, area: Rect) -> tuple[Wish, ...]:
    """The cards that say what ends the zone, on the edges that are in `area` (pixels)."""
    middle = _middle(lens, zone)
    seen: Counter[str] = Counter()
    wishes = []
    for edge in zone.edges:
        if edge.label_at is not None:
            # By its words and not its place among the edges, a card is known in the next zone.
            wishes.append(_wish(lens, edge, middle, area, seen[edge.label]))
            seen[edge.label] += 1
    return tuple(wishes)


def _wish(lens: Lens, edge: ZoneEdge, middle: Place, area: Rect, number: int) -> Wish:
    """The words of one edge; they like to lie on the side away from the zone's middle."""
    step = max(len(edge.line) // _HANGERS, 1)
    anchors = []
    for place in (edge.label_at or edge.line[0], *edge.line[::step]):
        x, y = lens.pixels(place)
        if area[0] <= x <= area[0] + area[2] and area[1] <= y <= area[1] + area[3]:
            dx, dy = x - middle[0], y - middle[1]
            size = math.hypot(dx, dy)
            away = (dx / size, dy / size) if size > 0.0 else (0.0, 1.0)
            anchors.append(Anchor((x, y), away, _OFF))
    width, height = lens.text_size(edge.label)
    key = ("zone", f"{edge.label} {number}")
    return Wish(key, edge.label, width + 2.0 * PAD, height + 4.0, tuple(anchors))


def zone_bars(lens: Lens, zone: ZoneShape) -> list[Bar]:
    """The zone's edges, pixels: words should not lie upon them."""
    bars: list[Bar] = []
    for edge in zone.edges:
        step = max(len(edge.line) // _PIECES, 1)
        places = [lens.pixels(place) for place in (*edge.line[::step], edge.line[-1])]
        bars.extend((a, b, _CLEAR) for a, b in pairwise(places))
    return bars


def _middle(lens: Lens, zone: ZoneShape) -> Place:
    """The middle (pixels) of the box around the zone; labels stand on the other side of edges."""
    places = [place for edge in zone.edges for place in edge.line]
    if not places:
        return (0.0, 0.0)
    xs, ys = zip(*places, strict=True)
    return lens.pixels((0.5 * (min(xs) + max(xs)), 0.5 * (min(ys) + max(ys))))


def _fill(sheet: Sheet, rings: tuple[Ring, ...], brush: QBrush) -> None:
    """Fill without smoothing: an edge is drawn over it."""
    path = QPainterPath()
    for ring in rings:
        path.addPolygon(QPolygonF([sheet.at(place) for place in ring]))
    sheet.painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    sheet.painter.fillPath(path, brush)
    sheet.painter.setRenderHint(QPainter.RenderHint.Antialiasing)


def _thin(colour: QColor, opacity: int) -> QColor:
    made = QColor(colour)
    made.setAlpha(opacity)
    return made
