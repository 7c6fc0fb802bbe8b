"""The rows of every kind of part, as data: field of the dataclass, label, quantity, range."""

from itertools import pairwise

from app.inspect.rows import Checklist, Choice, Flag, Heading, Number, Row, Text
from solver.checks import LEAST_THROW
from solver.model import (
    CompressionSpring,
    ExtensionSpring,
    Force,
    Gravity,
    GuideRod,
    Pivot,
    Point,
    Screw,
    Slider,
    Stops,
    Torque,
    TorsionSpring,
    Weight,
)
from solver.ranges import RANGES, Range
from solver.units import Quantity

NAME = Text("name", "Name", "What it is called everywhere in this project.")

_FRICTION_TIP = "Coulomb coefficient: about 0.15 for oiled steel, 0.3 and more for a dry pin."
_LENGTH = Range(0.0, 1e6, above=True)


def _number(
    kind: type, key: str, label: str, quantity: Quantity, tip: str = "", optional: bool = False
) -> Number:
    """The row of a field, with the range that the solver gives it."""
    return Number(key, label, quantity, tip, RANGES[kind][key], optional)


def _friction(kind: type, key: str = "friction") -> Number:
    return _number(kind, key, "Friction", "ratio", _FRICTION_TIP)


def _ends(kind: type) -> tuple[Row, ...]:
    tip = "Pins on which the ends turn."
    return (
        Heading("ends", "Pins at its ends"),
        _number(kind, "end_pin_diameter", "Pin diameter", "length", tip),
        _friction(kind, "end_friction"),
    )


def _fittings(kind: type) -> Number:
    tip = "What the end fittings take of the distance between the anchors."
    return _number(kind, "fittings", "End fittings", "length", tip)


def _bought(kind: type, coils: str, *more: Row) -> tuple[Row, ...]:
    """What the spring looks like; each may be left empty, where it is not known."""
    return (
        Heading("bought", "As bought"),
        _number(
            kind,
            "wire",
            "Wire diameter",
            "diameter",
            "Of the wire itself." + _EMPTY,
            optional=True,
        ),
        _number(
            kind,
            "outside_diameter",
            "Outside diameter",
            "diameter",
            "Of the coils, as lists give it." + _EMPTY,
            optional=True,
        ),
        _number(kind, "coils", "Coils", "coils", coils + _EMPTY, optional=True),
        *more,
        Text("order_note", "Order number", "An order number or a note for the parts list."),
    )


_EMPTY = " Empty where it is not known."

POINT: tuple[Row, ...] = (
    NAME,
    _number(
        Point, "x", "x, to the right", "length", "Place in the pose shown, from the sheet's zero."
    ),
    _number(Point, "y", "y, up", "length", "Place in the pose shown, from the sheet's zero."),
    Checklist("links", "On", "A point on two links is a pivot between them."),
    Heading("pin", "Pin of the pivot"),
    _number(Pivot, "pin_diameter", "Pin diameter", "length", "The pin that turns in the hole."),
    _friction(Pivot),
    _number(
        Pivot,
        "drag",
        "Drag",
        "torque",
        "A steady torque against turning whatever the load: a seal, a clamped washer.",
    ),
    Heading("screwed", "Screw"),
    Flag("screw", "Screw through here", "A clearance hole for a screw; it fastens the frame."),
    Choice("thread", "Thread", "Metric; its clearance hole is that of ISO 273."),
    _number(
        Screw,
        "length",
        "Length",
        "length",
        "Empty: what plate and nut ask for, or to suit what takes it.",
        optional=True,
    ),
    Heading("use", "Use"),
    Flag("output", "Read its travel (output)", "Adds the travel of this point to the readings."),
    Choice(
        "join",
        "Join with",
        "Makes one pivot of two points; this one stays.",
        prompt="choose a point",
    ),
)

SLIDER: tuple[Row, ...] = (
    NAME,
    Choice("point", "Pin", "The point that slides."),
    Choice("guide", "Slot is in", "The link that has the slot or the guide."),
    Choice("along_0", "Slot from", "The slot runs straight through these two points."),
    Choice("along_1", "Slot to", "The slot runs straight through these two points."),
    Heading("rubbing", "Rubbing"),
    _friction(Slider),
    _number(Slider, "drag", "Drag", "force", "A steady force against sliding, whatever the load."),
)

COMPRESSION: tuple[Row, ...] = (
    NAME,
    Choice("a", "From", "The point where one end sits."),
    Choice("b", "To", "The point where the other end sits."),
    Heading("spring", "Spring"),
    _number(CompressionSpring, "rate", "Rate", "rate", "Force for each length of compression."),
    _number(CompressionSpring, "free_length", "Free length", "length", "Its length with no load."),
    _number(
        CompressionSpring, "solid_length", "Solid length", "length", "Its length coil on coil."
    ),
    _number(
        CompressionSpring,
        "least_gaps",
        "Least gaps",
        "length",
        "Sum of the smallest gaps that must stay between the coils.",
    ),
    _fittings(CompressionSpring),
    Flag(
        "captive",
        "Ends are captive",
        "A captive spring also pulls; a loose one lets go past its free length.",
    ),
    Flag("rod", "Has a guide rod", "A telescopic rod inside the spring."),
    _number(
        GuideRod,
        "closed",
        "Rod closes at",
        "length",
        "Distance of the anchors at which it bottoms.",
    ),
    _number(
        GuideRod,
        "reach",
        "Rod comes out at",
        "length",
        "Distance of the anchors at which it leaves its guide.",
    ),
    *_ends(CompressionSpring),
    *_bought(CompressionSpring, "All of them, the closed ones at the ends too."),
)

