"""A board without a screen: gestures work on it as they do on the canvas."""

from app.document import Document
from app.session import Session
from app.sketch.hand import Act, ActKind, Feedback, Gesture, Key
from app.sketch.hits import Finder
from app.sketch.picture import Picture, Pictures
from solver.bars import Place
from solver.layouts import LAYOUTS
from solver.model import Design
from solver.project import Project, Variant

SCALE = 3.0
"""Pixels per mm of the board."""


def design_of(key: str) -> Design:
    """The starting layout of that key."""
    return next(layout for layout in LAYOUTS if layout.key == key).build()


def session_of(design: Design, snap: float = 1.0) -> Session:
    """A session on a new document that holds one design."""
    session = Session(Document(Project("Test", (Variant("first", design),))))
    session.set_snap(snap)
    return session


class PlainBoard:
    """Session, picture and finder; keeps all the feedback and messages that came."""

    def __init__(self, design: Design, snap: float = 1.0) -> None:
        self.session = session_of(design, snap)
        self.feedback: list[Feedback] = []
        self.said: list[str] = []
        self.session.message.connect(self.said.append)
        self._pictures = Pictures(self.session)

    @property
    def picture(self) -> Picture:
        return self._pictures.now()

    @property
    def finder(self) -> Finder:
        return Finder(self.picture, SCALE)

    def show_feedback(self, feedback: Feedback) -> None:
        self.feedback.append(feedback)

    @property
    def design(self) -> Design:
        return self.session.document.design

    @property
    def commands(self) -> int:
        return self.session.document.undo_stack.count()

    def place(self, point: str) -> Place:
        return self.picture.places[point]


def act(kind: ActKind, place: Place = (0.0, 0.0), *keys: Key) -> Act:
    """What the hand does at a place (mm) of the board."""
    return Act(kind, place, (place[0] * SCALE, -place[1] * SCALE), frozenset(keys))


def play(gesture: Gesture, *acts: Act) -> bool:
    """Begin a gesture and run it through some acts; True where it came to its end."""
    next(gesture)
    return go_on(gesture, *acts)


def go_on(gesture: Gesture, *acts: Act) -> bool:
    """Run a gesture that has begun through some more acts; True where it came to its end."""
    for each in acts:
        try:
            gesture.send(each)
        except StopIteration:
            return True
    return False
