"""Frozen dataclasses to JSON values and back, driven by their type hints.

One shape per kind of hint; a shape decodes strictly, encodes every field, and knows its JSON
Schema, so that the three cannot drift apart. A union of dataclasses is told apart by a "kind"
key. What does not fit raises Misfit with the path to the value.
"""

import dataclasses
import inspect
import math
import types
from abc import ABC, abstractmethod
from collections.abc import Mapping
from functools import cache
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from solver.model import CompressionSpring, ExtensionSpring, Force, Torque, TorsionSpring

KINDS: Mapping[type, str] = {
    CompressionSpring: "compression",
    ExtensionSpring: "extension",
    TorsionSpring: "torsion",
    Force: "force",
    Torque: "torque",
}
"""Class -> its "kind" in a file, for classes that stand beside others in a list."""

Json = dict[str, Any]


class Misfit(Exception):  # internal: becomes a FileProblem
    """A value that does not fit; `steps` lead to it from the outside in."""

    def __init__(self, complaint: str) -> None:
        super().__init__(complaint)
        self.steps: list[str | int] = []

    def at(self, step: str | int) -> "Misfit":
        """The same, one level further out."""
        self.steps.insert(0, step)
        return self

    @property
    def path(self) -> str:
        """Such as "variants[1].springs[0].rate"; "" for the whole."""
        text = "".join(f"[{s}]" if isinstance(s, int) else f".{s}" for s in self.steps)
        return text.removeprefix(".")


class Shape(ABC):
    """How values of one type look in a file."""

    @abstractmethod
    def decode(self, value: object) -> Any:  # noqa: ANN401  # the type is the hint's
        """The Python value; Misfit where the JSON value is not of this shape."""

    @abstractmethod
    def encode(self, value: Any) -> object:  # noqa: ANN401
        """The JSON value; Misfit where JSON has none."""

    @abstractmethod
    def schema(self, definitions: dict[str, Json]) -> Json:
        """Its JSON Schema; records are put among `definitions` and referred to."""


class Text(Shape):
    """A string."""

    def decode(self, value: object) -> str:
        if not isinstance(value, str):
            raise _expected("text", value)
        if not value.isascii():
            try:
                value.encode()
            except UnicodeEncodeError:
                raise Misfit("holds half a character (a lone surrogate)") from None
        return value

    def encode(self, value: Any) -> str:  # noqa: ANN401
        return self.decode(value)

    def schema(self, definitions: dict[str, Json]) -> Json:
        return {"type": "string"}


