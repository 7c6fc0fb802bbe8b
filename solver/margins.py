"""Room to each demand on a design: its limits, and that the lever cannot be left standing.

Limits compare in the base unit of their reading. To hold margins of different kinds against
each other (which is nearest to failing?), each is divided by the scale of its demand, the size
of the bound itself, and so becomes a plain number; nothing here adds newtons to millimetres.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from solver.model import Design, Limit
from solver.readings import ReadingKind, catalogue, no_such_reading
from solver.units import Quantity
from solver.verdict import HANG_KEYS, HANG_SHARE

Values = NDArray[np.float64]

_JUST_ABOVE = 1e-9
"""Least value of what must be above zero."""

_PLAIN_SIZE: Mapping[Quantity, float] = {
    "length": 1.0,
    "angle": 1.0,
    "direction": 1.0,
    "force": 1.0,
    "torque": 100.0,
    "energy": 100.0,
    "ratio": 0.1,
}
"""Scale of a limit that is zero, in base units; our own judgement of what is a little."""

_CONDITIONS: Mapping[str, tuple[str, Quantity]] = {
    "seating_force_a": ("Stays at rest A", "force"),
    "seating_force_b": ("Stays at rest B", "force"),
    "clear_way": ("One dead centre, no place to stay in between", "torque"),
    "hang_share": (f"Hang zone at most {HANG_SHARE:.0%} of the throw".replace("%", " %"), "ratio"),
}


@dataclass(frozen=True, slots=True)
class Demands:
    """What a design must do: its own limits first (`own` of them), then the conditions.

    labels: in words, one each; scales: (L,), in the base unit of each one's reading.
    """

    limits: tuple[Limit, ...]
    labels: tuple[str, ...]
    scales: Values
    own: int

    def margins(self, values: Mapping[str, Values]) -> Values:
        """Room to each demand, (B, L), in base units; see `margins`."""
        return margins(self.limits, values)


def demands(design: Design) -> Demands:
    """The limits of a design, and the conditions without which it is not a throw-over lever.

    All margins are 0 or more exactly where `solver.analysis` calls the design good. The
    conditions: it stays at rest A and at rest B, has one dead centre and no other place to stay,
    and, if the design has no limit of its own on the hang zone, one that is a small share of the
    throw. Raises DesignProblem for a limit on a reading that the design does not have.
    """
    kinds = {kind.key: kind for kind in catalogue(design)}
    own = design.limits
    conditions = _conditions(own)
    return Demands(
        limits=(*own, *conditions),
        labels=(
            *(_kind(limit, kinds).label for limit in own),
            *(_CONDITIONS[limit.reading][0] for limit in conditions),
        ),
        scales=np.array(
            [
                *(_scale(limit, _kind(limit, kinds).quantity) for limit in own),
                *(_scale(limit, _CONDITIONS[limit.reading][1]) for limit in conditions),
            ]
        ),
        own=len(own),
    )


def margins(limits: Sequence[Limit], values: Mapping[str, Values]) -> Values:
    """Room to each limit, (B, L), in the base unit of its reading.

    values: readings (B,) by key, as `solver.batch.read_batch` gives. Negative where a limit
    fails; -inf where the design does not have the reading.
    """
    count = len(next(iter(values.values())))
    room = np.empty((count, len(limits)))
    for column, limit in enumerate(limits):
        reading = values.get(limit.reading)
        if reading is None:
            room[:, column] = -np.inf
            continue
        low = np.inf if limit.at_least is None else reading - limit.at_least
        high = np.inf if limit.at_most is None else limit.at_most - reading
        room[:, column] = np.where(np.isnan(reading), -np.inf, np.minimum(low, high))
    return room


def scales(limits: Sequence[Limit], design: Design) -> Values:
    """What each limit's margin is divided by to rank it among others, (L,), in base units.

    The size of the bound; of two, the greater; for a bound of zero, a little of its quantity.
    """
    kinds = {kind.key: kind for kind in catalogue(design)}
    return np.array([_scale(limit, _kind(limit, kinds).quantity) for limit in limits])


def _conditions(own: tuple[Limit, ...]) -> tuple[Limit, ...]:
    wanted = [
        Limit(key, at_least=_JUST_ABOVE)
        for key in ("seating_force_a", "seating_force_b", "clear_way")
    ]
    if not any(limit.reading in HANG_KEYS for limit in own):
        wanted.append(Limit("hang_share", at_most=HANG_SHARE))
    return tuple(wanted)


def _kind(limit: Limit, kinds: Mapping[str, ReadingKind]) -> ReadingKind:
    if limit.reading not in kinds:
        raise no_such_reading(limit)
    return kinds[limit.reading]


def _scale(limit: Limit, quantity: Quantity) -> float:
    size = max(abs(bound) for bound in (limit.at_least, limit.at_most) if bound is not None)
    return size if size > _JUST_ABOVE else _PLAIN_SIZE.get(quantity, 1.0)
