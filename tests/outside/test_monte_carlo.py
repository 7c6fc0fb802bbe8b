"""The spread of a lever with one extension spring, against plain random sampling of closed forms.

The formulas are written out here with vectors from the pins, for errors of every hole, and know
nothing of the solver: frame pivot hole p, anchor hole c, and on the lever its own pivot hole and
spring hole, whose difference turns with the lever. In the direction of a rest

    P = p + R·(arm + errors)   L = |P - c|   F = T0 + k(L - L0)   T = F·(c - P)/L × (p - P)

and the spring is longest, |p - c| + |arm + errors|, where the energy is greatest. Friction adds
μ·r_p·|reaction| at the pivot and μ·r_e·F at each eye, times what it turns by per radian.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import pytest
from numpy.typing import NDArray

from solver.batch import read_batch
from solver.model import Design, ExtensionSpring, Limit, Pivot, Tolerances
from solver.plan import compile_design
from solver.sampling import Copier, variates
from solver.spread import spread
from tests.outside.sketches import lever

Array = NDArray[np.floating]

GROUND, ARM, RATE, FREE, TENSION = 100.0, 40.0, 2.0, 90.0, 6.0
HALF_THROW = 60.0
FRICTION, PIN, EYE = 0.15, 8.0, 4.0
GIVEN = Tolerances(
    hole=0.4, rate=10.0, free_length=1.0, initial_tension=15.0, stop=0.5,
    friction_least=0.6, friction_most=1.6,
)  # fmt: skip
DRAWS = 200_000


def design(given: Tolerances, *limits: Limit) -> Design:
    """The lever upright at dead centre, its grip at the arm's end, anchor below the pivot."""
    drawn = lever({"arm end": (0.0, ARM)}, {"anchor": (0.0, -GROUND)}, "arm end",
                  90.0 - HALF_THROW, 90.0 + HALF_THROW)  # fmt: skip
    spring = ExtensionSpring(
        "spring", "anchor", "arm end", RATE, FREE, TENSION,
        end_pin_diameter=EYE, end_friction=FRICTION,
    )  # fmt: skip
    pivot = Pivot("pivot", pin_diameter=PIN, friction=FRICTION)
    return replace(drawn, springs=(spring,), pivots=(pivot,), limits=limits, tolerances=given)


@dataclass(frozen=True)
class Draw:
    """Random copies; arrays (n,)."""

    barrier_a: Array
    seating_force_a: Array
    holding_force: Array


def draw(given: Tolerances, count: int = DRAWS, seed: int = 5, mirrored: bool = False) -> Draw:
    """Plain Monte-Carlo with the closed forms; `mirrored` adds each copy with opposite errors."""
    rng = np.random.default_rng(seed)

    def off(size: float) -> Array:
        if given.spread == "normal":
            found = rng.normal(0.0, size / 3.0, count)
        else:
            found = rng.uniform(-size, size, count)
        return np.concatenate([found, -found]) if mirrored else found

    def hole() -> Array:
        return off(given.hole) + 1j * off(given.hole)

    pivot, anchor = hole(), -1j * GROUND + hole()
    spoke = 1j * ARM + hole() - hole()
    rate = RATE + off(RATE * given.rate / 100.0)
    free = FREE + off(given.free_length)
    tension = TENSION + off(TENSION * given.initial_tension / 100.0)
    half = 0.5 * (given.friction_most - given.friction_least)
    factor = 0.5 * (given.friction_most + given.friction_least) + off(half)
    mu = FRICTION * factor
    holds: list[Array] = []
    seats: list[Array] = []
    energies: list[Array] = []
    for rest, way in ((90.0 - HALF_THROW, 1.0), (90.0 + HALF_THROW, -1.0)):
        turn = np.exp(1j * np.radians(rest - 90.0 + off(given.stop)))
        arm = spoke * turn
        line = anchor - pivot - arm  # from the spring's end on the lever to its anchor
        length = np.abs(line)
        force = tension + rate * (length - free)
        pull = force * line / length
        torque = (arm.conj() * pull).imag * way  # towards dead centre; negative at a rest
        # The hand is at the drawn grip, square to the arm as drawn, and holds the torque.
        grip = 1j * ARM * turn
        hand = 1j * grip / ARM * (-torque * way / ARM)
        swing = ((1j * arm) / -line).imag  # turn of the spring per radian of the lever
        eyes = 0.5 * EYE * force * (np.abs(swing) + np.abs(swing - 1.0))
        seats.append(-torque / ARM)
        holds.append(seats[-1] + mu * (0.5 * PIN * np.abs(pull + hand) + eyes) / ARM)
        stretch = length - free
        energies.append(tension * stretch + 0.5 * rate * stretch**2)
    top = np.abs(anchor - pivot) + np.abs(spoke) - free
    highest = tension * top + 0.5 * rate * top**2
    return Draw(highest - energies[0], seats[0], np.minimum(holds[0], holds[1]))


