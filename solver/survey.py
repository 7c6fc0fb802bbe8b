"""How much room a design's demands have with one point of it at other places."""

from __future__ import annotations

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

    def fields(self, places: Places, positions: int) -> Values:
        """Margins (…, L + 1) at places on a grid (Y, X) or a line (X,), fit for contours.

        The last one is the room to locking. Next to a lock, the other margins carry on as they
        are on its near side, so that it is the lock that ends the region there.
        """
        margins, closes = self.margins(places.ravel(), positions)
        shape = places.shape
        margins, closes = margins.reshape(*shape, -1), closes.reshape(shape)
        lock = np.ones(shape)
        if not closes.all():
            edge = _next_to(closes)
            lock = self._lock(places, closes, edge, positions)
            margins[edge & ~closes] = _neighbours(margins, closes)[edge & ~closes]
        return np.concatenate([margins, lock[..., None]], axis=-1)

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
