"""The labels that the two plots wish to show, and where."""

from collections.abc import Sequence

import numpy as np
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor

from app.curves.pane import Curve, Pane
from app.label_places import Label
from solver import units
from solver.analysis import Analysis
from solver.project import Display

_AWAY = 6.0
"""Pixels between a mark and its label."""


def energy_labels(pane: Pane, analysis: Analysis, display: Display) -> list[Label]:
    """The rests, dead centre, the hang zones, and the depth of each well."""
    theme = pane.theme
    labels = [
        Label("rest A", theme.rest_a, _beside(pane, 0.0, "rest A")),
        Label("rest B", theme.rest_b, _beside(pane, analysis.throw, "rest B")),
    ]
    if analysis.dead_centre is not None:
        text = f"dead centre {units.show(analysis.dead_centre, 'angle', display)}"
        places = _beside(pane, analysis.dead_centre, text)
        labels.append(Label(text, theme.dead_centre, places))
    labels += _hang_labels(pane, analysis, display)
    for rest, travel, colour in (
        ("A", 0.0, theme.rest_a),
        ("B", analysis.throw, theme.rest_b),
    ):
        reading = analysis.readings.get(f"barrier_{rest.lower()}")
        if reading is not None and reading.value > 0:
            depth = units.show(reading.value, "energy", display)
            labels += _well_labels(pane, analysis, travel, depth, colour)
    return labels


def effort_labels(
    pane: Pane, analysis: Analysis, display: Display, efforts: Sequence[Curve]
) -> list[Label]:
    """The name and peak of each curve, and from where the lever carries on by itself."""
    theme = pane.theme
    labels = []
    names = (("A → B", efforts[0], theme.rest_a), ("B → A", efforts[1], theme.rest_b))
    for name, effort, colour in names:
        if np.isfinite(effort).any():
            peak = float(np.nanmax(effort)) / units.factor("force", display)
            force = units.show(peak, "force", display)
            text, short = f"{name}, peak {force}", f"{name} {force}"
            places = _along(pane, analysis.travel, effort, text)
            labels.append(Label(text, colour, places, short=short, clear=True))
    for text, travel, way in (
        ("commit point from A", analysis.commit_from_a, 1),
        ("commit point from B", analysis.commit_from_b, -1),
    ):
        if travel is not None:
            places = _carry_places(pane, travel, way)
            labels.append(
                Label(
                    text, theme.ink, places,
                    needed=False, short="commit", mirrored=way < 0, kin="commit",
                )
            )  # fmt: skip
    return labels


def _well_labels(
    pane: Pane, analysis: Analysis, travel: float, depth: str, colour: QColor
) -> list[Label]:
    """How deep the well is, at its foot, between the rest and dead centre or not at all."""
    if analysis.dead_centre is None:
        return []
    line = pane.metrics.height()
    foot = pane.rect.height() - line - 3
    rest, centre = pane.across(travel), pane.across(analysis.dead_centre)
    way = 1 if centre > rest else -1
    for text, ease in ((f"well {depth} deep", 3.0 * line), (f"{depth} deep", 0.0)):
        width = pane.metrics.horizontalAdvance(text)
        spare = abs(centre - rest) - width - 2 * _AWAY
        if spare > ease:
            near = rest + way * _AWAY
            steps = (0.0, min(2.5 * line, spare), spare)
            places = [
                QPointF(near + way * step, foot - row * (line + 2))
                for row in range(3)
                for step in steps
            ]
            return [Label(text, colour, places, needed=False, mirrored=way < 0)]
    return []


def _hang_labels(pane: Pane, analysis: Analysis, display: Display) -> list[Label]:
    labels = []
    line = pane.metrics.height()
    for zone in analysis.hang_zones:
        text = f"hang zone {units.show(zone.end - zone.start, 'angle', display)}"
        width = pane.metrics.horizontalAdvance(text)
        left = pane.across((zone.start + zone.end) / 2) - width / 2
        foot = pane.rect.height() - line - 3
        places = [QPointF(left, foot - row * (line + 2)) for row in range(4)]
        labels.append(Label(text, pane.theme.ink, places))
    return labels


def _beside(pane: Pane, travel: float, text: str) -> list[QPointF]:
    """At the top, right of the line at that travel or left of it, then the same a row lower."""
    x, line = pane.across(travel), pane.metrics.height()
    width = pane.metrics.horizontalAdvance(text)
    sides = [x + _AWAY, x - _AWAY - width]
    if x + _AWAY + width > pane.rect.width() - 4:
        sides.reverse()
    return [QPointF(side, 2 + row * (line + 2)) for row in range(3) for side in sides]


def _along(pane: Pane, travels: Curve, values: Curve, text: str) -> list[QPointF]:
    """Above or below the curve: at its peak first, then ever further along it or below it."""
    line, width = pane.metrics.height(), pane.metrics.horizontalAdvance(text)
    peak = int(np.nanargmax(values))
    last = len(travels) - 1
    towards = 1 if peak < last / 2 else -1
    places = []
    for part, rows in ((0.0, 0), (0.04, 0), (0.08, 0), (0.14, 0), (0.0, 1), (0.0, 2), (0.2, 0),
                       (0.28, 0), (0.36, 0)):  # fmt: skip
        index = min(max(peak + towards * round(part * last), 0), last)
        x, y = pane.across(float(travels[index])), pane.down(float(values[index]))
        if np.isfinite(y):
            side = x + _AWAY if towards > 0 else x - _AWAY - width
            above = [] if rows else [QPointF(side, y - line - 3)]
            places += [*above, QPointF(side, y + 3 + rows * line)]
    return places


def _carry_places(pane: Pane, travel: float, way: int) -> list[QPointF]:
    """Beside the arrow's tip at the foot of the plot: the corner nearest to the tip."""
    line, foot = pane.metrics.height(), pane.rect.height()
    x = pane.across(travel) + way * 12
    return [QPointF(x, foot - 22 - line / 2), QPointF(x, foot - line - 2)]
