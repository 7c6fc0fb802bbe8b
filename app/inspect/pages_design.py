"""Pages of what belongs to the whole design: its rests, lever, gravity, units and notes."""

from collections.abc import Mapping
from dataclasses import replace
from typing import cast

from app.inspect import tables
from app.inspect.form import Options
from app.inspect.page import Edit, Page, lowered, same_words
from app.inspect.rows import Row, Value
from app.part_edits import gripped, grips, lever_made
from solver import edit
from solver.model import FRAME, Design, Gravity, Stops
from solver.project import AngleFrom, Units

_FLAT, _UPRIGHT, _OTHER = "flat", "upright", "other"
_REST_KEYS = ("rest_a", "rest_b", "middle", "throw")
_GRAVITY_KEYS = ("stands", "pull", "strength")


class RestPage(Page):
    """One of the two rests; both are here, as the throw lies between them."""

    def title(self) -> str:
        return f"Rest {self.name}"

    def subtitle(self) -> str:
        return "The lever's direction on its stop"

    def rows(self) -> tuple[Row, ...]:
        return tables.RESTS

    def values(self) -> Mapping[str, Value]:
        return rest_values(self.design.stops)

    def change(self, design: Design, key: str, value: Value) -> Edit:
        return rest_change(design, key, cast(float, value))


class GeneralPage(Page):
    """What shows when nothing is selected."""

    def title(self) -> str:
        return "Whole design"

    def subtitle(self) -> str:
        return "Select a part to see its numbers"

    def rows(self) -> tuple[Row, ...]:
        return tables.GENERAL

    def values(self) -> Mapping[str, Value]:
        design, project = self.design, self.session.document.project
        gravity = design.gravity
        shown: dict[str, Value] = {
            "title": project.title,
            **rest_values(design.stops),
            "lever": design.lever,
            "grip": design.grip,
            "stands": _stands(gravity),
        }
        if gravity.strength:
            shown |= {"pull": gravity.direction, "strength": gravity.strength}
        return shown | {
            "units": project.display.units,
            "angle_from": project.display.angle_from,
            "notes": design.notes,
        }

    def offers(self) -> Mapping[str, Options]:
        design = self.design
        levers = (link.name for link in design.links if link.name != FRAME)
        stands: Options = ((_UPRIGHT, "stands upright"), (_FLAT, "lies flat"))
        if _stands(design.gravity) == _OTHER:
            stands = (*stands, (_OTHER, "stands as below"))
        return {
            "lever": same_words(levers),
            "grip": same_words(grips(design, design.lever)),
            "stands": stands,
        }

    def change(self, design: Design, key: str, value: Value) -> Edit:
        project = self.session.document.project
        if key in _REST_KEYS:
            return rest_change(design, key, cast(float, value))
        if key in _GRAVITY_KEYS:
            gravity = _gravity(design.gravity, key, value)
            return replace(design, gravity=gravity), _GRAVITY_TEXTS[key]
        match key:
            case "title":
                return replace(project, title=str(value)), "Set title"
            case "lever":
                return lever_made(design, str(value))
            case "grip":
                return gripped(design, str(value))
            case "units":
                return project.in_units(cast(Units, value)), "Change units"
            case "angle_from":
                display = replace(project.display, angle_from=cast(AngleFrom, value))
                return replace(project, display=display), "Change where directions count from"
            case _:
                return replace(design, notes=str(value)), "Edit notes"


_GRAVITY_TEXTS = {
    "stands": "Set how the linkage lies",
    "pull": "Set direction of gravity",
    "strength": "Set strength of gravity",
}


def rest_values(stops: Stops) -> dict[str, Value]:
    """The rests, with the middle and the throw that follow from them."""
    return {
        "rest_a": stops.rest_a,
        "rest_b": stops.rest_b,
        "middle": (stops.rest_a + stops.rest_b) / 2.0,
        "throw": abs(stops.rest_b - stops.rest_a),
    }


def rest_change(design: Design, key: str, value: float) -> Edit:
    """The edit of one of them; middle and throw move both rests."""
    stops = design.stops
    text = f"Set {lowered(next(row.label for row in tables.RESTS if row.key == key))}"
    if key == "rest_a":
        return edit.set_stops(design, rest_a=value), "Set rest A"
    if key == "rest_b":
        return edit.set_stops(design, rest_b=value), "Set rest B"
    middle, throw = (stops.rest_a + stops.rest_b) / 2.0, stops.rest_b - stops.rest_a
    if key == "middle":
        middle = value
    else:
        throw = value if throw > 0.0 else -value
    return edit.set_stops(design, middle - throw / 2.0, middle + throw / 2.0), text


def _stands(gravity: Gravity) -> str:
    if gravity.strength == 0.0:
        return _FLAT
    return _UPRIGHT if gravity == Gravity() else _OTHER


def _gravity(gravity: Gravity, key: str, value: Value) -> Gravity:
    if key == "stands":
        return Gravity(strength=0.0) if value == _FLAT else Gravity()
    if key == "pull":
        return replace(gravity, direction=cast(float, value))
    return replace(gravity, strength=cast(float, value))
