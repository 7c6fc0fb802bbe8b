"""Plane vectors as complex numbers: x + iy, so that turning is multiplying.

Every array in the solver has the shape (B, N): B designs by N lever positions; values that do
not change with the position have the shape (B, 1).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Real = NDArray[np.float64]
Plane = NDArray[np.complex128]


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
    """Length; faster than `abs`, whose guard against overflow at 1e154 mm nobody needs."""
    result: Real = np.sqrt(square(a))
    return result


def quarter_turn(a: Plane) -> Plane:
    """The vector turned by +90°."""
    result: Plane = 1j * a
    return result


def direction(theta: Real) -> Plane:
    """Unit vectors in the directions `theta` (rad)."""
    result = np.empty(np.shape(theta), dtype=np.complex128)
    np.cos(theta, out=result.real)
    np.sin(theta, out=result.imag)
    return result
