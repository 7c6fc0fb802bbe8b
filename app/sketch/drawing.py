"""The whole sheet, painted in one go: on the canvas, and into pictures for files."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from app.session import Ref
from app.sketch.arrows import arrows_of, draw_arrows
from app.sketch.body import draw_body
from app.sketch.boxes import Rect
from app.sketch.dimensions import draw_dimensions
from app.sketch.ghosts import draw_ghosts
from app.sketch.hand import Feedback
from app.sketch.labels import draw_labels
from app.sketch.marks import draw_feedback, draw_halos, draw_note, draw_rings
from app.sketch.picture import Picture
from app.sketch.sheet import Sheet
from app.sketch.words import Found, Words, draw_cards
from app.sketch.zone import draw_zone_edges

if TYPE_CHECKING:
    from app.background.zones import ZoneShape
    from solver.sensitivity import Sensitivities


@dataclass(frozen=True, slots=True)
class Touch:
    """What the cursor and the studies add to the picture."""

    hovered: Ref | None = None
    feedback: Feedback = field(default_factory=Feedback)
    busy: bool = False
    """A gesture is running: labels keep their sides."""
    zone: ZoneShape | None = None
    effects: Sensitivities | None = None
    """What studies found: where the point selected may lie, which way points should go."""
    held: tuple[Rect, ...] = ()
    """Boxes (pixels) that widgets on the sheet hide."""


def draw_sheet(sheet: Sheet, picture: Picture, area: Rect, words: Words, touch: Touch) -> None:
    """Paint everything that lies on the paper; `area` is the visible part in pixels."""
    selection, feedback = picture.selection, touch.feedback
    rests = {ref.name for ref in (*selection, touch.hovered) if ref and ref.kind == "rest"}
    draw_ghosts(sheet, picture, frozenset(rests))
    draw_halos(sheet, picture, selection, touch.hovered)
    draw_body(sheet, picture)
    if touch.zone is not None:
        draw_zone_edges(sheet, touch.zone)
    draw_rings(sheet, picture, touch.hovered, feedback.target)
    arrows = [] if touch.effects is None else arrows_of(sheet, picture, touch.effects)
    words.place(sheet, picture, area, Found(touch.zone, touch.effects, arrows, touch.held),
                steady=touch.busy)  # fmt: skip
    strong = set(selection)
    if touch.hovered is not None:
        strong.add(touch.hovered)
    draw_labels(sheet, words.names, frozenset(strong), quiet=bool(feedback.focus))
    draw_arrows(sheet, arrows)
    draw_cards(sheet, words.cards)
    held = [*touch.held, *(card.box for card in words.cards)]
    held += [name.box for name in words.names if name.label.key in strong]
    if feedback.focus:
        held += draw_dimensions(sheet, picture, feedback.focus, held)
    draw_feedback(sheet, feedback)
    if feedback.note and feedback.cursor is not None:
        draw_note(sheet, words.beside(sheet, feedback.cursor, feedback.note, area, held),
                  feedback.note)  # fmt: skip
