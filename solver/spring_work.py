"""What one spring does over the throw of a single design."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from solver.forces import SpringRun
from solver.model import CompressionSpring, ExtensionSpring, Spring, TorsionSpring
from solver.motion import Motion
from solver.readings import Measures

Curve = NDArray[np.float64]
SpringKind = Literal["compression", "extension", "torsion"]
_DEGREES = 180.0 / math.pi


@dataclass(frozen=True, slots=True)
class SpringWork:
    """What one spring does over the throw.

    Lengths in mm and forces in N; for a torsion spring twist in degrees and moment in N·mm.
    length and force: (N,), the force positive in the spring's working sense. The margins are
    NaN where they do not apply; *_at is travel in degrees. `solid` is where a compression spring
    or its rod bottoms, `most` the longest allowed length or twist.
    """

    name: str
    kind: SpringKind
    length: Curve
    force: Curve
    shortest: float
    shortest_at: float
    longest: float
    longest_at: float
    at_rest_a: float
    at_dead_centre: float | None
    at_rest_b: float
    force_a: float
    force_dead_centre: float | None
    force_b: float
    free: float
    solid: float | None
    most: float | None
    slack_margin: float
    slack_at: float
    bottoming_margin: float
    bottoming_at: float


def spring_work(spring: Spring, run: SpringRun, motion: Motion, measures: Measures) -> SpringWork:
    """Collect one spring's curves, extremes and margins; the batch of `motion` has one design.

    The state at dead centre is interpolated linearly between samples: an error below h²/8 of
    the curve's bend, 2e-7 of the spring length for 721 positions over 90°.
    """
    unit = _DEGREES if isinstance(spring, TorsionSpring) else 1.0
    shape = motion.travel.shape
    length = np.broadcast_to(run.length, shape)[0] * unit
    force = np.broadcast_to(run.force, shape)[0]
    if isinstance(spring, TorsionSpring):
        force = np.abs(force)
    travel = motion.travel[0] * _DEGREES
    centre = float(measures.values["dead_centre"][0])
    at_centre, force_centre = (
        None if math.isnan(centre) else float(np.interp(centre, travel, curve))
        for curve in (length, force)
    )

    def value(key: str) -> float:
        return float(measures.values[f"{key}:{spring.name}"][0])

    def where(key: str) -> float:
        return float(measures.where[f"{key}:{spring.name}"][0])

    return SpringWork(
        name=spring.name,
        kind=_kind(spring),
        length=length,
        force=force,
        shortest=value("spring_shortest"),
        shortest_at=where("spring_shortest"),
        longest=value("spring_longest"),
        longest_at=where("spring_longest"),
        at_rest_a=float(length[0]),
        at_dead_centre=at_centre,
        at_rest_b=float(length[-1]),
        force_a=float(force[0]),
        force_dead_centre=force_centre,
        force_b=float(force[-1]),
        free=0.0 if isinstance(spring, TorsionSpring) else spring.free_length,
        solid=_solid(spring),
        most=_most(spring),
        slack_margin=value("slack_margin"),
        slack_at=where("slack_margin"),
        bottoming_margin=value("bottoming_margin"),
        bottoming_at=where("bottoming_margin"),
    )


def _kind(spring: Spring) -> SpringKind:
    if isinstance(spring, TorsionSpring):
        return "torsion"
    return "compression" if isinstance(spring, CompressionSpring) else "extension"


def _solid(spring: Spring) -> float | None:
    """Spring length at which a compression spring or its rod bottoms."""
    if not isinstance(spring, CompressionSpring):
        return None
    solid = spring.solid_length + spring.least_gaps
    return max(solid, spring.rod.closed - spring.fittings) if spring.rod else solid


def _most(spring: Spring) -> float | None:
    if isinstance(spring, ExtensionSpring):
        return spring.longest
    return spring.most_twist if isinstance(spring, TorsionSpring) else None
