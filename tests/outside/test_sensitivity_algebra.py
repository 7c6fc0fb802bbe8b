"""Sensitivities against derivatives by algebra (sympy) and by complex steps.

Lever with one extension spring: closed forms of the places of pivot p, anchor c and arm's end,
which is the grip, so that the arm lies along the stop's direction φ (all derived):

    P = p + r·(cos φ, sin φ)    L = |P - c|    F = T0 + k(L - L0)
    seating force = F·|arm × (P - c)|/(L·r)
    barrier = U(|p - c| + r) - U(L), U(l) = T0(l - L0) + k(l - L0)²/2
    dead centre at the direction of p - c

Four-bar: the rocker's angle in closed form (cosine rule), stepped in the complex plane, which has
no truncation or rounding error to speak of.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable
from dataclasses import replace

import pytest
import sympy as sp

from solver.model import Design, ExtensionSpring, Gravity, Pivot, Weight
from solver.sensitivity import Sensitivities, sensitivities
from tests.outside.sketches import four_bar, lever

DEGREE = math.pi / 180.0
LEVER = {
    "points.pivot.x": 3.0,
    "points.pivot.y": -2.0,
    "points.arm end.x": 1.0,
    "points.arm end.y": 38.0,
    "points.anchor.x": -4.0,
    "points.anchor.y": -101.0,
    "springs.spring.rate": 2.0,
    "springs.spring.free_length": 90.0,
    "springs.spring.initial_tension": 5.0,
    "springs.spring.fittings": 1.5,
    "stops.rest_a": 31.0,
    "stops.rest_b": 150.0,
}


def pulled_lever() -> Design:
    at = LEVER
    places = [(at[f"points.{name}.x"], at[f"points.{name}.y"]) for name in ("arm end", "anchor")]
    design = lever({"arm end": places[0]}, {"anchor": places[1]}, "arm end",
                   at["stops.rest_a"], at["stops.rest_b"])  # fmt: skip
    first = replace(design.points[0], x=at["points.pivot.x"], y=at["points.pivot.y"])
    spring = ExtensionSpring("spring", "anchor", "arm end", 2.0, 90.0, 5.0, fittings=1.5,
                             end_friction=0.0)  # fmt: skip
    return replace(design, points=(first, *design.points[1:]), springs=(spring,))


def closed_forms() -> dict[str, tuple[sp.Expr, dict[str, sp.Symbol]]]:
    """Readings by key as expressions of the lever's numbers."""
    symbols = {path: sp.Symbol(f"n{i}", real=True) for i, path in enumerate(LEVER)}
    p, e, c = (
        sp.Matrix([symbols[f"points.{name}.{axis}"] for axis in "xy"])
        for name in ("pivot", "arm end", "anchor")
    )
    rate, free, tension, fittings = (
        symbols[f"springs.spring.{key}"]
        for key in ("rate", "free_length", "initial_tension", "fittings")
    )
    radius = sp.sqrt((e - p).dot(e - p))
    degree = sp.pi / 180

    def energy(distance: sp.Expr) -> sp.Expr:
        stretch = distance - fittings - free
        return tension * stretch + rate * stretch**2 / 2

    def at_rest(rest: str) -> tuple[sp.Expr, sp.Expr]:
        angle = symbols[f"stops.rest_{rest}"] * degree
        arm = radius * sp.Matrix([sp.cos(angle), sp.sin(angle)])
        line = c - p - arm
        length = sp.sqrt(line.dot(line))
        force = tension + rate * (length - fittings - free)
        turning = force * (arm[0] * line[1] - arm[1] * line[0]) / length
        return length, turning

    forms = {}
    apart = sp.sqrt((p - c).dot(p - c))
    for rest, way in (("a", -1), ("b", 1)):
        length, turning = at_rest(rest)
        forms[f"seating_force_{rest}"] = way * turning / radius
        forms[f"barrier_{rest}"] = energy(apart + radius) - energy(length)
    up = p - c
    forms["dead_centre"] = sp.atan2(up[1], up[0]) / degree - symbols["stops.rest_a"]
    return {key: (form, symbols) for key, form in forms.items()}


def slopes(found: Sensitivities) -> dict[str, float]:
    return {each.number.path: each.per_unit for each in found.ranked}


