"""The single findings that an analysis is made of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from solver.model import Limit
from solver.units import Quantity

ZoneKind = Literal["dead centre", "valley", "slack"]


@dataclass(frozen=True, slots=True)
class HangZone:
    """Travel (degrees, and mm at the grip) over which friction can hold the lever still.

    kind: at a "dead centre" the torque turns from pushing home to A to pushing home to B; in a
    "valley" it pushes into the zone from both sides, so the lever comes to rest there by itself;
    "slack" is a zone with neither.
    """

    start: float
    end: float
    start_mm: float
    end_mm: float
    kind: ZoneKind


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading with its value in the quantity's base unit; `where` is travel in degrees."""

    key: str
    label: str
    value: float
    quantity: Quantity
    where: float | None
    group: str


@dataclass(frozen=True, slots=True)
class LimitResult:
    """A limit held against its reading; the sentence says by how much and which way to go."""

    limit: Limit
    reading: Reading
    holds: bool
    sentence: str
