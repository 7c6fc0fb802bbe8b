"""The linkage in the pose shown: frame, plates, sliders, springs, pins, loads."""

from __future__ import annotations

from app.sketch import springs, symbols
from app.sketch.picture import Picture
from app.sketch.plates import guide_half, half_width, motion_of, plate_of, spot, stacking
from app.sketch.sheet import WIDE, Lens, Sheet
from solver.model import FRAME, Force, Link, Slider
from solver.screws import threads

_LEAST_PIN = 3.8
"""Pixels; the least radius of a drawn pin."""


def draw_body(sheet: Sheet, picture: Picture) -> None:
    """Paint the linkage from the ground up."""
    _draw_frame(sheet, picture)
    _draw_sliders(sheet, picture, on_frame=True)
    for link in stacking(picture.design):
        _draw_plate(sheet, picture, link)
    _draw_sliders(sheet, picture, on_frame=False)
    _draw_grip(sheet, picture)
    for spring in picture.design.springs:
        springs.draw_spring(
            sheet, picture.design, spring, picture.places, picture.size, sheet.theme.spring
        )
    _draw_points(sheet, picture)
    _draw_pins(sheet, picture)
    _draw_loads(sheet, picture)


def point_radius(sheet: Lens, picture: Picture, name: str) -> float:
    """The drawn radius of a point, pixels: of its pin, of its screw's washer, or of a dot.

    A pin is drawn to scale, but never too small to see or to hit.
    """
    here = spot(picture.design, name)
    if here.is_pivot:
        return max(here.pin * sheet.scale, _LEAST_PIN)
    if here.screw is None or here.screw.thread not in threads():
        return 3.6 * sheet.unit
    return max(threads()[here.screw.thread].washer / 2.0 * sheet.scale, 5.0 * sheet.unit)


def _guide_points(picture: Picture) -> set[str]:
    """Points that only carry a slider's guide on the frame: the rails show them."""
    return {name for slider in picture.design.sliders for name in slider.along}


def _draw_frame(sheet: Sheet, picture: Picture) -> None:
    design, places = picture.design, picture.places
    rails = _guide_points(picture)
    for name in design.links[0].points if design.links else ():
        if name not in places:
            continue
        here = spot(design, name)
        if here.is_pivot:
            symbols.draw_frame_pivot(sheet, places[name], here.cover * sheet.scale)
        elif name not in rails and here.screw is None:
            symbols.draw_frame_anchor(sheet, places[name])


def _draw_plate(sheet: Sheet, picture: Picture, link: Link) -> None:
    if len(link.points) < 2:
        return
    theme = sheet.theme
    lever = link.name == picture.design.lever
    sheet.stroke(theme.lever_edge if lever else theme.plate_edge, 1.25 * WIDE if lever else WIDE)
    sheet.plate(
        plate_of(picture.design, link),
        motion_of(picture.design, link, picture.places),
        theme.lever_plate if lever else theme.plate,
    )


def _draw_sliders(sheet: Sheet, picture: Picture, on_frame: bool) -> None:
    """Rails with their blocks lie under the plates, slots with theirs upon them."""
    for slider in picture.design.sliders:
        if (slider.guide == FRAME) != on_frame:
            continue
        a, b = (picture.places[name] for name in slider.along)
        half = guide_pixels(sheet, picture, slider)
        if on_frame:
            symbols.draw_rails(sheet, a, b, half)
        else:
            symbols.draw_slot(sheet, a, b, half)
        symbols.draw_block(sheet, picture.places[slider.point], a, b, half)


def guide_pixels(sheet: Sheet, picture: Picture, slider: Slider) -> float:
    """Half the width of a slider's guide, pixels."""
    return max(guide_half(picture.design, slider) * sheet.scale, 5.0)


def _draw_grip(sheet: Sheet, picture: Picture) -> None:
    design = picture.design
    if design.grip not in picture.places:
        return
    try:
        width = half_width(design, design.link(design.lever))
    except KeyError:
        return
    theme = sheet.theme
    radius = max(1.35 * width * sheet.scale, 6.0)
    place = picture.places[design.grip]
    symbols.draw_grip(sheet, place, radius, theme.lever_plate, theme.lever_edge)


def _draw_points(sheet: Sheet, picture: Picture) -> None:
    """Marks of the points that are no pins: anchors, corners, ends."""
    frame = set(picture.design.links[0].points) if picture.design.links else set()
    for name, place in picture.places.items():
        here = spot(picture.design, name)
        if name != picture.design.grip and not here.is_pivot:
            colour = sheet.theme.frame if name in frame else sheet.theme.plate_edge
            if here.screw is None:
                symbols.draw_dot(sheet, place, colour)
            else:
                washer = point_radius(sheet, picture, name)
                symbols.draw_screw(sheet, place, 0.5 * washer, washer, colour)


def _draw_pins(sheet: Sheet, picture: Picture) -> None:
    for name, place in picture.places.items():
        if spot(picture.design, name).is_pivot:
            symbols.draw_pin(sheet, place, point_radius(sheet, picture, name), sheet.theme.ink)
        if name in picture.design.outputs:
            symbols.draw_output_mark(sheet, place, point_radius(sheet, picture, name))


def _draw_loads(sheet: Sheet, picture: Picture) -> None:
    design, places, theme = picture.design, picture.places, sheet.theme
    for weight in design.weights:
        symbols.draw_weight(sheet, places[weight.point], design.gravity, theme.ink)
    for load in design.loads:
        if isinstance(load, Force):
            symbols.draw_force(sheet, places[load.point], load, theme.ink)
            continue
        points = [places[name] for name in design.link(load.link).points if name in places]
        symbols.draw_torque(sheet, symbols.longest_middle(points), load.torque >= 0.0, theme.ink)
