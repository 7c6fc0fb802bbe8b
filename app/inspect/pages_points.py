"""Pages of points and links: places, lengths, what hangs together."""

import math
from collections.abc import Mapping
from dataclasses import replace
from itertools import pairwise
from typing import Any, cast

from app.inspect import plate, tables
from app.inspect.form import Options
from app.inspect.page import Edit, Page, direction_of, same_words
from app.inspect.rows import Row, Value
from app.part_edits import gripped, grips, joinable, joined, lever_made, marked, screwed
from app.roles import link_word, point_roles
from solver import edit
from solver.model import FRAME, Design, Screw
from solver.screws import occupied, screw_at, threads


class PointPage(Page):
    """One point: its place, its links, its pin."""

    def subtitle(self) -> str:
        words = [role for role in point_roles(self.design)[self.name] if role != "point"]
        return f"Point: {', '.join(words)}" if words else "Point"

    def rows(self) -> tuple[Row, ...]:
        return tables.POINT

    def moves(self, key: str) -> bool:
        # A point that goes to another place or link gives links new shapes.
        return key in ("x", "y", "links", "join")

    def values(self) -> Mapping[str, Value]:
        name, design = self.name, self.design
        x, y = self.session.places()[name]
        links = design.links_at(name)
        shown: dict[str, Value] = {"name": name, "x": x, "y": y, "links": links}
        if len(links) > 1 or any(slider.point == name for slider in design.sliders):
            pin = design.pivot_at(name)
            shown |= {key: getattr(pin, key) for key in ("pin_diameter", "friction", "drag")}
        shown |= self._screw()
        shown["output"] = name in design.outputs
        if joinable(design, name):
            shown["join"] = None
        return shown

    def offers(self) -> Mapping[str, Options]:
        return {
            "links": same_words(link.name for link in self.design.links),
            "join": same_words(joinable(self.design, self.name)),
            "thread": tuple((f"{size:g}", thread.name) for size, thread in threads().items()),
        }

    def _screw(self) -> dict[str, Value]:
        """What the rows of the screw show; the grip always has one where it has no pin."""
        name, design = self.name, self.design
        screw = screw_at(design, name)
        shown: dict[str, Value] = {}
        if name != design.grip and (screw is not None or not occupied(design, name)):
            shown["screw"] = screw is not None
        if screw is not None:
            shown |= {"thread": f"{screw.thread:g}", "length": screw.length}
        return shown

    def change(self, design: Design, key: str, value: Value) -> Edit:
        name = self.name
        match key:
            case "x" | "y":
                point = design.point(name)
                moved = replace(point, **cast(dict[str, Any], {key: value}))
                return edit.move_point(design, name, moved.x, moved.y), f"Move {name}"
            case "links":
                return _with_links(design, name, cast(tuple[str, ...], value))
            case "output":
                return marked(design, name, bool(value))
            case "screw":
                return screwed(design, name, bool(value))
            case "thread" | "length":
                number = float(cast(str, value)) if key == "thread" else value
                screw = screw_at(design, name) or Screw(name)
                screw = replace(screw, **cast(dict[str, Any], {key: number}))
                return edit.set_screw(design, screw), f"Set {key} of the screw at {name}"
            case "join":
                return joined(design, name, str(value))
            case _:
                pin = replace(design.pivot_at(name), **cast(dict[str, Any], {key: value}))
                words = key.replace("_", " ").removeprefix("pin ")
                return edit.replace_part(design, pin), f"Set pin {words} of {name}"


class SpanPage(Page):
    """Distances and directions along a row of points; an edit moves the second of a pair."""

    def __init__(self, *args: Any, **more: Any) -> None:  # noqa: ANN401
        super().__init__(*args, **more)
        self._made: tuple[str, ...] = ()
        self._rows: tuple[Row, ...] = ()

    def title(self) -> str:
        return " and ".join(self.points())

    def subtitle(self) -> str:
        return "Two points: an edit moves the second"

    def points(self) -> tuple[str, ...]:
        """The points in their row."""
        return tuple(ref.name for ref in self.refs)

    def rows(self) -> tuple[Row, ...]:
        points = self.points()
        if points != self._made:
            self._made = points
            self._rows = self.make_rows(points)
        return self._rows

    def make_rows(self, points: tuple[str, ...]) -> tuple[Row, ...]:
        """The rows for these points."""
        return tables.spans(points)

    def moves(self, key: str) -> bool:
        return key.startswith(("length:", "direction:"))

    def values(self) -> Mapping[str, Value]:
        places, points = self.session.places(), self.points()
        shown: dict[str, Value] = {}
        for place, (a, b) in enumerate(pairwise(points)):
            (ax, ay), (bx, by) = places[a], places[b]
            shown[f"length:{place}"] = math.hypot(bx - ax, by - ay)
            shown[f"direction:{place}"] = direction_of(bx - ax, by - ay, self.session.display)
        return shown

    def change(self, design: Design, key: str, value: Value) -> Edit:
        what, _, place = key.partition(":")
        a, b = self.points()[int(place) :][:2]
        assert isinstance(value, float)
        change = edit.set_length if what == "length" else edit.set_direction
        return change(design, a, b, value), f"Set {what} from {a} to {b}"


class LinkPage(SpanPage):
    """One link: its lengths, and whether the hand moves it."""

    def title(self) -> str:
        return self.name

    def subtitle(self) -> str:
        word = link_word(self.design, self.name)
        return {
            "frame": "What does not move",
            "lever": "Link: the hand moves it",
            "link": "Link",
        }[word]

    def points(self) -> tuple[str, ...]:
        return self.design.link(self.name).points

    def make_rows(self, points: tuple[str, ...]) -> tuple[Row, ...]:
        return (*tables.LINK, *plate.ROWS, *tables.spans(points))

    def moves(self, key: str) -> bool:
        return key in ("shape", "corners") or super().moves(key)

    def values(self) -> Mapping[str, Value]:
        name, design = self.name, self.design
        spans = {**self._plate(), **super().values()}
        if name == FRAME:
            return spans
        shown: dict[str, Value] = {"name": name}
        if name == design.lever:
            shown["grip"] = design.grip
        else:
            shown["lever"] = False
        return {**shown, "output": name in design.outputs, **spans}

    def offers(self) -> Mapping[str, Options]:
        return {"grip": same_words(grips(self.design, self.name)), **plate.offers()}

    def _plate(self) -> Mapping[str, Value]:
        cut = self.design.plate_of(self.name)
        # Corners lie where the link is seen.
        posed = self.session.editable() if cut is not None and cut.outline else self.design
        return plate.values(posed, self.name, self.session.display)

    def change(self, design: Design, key: str, value: Value) -> Edit:
        name = self.name
        match key:
            case "lever":
                return lever_made(design, name)
            case "grip":
                return gripped(design, str(value))
            case "output":
                return marked(design, name, bool(value))
            case _ if key in plate.KEYS:
                return plate.changed(design, name, key, value, self.session.display)
            case _:
                return super().change(design, key, value)


def _with_links(design: Design, point: str, links: tuple[str, ...]) -> Edit:
    present = design.links_at(point)
    for link in links:
        if link not in present:
            return edit.attach(design, point, link), f"Put {point} on {link}"
    for link in present:
        if link not in links:
            return edit.detach(design, point, link), f"Take {point} off {link}"
    return design, f"Keep {point} where it is"
