from __future__ import annotations

import numpy as np
import pytest

from solver.planar import Real, direction


@pytest.mark.parametrize(
    "theta",
    [
        np.linspace(-3.0 * np.pi, 3.0 * np.pi, 100_001),
        # Where the tangent of the half angle has its poles, its zeros and its ones.
        np.arange(-8, 9) * np.pi / 2.0,
        np.nextafter(np.arange(-7, 8, 2) * np.pi, np.inf),
    ],
    ids=["all around", "quarter turns", "beside half turns"],
)
def test_directions_are_cosine_and_sine_to_rounding(theta: Real) -> None:
    found = direction(theta)
    # Three roundings of at most half a unit in the last place of 1.
    np.testing.assert_allclose(found.real, np.cos(theta), rtol=0.0, atol=4e-16)
    np.testing.assert_allclose(found.imag, np.sin(theta), rtol=0.0, atol=4e-16)
