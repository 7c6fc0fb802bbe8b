"""What the tolerances of a design make of it: many copies, each a little off.

All copies are one batch. Shares and percentiles are of the copies drawn; the worst case is apart
from them: all tolerances at once at the ends that hurt most.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from solver.bands import LEVELS, BandRecorder, Bands
from solver.batch import BatchReadings, read_batch
from solver.influence import Influence, components, influences
from solver.margins import Demands, demands
from solver.model import Design, Limit
from solver.plan import Plan, compile_design
from solver.quantiles import Share, deviations, quantiles
from solver.sampling import Copier, variates

Array = NDArray[np.float64]

_OFFENDERS = 3


@dataclass(frozen=True, slots=True)
class Contribution:
    """How much of a reading's variance one tolerance brings, 0 … 1."""

    label: str
    share: float


@dataclass(frozen=True, slots=True)
class Percentiles:
    """One reading over all copies that have it, in base units; `missing` copies do not.

    low, middle and high are the 5th, 50th and 95th percentile; deviation is the standard deviation;
    nominal is the design as drawn.
    """

    nominal: float
    least: float
    low: float
    middle: float
    high: float
    most: float
    deviation: float
    missing: int


@dataclass(frozen=True, slots=True)
class LimitSpread:
    """A limit, or a condition of every throw-over lever, over all copies.

    worst is the reading (NaN: there is none, or the linkage locks) with all tolerances at the
    ends that hurt it most, found by straight lines and then solved exactly; worst_holds whether
    the limit still holds there. offenders are what spreads the reading most.
    """

    limit: Limit
    label: str
    holds: Share
    worst: float
    worst_holds: bool
    offenders: tuple[Contribution, ...]


@dataclass(frozen=True, slots=True)
class Spread:
    """What copies of a design do.

    limits: one for each limit of the design, in its order; conditions: what every throw-over
    lever must do besides (see `solver.margins.demands`). all_limits is the share of copies that
    hold every limit, good that of copies which `solver.analysis` would call good. locked copies
    do not reach both rests; they hold nothing. bands are over the nominal travel. `labels` names
    the tolerances, `shares` (G,) and `remainders` of the variance are by reading; ask
    `contributions`. notes are plain sentences.
    """

    copies: int
    readings: Mapping[str, Percentiles]
    limits: tuple[LimitSpread, ...]
    conditions: tuple[LimitSpread, ...]
    all_limits: Share
    good: Share
    locked: int
    bands: Bands
    labels: tuple[str, ...]
    shares: Mapping[str, Array] = field(repr=False)
    remainders: Mapping[str, float] = field(repr=False)
    notes: tuple[str, ...] = ()

    def contributions(self, reading: str) -> tuple[Contribution, ...]:
        """What a reading's spread comes from, greatest first; KeyError for an unknown reading.

        A hole's x and y count together. With `remainder` the shares sum to 1 (0 where the
        reading does not spread); see `solver.influence` for what they leave out.
        """
        return _ranked(self.labels, self.shares[reading])

    def remainder(self, reading: str) -> float:
        """Share of a reading's variance that no single tolerance explains."""
        return self.remainders[reading]


def spread(design: Design, copies: int = 2000, positions: int = 181, seed: int = 0) -> Spread:
    """Draw copies of a design from its tolerances and see what becomes of them.

    The same seed draws the same copies. Raises DesignProblem, naming the part, for a design that
    cannot be compiled or has a limit on a reading that it does not have.
    """
    plan = compile_design(design, holes=True)
    wanted = demands(design)
    copier = Copier.of(design, plan)
    off = variates(len(copier.items), copies, seed, design.tolerances.spread)
    recorder = BandRecorder(copies, positions)
    batch = read_batch(plan, copier.copies(off), positions, recorder.take)
    nominal = read_batch(plan, copier.nominal, positions)
    found = influences(off, batch)
    shares = {key: copier.grouped(each.shares) for key, each in found.items()}
    worst = _worst(plan, copier, found, wanted, positions)
    limits = _limits(wanted, batch, worst, copier.labels(), shares)
    all_limits, good = _shares(wanted, batch)
    locked = int(np.isnan(batch.values["throw"]).sum())
    return Spread(
        copies=copies,
        readings=_percentiles(batch, nominal),
        limits=limits[: wanted.own],
        conditions=limits[wanted.own :],
        all_limits=all_limits,
        good=good,
        locked=locked,
        bands=recorder.bands(float(nominal.values["throw"][0])),
        labels=copier.labels(),
        shares=shares,
        remainders={key: each.remainder for key, each in found.items()},
        notes=_notes(copies, locked, copier),
    )


