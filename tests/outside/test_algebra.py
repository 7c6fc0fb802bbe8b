"""Velocity coefficients and torque by computer algebra, evaluated with 30 digits.

Positions are closed forms in the lever's direction t (two circles meeting, written out in x and
y); everything else is `sympy.diff` of them.
"""

from __future__ import annotations

from functools import cache

import mpmath
import numpy as np
import pytest
import sympy as sp

from solver.model import (
    FRAME,
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Link,
    Point,
    Stops,
    Torque,
    Weight,
)
from tests.outside.sketches import moving

Pair = tuple[sp.Expr, sp.Expr]
DIGITS = 30
T = sp.Symbol("t", real=True)
TOLERANCE = 1e-9
"""The solver works with 16 digits, and the linkages stay far from locking."""

PLACES = {
    "pivot": (0, 0), "grip": (0, 150), "rod end": (-6, 48), "foot": (12, -30),
    "rocker pivot": (125, -18), "rocker end": (138, 58), "tail": (170, -20), "anchor": (5, -95),
    "branch": (60, 88), "far end": (82, 150), "far pivot": (160, 138), "post": (205, 90),
}  # fmt: skip


def exact(name: str) -> Pair:
    """A point as drawn, as exact numbers."""
    x, y = PLACES[name]
    return sp.Integer(x), sp.Integer(y)


def gap(a: str, b: str) -> sp.Expr:
    """Distance of two points as drawn."""
    (ax, ay), (bx, by) = exact(a), exact(b)
    return sp.sqrt((ax - bx) ** 2 + (ay - by) ** 2)


def on_lever(name: str) -> Pair:
    """A point of the lever, which is drawn upright, with the lever in the direction t."""
    x, y = exact(name)
    turn = T - sp.pi / 2
    return x * sp.cos(turn) - y * sp.sin(turn), x * sp.sin(turn) + y * sp.cos(turn)


