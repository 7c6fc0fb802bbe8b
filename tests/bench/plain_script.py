"""What a builder's own script would do: scipy root finding at every lever position.

It finds, for the lever, rod and rocker of `solver.layouts` with a weight on the flap, the same
readings as one analysis: energy and torque curves, pin loads and friction, dead centre, hang
zone, commit points, barriers, seating and holding forces and spring margins. It is written
plainly, position by position, with no knowledge of the solver; the benchmark compares its time
and its numbers.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq, minimize_scalar, root

Vector = NDArray[np.float64]

GRIP, ROD_A, FOOT = (np.array(p) for p in ((0.0, 150.0), (0.0, 45.0), (0.0, -30.0)))
ROCKER, ROD_B, FLAP = (np.array(p) for p in ((150.0, -20.0), (150.0, 40.0), (150.0, -95.0)))
ANCHOR = np.array([0.0, -92.0])
RATE, FREE, SOLID = 3.6, 82.0, 48.0
MASS, G = 0.4, 9.80665
PIN, EYE, MU, ARM = 4.0, 2.0, 0.15, 150.0
STEP = 1e-5


def turned(vector: Vector, angle: float) -> Vector:
    """A vector turned by an angle (rad)."""
    c, s = math.cos(angle), math.sin(angle)
    result: Vector = np.array([c * vector[0] - s * vector[1], s * vector[0] + c * vector[1]])
    return result


def solve(angle: float, guess: Vector) -> Vector:
    """Rod and rocker angles from the loop equations, by root finding."""

    def gap(unknown: Vector) -> Vector:
        rod = turned(ROD_A, angle) + turned(ROD_B - ROD_A, unknown[0])
        missing: Vector = rod - ROCKER - turned(ROD_B - ROCKER, unknown[1])
        return missing

    found: Vector = root(gap, guess, tol=1e-11).x
    return found


def spring(angle: float) -> tuple[float, float]:
    """Length and push of the spring."""
    length = float(np.linalg.norm(turned(FOOT, angle) - ANCHOR))
    return length, RATE * max(FREE - length, 0.0)


def energy(angle: float, guess: Vector) -> float:
    """Energy of spring and weight, N·mm."""
    _, push = spring(angle)
    flap = ROCKER + turned(FLAP - ROCKER, solve(angle, guess)[1])
    return push * push / (2.0 * RATE) + MASS * G * float(flap[1])


def torque(angle: float, guess: Vector) -> float:
    """Torque on the lever, counter-clockwise, by differencing the energy."""
    return -(energy(angle + STEP, guess) - energy(angle - STEP, guess)) / (2.0 * STEP)


def pin_forces(turns: Vector) -> tuple[Vector, Vector, Vector]:
    """Force on the rod at the lever, on the rocker at the rod, on the rocker at the frame."""
    a, b = turned(ROD_B - ROD_A, turns[0]), turned(ROD_B - ROCKER, turns[1])
    flap = turned(FLAP - ROCKER, turns[1])
    rows = np.zeros((6, 6))
    rows[0:2, 0:2], rows[0:2, 2:4] = np.eye(2), -np.eye(2)  # rod: forces
    rows[2, 2:4] = [a[1], -a[0]]  # rod: moments about the lever's end
    rows[3:5, 2:4], rows[3:5, 4:6] = np.eye(2), np.eye(2)  # rocker: forces
    rows[5, 2:4] = [-b[1], b[0]]  # rocker: moments about its pivot
    known = np.array([0.0, 0.0, 0.0, 0.0, MASS * G, MASS * G * flap[0]])
    forces = np.linalg.solve(rows, known)
    return forces[0:2], forces[2:4], forces[4:6]


def frictions(angle: float, guess: Vector) -> tuple[float, float]:
    """Friction torque at the lever of all pins: with the hand off, and with it holding."""
    length, push = spring(angle)
    line = (turned(FOOT, angle) - ANCHOR) / length
    before, after = (turned(FOOT, angle + d) - ANCHOR for d in (-STEP, STEP))
    swing = (math.atan2(after[1], after[0]) - math.atan2(before[1], before[0])) / (2.0 * STEP)
    turns = solve(angle, guess)
    rod, rocker = (solve(angle + STEP, turns) - solve(angle - STEP, turns)) / (2.0 * STEP)
    on_rod, on_rocker, on_pivot = pin_forces(turns)
    pins = (
        np.linalg.norm(on_rod) * abs(rod - 1.0)
        + np.linalg.norm(on_rocker) * abs(rocker - rod)
        + np.linalg.norm(on_pivot) * abs(rocker)
    )
    others = MU * PIN * float(pins) + MU * EYE * push * (abs(swing) + abs(swing - 1.0))
    load = push * line - on_rod
    grip = turned(GRIP, angle)
    hand = np.array([-grip[1], grip[0]]) * (-torque(angle, guess) / ARM**2)
    free, held = np.linalg.norm(load), np.linalg.norm(load + hand)
    return others + MU * PIN * float(free), others + MU * PIN * float(held)


def readings(positions: int) -> dict[str, float]:
    """The readings over `positions` lever positions from rest A (115°) to rest B (65°)."""
    angles = np.radians(np.linspace(25.0, -25.0, positions))
    guess = np.zeros(2)
    turns, energies, torques, holds, lengths = [], [], [], [], []
    for angle in angles:
        guess = solve(angle, guess)
        turns.append(guess)
        energies.append(energy(angle, guess))
        torques.append(-torque(angle, guess))
        holds.append(frictions(angle, guess))
        lengths.append(spring(angle)[0])
    top = int(np.argmax(energies))
    # Not turns[top]: unknowns of 1e-17 spoil the root finder's own differences.
    low, high, near_top = angles[-1], angles[0], turns[top - 1]
    centre = minimize_scalar(
        lambda a: -energy(a, near_top), bounds=(angles[top + 1], angles[top - 1]),
        method="bounded", options={"xatol": 1e-9},
    ).x  # fmt: skip
    far = brentq(lambda a: -torque(a, near_top) - frictions(a, near_top)[0], low, centre)
    near = brentq(lambda a: torque(a, near_top) - frictions(a, near_top)[0], centre, high)
    seat_a, seat_b = -torques[0] / ARM, torques[-1] / ARM
    return {
        "dead_centre": math.degrees(high - centre),
        "commit_from_a": math.degrees(high - far),
        "commit_from_b": math.degrees(high - near),
        "hang_zone": math.degrees(near - far),
        "barrier_a": energy(centre, near_top) - energies[0],
        "barrier_b": energy(centre, near_top) - energies[-1],
        "seating_force_a": seat_a,
        "seating_force_b": seat_b,
        "holding_force_a": seat_a + holds[0][1] / ARM,
        "holding_force_b": seat_b + holds[-1][1] / ARM,
        "bottoming_margin": min(lengths) - SOLID,
        "slack_margin": FREE - max(lengths),
        "output_turn:rocker": math.degrees(abs(turns[-1][1] - turns[0][1])),
    }
