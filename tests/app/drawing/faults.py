"""What may be wrong with a page: texts that collide, leave it or are too small; lines in a box."""

import numpy as np

from app.drawing.boxes import Box, text_box, texts_of
from app.drawing.meeting import (
    Segments,
    around_frames,
    around_lines,
    close,
    frames,
    lengths,
    overlap,
)
from app.drawing.model import Drawing, Text


def texts(drawing: Drawing) -> list[Text]:
    """Every text on a page, those of dimensions and tables with them."""
    return [text for element in drawing.elements for text in texts_of(element)]


def overlaps(drawing: Drawing) -> list[str]:
    """What is wrong with the texts of a page: which collide, leave the sheet or are too small."""
    found: list[str] = []
    words = texts(drawing)
    boxes = [text_box(text) for text in words]
    width, height = drawing.size
    for text, box in zip(words, boxes, strict=True):
        if not all(0.0 <= x <= width and 0.0 <= y <= height for x, y in box.corners()):
            found.append(f"“{text.text}” leaves the sheet")
        if text.height < 2.5 - 1e-9:
            found.append(f"“{text.text}” is {text.height:g} mm high")
    held = frames(boxes)
    one, other = close(around_frames(held), around_frames(held))
    met = overlap(held[one], held[other]) & (one < other)
    pairs = zip(one[met].tolist(), other[met].tolist(), strict=True)
    return found + [f"“{words[j].text}” meets “{words[i].text}”" for i, j in pairs]


def ink_in(box: Box, lines: Segments) -> float:
    """The length (mm) of the pieces that lie in a box."""
    held = frames([box])
    _, piece = close(around_frames(held), around_lines(lines))
    return float(np.sum(lengths(np.repeat(held, len(piece), axis=0), lines[piece])))
