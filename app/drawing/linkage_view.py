"""The linkage on paper: rest A in full line, rest B in phantom outline, dead centre as axes."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from app.drawing import symbols
from app.drawing.dimension_parts import heading, polar
from app.drawing.model import Arc, Circle, Element, Layer, Place, Polyline
from app.drawing.poses import Posed, View, frame_points, moving_links, place_of
from solver.bars import bones, capsule
from solver.holes import clearance_hole, pin_at, slots, whole_plate
from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Spring,
    TorsionSpring,
)
from solver.outlines import half_widths, polygon
from solver.screws import screw_at
from solver.stop_pins import stop_pins
from solver.torsion_shape import Places, coil_of, leg_in, legs

_GRIP = 0.9
"""Radius of the drawn knob at the grip over half the lever's width."""
_SAME = 0.05
"""Lines nearer (mm) to each other than this are one."""
_LEAST_PIECE = 0.4
"""Shorter pieces (mm) of a cut outline are left out."""
_AXIS_END = (0.5, 0.9)
"""Least and greatest radius (mm) of the circle at a hole on an axis of dead centre,"""
_AXIS_PIN = 1.8
"""and what it is in the linkage: less than of any pin."""
_LEAST_COIL = 1.0
"""Half of the least width (mm) at which coils can be told on paper."""


def draw_linkage(posed: Posed, view: View) -> list[Element]:
    """Everything of the linkage but dimensions and names."""
    plates = _plates(posed.at_a, view)
    covered = shapely.union_all([shape for _, shape in plates])
    return [
        *_phantoms(posed, view, covered),
        *_frame(posed.at_a, view),
        *_outlines([*_frame_plate(posed.at_a, view), *plates]),
        *_sliders(posed.at_a, view),
        *_springs(posed.at_a, view),
        *_holes(posed.at_a, view),
        *_loads(posed.at_a, view),
        *_lever_lines(posed, view),
        *_stops(posed.at_a, view),
    ]


def _plates(design: Design, view: View) -> list[tuple[str, shapely.Polygon]]:
    """The plates of the links that move, on paper, the lowest first."""
    return [
        (link.name, shapely.transform(polygon(design, link.name), lambda xy: _all_on(view, xy)))
        for link in moving_links(design)
    ]


def _frame_plate(design: Design, view: View) -> list[tuple[str, shapely.Polygon]]:
    """The frame's plate on paper, where it has one; it lies under all others."""
    if design.plate_of(FRAME) is None:
        return []
    shape = whole_plate(design, FRAME)
    return [(FRAME, shapely.transform(shape, lambda xy: _all_on(view, xy)))]


def _all_on(view: View, places: object) -> object:
    return view.scale * places + view.at  # type: ignore[operator]


def _outlines(plates: list[tuple[str, shapely.Polygon]]) -> Iterator[Element]:
    """Visible edges in full line; what lies under a plate above in dashed line."""
    for index, (_, shape) in enumerate(plates):
        above = shapely.union_all([other for _, other in plates[index + 1 :]])
        edge = shape.exterior
        # A little under the edge of the plate above is not hidden, but the same line.
        yield from _pieces(edge.difference(above), Layer.OUTLINE)
        yield from _pieces(edge.intersection(above.buffer(-0.05)), Layer.HIDDEN)


def _pieces(lines: shapely.Geometry, layer: Layer) -> Iterator[Element]:
    merged = shapely.line_merge(lines) if lines.geom_type == "MultiLineString" else lines
    for part in shapely.get_parts(merged):
        if part.geom_type not in ("LineString", "LinearRing") or part.length < _LEAST_PIECE:
            continue
        places = [(float(x), float(y)) for x, y in shapely.get_coordinates(part)]
        closed = places[0] == places[-1]
        yield Polyline(layer, tuple(places[:-1] if closed else places), closed=closed)


def _phantoms(posed: Posed, view: View, covered: shapely.Geometry) -> Iterator[Element]:
    """Rest B in outline and dead centre as axes, where rest A does not lie over them.

    Outlines of both would be a thicket around links that hardly move between them.
    """
    hidden = covered.buffer(0.6)
    for _, shape in _plates(posed.at_b, view):
        yield from _pieces(shape.exterior.difference(hidden), Layer.PHANTOM)
    for axis in _spring_axes(posed.at_b, view):
        yield from _pieces(axis.difference(hidden), Layer.PHANTOM)
    if posed.at_centre is not None:
        yield from _axes(posed.at_a, posed.at_centre, view)


