"""The bands that the curves of copies fill, in the units and colours on show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtGui import QColor

from app.curves.pane import Curve, Ribbon
from app.theme import Theme
from solver import units
from solver.project import Display

if TYPE_CHECKING:
    from solver.bands import Bands

NOTE = "band: 90 of 100 copies"
_VEIL = 50
"""Opacity of a band, of 255."""


def energy_ribbons(bands: Bands, display: Display, theme: Theme) -> tuple[Ribbon, ...]:
    """The band of the energy."""
    factor = units.factor("energy", display)
    return (_ribbon(bands.travel, bands.energy * factor, theme.ink),)


def effort_ribbons(bands: Bands, display: Display, theme: Theme) -> tuple[Ribbon, ...]:
    """The bands of the effort to B and to A."""
    factor = units.factor("force", display)
    return (
        _ribbon(bands.travel, bands.effort_to_b * factor, theme.rest_a),
        _ribbon(bands.travel, bands.effort_to_a * factor, theme.rest_b),
    )


def _ribbon(travel: Curve, levels: Curve, colour: QColor) -> Ribbon:
    """Between the lowest and the highest of the levels (L, N)."""
    veil = QColor(colour)
    veil.setAlpha(_VEIL)
    return Ribbon(travel, levels[0], levels[-1], veil)