EXTENSION: tuple[Row, ...] = (
    NAME,
    Choice("a", "From", "The point where one hook sits."),
    Choice("b", "To", "The point where the other hook sits."),
    Heading("spring", "Spring"),
    _number(ExtensionSpring, "rate", "Rate", "rate", "Force for each length of stretch."),
    _number(
        ExtensionSpring, "free_length", "Free length", "length", "Inside the hooks, with no load."
    ),
    _number(
        ExtensionSpring,
        "initial_tension",
        "Initial tension",
        "force",
        "The pull that it takes before the coils part.",
    ),
    _number(
        ExtensionSpring,
        "longest",
        "Longest",
        "length",
        "The greatest length it may be pulled to; empty where the supplier gives none.",
        optional=True,
    ),
    _fittings(ExtensionSpring),
    *_ends(ExtensionSpring),
    *_bought(ExtensionSpring, "Those of the body, between the hooks."),
)

TORSION: tuple[Row, ...] = (
    NAME,
    Choice("pivot", "Around", "The pivot that it is coiled around."),
    Choice("leg_a", "Leg A towards", "The lower leg lies against the pin here, or a peg."),
    Choice("leg_b", "Leg B towards", "The upper leg lies against the pin here, or a peg."),
    Heading("spring", "Spring"),
    _number(TorsionSpring, "rate", "Rate", "angular_rate", "Torque for each degree of twist."),
    _number(
        TorsionSpring,
        "free_angle",
        "Free angle",
        "angle",
        "From leg A to leg B with no load, counter-clockwise, as seen from the axis to the pins.",
    ),
    _number(
        TorsionSpring,
        "turns",
        "Whole turns wound",
        "count",
        "As drawn, beyond the twist of at most half a turn either way; usually 0.",
    ),
    Choice(
        "acts",
        "Pushes",
        "Whether it pushes back on both sides of its free angle.",
        (("both", "both ways"), ("below", "only below"), ("above", "only above")),
    ),
    _number(
        TorsionSpring,
        "most_twist",
        "Most twist",
        "angle",
        "The greatest allowed twist; empty where none is given.",
        optional=True,
    ),
    *_bought(
        TorsionSpring,
        "Those between the legs.",
        _number(
            TorsionSpring,
            "leg_length",
            "Legs from the axis",
            "length",
            "Length of the shorter leg, from the axis of the coils." + _EMPTY,
            optional=True,
        ),
    ),
)

WEIGHT: tuple[Row, ...] = (
    NAME,
    Choice("point", "At", "The point that carries it."),
    _number(Weight, "mass", "Mass", "mass"),
)

FORCE: tuple[Row, ...] = (
    NAME,
    Choice("point", "At", "The point it acts on."),
    Number("size", "Size", "force", allowed=Range(0.0, 1e7, above=True)),
    Number("direction", "Direction", "direction", "It stays as the linkage moves."),
    Heading("parts", "The same by its parts"),
    _number(Force, "x", "To the right", "force"),
    _number(Force, "y", "Up", "force"),
)

TORQUE: tuple[Row, ...] = (
    NAME,
    Choice("link", "On", "The link it turns."),
    _number(Torque, "torque", "Torque", "torque", "Counter-clockwise is positive."),
)

RESTS: tuple[Row, ...] = (
    _number(Stops, "rest_a", "Rest A", "direction", "Where the lever points at rest A."),
    _number(Stops, "rest_b", "Rest B", "direction", "Where the lever points at rest B."),
    Number("middle", "Middle", "direction", "Halfway between the rests; turns both of them."),
    Number(
        "throw",
        "Throw",
        "angle",
        "The angle between the rests; opens or closes both about the middle.",
        Range(LEAST_THROW, 359.0),
    ),
)

GENERAL: tuple[Row, ...] = (
    Text("title", "Title", "The title of the project."),
    Heading("rests", "Rests"),
    *RESTS,
    Heading("hand", "Lever"),
    Choice("lever", "Lever", "The link that the hand moves."),
    Choice("grip", "Grip", "The point of the lever where the hand pushes."),
    Heading("gravity", "Gravity"),
    Choice("stands", "The linkage", "Lying flat, weights neither help nor hinder."),
    Number("pull", "Pulls towards", "direction", "The direction of fall in the sketch."),
    _number(Gravity, "strength", "Strength", "acceleration"),
    Heading("units", "Units"),
    Choice(
        "units",
        "Numbers in",
        "Any unit may be typed all the same.",
        (("metric", "mm, N, kg"), ("inch", "in, lbf, lb")),
    ),
    Choice(
        "angle_from",
        "Directions from",
        "Counter-clockwise is positive.",
        (("upright", "straight up"), ("x", "the right (+x)")),
    ),
    Heading("remarks", "Notes"),
    Text("notes", "Notes", "Whatever should stay with this design.", lines=5),
)

LINK: tuple[Row, ...] = (
    NAME,
    Flag("lever", "The hand moves this link (lever)", "Makes it the lever, gripped at its end."),
    Choice("grip", "Grip", "The point of the lever where the hand pushes."),
    Flag("output", "Read its turning (output)", "Adds the turning of this link to the readings."),
)


def spans(points: tuple[str, ...]) -> tuple[Row, ...]:
    """Length and direction between each two points that follow one another."""
    rows: list[Row] = []
    for place, (a, b) in enumerate(pairwise(points)):
        rows += [
            Heading(f"span:{place}", f"{a} to {b}"),
            Number(
                f"length:{place}",
                "Length",
                "length",
                f"Moves {b} straight away from {a}, or towards it.",
                _LENGTH,
            ),
            Number(f"direction:{place}", "Direction", "direction", f"Turns {b} about {a}."),
        ]
    return tuple(rows)
