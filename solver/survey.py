"""How much room a design's demands have with one point of it at other places."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from solver.batch import read_batch
from solver.edit import move_point
from solver.margins import Demands, demands
from solver.model import Design
from solver.motion import Evaluator
from solver.moves import following, settle
from solver.plan import Plan, compile_design
from solver.plate_model import PlateModel

Values = NDArray[np.float64]
Places = NDArray[np.complex128]

LOCK_LABEL = "The linkage locks"
_FAILS = -10.0
"""Least margin, in scales, that is told apart: further off is all the same."""


@dataclass(frozen=True, slots=True)
class Survey:
    """A design whose `point` is tried at other places (x + iy, mm)."""

    point: str
    plan: Plan
    nominal: Values
    wanted: Demands
    plates: PlateModel

    @classmethod
    def of(cls, design: Design, point: str) -> Survey:
        """DesignProblem for a design that cannot be solved for want of parts or numbers."""
        plan = compile_design(design)
        nominal = plan.parameters(design)
        plates = _plates(plan, design, point, 0.1 * reach(plan, nominal))
        return cls(point, plan, nominal, demands(design), plates)

    def within(self, design: Design, middle: complex, half: float) -> Survey:
        """The same with the plates' weights true to places within ± half (mm) of `middle`."""
        moved = move_point(design, self.point, middle.real, middle.imag)
        return replace(self, plates=_plates(self.plan, moved, self.point, half))

    @property
    def labels(self) -> tuple[str, ...]:
        """What each margin is of, in words; the last is that the linkage closes."""
        return (*self.wanted.labels, LOCK_LABEL)

    @property
    def present(self) -> complex:
        """Where the point is."""
        at = self.plan.column(f"points.{self.point}.x")
        return complex(self.nominal[at], self.nominal[at + 1])

    def parameters(self, places: Places) -> Values:
        """Parameters (B, P) with the point at each of B places, pins on their slots."""
        found = np.repeat(self.nominal[None, :], len(places), axis=0)
        at = self.plan.column(f"points.{self.point}.x")
        found[:, at], found[:, at + 1] = places.real, places.imag
        settle(self.plan, found, [self.point])
        self.plates.carry(found)
        return found

    def margins(self, places: Places, positions: int) -> tuple[Values, NDArray[np.bool_]]:
        """Margins in scales, (B, L), not below -10, and which designs close, (B,)."""
        values = read_batch(self.plan, self.parameters(places), positions).values
        room = self.wanted.margins(values) / self.wanted.scales
        return np.maximum(room, _FAILS), ~np.isnan(values["throw"])

    def least(self, places: Places, positions: int) -> Values:
        """The least margin at each place, in scales; -10 where the linkage locks, (B,)."""
        margins, closes = self.margins(places, positions)
        result: Values = np.where(closes, margins.min(axis=1), _FAILS)
        return result

    def fields(
        self,
        places: Places,
        positions: int,
        taken: Callable[[Places], Values] | None = None,
    ) -> tuple[Values, Values]:
        """Margins (…, L + 1) at places on a grid (Y, X) or a line (X,), fit for contours.

        The last one is the room to locking. Next to a lock, the other margins carry on as they
        are on its near side, so that it is the lock that ends the region there. On a grid with
        odd sides every second place is solved first; the places between only where the edge of
        the region, or of the one less what is `taken` (given the places inside), may pass, and
        elsewhere they are in the middle of their neighbours. Also returned is what was taken,
        (L + 1,), 0 without `taken`.
        """
        loss = np.zeros(len(self.labels))
        if places.ndim == 2 and places.shape[0] % 2 and places.shape[1] % 2:
            margins, closes = self._solved(places[::2, ::2], positions)
            loss = self._loss(places[::2, ::2], margins, closes, taken)
            margins, closes = self._between(places, margins, closes, loss, positions)
        else:
            margins, closes = self._solved(places, positions)
            loss = self._loss(places, margins, closes, taken)
        lock = np.ones(places.shape)
        if not closes.all():
            edge = _next_to(closes)
            lock = self._lock(places, closes, edge, positions)
            margins[edge & ~closes] = _neighbours(margins, closes)[edge & ~closes]
        return np.concatenate([margins, lock[..., None]], axis=-1), loss

    def _solved(self, places: Places, positions: int) -> tuple[Values, NDArray[np.bool_]]:
        margins, closes = self.margins(places.ravel(), positions)
        return margins.reshape(*places.shape, -1), closes.reshape(places.shape)

    def _loss(
        self,
        places: Places,
        margins: Values,
        closes: NDArray[np.bool_],
        taken: Callable[[Places], Values] | None,
    ) -> Values:
        if taken is None:
            return np.zeros(len(self.labels))
        return taken(places[closes & (margins.min(axis=-1) >= 0.0)])

    def _between(
        self,
        places: Places,
        coarse: Values,
        closes: NDArray[np.bool_],
        loss: Values,
        positions: int,
    ) -> tuple[Values, NDArray[np.bool_]]:
        """Margins and closing at all places from those at every second one."""
        wanted = np.zeros(places.shape, dtype=np.bool_)
        for off in (np.zeros(len(loss)), loss):
            least = np.where(closes, (coarse - off[:-1]).min(axis=-1), _FAILS)
            wanted |= _spread_to_places(_may_cross(np.maximum(least, _FAILS)))
        margins = _midways(coarse)
        everywhere = _midways(closes.astype(np.float64)[..., None])[..., 0] > 0.999
        wanted[::2, ::2] = False
        if wanted.any():
            margins[wanted], everywhere[wanted] = self.margins(places[wanted], positions)
        return margins, everywhere

    def _lock(
        self, places: Places, closes: NDArray[np.bool_], edge: NDArray[np.bool_], positions: int
    ) -> Values:
        """Room to locking: as it is beside the edge of what closes, only its sign elsewhere."""
        room = Evaluator.of(self.plan).room(self.parameters(places[edge]), positions)
        usual = float(np.abs(room[np.isfinite(room)]).max(initial=1e-9))
        lock = np.where(closes, usual, -usual)
        near = np.clip(np.nan_to_num(room, nan=0.0), -usual, usual)
        # Rounding may have a linkage just close that has no room.
        tiny = 1e-12 * usual
        lock[edge] = np.where(closes[edge], np.maximum(near, tiny), np.minimum(near, -tiny))
        return lock