def _axes(before: Design, design: Design, view: View) -> Iterator[Element]:
    """Each link's axes from hole to hole with a small circle at those that have moved."""
    least, most = _AXIS_END
    radius = min(max(view.scale * _AXIS_PIN, least), most)
    held = {
        name: view(place_of(design, name)) for link in moving_links(design) for name in link.points
    }
    ends = {
        name: place
        for name, place in held.items()
        if math.dist(place, view(place_of(before, name))) > radius
    }
    rings = shapely.union_all([shapely.Point(place).buffer(radius) for place in ends.values()])
    axes = _link_axes(design, view)
    for axis in (*axes, *_spring_axes(design, view)):
        yield from _pieces(axis.difference(rings), Layer.DEAD_CENTRE)
    for place in ends.values():
        yield Circle(Layer.THIN, place, radius)  # too small for dashes


def _link_axes(design: Design, view: View) -> list[shapely.LineString]:
    """The straight lines that tie the holes of each link that moves together, on paper."""
    return [
        shapely.LineString(bone)
        for link in moving_links(design)
        for bone in bones([view(place_of(design, name)) for name in link.points])
        if bone[0] != bone[1]
    ]


def _spring_axes(design: Design, view: View) -> list[shapely.LineString]:
    return [
        shapely.LineString([view(place_of(design, end)) for end in (spring.a, spring.b)])
        for spring in design.springs
        if not isinstance(spring, TorsionSpring)
    ]


def _frame(design: Design, view: View) -> Iterator[Element]:
    """The ground under each of the frame's points, where the frame is no plate."""
    if design.plate_of(FRAME) is not None:
        return
    widths = half_widths(design)
    for name in frame_points(design):
        over = [widths[link] for link in design.links_at(name) if link != FRAME]
        pin = pin_at(design, name) or 0.0
        cover = view.scale * max((*over, pin / 2.0))
        yield from symbols.ground(view(place_of(design, name)), cover)


def _sliders(design: Design, view: View) -> Iterator[Element]:
    """Slots in plates; rails and a block for a guide on a frame that is no plate."""
    for slider in design.sliders:
        a, b = (view(place_of(design, name)) for name in slider.along)
        half = view.scale * design.pivot_at(slider.point).pin_diameter / 2.0
        if slider.guide == FRAME and design.plate_of(FRAME) is None:
            yield from symbols.rails(a, b, half + 1.5)
            yield _block(view(place_of(design, slider.point)), heading(a, b), half + 1.5)
    for link in design.links:
        if link.name == FRAME and design.plate_of(FRAME) is None:
            continue
        for slot in slots(design, link.name):
            a, b = view(slot.a), view(slot.b)
            outline = capsule(a, b, view.scale * slot.width / 2.0, 16)
            yield Polyline(Layer.HOLES, tuple(outline), closed=True)


def _block(pin: Place, along: float, half: float) -> Polyline:
    corners = [
        polar(polar(pin, 1.6 * half, along + turn), half - 0.4, along + side)
        for turn, side in ((0.0, 90.0), (0.0, -90.0), (180.0, -90.0), (180.0, 90.0))
    ]
    return Polyline(Layer.OUTLINE, tuple(corners), closed=True)


def _springs(design: Design, view: View) -> Iterator[Element]:
    for spring in design.springs:
        yield from spring_symbol(design, spring, view)


def spring_symbol(design: Design, spring: Spring, view: View) -> Iterator[Element]:
    """A spring between its anchors; as wide as it is where that is known, else as a mere sign.

    A torsion spring is drawn as it is, or as it is taken to be, its legs against their pins.
    """
    if isinstance(spring, TorsionSpring):
        coil = coil_of(design, spring)
        yield from symbols.torsion_spring(
            view(place_of(design, spring.pivot)),
            max(0.5 * view.scale * coil.mean, _LEAST_COIL),
            view.scale * coil.wire,
            [(view(start), view(end)) for start, end in leg_lines(design, spring)],
        )
        return
    a, b = (view(place_of(design, name)) for name in (spring.a, spring.b))
    length = math.dist(a, b)
    if length < 1.0:
        return
    outside = spring.outside_diameter
    own = None if outside is None else max(0.5 * view.scale * outside, _LEAST_COIL)
    lead = min(0.3 * length, view.scale * spring.fittings / 2.0)
    half = own or min(5.0, max(1.5, 0.07 * length))
    if isinstance(spring, ExtensionSpring):
        yield from symbols.extension_spring(a, b, lead, half)
    elif isinstance(spring, CompressionSpring):
        yield from symbols.compression_spring(a, b, lead, half)