def meet(a: Pair, ra: sp.Expr, b: Pair, rb: sp.Expr, side: int) -> Pair:
    """Where circles around a and b meet, left (+1) or right (-1) of the way from a to b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    d2 = dx**2 + dy**2
    along = (d2 + ra**2 - rb**2) / (2 * d2)
    off = side * sp.sqrt(ra**2 / d2 - along**2)
    return a[0] + along * dx - off * dy, a[1] + along * dy + off * dx


def carried(name: str, base: str, tip: str, base_at: Pair, tip_at: Pair) -> Pair:
    """A third point of a link whose points `base` and `tip` are known."""
    (bx, by), (tx, ty), (px, py) = exact(base), exact(tip), exact(name)
    ux, uy = tx - bx, ty - by
    size = ux**2 + uy**2
    u = ((px - bx) * ux + (py - by) * uy) / size
    v = ((py - by) * ux - (px - bx) * uy) / size
    wx, wy = tip_at[0] - base_at[0], tip_at[1] - base_at[1]
    return base_at[0] + u * wx - v * wy, base_at[1] + u * wy + v * wx


def angle(a: Pair, b: Pair) -> sp.Expr:
    """Direction from a to b; only its derivative is used."""
    return sp.atan2(b[1] - a[1], b[0] - a[0])


@cache
def poses() -> dict[str, Pair]:
    """Every point as an expression in t."""
    fixed = ("pivot", "rocker pivot", "anchor", "far pivot", "post")
    at = {name: exact(name) for name in fixed}
    at |= {name: on_lever(name) for name in ("grip", "rod end", "foot")}
    at["rocker end"] = meet(
        at["rod end"], gap("rod end", "rocker end"), at["rocker pivot"],
        gap("rocker pivot", "rocker end"), 1,
    )  # fmt: skip
    at["tail"] = carried("tail", "rocker pivot", "rocker end", at["rocker pivot"], at["rocker end"])
    at["branch"] = carried("branch", "rod end", "rocker end", at["rod end"], at["rocker end"])
    at["far end"] = meet(
        at["branch"], gap("branch", "far end"), at["far pivot"], gap("far pivot", "far end"), 1
    )
    return at


def length(a: str, b: str) -> sp.Expr:
    """Distance of two points with the lever in the direction t."""
    (ax, ay), (bx, by) = poses()[a], poses()[b]
    return sp.sqrt((ax - bx) ** 2 + (ay - by) ** 2)


FOUR_BAR = ("pivot", "grip", "rod end", "foot", "rocker pivot", "rocker end", "tail", "anchor")


def design(six: bool) -> Design:
    """The four-bar, or the six-bar that grows from its rod."""
    links = [
        Link(FRAME, ("pivot", "rocker pivot", "anchor") + ("far pivot", "post") * six),
        Link("lever", ("pivot", "grip", "rod end", "foot")),
        Link("rod", ("rod end", "rocker end") + ("branch",) * six),
        Link("rocker", ("rocker pivot", "rocker end", "tail")),
    ]
    if six:
        links += [
            Link("second rod", ("branch", "far end")),
            Link("second rocker", ("far end", "far pivot")),
        ]
    pull = ExtensionSpring("pull", "post", "far end", 1.3, 55.0, 3.0)
    return Design(
        points=tuple(Point(name, *PLACES[name]) for name in (PLACES if six else FOUR_BAR)),
        links=tuple(links),
        lever="lever",
        grip="grip",
        stops=Stops(112.0, 78.0),
        springs=(CompressionSpring("push", "anchor", "foot", 3.0, 85.0, 30.0),) + (pull,) * six,
        weights=(Weight("flap", "tail", 1.2),),
        loads=(Force("load", "rocker end", 7.0, -4.0), Torque("motor", "rocker", 350.0)),
        outputs=("rod", "rocker", "tail") + ("second rod", "second rocker", "far end") * six,
    )


@cache
def turned() -> dict[str, sp.Expr]:
    """Directions of the links (up to a constant)."""
    at = poses()
    return {
        "rod": angle(at["rod end"], at["rocker end"]),
        "rocker": angle(at["rocker pivot"], at["rocker end"]),
        "second rod": angle(at["branch"], at["far end"]),
        "second rocker": angle(at["far pivot"], at["far end"]),
    }


def energy(six: bool) -> sp.Expr:
    """V(t) of all springs, the weight and the loads."""
    at = poses()
    v = sp.Rational(3, 2) * (length("anchor", "foot") - 85) ** 2
    v += sp.Rational("1.2") * sp.Rational("9.80665") * at["tail"][1]
    v += -7 * at["rocker end"][0] + 4 * at["rocker end"][1] - 350 * turned()["rocker"]
    if six:
        stretch = length("post", "far end") - 55
        v += 3 * stretch + sp.Rational("0.65") * stretch**2
    return v


DIRECTIONS = (112.0, 101.3, 90.0, 83.7, 78.0)


@cache
def rates(six: bool) -> dict[str, list[float]]:
    """d/dt of everything of interest, at every direction."""
    ends = {"push": ("anchor", "foot"), "pull": ("post", "far end")}
    wanted = {"energy": energy(six)}
    for name in design(six).outputs:
        if name in PLACES:
            wanted[f"{name}.x"], wanted[f"{name}.y"] = poses()[name]
        else:
            wanted[name] = turned()[name]
    wanted |= {spring.name: length(*ends[spring.name]) for spring in design(six).springs}
    run = sp.lambdify(T, [sp.diff(part, T) for part in wanted.values()], "mpmath", cse=True)
    with mpmath.workdps(DIGITS):
        found = [run(mpmath.radians(mpmath.mpf(t))) for t in DIRECTIONS]
    return {name: [float(row[i]) for row in found] for i, name in enumerate(wanted)}


@pytest.mark.parametrize("six", [False, True], ids=["four-bar", "six-bar"])
def test_velocity_coefficients(six: bool) -> None:
    motion, expected = moving(design(six), DIRECTIONS), rates(six)
    assert len(motion.turns) + len(motion.outputs) == len(design(six).outputs)
    # The solver's rates are per radian of travel, which falls as t rises.
    for name, (_, spin) in motion.turns.items():
        np.testing.assert_allclose(-spin[0], expected[name], rtol=TOLERANCE, err_msg=name)
    for name, (_, velocity) in motion.outputs.items():
        wanted = np.array(expected[f"{name}.x"]) + 1j * np.array(expected[f"{name}.y"])
        np.testing.assert_allclose(-velocity[0], wanted, rtol=TOLERANCE, err_msg=name)


@pytest.mark.parametrize("six", [False, True], ids=["four-bar", "six-bar"])
def test_torque_is_minus_the_slope_of_the_energy(six: bool) -> None:
    motion, wanted = moving(design(six), DIRECTIONS), np.array(rates(six)["energy"])
    # torque = -dV/d(travel) = dV/dt.
    scale = np.max(np.abs(wanted))
    np.testing.assert_allclose(motion.torque[0], wanted, atol=TOLERANCE * scale)


@pytest.mark.parametrize("six", [False, True], ids=["four-bar", "six-bar"])
def test_spring_rates(six: bool) -> None:
    motion, expected = moving(design(six), DIRECTIONS), rates(six)
    for spring, run in zip(design(six).springs, motion.springs, strict=True):
        # Near its dead centre a spring hardly changes: compared on the scale of its throw.
        scale = np.max(np.abs(expected[spring.name]))
        np.testing.assert_allclose(
            -run.slope[0], expected[spring.name], atol=TOLERANCE * scale, err_msg=spring.name
        )
