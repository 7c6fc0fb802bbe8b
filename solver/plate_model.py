"""How the weight of plates changes with the points of their links, for whole batches.

A plate's mass and centroid follow from its outline, which takes far longer than a position of
the linkage. So they are taken as a sum of parabolas, one in each coordinate that moves, through
the plate's true numbers at its ends and middle. Left out is how moving one point changes the
effect of moving another, and where the outline takes another shape on the way.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.model import FRAME, Design
from solver.parameters import numbers
from solver.plan import Plan

Values = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PlateModel:
    """Parabolas of Q plate numbers in C coordinates; columns are those of the plan.

    centre: (C,) mm; level: (Q,); slope, bend: (C, Q) per mm and per mm².
    """

    coordinates: NDArray[np.intp]
    plates: NDArray[np.intp]
    centre: Values
    level: Values
    slope: Values
    bend: Values

    @classmethod
    def of(cls, plan: Plan, design: Design, reach: Mapping[str, float]) -> PlateModel:
        """About a design, for points that move up to ± reach (mm) each way."""
        mine = {
            name: [plate.link for plate in design.plates if name in design.link(plate.link).points]
            for name in reach
        }
        moving = [name for name, links in mine.items() if set(links) - {FRAME} and reach[name] > 0]
        links = {link for name in moving for link in mine[name]}
        paths = [path for path in plan.columns if path.startswith(tuple(_prefixes(links)))]
        level = _plates(design, paths)
        slope, bend = [], []
        for name in moving:
            for axis in "xy":
                up, down = (
                    _plates(_shifted(design, name, axis, side * reach[name]), paths)
                    for side in (1.0, -1.0)
                )
                slope.append((up - down) / (2.0 * reach[name]))
                bend.append((up + down - 2.0 * level) / (2.0 * reach[name] ** 2))
        coordinates = [plan.column(f"points.{name}.{axis}") for name in moving for axis in "xy"]
        shape = (len(coordinates), len(paths))
        return cls(
            coordinates=np.array(coordinates, dtype=np.intp),
            plates=np.array([plan.column(path) for path in paths], dtype=np.intp),
            centre=np.array([at for name in moving for at in _place(design, name)]),
            level=level,
            slope=np.array(slope).reshape(shape),
            bend=np.array(bend).reshape(shape),
        )

    def carry(self, parameters: Values) -> None:
        """Set the plates' numbers in (B, P), in place, to suit where the points are."""
        if not self.plates.size:
            return
        moved = parameters[:, self.coordinates] - self.centre
        parameters[:, self.plates] = self.level + moved @ self.slope + moved**2 @ self.bend


def _prefixes(links: set[str]) -> list[str]:
    return [f"plates.{link}." for link in sorted(links)]


def _place(design: Design, name: str) -> tuple[float, float]:
    point = design.point(name)
    return point.x, point.y


def _shifted(design: Design, name: str, axis: str, by: float) -> Design:
    points = tuple(
        replace(point, **{axis: getattr(point, axis) + by}) if point.name == name else point
        for point in design.points
    )
    return replace(design, points=points)


def _plates(design: Design, paths: list[str]) -> Values:
    if not paths:
        return np.zeros(0)
    found = dict(numbers(design, ()))
    return np.array([found[path] for path in paths])
