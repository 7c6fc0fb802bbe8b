"""Elements moved on the paper."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, replace
from typing import Any, TypeVar

from app.drawing.model import Element, Place

_PLACES = ("start", "end", "centre", "at", "through", "text_at")
_T = TypeVar("_T", bound=Element)


def shifted(elements: Iterable[_T], x: float, y: float) -> list[_T]:
    """The elements, all moved by x and y (mm)."""
    return [_shifted(element, x, y) for element in elements]


def _shifted(element: _T, x: float, y: float) -> _T:
    changes: dict[str, Any] = {}
    for field in fields(element):
        value = getattr(element, field.name)
        if field.name in _PLACES and isinstance(value, tuple):
            changes[field.name] = _moved(value, x, y)
        elif field.name == "points":
            changes["points"] = tuple(_moved(place, x, y) for place in value)
        elif field.name == "gaps":
            changes["gaps"] = tuple(tuple(_moved(place, x, y) for place in gap) for gap in value)
    return replace(element, **changes)


def _moved(place: Place, x: float, y: float) -> Place:
    return (place[0] + x, place[1] + y)
