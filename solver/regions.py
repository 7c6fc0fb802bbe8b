"""Where on a grid several numbers are all 0 or more: polygons, and which number ends them where.

Each number is a smooth field; its own region is taken off contours (linear within a cell, so an
edge is off by at most h²/8 of its curvature, h being the spacing), and the regions are then
intersected, which keeps the corners sharp that the least of the fields would round off.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from shapely import MultiPolygon

Values = NDArray[np.float64]
Index = NDArray[np.intp]

_SPECK = 0.25
"""Pieces below this share of a grid cell are dropped where there is a larger one."""
_SHORTEST = 1.5
"""Diagonals of a grid cell below which a stretch of edge is not told apart."""
_WINDOW = -1


@dataclass(frozen=True, slots=True)
class Grid:
    """Places xs (X,) by ys (Y,), mm, evenly spaced; fields on it are (Y, X) or (Y, X, L)."""

    xs: Values
    ys: Values

    @classmethod
    def over(cls, window: tuple[float, float, float, float], count: int) -> Grid:
        """`count` by `count` places over a window (x0, y0, x1, y1)."""
        x0, y0, x1, y1 = window
        return cls(np.linspace(x0, x1, count), np.linspace(y0, y1, count))

    @property
    def spacing(self) -> tuple[float, float]:
        """Distance of neighbours in x and in y, mm."""
        return float(self.xs[1] - self.xs[0]), float(self.ys[1] - self.ys[0])

    @property
    def places(self) -> NDArray[np.complex128]:
        """All places as x + iy, (Y, X)."""
        result: NDArray[np.complex128] = self.xs[None, :] + 1j * self.ys[:, None]
        return result


@dataclass(frozen=True, slots=True)
class Edge:
    """A stretch of a region's edge, ended by one number.

    key is that number's index, -1 where only the window ends it; line: places (mm) in order;
    label_at: where to write what it is, None where another stretch with the same key bears it.
    """

    key: int
    line: tuple[tuple[float, float], ...]
    label_at: tuple[float, float] | None


def region(grid: Grid, fields: Values) -> MultiPolygon:
    """Where all fields (Y, X, L) are 0 or more; they must be finite."""
    from shapely import MultiPolygon, box, get_parts, intersection_all

    lows, highs = fields.min(axis=(0, 1)), fields.max(axis=(0, 1))
    if np.any(highs < 0.0):
        return MultiPolygon()
    whole = box(grid.xs[0], grid.ys[0], grid.xs[-1], grid.ys[-1])
    shapes = [_shape(grid, fields[:, :, at]) for at in np.flatnonzero(lows < 0.0)]
    common = intersection_all([whole, *shapes])
    pieces = [part for part in get_parts(common) if part.geom_type == "Polygon"]
    speck = _SPECK * grid.spacing[0] * grid.spacing[1]
    large = [piece for piece in pieces if piece.area >= speck]
    return MultiPolygon(large or pieces)


def _shape(grid: Grid, field: Values) -> Any:  # noqa: ANN401  # shapely brings no types
    from contourpy import FillType, contour_generator
    from shapely import Polygon, make_valid, union_all

    contours = contour_generator(grid.xs, grid.ys, field, fill_type=FillType.OuterOffset)
    filled: Any = contours.filled(0.0, 2.0 * abs(field).max() + 1.0)
    shapes = []
    for points, ends in zip(*filled, strict=True):
        rings = [points[start:end] for start, end in pairwise(ends)]
        shapes.append(Polygon(rings[0], rings[1:]))
    whole = union_all(shapes) if len(shapes) > 1 else shapes[0]
    return whole if whole.is_valid else make_valid(whole)


def edges(grid: Grid, fields: Values, found: MultiPolygon) -> tuple[Edge, ...]:
    """The edge of a region of these fields, cut where another field takes over ending it."""
    stretches: list[tuple[int, Values]] = []
    for piece in found.geoms:
        for ring in (piece.exterior, *piece.interiors):
            stretches += _stretches(grid, fields, np.asarray(ring.coords))
    longest: dict[int, int] = {}
    lengths = [_length(line) for _, line in stretches]
    for at, (key, _) in enumerate(stretches):
        if key not in longest or lengths[at] > lengths[longest[key]]:
            longest[key] = at
    return tuple(
        Edge(key, _tuples(line), _halfway(line) if longest[key] == at and key >= 0 else None)
        for at, (key, line) in enumerate(stretches)
    )


def _stretches(grid: Grid, fields: Values, ring: Values) -> list[tuple[int, Values]]:
    """(key, places) of every stretch of one closed ring (R, 2)."""
    keys = _ended_by(grid, fields, ring)
    sizes = np.hypot(*np.diff(ring, axis=0).T)
    runs = _runs(keys, sizes, _SHORTEST * float(np.hypot(*grid.spacing)))
    if len(runs) == 1:
        return [(runs[0][0], ring)]
    open_ring = ring[:-1]
    return [
        (key, open_ring[np.arange(start, end + 1) % len(open_ring)]) for key, start, end in runs
    ]


def _ended_by(grid: Grid, fields: Values, ring: Values) -> Index:
    """For every side of a ring, the field whose zero it follows, or _WINDOW, (R - 1,).

    That is the one nearest to zero at the side's middle for how much it varies over the cell.
    """
    middle = 0.5 * (ring[1:] + ring[:-1])
    columns, across = _cell(middle[:, 0], grid.xs)
    rows, up = _cell(middle[:, 1], grid.ys)
    corners = np.stack(
        [fields[rows + i, columns + j] for i in (0, 1) for j in (0, 1)]
    )  # (4, R - 1, L)
    shares = np.stack([u * a for u in (1.0 - up, up) for a in (1.0 - across, across)])  # (4, R - 1)
    value = np.abs(np.einsum("cr,crl->rl", shares, corners))
    extent = np.ptp(corners, axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        off = np.where(extent > 0.0, value / extent, np.inf)
    keys: Index = np.argmin(off, axis=1)
    slack = 1e-9 * (grid.xs[-1] - grid.xs[0])
    for axis, line in ((0, grid.xs), (1, grid.ys)):
        for border in (line[0], line[-1]):
            near = np.abs(ring[:, axis] - border) <= slack
            keys[near[1:] & near[:-1]] = _WINDOW
    return keys


def _cell(places: Values, line: Values) -> tuple[Index, Values]:
    """Index of the cell that each place is in, and how far along it is (0 … 1)."""
    at = (places - line[0]) / (line[1] - line[0])
    cell = np.clip(at.astype(np.intp), 0, len(line) - 2)
    return cell, at - cell


def _runs(keys: Index, sizes: Values, shortest: float) -> list[tuple[int, int, int]]:
    """(key, first side, end) of stretches around a closed ring; ends may pass its start.

    Stretches that are too short to tell apart join the longer of their neighbours.
    """
    keys, count = keys.copy(), len(keys)
    total = np.concatenate([[0.0], np.cumsum(np.concatenate([sizes, sizes]))])
    while True:
        starts = np.flatnonzero(keys != np.roll(keys, 1))
        if not starts.size:
            return [(int(keys[0]), 0, count)]
        ends = np.append(starts[1:], starts[0] + count)
        long = total[ends] - total[starts]
        least = int(np.argmin(long))
        if long[least] >= shortest:
            return list(zip(keys[starts].tolist(), starts.tolist(), ends.tolist(), strict=True))
        before, after = least - 1, (least + 1) % len(starts)
        longer = before if long[before] >= long[after] else after
        keys[np.arange(starts[least], ends[least]) % count] = keys[starts[longer]]


def _tuples(line: Values) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in line)


def _length(line: Values) -> float:
    return float(np.hypot(*np.diff(line, axis=0).T).sum())


def _halfway(line: Values) -> tuple[float, float]:
    sizes = np.hypot(*np.diff(line, axis=0).T)
    along: Sequence[float] = [0.0, *np.cumsum(sizes).tolist()]
    half = along[-1] / 2.0
    return float(np.interp(half, along, line[:, 0])), float(np.interp(half, along, line[:, 1]))
