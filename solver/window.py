"""The window that a go zone is looked for in, when nobody gives one.

Coarse grids first: over the surroundings of the point as wide as the linkage, wider where the
zone runs out of them, then over the zone alone. Only the part of the zone that holds the point,
or else lies nearest to it, is kept, so that a mirror image far off does not cost resolution.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from solver.regions import Grid
from solver.survey import Survey, reach

Values = NDArray[np.float64]
Window = tuple[float, float, float, float]

_COUNT = 21
_POSITIONS = 31
_WIDER = 1
"""Doublings of the first window."""
_CLOSER = 3
"""Looks closer at the most promising place, where no place is in the zone."""


def search_window(survey: Survey) -> Window:
    """A window (mm) with the zone nearest the point in it, and a little more."""
    half = 0.5 * reach(survey.plan, survey.nominal)
    middle = survey.present
    window = _square(middle, half)
    for _ in range(_WIDER + 1):
        grid = Grid.over(window, _COUNT)
        mask = _maybe(survey, grid)
        if not mask.any():
            break
        part = _nearest_part(mask, grid, survey.present)
        if not _at_border(part):
            break
        half *= 2.0
        window = _square(middle, half)
    if not mask.any():
        return _closer(survey, window)
    return _around(*_finer(survey, grid, part))


def search_line(survey: Survey, along: complex, count: int) -> NDArray[np.complex128]:
    """`count` places on the line through the point with direction `along` (unit), evenly spaced.

    They cover the part of the zone nearest the point, or else the surroundings.
    """
    size = reach(survey.plan, survey.nominal)
    steps = np.linspace(-size, size, 16 * _COUNT + 1)
    least = survey.least(_line(survey, along, steps), _POSITIONS)
    mask = _reaching(least[None, :])
    if mask.any():
        grid = Grid(steps, np.zeros(1))
        part = np.flatnonzero(_nearest_part(mask, grid, 0j)[0])
        steps = steps[max(part[0] - 1, 0) : part[-1] + 2]
    return _line(survey, along, np.linspace(steps[0], steps[-1], count))


def _line(survey: Survey, along: complex, steps: Values) -> NDArray[np.complex128]:
    return np.asarray(survey.present + steps * along, dtype=np.complex128)


def _square(middle: complex, half: float) -> Window:
    return middle.real - half, middle.imag - half, middle.real + half, middle.imag + half


def _maybe(survey: Survey, grid: Grid) -> NDArray[np.bool_]:
    """Places (Y, X) that are in the zone, or may have it nearer than the next place."""
    least = survey.least(grid.places.ravel(), _POSITIONS)
    return _reaching(least.reshape(grid.places.shape))


def _reaching(least: Values) -> NDArray[np.bool_]:
    """Where the least margin is 0 or could rise to it within half a step, by its slopes."""
    rise = np.zeros_like(least)
    for axis in (0, 1):
        step = np.abs(np.diff(least, axis=axis))
        ahead, behind = (
            np.concatenate(parts, axis=axis)
            for parts in (
                (step, np.zeros_like(least.take([0], axis))),
                (np.zeros_like(least.take([0], axis)), step),
            )
        )
        rise = np.maximum(rise, np.maximum(ahead, behind))
    solid = least >= 0.0
    # Slopes where the zone is far, or next to a lock, say nothing; they must not make a zone.
    return solid | ((least > -0.5) & (least + 0.5 * rise >= 0.0))


def _nearest_part(mask: NDArray[np.bool_], grid: Grid, point: complex) -> NDArray[np.bool_]:
    """The connected part of a mask (corners count) that lies nearest a place."""
    away = np.where(mask, np.abs(grid.places - point), np.inf)
    part = np.zeros_like(mask)
    part[np.unravel_index(int(np.argmin(away)), mask.shape)] = True
    while True:
        wider = np.pad(part, 1)
        rows = wider[:-2] | wider[1:-1] | wider[2:]
        grown = (rows[:, :-2] | rows[:, 1:-1] | rows[:, 2:]) & mask
        if (grown == part).all():
            return part
        part = grown


def _at_border(part: NDArray[np.bool_]) -> bool:
    return bool(part[0].any() or part[-1].any() or part[:, 0].any() or part[:, -1].any())


def _around(grid: Grid, part: NDArray[np.bool_]) -> Window:
    """The box of the places in `part`, one step wider, within the grid."""
    columns, rows = np.flatnonzero(part.any(axis=0)), np.flatnonzero(part.any(axis=1))
    x0, x1 = grid.xs[max(columns[0] - 1, 0)], grid.xs[min(columns[-1] + 1, len(grid.xs) - 1)]
    y0, y1 = grid.ys[max(rows[0] - 1, 0)], grid.ys[min(rows[-1] + 1, len(grid.ys) - 1)]
    return float(x0), float(y0), float(x1), float(y1)


def _finer(survey: Survey, grid: Grid, part: NDArray[np.bool_]) -> tuple[Grid, NDArray[np.bool_]]:
    """The part of the zone on a grid over it alone; as it was where the finer look loses it."""
    finer = Grid.over(_around(grid, part), _COUNT)
    mask = _maybe(survey, finer)
    if not mask.any():
        return grid, part
    return finer, _nearest_part(mask, finer, survey.present)


def _closer(survey: Survey, window: Window) -> Window:
    """Looks for a zone smaller than the step, around the best places; else the surroundings."""
    look = window
    for _ in range(_CLOSER):
        grid = Grid.over(look, _COUNT)
        least = survey.least(grid.places.ravel(), _POSITIONS)
        best = complex(grid.places.ravel()[int(np.argmax(least))])
        look = _square(best, 2.0 * max(grid.spacing))
        grid = Grid.over(look, _COUNT)
        mask = _maybe(survey, grid)
        if mask.any():
            return _around(grid, _nearest_part(mask, grid, survey.present))
    return window