def held(design: Design, copies: int = 2000, positions: int = 181, seed: int = 0) -> float:
    """The share of copies that hold all limits, or that work if there are none; see `spread`.

    The copies are those of `spread`, of which nothing else is looked at.
    """
    plan, wanted = compile_design(design, holes=True), demands(design)
    copier = Copier.of(design, plan)
    off = variates(len(copier.items), copies, seed, design.tolerances.spread)
    all_limits, good = _shares(wanted, read_batch(plan, copier.copies(off), positions))
    return (all_limits if wanted.own else good).share


def _shares(wanted: Demands, batch: BatchReadings) -> tuple[Share, Share]:
    """The shares that hold all limits, and that `solver.analysis` would call good."""
    holding: NDArray[np.bool_] = wanted.margins(batch.values) >= 0.0
    sound = ~np.isnan(batch.values["throw"])
    all_limits = np.all(holding[:, : wanted.own], axis=1) & sound
    return _share(all_limits), _share(np.all(holding, axis=1))


def _share(holds: NDArray[np.bool_]) -> Share:
    return Share.counted(int(holds.sum()), len(holds))


def _percentiles(batch: BatchReadings, nominal: BatchReadings) -> dict[str, Percentiles]:
    keys = list(batch.values)
    rows = np.stack([batch.values[key] for key in keys])
    table = quantiles(rows, (0.0, *LEVELS, 1.0))
    columns = [*table.tolist(), deviations(rows).tolist(), np.isnan(rows).sum(axis=1).tolist()]
    return {
        key: Percentiles(float(nominal.values[key][0]), *each)
        for key, each in zip(keys, zip(*columns, strict=True), strict=True)
    }


def _worst(
    plan: Plan,
    copier: Copier,
    found: Mapping[str, Influence],
    wanted: Demands,
    positions: int,
) -> BatchReadings:
    """The corners of all tolerances towards which some demand's reading goes, and the nominal.

    For a reading that is the least of several, the corners of each of these are tried.
    """
    slopes = [
        slope
        for limit in wanted.limits
        for key in components(limit.reading, found)
        for slope in found[key].slopes
    ]
    signs = np.sign(np.array(slopes)).reshape(len(slopes), len(copier.items))
    middle = np.zeros((1, len(copier.items)))
    off = np.concatenate([middle, signs, -signs])
    return read_batch(plan, copier.copies(np.unique(off, axis=0)), positions)


def _limits(
    wanted: Demands,
    batch: BatchReadings,
    worst: BatchReadings,
    labels: tuple[str, ...],
    shares: Mapping[str, Array],
) -> tuple[LimitSpread, ...]:
    holding = wanted.margins(batch.values) >= 0.0
    room = wanted.margins(worst.values)
    at = room.argmin(axis=0)
    return tuple(
        LimitSpread(
            limit=limit,
            label=label,
            holds=_share(holding[:, place]),
            worst=float(worst.values[limit.reading][at[place]]),
            worst_holds=bool(room[at[place], place] >= 0.0),
            offenders=_ranked(labels, shares[limit.reading])[:_OFFENDERS],
        )
        for place, (limit, label) in enumerate(zip(wanted.limits, wanted.labels, strict=True))
    )


def _ranked(labels: tuple[str, ...], shares: Array) -> tuple[Contribution, ...]:
    order = np.argsort(-shares, kind="stable")
    return tuple(Contribution(labels[place], float(shares[place])) for place in order)


def _notes(copies: int, locked: int, copier: Copier) -> tuple[str, ...]:
    notes = []
    if not copier.items:
        notes.append("Every tolerance is zero, so all copies are alike.")
    if locked:
        verb = "locks" if locked == 1 else "lock"
        notes.append(
            f"{_count(locked)} of {_count(copies)} copies {verb} before reaching both rests."
        )
    return tuple(notes)


def _count(number: int) -> str:
    return f"{number:,}".replace(",", " ")
