"""A linkage read back from the printed words of its sheet, as a machinist would have to."""

import math
import re
from collections.abc import Iterator
from dataclasses import replace

from app.drawing.model import Drawing
from solver.materials import materials
from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Gravity,
    GuideRod,
    Link,
    Load,
    Pivot,
    Plate,
    Point,
    Slider,
    Spring,
    Stops,
    Torque,
    TorsionSpring,
    Weight,
)
from tests.app.drawing.faults import texts
from tests.app.drawing.sheets import rows_under

Rows = list[dict[str, str]]
ACTS = {
    "both ways": "both",
    "below its free angle": "below",
    "above its free angle": "above",
}


def number(text: str) -> float:
    return float(text.split()[0].strip("°⌀,").replace("−", "-"))


def said(pages: tuple[Drawing, ...]) -> str:
    return " ".join(text.text for page in pages for text in texts(page))


def design_of(pages: tuple[Drawing, ...]) -> Design:
    """The design on a sheet in mm with directions counted from straight up.

    Outlines of a plate's own are drawn, not written: such a plate gets rounded ends.
    """
    holes, links = rows_under(pages, "Drill ⌀"), list(_links(pages))
    words = said(pages)
    named = re.search("Lever “(.+?)”, seen from “.+?” to “(.+?)”", words)
    assert named is not None
    ways = {row["Pose"]: number(row["Direction"]) + 90.0 for row in rows_under(pages, "Pose")}
    return Design(
        points=tuple(
            Point(row["Hole"], number(row["x"]), number(row["y"])) for row in _points(holes)
        ),
        links=(Link(FRAME, _on_frame(holes, links)), *links),
        lever=named[1],
        grip=named[2],
        stops=Stops(ways["rest A"], ways["rest B"]),
        pivots=tuple(_pivots(pages, holes, links)),
        sliders=tuple(_sliders(pages, holes)),
        springs=tuple(_springs(pages)),
        weights=tuple(_weights(pages)),
        loads=tuple(_loads(pages)),
        plates=tuple(_plates(pages)),
        gravity=_gravity(words),
    )


def _points(holes: Rows) -> Rows:
    """Stop pins are no points of the linkage."""
    return [row for row in holes if row["Hole"] not in ("stop A", "stop B")]


def _links(pages: tuple[Drawing, ...]) -> Iterator[Link]:
    found: dict[str, list[str]] = {}
    name = ""
    for row in rows_under(pages, "Along"):
        name = row["Link"] or name
        found.setdefault(name, []).append(row["Hole"])
    for link, points in found.items():
        yield Link(link, tuple(points))


def _on_frame(holes: Rows, links: list[Link]) -> tuple[str, ...]:
    """What no link that moves has, and what the frame is drilled for."""
    moving = {point for link in links for point in link.points}
    return tuple(
        row["Hole"]
        for row in _points(holes)
        if row["Hole"] not in moving or row["Drill ⌀"].startswith(f"{FRAME} ")
    )


def _pivots(pages: tuple[Drawing, ...], holes: Rows, links: list[Link]) -> Iterator[Pivot]:
    frame = set(_on_frame(holes, links))
    slid = {row["At"] for row in _loads_rows(pages) if "sliding" in row["Direction"]}
    drags = {
        row["At"]: number(row["Size"])
        for row in _loads_rows(pages)
        if row["Direction"] == "against turning"
    }
    for row in _points(holes):
        name = row["Hole"]
        count = (name in frame) + sum(name in link.points for link in links)
        if count > 1 or name in slid:
            drag = drags.get(name, 0.0)
            yield Pivot(name, number(row["Pin ⌀"]), number(row["Friction"]), drag)


def _sliders(pages: tuple[Drawing, ...], holes: Rows) -> Iterator[Slider]:
    ends = [row["Hole"] for row in holes if " slot " in row["Drill ⌀"]]
    guides = {row["Drill ⌀"].split(" slot ")[0] for row in holes if " slot " in row["Drill ⌀"]}
    for row in _loads_rows(pages):
        if row["Direction"] == "against sliding":
            (a, b), (guide,) = ends, guides  # the examples have one slot at the most
            friction = number(row["Size"].split("friction ")[1])
            drag = number(row["Size"]) if not row["Size"].startswith("friction") else 0.0
            yield Slider(row["Load"], row["At"], guide, (a, b), friction, drag)


