"""How many copies hold all limits as one number of a design goes through a range.

Coarser than `solver.spread`, of which it makes fewer copies at fewer positions of the lever.
"""

from __future__ import annotations

import numpy as np

from solver.batch import read_batch
from solver.checks import check
from solver.errors import DesignProblem
from solver.margins import demands
from solver.model import Design
from solver.number_names import find_number, with_number
from solver.plan import compile_design
from solver.quantiles import Share
from solver.readings import ReadingKind
from solver.sampling import Copier, variates
from solver.sweep import MOST, Sweep, Values, crossed, crossings

HOLD_ALL = ReadingKind("copies_hold_all", "Copies that hold all limits", "percent", "Copies")
"""What is swept, as if it were a reading."""
COPIES, POSITIONS = 1000, 91


def sweep_copies(
    design: Design,
    number: str,
    values: Values,
    copies: int = COPIES,
    positions: int = POSITIONS,
) -> Sweep:
    """The share (percent) of copies that hold all limits for each value (K,) of one number.

    Every value has the same errors, so that the curve is as smooth as the share is. Raises
    DesignProblem for a design without limits or that cannot be solved, also at an end of the range
    (`solver.checks`), for a number that it does not have, and for more than `MOST` copies in all.
    """
    if not design.limits:
        raise DesignProblem("Without limits there is nothing for copies to hold: add one.")
    named = find_number(design, number)
    if values.size * copies > MOST:
        raise DesignProblem(f"{copies} copies at {values.size} values are too many: make fewer.")
    if not values.size or not np.isfinite(values).all():
        raise DesignProblem(f"The values for the {named.label} must be finite.", named.path)
    for end in (float(values.min()), float(values.max())):
        check(with_number(design, named.path, end))
    plan, wanted = compile_design(design, holes=True), demands(design)
    made = []
    for value in values.tolist():
        moved = with_number(design, named.path, value)
        copier = Copier.of(moved, plan)
        off = variates(len(copier.items), copies, 0, moved.tolerances.spread)
        made.append(copier.copies(off))
    found = read_batch(plan, np.concatenate(made), positions).values
    holds = (wanted.margins(found)[:, : wanted.own] >= 0.0).all(axis=1)
    sound = ~np.isnan(found["throw"])
    shares = 100.0 * (holds & sound).reshape(len(values), copies).mean(axis=1)
    return Sweep(named, values, (HOLD_ALL,), {HOLD_ALL.key: shares}, copies)


def sure_ranges(swept: Sweep, share: float) -> tuple[tuple[float, float], ...]:
    """Between which values each crossing of a share (percent) lies, 95 % sure, document's unit.

    One for each of `solver.sweep.crossings`; an end is infinite where it lies beyond the values
    swept. A value is in the range if the share is within the 95 % interval (Wilson's) that the
    copies counted there leave; between values swept, that interval is drawn in straight lines.
    """
    of = swept.copies
    counted = [Share.counted(round(each * of / 100.0), of) for each in swept.readings[HOLD_ALL.key]]
    ends = np.concatenate(
        [
            crossed(swept.values, 100.0 * np.array(side), share)
            for side in ([each.low for each in counted], [each.high for each in counted])
        ]
    )
    return tuple(
        (
            float(max(ends[ends <= at], default=-np.inf)),
            float(min(ends[ends >= at], default=np.inf)),
        )
        for at in crossings(swept, HOLD_ALL.key, share)
    )