def reach(plan: Plan, nominal: Values) -> float:
    """The size of a linkage: the diagonal of the box around its points, mm."""
    xs, ys = nominal[plan.xs], nominal[plan.xs + 1]
    return max(float(np.hypot(np.ptp(xs), np.ptp(ys))), 1.0)


def _plates(plan: Plan, design: Design, point: str, far: float) -> PlateModel:
    return PlateModel.of(plan, design, dict.fromkeys(following(design, [point]), far))


def _may_cross(least: Values) -> NDArray[np.bool_]:
    """Cells (Y - 1, X - 1) in which a least margin (Y, X) may be 0, by how it varies over them."""
    corners = np.stack([least[:-1, :-1], least[:-1, 1:], least[1:, :-1], least[1:, 1:]])
    low, high = corners.min(axis=0), corners.max(axis=0)
    reserve = 0.5 * (high - low)
    result: NDArray[np.bool_] = (low - reserve <= 0.0) & (high + reserve >= 0.0)
    return result


def _spread_to_places(cells: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The places of the fine grid that belong to cells of the coarse one."""
    rows, columns = cells.shape
    found = np.zeros((2 * rows + 1, 2 * columns + 1), dtype=np.bool_)
    for up in range(3):
        for across in range(3):
            found[up : up + 2 * rows : 2, across : across + 2 * columns : 2] |= cells
    return found


def _midways(coarse: Values) -> Values:
    """A field (Y, X, L) with the means of neighbours put between, (2Y - 1, 2X - 1, L)."""
    rows, columns = coarse.shape[:2]
    fine = np.empty((2 * rows - 1, 2 * columns - 1, coarse.shape[2]))
    fine[::2, ::2] = coarse
    fine[1::2, ::2] = 0.5 * (coarse[:-1] + coarse[1:])
    fine[:, 1::2] = 0.5 * (fine[:, :-1:2] + fine[:, 2::2])
    return fine


def _shifted(field: NDArray[np.float64], fill: float) -> list[Values]:
    """The field as each of the up to eight neighbours sees it; `fill` beyond the border."""
    axes = field.ndim
    padded = np.pad(field, 1, constant_values=fill)
    steps = np.ndindex(*(3,) * axes)
    size = field.shape
    return [
        padded[tuple(slice(s, s + n) for s, n in zip(step, size, strict=True))] for step in steps
    ]


def _next_to(closes: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Places with a neighbour of the other kind."""
    seen = _shifted(closes.astype(np.float64), np.nan)
    other = [np.isfinite(view) & ((view > 0.5) != closes) for view in seen]
    result: NDArray[np.bool_] = np.any(other, axis=0)
    return result


def _neighbours(margins: Values, closes: NDArray[np.bool_]) -> Values:
    """The mean margins of the neighbours that close, (…, L); -10 where there is none."""
    count = np.sum(_shifted(closes.astype(np.float64), 0.0), axis=0)
    result = np.full_like(margins, _FAILS)
    for at in range(margins.shape[-1]):
        field = np.where(closes, margins[..., at], 0.0)
        total = np.sum(_shifted(field, 0.0), axis=0)
        result[..., at] = np.where(count > 0, total / np.maximum(count, 1.0), _FAILS)
    return result
