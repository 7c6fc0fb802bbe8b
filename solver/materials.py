"""What plates are cut from: names and densities, from assets/materials.json."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from solver.tables import table


@dataclass(frozen=True, slots=True)
class Material:
    """One material; density in kg/m³. `source` says where the density is from."""

    key: str
    title: str
    density: float
    source: str


@cache
def materials() -> Mapping[str, Material]:
    """Every material by its key (what `Plate.material` holds), in the table's order."""
    rows = table("materials")["materials"]
    return MappingProxyType({row["key"]: Material(**row) for row in rows})


def plate_mass(area: float, thickness: float, material: str) -> float:
    """Mass (kg) of a plate of that area (mm²) and thickness (mm); KeyError for a new material."""
    return area * thickness * materials()[material].density * 1e-9