@pytest.mark.parametrize(
    "key", ["seating_force_a", "seating_force_b", "barrier_a", "barrier_b", "dead_centre"]
)
def test_lever_by_algebra(key: str) -> None:
    form, symbols = closed_forms()[key]
    numbers = {symbols[path]: value for path, value in LEVER.items()}
    found = sensitivities(pulled_lever(), key)
    # Dead centre and the top of the energy are refined between samples: h⁴ of 0.66° steps.
    assert found.value == pytest.approx(float(form.subs(numbers)), rel=1e-8)
    ours = slopes(found)
    for path, symbol in symbols.items():
        exact = float(sp.diff(form, symbol).subs(numbers))
        # Central differences with steps of 0.008 mm: (0.008/40)²/6 of the value over a length.
        assert ours[path] == pytest.approx(exact, rel=2e-6, abs=1e-6), path


def test_slopes_of_the_round_example() -> None:
    # θ = 60° from dead centre, a 100, r 40, k 2, L0 90 (derived): T = k(L - L0)·a·r·sin θ/L, so
    #   seating S = T/r    dS/dk = S/k = 24.1988 mm    dS/dL0 = -k·a·sin θ/L = -1.38675 N/mm
    design = lever({"arm end": (0.0, 40.0)}, {"anchor": (0.0, -100.0)}, "arm end", 30.0, 150.0)
    spring = ExtensionSpring("spring", "anchor", "arm end", 2.0, 90.0, end_friction=0.0)
    ours = slopes(sensitivities(replace(design, springs=(spring,)), "seating_force_a"))
    length = math.sqrt(100.0**2 + 40.0**2 + 2.0 * 100.0 * 40.0 * math.cos(math.radians(60.0)))
    assert ours["springs.spring.rate"] == pytest.approx(1935.901 / 40.0 / 2.0, rel=1e-6)
    assert ours["springs.spring.free_length"] == pytest.approx(
        -2.0 * 100.0 * math.sin(math.radians(60.0)) / length, rel=1e-9
    )


FOUR_BAR = {
    "points.O2.x": 1.0,
    "points.O2.y": -2.0,
    "points.O4.x": 151.0,
    "points.O4.y": -20.0,
    "points.A.x": 3.0,
    "points.A.y": 43.0,
    "points.B.x": 148.0,
    "points.B.y": 40.0,
    "stops.rest_a": 115.0,
    "stops.rest_b": 65.0,
}


def rocker_turn(numbers: dict[str, complex]) -> complex:
    """By how much the rocker turns from rest A to rest B, degrees; analytic in every number."""

    def size(x: complex, y: complex) -> complex:
        return cmath.sqrt(x * x + y * y)

    o2x, o2y, o4x, o4y, ax, ay, bx, by, rest_a, rest_b = numbers.values()
    crank, coupler = size(ax - o2x, ay - o2y), size(bx - ax, by - ay)
    rocker = size(bx - o4x, by - o4y)

    def angle(rest: complex) -> complex:
        # From the rocker's pivot to the crank pin, which is to its left, then by the cosine rule.
        x = o2x + crank * cmath.cos(rest * DEGREE) - o4x
        y = o2y + crank * cmath.sin(rest * DEGREE) - o4y
        across = size(x, y)
        corner = (rocker**2 + across**2 - coupler**2) / (2.0 * rocker * across)
        return cmath.atan(y / x) - cmath.acos(corner)

    turned = (angle(rest_b) - angle(rest_a)) / DEGREE
    return turned if turned.real > 0.0 else -turned


def complex_step(form: Callable[[dict[str, complex]], complex], path: str) -> float:
    """The derivative by one number: the imaginary part over a step of 1e-30."""
    stepped: dict[str, complex] = dict(FOUR_BAR)
    stepped[path] += 1e-30j
    return form(stepped).imag / 1e-30


def turned_lever(mass: float, friction: float, towards: float) -> Design:
    """r 40, anchor 100 below the pivot, k 2, L0 90, a pin of 60 mm; a weight at the arm's end."""
    design = lever({"arm end": (0.0, 40.0)}, {"anchor": (0.0, -100.0)}, "arm end", 30.0, 150.0)
    spring = ExtensionSpring("spring", "anchor", "arm end", 2.0, 90.0, end_friction=0.0)
    return replace(
        design,
        springs=(spring,),
        weights=(Weight("weight", "arm end", mass),),
        gravity=Gravity(G, towards),
        pivots=(Pivot("pivot", 60.0, friction),),
    )


