"""Projects that the tests of the app share."""

from dataclasses import replace

from app.document import Document
from app.session import Session
from solver.edit import move_point
from solver.layouts import LAYOUTS
from solver.model import Design, Stops
from solver.project import Project, Variant


def layout(key: str) -> Design:
    """The design of one starting layout."""
    return next(known for known in LAYOUTS if known.key == key).build()


def project(key: str = "extension", title: str = "Gate lever") -> Project:
    """A project with one variant, made from a starting layout."""
    return Project(title, (Variant("first", layout(key)),))


def moved(design: Design, by: float = 3.0) -> Design:
    """The design with the grip a little further out."""
    grip = design.point(design.grip)
    return move_point(design, design.grip, grip.x, grip.y + by)


def impossible(design: Design) -> Design:
    """The design with both rests in one place, which no lever can be thrown between."""
    return replace(design, stops=Stops(design.stops.rest_a, design.stops.rest_a))


def session(key: str = "extension") -> Session:
    """A session with its own document; the session owns it."""
    document = Document(project(key))
    made = Session(document)
    document.setParent(made)
    return made
