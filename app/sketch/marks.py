"""What lies over or under the linkage to explain it: selection, hover, what a gesture shows."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor

from app.session import Ref
from app.sketch import springs, symbols
from app.sketch.body import guide_pixels, point_radius
from app.sketch.boxes import Rect
from app.sketch.hand import Feedback
from app.sketch.picture import Picture
from app.sketch.plates import motion_of, plate_of
from app.sketch.sheet import NARROW, SHORT_DASHED, WIDE, Sheet
from app.theme import thinned
from solver.model import Force

HALO = 7.0


def draw_halos(sheet: Sheet, picture: Picture, refs: Iterable[Ref], hovered: Ref | None) -> None:
    """A band of the selection's colour around selected parts, a thinner one under the cursor."""
    for ref in refs:
        _draw_halo(sheet, picture, ref, HALO, 0.5)
    if hovered is not None and hovered not in picture.selection:
        _draw_halo(sheet, picture, hovered, 0.65 * HALO, 0.3)


def _draw_halo(sheet: Sheet, picture: Picture, ref: Ref, width: float, share: float) -> None:
    """The halo of a plate, a spring or a guide; round things have rings instead."""
    design, places = picture.design, picture.places
    sheet.stroke(_tint(sheet, share), width)
    if ref.kind == "link":
        link = next((link for link in design.links[1:] if link.name == ref.name), None)
        if link is not None and len(link.points) > 1:
            motion = motion_of(design, link, places)
            sheet.plate(plate_of(design, link), motion)
    elif ref.kind == "spring":
        for spring in design.springs:
            if spring.name == ref.name and springs.is_coil(spring):
                radius = springs.coil_radius(spring, picture.size, sheet.scale) * sheet.scale
                a, b = (places[name] for name in springs.spring_ends(spring))
                sheet.band(a, b, 2.0 * radius + width, _tint(sheet, share / 2.0))
    elif ref.kind == "slider":
        for slider in design.sliders:
            if slider.name == ref.name:
                a, b = (places[name] for name in slider.along)
                half = guide_pixels(sheet, picture, slider)
                sheet.band(a, b, 2.0 * half + width, _tint(sheet, share / 2.0))


def _tint(sheet: Sheet, share: float) -> QColor:
    """The selection's colour thinned with paper; opaque, so that pieces of it may overlap."""
    return thinned(sheet.theme.selection, sheet.theme.paper, share)


def draw_rings(sheet: Sheet, picture: Picture, hovered: Ref | None, target: Ref | None) -> None:
    """Rings around selected points and loads, and around what the cursor would take."""
    for ref in picture.selection:
        _draw_ring(sheet, picture, ref, WIDE, 3.5)
    if hovered is not None and hovered not in picture.selection:
        _draw_ring(sheet, picture, hovered, NARROW, 3.5)
    if target is not None:
        _draw_ring(sheet, picture, target, 1.5 * WIDE, 6.5)


def _draw_ring(sheet: Sheet, picture: Picture, ref: Ref, width: float, gap: float) -> None:
    found = _round(sheet, picture, ref)
    if found is not None:
        sheet.stroke(sheet.theme.selection, width)
        sheet.circle(found[0], found[1] + gap)


def _round(sheet: Sheet, picture: Picture, ref: Ref) -> tuple[tuple[float, float], float] | None:
    """Centre and radius (pixels) of a thing that is shown selected by a ring."""
    design, places, unit = picture.design, picture.places, sheet.unit
    if ref.kind == "point" and ref.name in places:
        return places[ref.name], point_radius(sheet, picture, ref.name)
    if ref.kind == "spring":
        for spring in design.springs:
            if spring.name == ref.name and not springs.is_coil(spring):
                radius = springs.coil_radius(spring, picture.size, sheet.scale) * sheet.scale
                return springs.spring_middle(spring, places), radius
    if ref.kind == "weight":
        for weight in design.weights:
            if weight.name == ref.name:
                at = places[weight.point]
                return symbols.weight_centre(at, design.gravity, sheet.scale, unit), 9.0 * unit
    if ref.kind == "load":
        for load in design.loads:
            if load.name == ref.name and isinstance(load, Force):
                return symbols.force_tip(places[load.point], load, sheet.scale, unit), 4.0 * unit
            if load.name == ref.name and not isinstance(load, Force):
                points = [places[name] for name in design.link(load.link).points]
                return symbols.longest_middle(points), symbols.torque_radius(unit)
    return None


def draw_feedback(sheet: Sheet, feedback: Feedback) -> None:
    """The rubber band and the places picked so far."""
    theme = sheet.theme
    if feedback.rubber is not None:
        left, low, right, high = feedback.rubber
        tint = QColor(theme.selection)
        tint.setAlpha(28)
        sheet.fill(tint, theme.selection, NARROW)
        sheet.painter.drawRect(QRectF(sheet.at((left, high)), sheet.at((right, low))))
    if feedback.picks:
        sheet.stroke(theme.selection, WIDE, SHORT_DASHED)
        ends = [feedback.cursor] if feedback.cursor is not None else []
        sheet.lines([[*feedback.picks, *ends]])
        for place in feedback.picks:
            sheet.fill(theme.paper, theme.selection, WIDE)
            sheet.circle(place, 4.5)


def draw_note(sheet: Sheet, box: Rect, text: str) -> None:
    """A few words on a small card."""
    sheet.fill(sheet.theme.field, sheet.theme.panel_edge)
    card = QRectF(*box)
    sheet.painter.drawRoundedRect(card, 3.0, 3.0)
    sheet.text(card, text, sheet.theme.ink)
