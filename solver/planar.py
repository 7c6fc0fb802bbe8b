"""Plane vectors as complex numbers: x + iy, so that turning is multiplying.

Every array in the solver has the shape (B, N): B designs by N lever positions; values that do
not change with the position have the shape (B, 1).
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Real = NDArray[np.float64]
Plane = NDArray[np.complex128]
Number = TypeVar("Number", np.float64, np.complex128)


def dot(a: Plane, b: Plane) -> Real:
    """Scalar product of two plane vectors."""
    return a.real * b.real + a.imag * b.imag


def cross(a: Plane, b: Plane) -> Real:
    """Component of the vector product a × b along z."""
    return a.real * b.imag - a.imag * b.real


def square(a: Plane) -> Real:
    """Squared length."""
    return a.real * a.real + a.imag * a.imag


def length(a: Plane) -> Real:
    """Length."""
    result: Real = np.abs(a)
    return result


def quarter_turn(a: Plane) -> Plane:
    """The vector turned by +90°."""
    result: Plane = 1j * a
    return result


def direction(theta: Real) -> Plane:
    """Unit vectors in the directions `theta` (rad).

    By the tangent t of half the angle, (1 - t²) / (1 + t²) and 2t / (1 + t²): one function where
    cosine and sine are two, and as exact, within 4e-16 for any angle.
    """
    t = np.tan(0.5 * theta)
    squared = t * t
    share = 1.0 / (1.0 + squared)
    return joined((1.0 - squared) * share, (t + t) * share)


def joined(x: Real, y: Real) -> Plane:
    """Plane vectors from their components, arrays of one shape."""
    result = np.empty(x.shape, dtype=np.complex128)
    result.real = x
    result.imag = y
    return result


def filled(values: NDArray[Number], shape: tuple[int, ...]) -> NDArray[Number]:
    """The values in the full shape (B, N), read-only where they are repeated."""
    return values if values.shape == shape else np.broadcast_to(values, shape)
