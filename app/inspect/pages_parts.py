"""Pages of parts whose rows are fields of a dataclass: sliders, springs, weights, loads."""

import math
from collections.abc import Mapping
from dataclasses import replace
from typing import Any, cast

from app.inspect import tables
from app.inspect.form import Options
from app.inspect.page import Edit, Page, direction_of, lowered, same_words
from app.inspect.rows import Choice, Heading, Row, Value
from app.roles import load_word
from app.session import Ref
from solver import edit
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    GuideRod,
    Slider,
    Spring,
    Torque,
    TorsionSpring,
)
from solver.parts import Part, find
from solver.spring_data import SPRING_WORDS

_POINT_KEYS = ("point", "a", "b", "pivot", "leg_a", "leg_b")


class PartPage(Page):
    """A part of which every row is a field of its own name."""

    words = ""
    table: tuple[Row, ...] = ()

    def subtitle(self) -> str:
        return self.words.capitalize()

    def rows(self) -> tuple[Row, ...]:
        return self.table

    @property
    def part(self) -> Part:
        """The part shown."""
        return part_of(self.design, self.refs[0])

    def values(self) -> Mapping[str, Value]:
        part = self.part
        return {row.key: getattr(part, row.key) for row in self.table if has_field(row)}

    def offers(self) -> Mapping[str, Options]:
        points = same_words(point.name for point in self.design.points)
        return {
            row.key: points
            for row in self.table
            if isinstance(row, Choice) and row.key in _POINT_KEYS
        }

    def change(self, design: Design, key: str, value: Value) -> Edit:
        part = part_of(design, self.refs[0])
        return edit.replace_part(design, self.altered(part, key, value)), self.done(key)

    def altered(self, part: Part, key: str, value: Value) -> Part:
        """The part with one row's value changed."""
        return replace(part, **cast(dict[str, Any], {key: value}))

    def done(self, key: str) -> str:
        """What an edit of the row does: «Set rate of main spring»."""
        label = next(row.label for row in self.table if row.key == key)
        return f"Set {lowered(label)} of {self.name}"


class CompressionPage(PartPage):
    """A compression spring, with its guide rod if it has one."""

    words = SPRING_WORDS[CompressionSpring]
    table = tables.COMPRESSION

    def values(self) -> Mapping[str, Value]:
        spring = self.part
        assert isinstance(spring, CompressionSpring)
        rod = spring.rod
        shown: dict[str, Value] = {}
        for row in self.table:
            if row.key == "rod":
                shown["rod"] = rod is not None
            elif row.key in ("closed", "reach"):
                if rod is not None:
                    shown[row.key] = getattr(rod, row.key)
            elif has_field(row):
                shown[row.key] = getattr(spring, row.key)
        return shown

    def altered(self, part: Part, key: str, value: Value) -> Part:
        assert isinstance(part, CompressionSpring)
        if key == "rod":
            return replace(part, rod=_usual_rod(part) if value else None)
        if key in ("closed", "reach"):
            rod = part.rod or _usual_rod(part)
            return replace(part, rod=replace(rod, **cast(dict[str, Any], {key: value})))
        return super().altered(part, key, value)

    def done(self, key: str) -> str:
        if key == "rod":
            part = self.part
            has = isinstance(part, CompressionSpring) and part.rod is not None
            return f"{'Take guide rod off' if has else 'Give guide rod to'} {self.name}"
        return super().done(key)


class ExtensionPage(PartPage):
    """An extension spring."""

    words = SPRING_WORDS[ExtensionSpring]
    table = tables.EXTENSION


class TorsionPage(PartPage):
    """A torsion spring."""

    words = SPRING_WORDS[TorsionSpring]
    table = tables.TORSION

    def altered(self, part: Part, key: str, value: Value) -> Part:
        # The field gives a float, already checked to be whole.
        return super().altered(part, key, round(cast(float, value)) if key == "turns" else value)


SPRING_PAGES: dict[type[Spring], type[PartPage]] = {
    CompressionSpring: CompressionPage,
    ExtensionSpring: ExtensionPage,
    TorsionSpring: TorsionPage,
}


class WeightPage(PartPage):
    """A weight."""

    words = "weight"
    table = tables.WEIGHT


class TorquePage(PartPage):
    """A torque on a link."""

    words = load_word(Torque("", "", 0.0))
    table = tables.TORQUE

    def offers(self) -> Mapping[str, Options]:
        return {"link": same_words(link.name for link in self.design.links)}


class ForcePage(PartPage):
    """A force, by size and direction or by its parts."""

    words = "force"
    table = tables.FORCE

    def values(self) -> Mapping[str, Value]:
        force = self.part
        assert isinstance(force, Force)
        return {
            "name": force.name,
            "point": force.point,
            "size": math.hypot(force.x, force.y),
            "direction": direction_of(force.x, force.y, self.session.display),
            "x": force.x,
            "y": force.y,
        }

    def altered(self, part: Part, key: str, value: Value) -> Part:
        if key not in ("size", "direction"):
            return super().altered(part, key, value)
        assert isinstance(part, Force)
        assert isinstance(value, float)
        size = value if key == "size" else math.hypot(part.x, part.y)
        turn = math.radians(value) if key == "direction" else math.atan2(part.y, part.x)
        return replace(part, x=size * math.cos(turn), y=size * math.sin(turn))


class SliderPage(PartPage):
    """A slider: its pin, its slot, its rubbing."""

    words = "slider"
    table = tables.SLIDER

    def values(self) -> Mapping[str, Value]:
        slider = self.part
        assert isinstance(slider, Slider)
        return {
            "name": slider.name,
            "point": slider.point,
            "guide": slider.guide,
            "along_0": slider.along[0],
            "along_1": slider.along[1],
            "friction": slider.friction,
            "drag": slider.drag,
        }

    def offers(self) -> Mapping[str, Options]:
        slider = self.part
        assert isinstance(slider, Slider)
        ends = same_words(self.design.link(slider.guide).points)
        guides = [link.name for link in self.design.links if len(link.points) > 1]
        return {**super().offers(), "guide": same_words(guides), "along_0": ends, "along_1": ends}

    def altered(self, part: Part, key: str, value: Value) -> Part:
        assert isinstance(part, Slider)
        if key == "guide":
            first, second = self.design.link(str(value)).points[:2]
            return replace(part, guide=str(value), along=(first, second))
        if key == "along_0":
            return replace(part, along=(str(value), part.along[1]))
        if key == "along_1":
            return replace(part, along=(part.along[0], str(value)))
        return super().altered(part, key, value)


def part_of(design: Design, ref: Ref) -> Part:
    """The part that a reference names; DesignProblem where there is none."""
    assert ref.kind != "rest"
    return find(design, ref.kind, ref.name)


def has_field(row: Row) -> bool:
    """Whether a row stands for a value."""
    return not isinstance(row, Heading)


def _usual_rod(spring: CompressionSpring) -> GuideRod:
    """A rod that goes as far as the spring does."""
    return GuideRod(
        closed=spring.solid_length + spring.least_gaps + spring.fittings,
        reach=spring.free_length + spring.fittings,
    )