def leg_lines(design: Design, spring: TorsionSpring) -> Iterator[tuple[Place, Place]]:
    """Where leg A and leg B leave the coils' mean circle, and where they end, mm in the model."""
    axis = _complex(design, spring.pivot)
    for leg in legs(design, spring):
        feet, ways, long = leg_in(design, spring, leg, axis, _complex(design, leg.point))
        foot, tip = complex(feet[0]), complex((feet + long * ways)[0])
        yield (foot.real, foot.imag), (tip.real, tip.imag)


def _complex(design: Design, point: str) -> Places:
    return np.array([complex(*place_of(design, point))])


def _holes(design: Design, view: View) -> Iterator[Element]:
    """Holes as circles with centre lines; other points as small crosses; the grip as a knob."""
    widths = half_widths(design)
    slot_ends = {name for slider in design.sliders for name in slider.along}
    for point in design.points:
        place, pin = view(place_of(design, point.name)), pin_at(design, point.name)
        reach = 0.0
        if point.name == design.grip:
            yield Circle(Layer.THIN, place, view.scale * _GRIP * widths[design.lever])
            reach = view.scale * widths[design.lever]
        if pin is None and (screw := screw_at(design, point.name)) is not None:
            pin = clearance_hole(screw.thread)
        if pin is not None:
            radius = view.scale * pin / 2.0
            yield Circle(Layer.HOLES, place, radius)
            yield from symbols.centre_marks(place, max(radius, reach) + 2.0)
        elif point.name not in slot_ends:
            yield from symbols.cross(place, 1.5, Layer.THIN)


def _loads(design: Design, view: View) -> Iterator[Element]:
    for load in design.loads:
        if isinstance(load, Force):
            place = view(place_of(design, load.point))
            yield from symbols.force_arrow(place, math.degrees(math.atan2(load.y, load.x)))
    for weight in design.weights:
        yield from symbols.weight(view(place_of(design, weight.point)), design.gravity.direction)


def grip_radius(design: Design) -> float:
    """From the lever's pivot to the grip, mm."""
    return math.dist(place_of(design, design.lever_pivot()), place_of(design, design.grip))


def _lever_lines(posed: Posed, view: View) -> Iterator[Element]:
    """The path of the grip, and the lever's axis in each of the poses."""
    design, stops = posed.design, posed.design.stops
    pivot, radius = view(place_of(design, design.lever_pivot())), view.scale * grip_radius(design)
    low, high = sorted((stops.rest_a, stops.rest_a + posed.analysis.sense * posed.analysis.throw))
    yield Arc(Layer.CENTRES, pivot, radius, low, high)
    drawn = shapely.union_all(_centre_axes(posed, view)).buffer(_SAME)
    for direction in lever_directions(posed).values():
        end = polar(pivot, radius + axis_reach(design, view), direction)
        # Where the axis of dead centre runs, no second line with other dashes lies on it.
        yield from _pieces(shapely.LineString([pivot, end]).difference(drawn), Layer.CENTRES)


def _centre_axes(posed: Posed, view: View) -> list[shapely.LineString]:
    return [] if posed.at_centre is None else _link_axes(posed.at_centre, view)


def axis_reach(design: Design, view: View) -> float:
    """What the lever's drawn axis reaches beyond the grip, mm on paper."""
    return view.scale * half_widths(design)[design.lever] + 4.0


def lever_directions(posed: Posed) -> dict[str, float]:
    """The lever's direction (degrees from +x) in each pose on the sheet, by the pose's name."""
    stops, analysis = posed.design.stops, posed.analysis
    found = {
        "rest A": stops.rest_a,
        "rest B": stops.rest_a + analysis.sense * analysis.throw,
    }
    if posed.at_centre is not None and analysis.dead_centre is not None:
        found["dead centre"] = stops.rest_a + analysis.sense * analysis.dead_centre
    return found


def _stops(design: Design, view: View) -> Iterator[Element]:
    for pin in stop_pins(design):
        place, radius = view((pin.x, pin.y)), view.scale * pin.diameter / 2.0
        yield Circle(Layer.HOLES, place, radius)
        yield from symbols.centre_marks(place, radius + 1.5)