class Number(Shape):
    """A finite float. A whole number is one too; true and false are not."""

    def decode(self, value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise _expected("a number", value)
        try:
            number = float(value)
        except OverflowError:
            number = math.inf
        if not math.isfinite(number):
            raise Misfit("expected a finite number")
        return number

    def encode(self, value: Any) -> float:  # noqa: ANN401
        return self.decode(value)

    def schema(self, definitions: dict[str, Json]) -> Json:
        return {"type": "number"}


class Whole(Shape):
    """An int."""

    def decode(self, value: object) -> int:
        number = Number().decode(value)
        if number != int(number):
            raise Misfit("expected a whole number")
        # A whole number beyond 2**53 would lose digits on its way through float.
        return value if isinstance(value, int) else int(number)

    def encode(self, value: Any) -> int:  # noqa: ANN401
        return self.decode(value)

    def schema(self, definitions: dict[str, Json]) -> Json:
        return {"type": "integer"}


class Flag(Shape):
    """True or false."""

    def decode(self, value: object) -> bool:
        if not isinstance(value, bool):
            raise _expected("true or false", value)
        return value

    def encode(self, value: Any) -> bool:  # noqa: ANN401
        return self.decode(value)

    def schema(self, definitions: dict[str, Json]) -> Json:
        return {"type": "boolean"}


@dataclasses.dataclass(frozen=True)
class Choice(Shape):
    """One of a few words."""

    words: tuple[str, ...]

    def decode(self, value: object) -> str:
        if not isinstance(value, str) or value not in self.words:
            raise Misfit("expected " + " or ".join(f'"{word}"' for word in self.words))
        return value

    def encode(self, value: Any) -> str:  # noqa: ANN401
        return self.decode(value)

    def schema(self, definitions: dict[str, Json]) -> Json:
        return {"enum": list(self.words)}


@dataclasses.dataclass(frozen=True)
class Maybe(Shape):
    """A value or null."""

    inner: Shape

    def decode(self, value: object) -> Any:  # noqa: ANN401
        return None if value is None else self.inner.decode(value)

    def encode(self, value: Any) -> object:  # noqa: ANN401
        return None if value is None else self.inner.encode(value)

    def schema(self, definitions: dict[str, Json]) -> Json:
        return {"anyOf": [self.inner.schema(definitions), {"type": "null"}]}


@dataclasses.dataclass(frozen=True)
class Items(Shape):
    """A tuple of like items; `count` of them, or any number where that is None."""

    inner: Shape
    count: int | None

    def decode(self, value: object) -> tuple[Any, ...]:
        if not isinstance(value, list):
            raise _expected("a list", value)
        self._counted(value)
        return tuple(_stepped(self.inner.decode, item, place) for place, item in enumerate(value))

    def encode(self, value: Any) -> list[object]:  # noqa: ANN401
        self._counted(value)
        return [_stepped(self.inner.encode, item, place) for place, item in enumerate(value)]

    def schema(self, definitions: dict[str, Json]) -> Json:
        found: Json = {"type": "array", "items": self.inner.schema(definitions)}
        return found if self.count is None else _bounded(found, self.count)

    def _counted(self, value: list[object] | tuple[object, ...]) -> None:
        if self.count is not None and len(value) != self.count:
            raise Misfit(f"expected a list of {self.count}")


@dataclasses.dataclass(frozen=True)
class Record(Shape):
    """A dataclass as an object with one key per field."""

    cls: type
    fields: Mapping[str, Shape]
    required: frozenset[str]

    def decode(self, value: object) -> Any:  # noqa: ANN401
        if not isinstance(value, dict):
            raise _expected("an object", value)
        allowed = self.fields.keys() | ({"kind"} if self.cls in KINDS else set())
        for key in value:
            if key not in allowed:
                raise Misfit(f'there is no key "{_short(key)}" here')
        for name in self.fields:
            if name in self.required and name not in value:
                raise Misfit(f'the key "{name}" is missing')
        known = {
            name: _stepped(shape.decode, value[name], name)
            for name, shape in self.fields.items()
            if name in value
        }
        try:
            return self.cls(**known)
        except ValueError as refusal:
            raise Misfit(str(refusal)) from None

    def encode(self, value: Any) -> Json:  # noqa: ANN401
        head: Json = {"kind": KINDS[self.cls]} if self.cls in KINDS else {}
        return head | {
            name: _stepped(shape.encode, getattr(value, name), name)
            for name, shape in self.fields.items()
        }

    def schema(self, definitions: dict[str, Json]) -> Json:
        name = self.cls.__name__
        if name not in definitions:
            definitions[name] = {}  # holds the place among the definitions
            kind: Json = {"kind": {"const": KINDS[self.cls]}} if self.cls in KINDS else {}
            definitions[name] |= {
                "description": inspect.getdoc(self.cls),
                "type": "object",
                "properties": kind | {n: s.schema(definitions) for n, s in self.fields.items()},
                "required": [*kind, *(name for name in self.fields if name in self.required)],
                "additionalProperties": False,
            }
        return {"$ref": f"#/$defs/{name}"}


@dataclasses.dataclass(frozen=True)
class OneOf(Shape):
    """One of several dataclasses, told apart by the "kind" key."""

    records: Mapping[str, Record]

    def decode(self, value: object) -> Any:  # noqa: ANN401
        if not isinstance(value, dict):
            raise _expected("an object", value)
        if "kind" not in value:
            raise Misfit('the key "kind" is missing')
        word = _stepped(Choice(tuple(self.records)).decode, value["kind"], "kind")
        return self.records[word].decode(value)

    def encode(self, value: Any) -> object:  # noqa: ANN401
        return self.records[KINDS[type(value)]].encode(value)

    def schema(self, definitions: dict[str, Json]) -> Json:
        return {"oneOf": [record.schema(definitions) for record in self.records.values()]}


_PLAIN: Mapping[object, Shape] = {str: Text(), float: Number(), int: Whole(), bool: Flag()}


@cache
def shape_of(hint: Any) -> Shape:  # noqa: ANN401  # a type hint may be anything
    """The shape of a type hint; TypeError for a hint that files have no form for."""
    if hint in _PLAIN:
        return _PLAIN[hint]
    if dataclasses.is_dataclass(hint) and isinstance(hint, type):
        return _record(hint)
    arguments = get_args(hint)
    origin = get_origin(hint)
    if origin is Literal:
        return Choice(arguments)
    if origin is tuple and len(set(arguments) - {...}) == 1:
        return Items(shape_of(arguments[0]), None if ... in arguments else len(arguments))
    if origin in (Union, types.UnionType):
        return _union(arguments)
    raise TypeError(f"no form in a file for {hint}")


def _union(arguments: tuple[Any, ...]) -> Shape:
    inner = [argument for argument in arguments if argument is not type(None)]
    if len(inner) > 1:
        shape: Shape = OneOf({KINDS[cls]: _record(cls) for cls in inner})
    else:
        shape = shape_of(inner[0])
    return shape if len(inner) == len(arguments) else Maybe(shape)


def _record(cls: type) -> Record:
    fields = dataclasses.fields(cls)
    hints = get_type_hints(cls)
    nothing = dataclasses.MISSING
    required = (f.name for f in fields if f.default is nothing and f.default_factory is nothing)
    return Record(cls, {f.name: shape_of(hints[f.name]) for f in fields}, frozenset(required))


def _stepped(change: Any, value: object, step: str | int) -> Any:  # noqa: ANN401
    """`change(value)`, with the step to the value told in a Misfit."""
    try:
        return change(value)
    except Misfit as misfit:
        raise misfit.at(step)  # noqa: B904  # the same exception with a longer path


_JSON_NAMES: Mapping[type, str] = {
    dict: "an object",
    list: "a list",
    str: "text",
    bool: "true or false",
    int: "a number",
    float: "a number",
    type(None): "null",
}


def _expected(what: str, value: object) -> Misfit:
    return Misfit(f"expected {what}, found {_JSON_NAMES.get(type(value), 'something else')}")


def _short(key: object) -> str:
    text = str(key)
    return text if len(text) <= 40 else text[:40] + "…"


def _bounded(schema: Json, count: int) -> Json:
    return schema | {"minItems": count, "maxItems": count}