def implicit_slopes(
    zero: sp.Expr, near: float, numbers: dict[sp.Symbol, float]
) -> dict[str, float]:
    """By what the angle PHI (degrees) at which an expression is zero changes with each number."""
    angle = sp.nsolve(zero.subs(numbers), PHI, near, prec=30)
    steep = sp.diff(zero, PHI)
    return {
        symbol.name: float((-sp.diff(zero, symbol) / steep / DEGREE).subs(numbers).subs(PHI, angle))
        for symbol in numbers
    }


G = 9.80665
PHI = sp.Symbol("φ")
LEAN = sp.sqrt(100**2 + 40**2 + 2 * 100 * 40 * sp.sin(PHI))
"""Length of the spring, mm."""
OFF = -100 * 40 * sp.cos(PHI) / LEAN
"""How far the line of the spring is off the pivot, mm, positive beyond dead centre."""


def test_steps_of_values_are_small_enough_where_a_reading_bends() -> None:
    # Dead centre where spring and weight balance, gravity to the right: k(L - L0)·off = m·g·r·sin φ
    rate, mass = sp.Symbol("springs.spring.rate"), sp.Symbol("weights.weight.mass")
    zero = rate * (LEAN - 90) * OFF - mass * G * 40 * sp.sin(PHI)
    exact = implicit_slopes(zero, math.pi / 2.0, {rate: 2.0, mass: 4.0})
    ours = slopes(sensitivities(turned_lever(4.0, 0.0, 0.0), "dead_centre"))
    for path, slope in exact.items():
        # It bends over the value itself: (1/1000)² of the slope. Ten times the step shows.
        assert ours[path] == pytest.approx(slope, rel=5e-6), path


def test_steps_of_friction_are_small_enough_where_a_reading_bends() -> None:
    # From A the lever commits where the spring's line leaves the friction circle of the pivot.
    path = "pivots.pivot.friction"
    exact = implicit_slopes(OFF - 30 * sp.Symbol(path), 1.8, {sp.Symbol(path): 0.5})[path]
    ours = slopes(sensitivities(turned_lever(0.0, 0.5, -90.0), "commit_from_a"))[path]
    assert ours == pytest.approx(exact, rel=5e-7)


def test_one_sided_slopes_are_of_second_order() -> None:
    # Nothing weighs less than 0 kg. Dead centre is where the spring pulls hardest, 100 N straight
    # down; a weight that gravity pulls to the lower right adds m·g·cos 45° to first order.
    load = "pin_load:pivot"
    ours = slopes(sensitivities(turned_lever(0.0, 0.0, -45.0), load))["weights.weight.mass"]
    # A mere difference would be off by half the step, 0.05 g, times the bend, g²/(2·100 N) or more.
    assert ours == pytest.approx(G * math.sqrt(0.5), abs=2e-6)


def test_four_bar_by_complex_steps() -> None:
    places = {
        name: (FOUR_BAR[f"points.{name}.x"], FOUR_BAR[f"points.{name}.y"])
        for name in ("O2", "O4", "A", "B")
    }
    design = four_bar(places, FOUR_BAR["stops.rest_a"], FOUR_BAR["stops.rest_b"], ("rocker",))
    found = sensitivities(design, "output_turn:rocker")
    assert found.value == pytest.approx(rocker_turn(dict(FOUR_BAR)).real, rel=1e-12)
    ours = slopes(found)
    for path in FOUR_BAR:
        exact = complex_step(rocker_turn, path)
        # Steps of 0.009 mm on links of 45 to 150 mm, of 0.02° on the stops.
        assert ours[path] == pytest.approx(exact, rel=1e-6, abs=1e-7), path
    for arrow in found.arrows:
        steepest = [complex_step(rocker_turn, f"points.{arrow.point}.{axis}") for axis in "xy"]
        drawn = [arrow.x * arrow.per_mm, arrow.y * arrow.per_mm]
        assert drawn == pytest.approx(steepest, rel=1e-5, abs=1e-7)
