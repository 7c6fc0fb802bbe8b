"""What the builder wrote about the design, as far as it is for the bench."""

from __future__ import annotations

import re

from app.drawing.blocks import Block, notes_block
from app.drawing.metrics import plain
from solver.model import Design

_AT_THE_SCREEN = re.compile("(?:Try this|To put it right):.*", re.DOTALL)
"""What in a paragraph is for whoever moves the sketch, as the examples have it."""


def design_notes(design: Design, width: float) -> Block | None:
    """The design's own notes, a paragraph each; None where there is none for the bench."""
    told = [plain(_AT_THE_SCREEN.sub("", part)) for part in design.notes.split("\n\n")]
    told = [part for part in told if part]
    return notes_block("About the design", told, width) if told else None
