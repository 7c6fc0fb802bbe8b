"""What a link is cut from, as rows of its page: material, thickness, width, layer, outline."""

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, cast

from app.inspect.rows import Choice, Flag, Heading, Number, Row, Text, Value
from solver import edit, units
from solver.errors import DesignProblem, UnitProblem
from solver.materials import materials
from solver.model import FRAME, Design, Plate
from solver.outlines import half_widths
from solver.project import Display
from solver.ranges import RANGES

_RANGES = RANGES[Plate]

ROWS: tuple[Row, ...] = (
    Heading("plate heading", "Plate"),
    Flag("plate", "Cut from plate", "A link without a plate is drawn, but weighs nothing."),
    Choice("material", "Material", "What the plate is cut from; it gives the weight."),
    Number("thickness", "Thickness", "length", "Of the plate.", _RANGES["thickness"]),
    Choice(
        "shape",
        "Outline",
        "Own corners begin as the rectangle around the plate.",
        (("rounded", "rounded ends"), ("own", "own corners")),
    ),
    Number(
        "width",
        "Width",
        "length",
        "Of the rounded ends and of the webs between the holes.",
        _RANGES["width"],
    ),
    Number(
        "layer",
        "Layer",
        "count",
        "What lies above what along the pins: 0 is the frame's face, 1 lies on it, "
        "−1 behind the frame. Plates only touch in one layer.",
        _RANGES["layer"],
    ),
    Heading("corners heading", "Corners: x, y on each line"),
    Text(
        "corners",
        "Corners",
        "The outline's corners in order, from the sheet's zero, in the pose shown.",
        lines=6,
    ),
)

KEYS = frozenset(row.key for row in ROWS if not isinstance(row, Heading))


def values(design: Design, link: str, display: Display) -> dict[str, Value]:
    """What the rows show of a link; `design` is in the pose shown."""
    plate = design.plate_of(link)
    if plate is None:
        return {"plate": False}
    shown: dict[str, Value] = {
        "plate": True,
        "material": plate.material,
        "thickness": plate.thickness,
        "shape": "own" if plate.outline else "rounded",
    }
    if plate.outline:
        shown["corners"] = _written(plate.outline, display)
    else:
        shown["width"] = plate.width
    if link != FRAME:
        shown["layer"] = float(plate.layer)
    return shown


def offers() -> Mapping[str, tuple[tuple[str, str], ...]]:
    """The materials to choose from."""
    return {"material": tuple((key, one.title) for key, one in materials().items())}


def changed(
    design: Design, link: str, key: str, value: Value, display: Display
) -> tuple[Design, str]:
    """The design with one row's value. DesignProblem, with a sentence, where it cannot be."""
    plate = design.plate_of(link)
    if key == "plate":
        if value:
            return edit.set_plate(design, _first(design, link)), f"Cut {link} from plate"
        return edit.drop_plate(design, link), f"Take the plate from {link}"
    plate = plate or _first(design, link)
    if key == "shape":
        return _reshaped(design, plate, str(value))
    if key == "corners":
        outline = _read(str(value), display)
        return edit.set_plate(design, replace(plate, outline=outline)), f"Set corners of {link}"
    taken = round(cast(float, value)) if key == "layer" else value
    after = replace(plate, **cast(dict[str, Any], {key: taken}))
    return edit.set_plate(design, after), f"Set {key} of {link}"


def _first(design: Design, link: str) -> Plate:
    """A plate as wide as the link is drawn."""
    width = round(2.0 * half_widths(design)[link], 1)
    return Plate(link, width=width, layer=0 if link == FRAME else 1)


def _reshaped(design: Design, plate: Plate, shape: str) -> tuple[Design, str]:
    from solver.own_outline import rectangle_around  # shapely only when it is needed

    outline = rectangle_around(design, plate.link) if shape == "own" else ()
    words = "own corners" if shape == "own" else "rounded ends"
    return edit.set_plate(design, replace(plate, outline=outline)), f"Give {plate.link} {words}"


def _written(outline: tuple[tuple[float, float], ...], display: Display) -> str:
    grow = units.factor("length", display)
    digits = 2 if display.units == "metric" else 4
    return "\n".join(f"{x * grow:.{digits}f}, {y * grow:.{digits}f}" for x, y in outline)


def _read(text: str, display: Display) -> tuple[tuple[float, float], ...]:
    corners = []
    for number, line in enumerate(text.splitlines(), start=1):
        if not line.strip():
            continue
        parts = [part for part in re.split(r"[,;\t]", line) if part.strip()]
        try:
            x, y = (units.read(part, "length", display) for part in parts)
        except UnitProblem as problem:
            raise DesignProblem(f"Line {number} of the corners: {problem}") from None
        except ValueError:
            raise DesignProblem(
                f"Line {number} of the corners needs two lengths with a comma between them, "
                "such as 12, 40."
            ) from None
        corners.append((x, y))
    if not corners:
        raise DesignProblem("An outline needs at least three corners; choose rounded ends instead.")
    return tuple(corners)