READINGS = ("barrier_a", "seating_force_a", "holding_force")
LAWS = ("normal", "uniform")


def test_the_closed_forms_are_those_of_the_drawn_lever() -> None:
    # Without errors: L = 124.9000 mm at 60°, T = F·a·r·sin θ/L (derived).
    exact = Tolerances(
        hole=0.0, rate=0.0, free_length=0.0, initial_tension=0.0, stop=0.0, friction_least=1.0,
        friction_most=1.0,
    )  # fmt: skip
    single = draw(exact, 1)
    length = math.sqrt(GROUND**2 + ARM**2 + GROUND * ARM)
    force = TENSION + RATE * (length - FREE)
    expected = force * GROUND * math.sin(math.radians(60.0)) / length
    assert single.seating_force_a[0] == pytest.approx(expected, rel=1e-12)
    found = spread(design(exact), 4).readings
    for key in READINGS:
        assert found[key].nominal == pytest.approx(getattr(single, key)[0], rel=1e-6), key


@pytest.mark.parametrize("law", LAWS)
def test_deviations_and_percentiles(law: str) -> None:
    given = replace(GIVEN, spread=law)  # type: ignore[arg-type]  # one of the two words
    found, plain = spread(design(given), 2000).readings, draw(given)
    for key in READINGS:
        read, sample = found[key], getattr(plain, key)
        deviation = float(sample.std())
        # The random draw is 0.2 % uncertain, the quasi-random one some 0.5 %.
        assert read.deviation == pytest.approx(deviation, rel=0.01), key
        for value, level in ((read.low, 0.05), (read.middle, 0.5), (read.high, 0.95)):
            # The 5 % level of 2000 independent copies is uncertain by as much.
            assert value == pytest.approx(np.quantile(sample, level), abs=0.05 * deviation), key


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize("level", [0.01, 0.1, 0.5, 0.9])
def test_yields_are_within_a_binomial_interval(law: str, level: float) -> None:
    given = replace(GIVEN, spread=law)  # type: ignore[arg-type]  # one of the two words
    plain = draw(given)
    bounds = {key: float(np.quantile(getattr(plain, key), level)) for key in READINGS}
    limits = tuple(Limit(key, at_least=bound) for key, bound in bounds.items())
    found = spread(design(given, *limits), 2000)
    for limit in found.limits:
        assert limit.holds.low <= 1.0 - level <= limit.holds.high, limit.label
    every = np.all([getattr(plain, key) >= bound for key, bound in bounds.items()], axis=0)
    assert found.all_limits.low <= every.mean() <= found.all_limits.high


def test_contributions_are_the_variance_that_an_exact_part_would_save() -> None:
    found = spread(design(GIVEN), 2000)
    whole = draw(GIVEN).holding_force.var()
    exact = {
        "rate of spring": replace(GIVEN, rate=0.0),
        "free length of spring": replace(GIVEN, free_length=0.0),
        "friction": replace(GIVEN, friction_least=1.1, friction_most=1.1),
    }
    shares = {each.label: each.share for each in found.contributions("holding_force")}
    for label, given in exact.items():
        saved = 1.0 - draw(given).holding_force.var() / whole
        # The lesser of two rests spreads less than each of them: a share counts what governs.
        assert shares[label] == pytest.approx(saved, abs=0.05), label


def _errors(key: str, copies: int, truth: float) -> tuple[float, float]:
    """Root mean square error of a mean over 12 seeds: quasi-random copies, and random ones."""
    drawn = design(GIVEN)
    plan = compile_design(drawn, holes=True)
    copier = Copier.of(drawn, plan)
    dimension = len(copier.items)
    quasi: list[float] = []
    plain: list[float] = []
    for seed in range(12):
        random = np.random.default_rng(1000 + seed).normal(0.0, 1.0 / 3.0, (copies, dimension))
        for means, off in ((quasi, variates(dimension, copies, seed)), (plain, random)):
            read = read_batch(plan, copier.copies(off), 9).values[key]
            means.append(float(read.mean()) - truth)
    return math.sqrt(np.mean(np.square(quasi))), math.sqrt(np.mean(np.square(plain)))


def test_quasi_random_copies_converge_faster_than_random_ones() -> None:
    # Errors of the mean seating force, 52.6 N with a deviation of 1.75 N. Found here: 0.0018 N
    # against 0.109 N at 256 copies, 0.0006 N against 0.031 N at 1024: 59 and 48 times less. A
    # fifth of that is asserted. The reference is mirrored and so uncertain by some 1e-4 N only.
    truth = float(draw(GIVEN, mirrored=True).seating_force_a.mean())
    few, plain_few = _errors("seating_force_a", 256, truth)
    many, plain_many = _errors("seating_force_a", 1024, truth)
    assert plain_few / few > 10.0
    assert plain_many / many > 10.0
    assert few / many > 2.0
