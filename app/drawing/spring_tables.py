"""Spring data by the manner of ISO 2162-1: what is known of a spring, and how it works."""

from __future__ import annotations

from collections.abc import Iterator

from app.drawing.blocks import Block, Row, table_block
from app.drawing.figures import SheetUnits, angle, trimmed, with_unit
from solver.analysis import Analysis
from solver.model import CompressionSpring, ExtensionSpring, Spring, TorsionSpring
from solver.spring_work import SpringWork

_KINDS = {
    CompressionSpring: "compression spring",
    ExtensionSpring: "extension spring",
    TorsionSpring: "torsion spring",
}
_ACTS = {"both": "both ways", "below": "below its free angle", "above": "above its free angle"}


def spring_tables(analysis: Analysis, units: SheetUnits, width: float) -> Iterator[Block]:
    """For each spring a table of its data and one of its lengths and loads in the three poses."""
    for spring, work in zip(analysis.design.springs, analysis.springs, strict=True):
        rows = [("Quantity", "Value"), *_data(spring, units)]
        name = f"{spring.name}, {_KINDS[type(spring)]}"
        yield table_block(name, rows, width, ("left", "right"))
        yield _working(spring, work, units, width)


def _data(spring: Spring, units: SheetUnits) -> Iterator[Row]:
    if isinstance(spring, TorsionSpring):
        yield "Rate", with_unit(spring.rate, "angular_rate", units)
        yield "Free angle of the legs", angle(spring.free_angle)
        yield "Pushes", _ACTS[spring.acts]
        if spring.most_twist is not None:
            yield "Greatest twist allowed", angle(spring.most_twist)
        return
    yield "Rate", with_unit(spring.rate, "rate", units)
    yield "Free length", with_unit(spring.free_length, "length", units)
    if isinstance(spring, ExtensionSpring):
        yield "Initial tension", with_unit(spring.initial_tension, "force", units)
        if spring.longest is not None:
            yield "Longest length allowed", with_unit(spring.longest, "length", units)
    else:
        yield "Solid length", with_unit(spring.solid_length, "length", units)
        yield "Sum of least gaps", with_unit(spring.least_gaps, "length", units)
        yield "Ends", "held at both ends" if spring.captive else "free past free length"
        if spring.rod is not None:
            yield "Guide rod closed, pin to pin", with_unit(spring.rod.closed, "length", units)
            yield "Guide rod out at, pin to pin", with_unit(spring.rod.reach, "length", units)
    if spring.fittings:
        yield "End fittings, both together", with_unit(spring.fittings, "length", units)
    yield "Pins at its ends", f"⌀{with_unit(spring.end_pin_diameter, 'length', units)}"
    yield "Friction at its ends", trimmed(spring.end_friction, 3)


def _working(spring: Spring, work: SpringWork, units: SheetUnits, width: float) -> Block:
    coiled = isinstance(spring, TorsionSpring)
    poses = [
        ("rest A", work.at_rest_a, work.force_a),
        ("dead centre", work.at_dead_centre, work.force_dead_centre),
        ("rest B", work.at_rest_b, work.force_b),
    ]
    rows: list[Row] = [("At", "Twist" if coiled else "Length", "Moment" if coiled else "Load")]
    for name, size, load in poses:
        if size is None:
            continue
        shown = angle(size) if coiled else with_unit(size, "length", units)
        rows.append((name, shown, with_unit(load, "torque" if coiled else "force", units)))
    if not coiled:
        rows.append(("shortest", with_unit(work.shortest, "length", units), ""))
        rows.append(("longest", with_unit(work.longest, "length", units), ""))
    return table_block(f"{spring.name} at work", rows, width, ("left", "right", "right"))
