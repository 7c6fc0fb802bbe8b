"""The bands that the curves of copies fill, in the units and colours on show."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from app.curves.pane import Curve, Ribbon
from app.theme import Theme, thinned
from solver import units
from solver.project import Display

if TYPE_CHECKING:
    from solver.bands import Bands

NOTE = "band: 90 of 100 copies"
_VEIL = 0.2
"""Share of its colour that a band has; the rest is paper."""


def energy_ribbons(bands: Bands, display: Display, theme: Theme) -> tuple[Ribbon, ...]:
    """The band of the energy."""
    low, high = _span(bands.energy * units.factor("energy", display))
    return (Ribbon(bands.travel, low, high, thinned(theme.ink, theme.paper, _VEIL)),)


def effort_ribbons(bands: Bands, display: Display, theme: Theme) -> tuple[Ribbon, ...]:
    """The bands of the effort to B and to A, and what lies in both, in both their colours."""
    factor = units.factor("force", display)
    low_b, high_b = _span(bands.effort_to_b * factor)
    low_a, high_a = _span(bands.effort_to_a * factor)
    to_b, to_a = (thinned(colour, theme.paper, _VEIL) for colour in (theme.rest_a, theme.rest_b))
    low, high = np.maximum(low_a, low_b), np.minimum(high_a, high_b)
    return (
        Ribbon(bands.travel, low_b, high_b, to_b),
        Ribbon(bands.travel, low_a, high_a, to_a),
        Ribbon(bands.travel, low, np.maximum(low, high), thinned(theme.rest_b, to_b, _VEIL)),
    )


def _span(levels: Curve) -> tuple[Curve, Curve]:
    """The lowest and the highest of the levels (L, N)."""
    return levels[0], levels[-1]
