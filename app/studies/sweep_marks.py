"""The words in the picture of a sweep, and the mark of the present design in a map."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pyqtgraph as pg
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QPainterPath, QPen
from PySide6.QtWidgets import QGraphicsItem, QGraphicsPathItem

from app.studies.sweep_places import Box, Size, View, clearest
from solver.sweep import Values

DARK = QColor(38, 38, 38)
"""The ground of words in a map, whatever its colour there."""
_ABOVE_LINES, _ABOVE_ALL = 8, 10
_ARM, _THICK = 9.0, 1.5
"""Half the length and half the thickness (pixels) of a cross."""
_TOUCHING = 2.0
"""Pixels to other words and lines below which lesser words are left out."""


@dataclass(frozen=True, slots=True)
class Words:
    """Words that want to stand at one of the places that `where` gives for a view and their size.

    clear_of: lines (N, 2) of points that they should not cover. Those that are not `needed` are
    left out where they would. `of_cross`: they name the cross, near which they may be.
    """

    item: Any
    where: Callable[[View, Size], Values]
    clear_of: Sequence[Values] = field(default=())
    needed: bool = True
    of_cross: bool = False


def words(text: str, colour: QColor, ground: QColor) -> Any:  # noqa: ANN401  # pyqtgraph: no types
    """An item with words on an opaque ground, which interrupts the line that it stands on."""
    item: Any = pg.TextItem(text, color=colour, fill=ground)
    item.setAnchor((0.5, 0.5))
    item.setZValue(_ABOVE_ALL)
    return item


def place(view: View, every: Sequence[Words], mark: tuple[float, float] | None) -> None:
    """Put the words where they are clearest, the first ones first; hide those without a place.

    mark: the point at which a cross stands, if one does.
    """
    taken: list[Box] = []
    crosses: list[Box] = []
    if mark is not None:
        crosses.append((*view.pixels(np.array([mark]))[0].tolist(), 2.0 * _ARM, 2.0 * _ARM))
    for one in every:
        bounds = one.item.textItem.boundingRect()
        size = (bounds.width(), bounds.height())
        lines = [view.traced(line) for line in one.clear_of]
        others = taken if one.of_cross else [*taken, *crosses]
        found = clearest(view, one.where(view, size), size, lines, others)
        shown = found is not None and (one.needed or found[0] >= _TOUCHING)
        one.item.setVisible(shown)
        if shown and found is not None:
            taken.append(found[1])
            one.item.setPos(*view.point(*found[1][:2]))


def cross(x: float, y: float) -> QGraphicsPathItem:
    """A cross at a point, as large in every view: light with a dark edge, seen on all colours."""
    path = QPainterPath()
    path.addRect(QRectF(-_ARM, -_THICK, 2.0 * _ARM, 2.0 * _THICK))
    upright = QPainterPath()
    upright.addRect(QRectF(-_THICK, -_ARM, 2.0 * _THICK, 2.0 * _ARM))
    item = QGraphicsPathItem(path.united(upright))
    item.setFlag(QGraphicsItem.GraphicsItemFlag.ItemIgnoresTransformations)
    item.setPen(QPen(DARK, 1.0))
    item.setBrush(QColor("white"))
    item.setPos(x, y)
    item.setZValue(_ABOVE_LINES)
    return item
