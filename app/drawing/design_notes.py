"""What the builder wrote about the design, as far as it is for the bench."""

from __future__ import annotations

from app.drawing.blocks import Block, notes_block
from app.drawing.metrics import plain
from solver.model import Design

_AT_THE_SCREEN = ("Try this:", "To put it right:")
"""How paragraphs begin that are for whoever moves the sketch, as those of the examples."""


def design_notes(design: Design, width: float) -> Block | None:
    """The design's own notes, a paragraph each; None where there is none for the bench."""
    told = [plain(part) for part in design.notes.split("\n\n")]
    told = [part for part in told if part and not part.startswith(_AT_THE_SCREEN)]
    return notes_block("About the design", told, width) if told else None