def _springs(pages: tuple[Drawing, ...]) -> Iterator[Spring]:
    """The examples have one spring at the most."""
    told = {row["Quantity"]: row["Value"] for row in rows_under(pages, "Quantity")}
    heads = (text.text for page in pages for text in texts(page) if text.bold)
    for head in heads:
        named = re.fullmatch("(.+), (compression|extension|torsion) spring", head)
        if named is not None:
            yield _spring(named[1], named[2], told)


def _spring(name: str, kind: str, told: dict[str, str]) -> Spring:
    def size(quantity: str) -> float:
        return number(told[quantity]) if quantity in told else 0.0

    if kind == "torsion":
        pivot, a, b = (
            told[words].rsplit(", above ")[0]
            for words in ("Lies on pin", "Leg A lies against pin", "Leg B lies against pin")
        )
        acts = ACTS[told["Pushes"]]
        free, rate = size("Free angle, axis to the pins"), size("Rate at the pins, legs included")
        # The words of `acts` are those of the type; mypy cannot see it here.
        return TorsionSpring(name, pivot, a, b, rate, free, acts=acts)  # type: ignore[arg-type]
    a, b = told["Between"].split(", ")
    free, rate = size("Free length"), size("Rate")
    made: CompressionSpring | ExtensionSpring
    if kind == "extension":
        made = ExtensionSpring(name, a, b, rate, free, initial_tension=size("Initial tension"))
    else:
        made = _pushing(CompressionSpring(name, a, b, rate, free, size("Solid length")), told)
    return replace(
        made,
        fittings=size("End fittings, both together"),
        end_pin_diameter=size("Pins at its ends"),
        end_friction=size("Friction at its ends"),
    )


def _pushing(made: CompressionSpring, told: dict[str, str]) -> CompressionSpring:
    closed = "Guide rod closed, pin to pin"
    out = "Guide rod out at, pin to pin"
    rod = GuideRod(number(told[closed]), number(told[out])) if closed in told else None
    captive = told["Ends"] == "held at both ends"
    gaps = number(told["Sum of least gaps"])
    return replace(made, least_gaps=gaps, captive=captive, rod=rod)


def _loads_rows(pages: tuple[Drawing, ...]) -> Rows:
    return [row for row in rows_under(pages, "Direction") if "Load" in row]


def _weights(pages: tuple[Drawing, ...]) -> Iterator[Weight]:
    for row in _loads_rows(pages):
        if row.get("Size", "").endswith(" kg"):
            yield Weight(row["Load"], row["At"].removeprefix("centre at "), number(row["Size"]))


def _loads(pages: tuple[Drawing, ...]) -> Iterator[Load]:
    for row in _loads_rows(pages):
        size, way = row.get("Size", ""), row["Direction"]
        if size.endswith(" N·mm") and "clockwise" in way:
            sign = 1.0 if way == "counter-clockwise" else -1.0
            yield Torque(row["Load"], row["At"], sign * number(size))
        elif size.endswith(" N") and way.endswith("°"):
            turn = math.radians(number(way) + 90.0)
            force = number(size)
            yield Force(row["Load"], row["At"], force * math.cos(turn), force * math.sin(turn))


def _plates(pages: tuple[Drawing, ...]) -> Iterator[Plate]:
    keys = {material.title: key for key, material in materials().items()}
    for row in rows_under(pages, "Layer"):
        own = row["Width"] == "own outline"
        sizes = 20.0 if own else number(row["Width"]), number(row["Thickness"])
        yield Plate(row["Link"], *sizes, keys[row["Material"]], int(row["Layer"]))


def _gravity(words: str) -> Gravity:
    if "lies flat" in words:
        return Gravity(0.0)
    told = words.split("Gravity ")[1]
    strength, way = told.split(" m/s² at ")
    return Gravity(number(strength), number(way) + 90.0)
