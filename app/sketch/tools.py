"""Adding parts by clicks: one short gesture for each kind of part, with a prompt for each click.

A click takes an existing point where there is one; on a plate or on the bare sheet it stands
for a new point, on that link or on the frame. The design changes once, at the end.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from app.session import Ref
from app.sketch import fresh
from app.sketch.hand import Act, Board, Feedback, Gesture, snapped
from solver import edit
from solver.bars import Place
from solver.errors import ThrowoverError
from solver.model import FRAME, Design, Force, Point, Screw, Slider, Torque, Weight


@dataclass(frozen=True, slots=True)
class Pick:
    """One clicked place (mm, pose shown): a point that exists, or a new one on a link."""

    place: Place
    name: str | None
    link: str
    """The link that a new point goes on."""
    on_plate: bool = False

    def added(self, design: Design, base: str) -> tuple[Design, str]:
        """The design with this point in it, and the point's name."""
        if self.name is not None:
            return design, self.name
        name = edit.unique_name(design, base)
        return edit.add_point(design, *self.place, self.link, name), name


class Cancelled(Exception):
    """The hand left the tool."""


Picking = Generator[None, Act, Pick]


def look(board: Board, act: Act) -> Pick:
    """What a click at this place would take."""
    finder = board.finder
    name = finder.point(act.place)
    if name is not None:
        return Pick(board.picture.places[name], name, FRAME)
    link = finder.plate(act.place)
    place = snapped(act.place, board.session.snap, act.keys)
    return Pick(place, None, link or FRAME, link is not None)


def _show(board: Board, act: Act, pick: Pick | None, picks: list[Pick]) -> None:
    note, target = "", None
    if pick is not None:
        target = Ref("point", pick.name) if pick.name else None
        if pick.name is None:
            note = f"new point on {pick.link}"
            if pick.on_plate:
                target = Ref("link", pick.link)
        else:
            note = pick.name
    board.show_feedback(
        Feedback(
            cursor=act.place,
            note=note,
            picks=tuple(each.place for each in picks),
            target=target,
        )
    )


def _as_looked(pick: Pick) -> Pick:
    return pick


def _pick(
    board: Board, prompt: str, picks: list[Pick], taken: Callable[[Pick], Pick] = _as_looked
) -> Picking:
    """Wait for one click; `Cancelled` on Escape. `taken` may make another pick of it."""
    board.session.message.emit(prompt)
    while True:
        act = yield
        if act.kind == "cancel":
            raise Cancelled
        pick = taken(look(board, act))
        if act.kind == "press":
            return pick
        if act.kind == "move":
            _show(board, act, pick, picks)


def _aim(board: Board, prompt: str, start: Pick) -> Generator[None, Act, Place]:
    """Wait for a click that only gives a direction, seen from a place picked before."""
    board.session.message.emit(prompt)
    while True:
        act = yield
        if act.kind == "cancel":
            raise Cancelled
        if act.kind == "press":
            return act.place
        if act.kind == "move":
            _show(board, act, None, [start])


def _picks(
    board: Board, prompts: tuple[str, ...], apart: bool = False
) -> Generator[None, Act, list[Pick]]:
    """One click for each prompt, no point twice; `apart`: no two new ones on one link."""
    picks: list[Pick] = []
    for prompt in prompts:
        taken = partial(_behind, board.session.document.design, picks) if apart else _as_looked
        pick = yield from _pick(board, prompt, picks, taken)
        while pick.name is not None and pick.name in [other.name for other in picks]:
            again = "That point is taken already. " + prompt
            pick = yield from _pick(board, again, picks, taken)
        picks.append(pick)
    return picks


def _behind(design: Design, picks: list[Pick], pick: Pick) -> Pick:
    """A new point over the plate that an earlier pick is on is meant for the frame behind it.

    A spring between two points of one link does nothing.
    """
    before = {link for other in picks for link in _links_of(design, other)}
    if pick.name is None and pick.on_plate and pick.link in before:
        return replace(pick, link=FRAME, on_plate=False)
    return pick


def _finish(board: Board, design: Design, ref: Ref, text: str, done: str) -> None:
    """Make one command of what was added, and select it."""
    board.session.document.apply(design, text)
    board.session.set_direction(None)
    board.session.select(ref)
    board.session.message.emit(done)


# ---- the tools -------------------------------------------------------------------------


def add_point(board: Board) -> Gesture:
    """One click: a point on the link whose plate is clicked, else on the frame."""
    prompt = "Click where the point goes: on a link it belongs to that link, else to the frame."
    pick = yield from _pick(board, prompt, [])
    while pick.name is not None:
        pick = yield from _pick(board, f"There is {pick.name} already. {prompt}", [])
    design, name = pick.added(board.session.editable(), "point")
    done = f"{name} added on {pick.link}: drag it, or type its place under Numbers."
    _finish(board, design, Ref("point", name), f"Add {name}", done)


def add_link(board: Board) -> Gesture:
    """Clicks on points and places; Return or a double-click ends the link."""
    prompt = (
        "Click the link's points: on a point or a plate a pivot, on bare paper an end, with Shift "
        "a pivot on the frame. Return ends it."
    )
    board.session.message.emit(prompt)
    picks: list[Pick] = []
    while True:
        act = yield
        if act.kind == "cancel":
            raise Cancelled
        if act.kind in ("finish", "double"):
            if len(picks) > 1:
                break
            board.session.message.emit("A link needs two points or more. " + prompt)
        elif act.kind == "press":
            pick = look(board, act)
            if not pick.on_plate and pick.name is None and "shift" not in act.keys:
                pick = replace(pick, link="")
            if pick.name is None or pick.name not in [other.name for other in picks]:
                picks.append(pick)
        if act.kind in ("press", "move"):
            _show(board, act, _link_end(look(board, act), act), picks)
    design, name = _linked(board.session.editable(), picks)
    _finish(board, design, Ref("link", name), f"Add {name}", f"{name} added.")


def _link_end(pick: Pick, act: Act) -> Pick:
    """How the link tool announces a place: an empty one is on the new link."""
    free = pick.name is None and not pick.on_plate and "shift" not in act.keys
    return replace(pick, link="the new link") if free else pick


def _linked(design: Design, picks: list[Pick]) -> tuple[Design, str]:
    names = []
    for pick in picks:
        if pick.link:
            design, name = pick.added(design, "pivot")
        else:
            name = edit.unique_name(design, "end")
            design = replace(design, points=(*design.points, Point(name, *pick.place)))
        names.append(name)
    link = edit.unique_name(design, "link")
    return edit.add_link(design, names, link), link


def add_slider(board: Board) -> Gesture:
    """The pin, then the two ends of its straight guide on another link or on the frame."""
    pin = yield from _pick(board, "Click the pin that slides: a point on a moving link.", [])
    prompts = (
        "Click one end of its guide: on a plate it is a slot in that link, else on the frame.",
        "Click the other end of the guide.",
    )
    picks = [pin]
    for prompt in prompts:
        picks.append((yield from _pick(board, prompt, picks)))
    design, pin_name = pin.added(board.session.editable(), "pin")
    guide = _guide(design, picks[1], picks[2], pin_name)
    ends = []
    for pick in picks[1:]:
        design, name = replace(pick, link=guide).added(design, "guide end")
        ends.append(name)
    name = edit.unique_name(design, "slider")
    design = edit.add_part(design, Slider(name, pin_name, guide, (ends[0], ends[1])))
    _finish(board, design, Ref("slider", name), f"Add {name}", f"{name} added.")


def _guide(design: Design, first: Pick, second: Pick, pin: str) -> str:
    """The link that carries the guide: one that both ends are on, but not the pin's own."""
    carries = [set(_links_of(design, pick)) for pick in (first, second)]
    shared = carries[0] & carries[1] or carries[0] or carries[1]
    free = [link for link in shared if link not in design.links_at(pin)]
    return min(free or shared)


def _links_of(design: Design, pick: Pick) -> tuple[str, ...]:
    return (pick.link,) if pick.name is None else design.links_at(pick.name)


def _add_coil(board: Board, kind: fresh.CoilKind) -> Gesture:
    does = "pushes apart" if kind == "compression" else "pulls together"
    prompts = (
        f"Click the first of the two points that the {kind} spring {does}: "
        "a point, a place on a link, or on the frame.",
        "Click the spring's other end.",
    )
    picks = yield from _picks(board, prompts, apart=True)
    session = board.session
    design, names = session.editable(), []
    for pick in picks:
        design, name = pick.added(design, "anchor")
        names.append(name)
    spring = fresh.coil(kind, design, board.picture.ghosts, names[0], names[1])
    design = edit.add_part(design, spring)
    _finish(
        board,
        design,
        Ref("spring", spring.name),
        f"Add {spring.name}",
        f"{spring.name} added with a guessed rate and length: type yours under Numbers.",
    )


def add_compression(board: Board) -> Gesture:
    """Two clicks: a compression spring between two anchors."""
    yield from _add_coil(board, "compression")


def add_extension(board: Board) -> Gesture:
    """Two clicks: an extension spring between two anchors."""
    yield from _add_coil(board, "extension")


def add_torsion(board: Board) -> Gesture:
    """Three clicks: the pivot that the spring sits on, and what its legs lean on."""
    prompts = (
        "Click the pivot that the torsion spring sits on.",
        "Click the point that its first leg leans on.",
        "Click the point that its second leg leans on.",
    )
    picks = yield from _picks(board, prompts)
    design, names = board.session.editable(), []
    for pick in picks:
        design, name = pick.added(design, "leg end")
        names.append(name)
    spring = fresh.torsion(design, names[0], names[1], names[2])
    design = edit.add_part(design, spring)
    _finish(
        board,
        design,
        Ref("spring", spring.name),
        f"Add {spring.name}",
        f"{spring.name} added with a guessed rate and free angle: type yours under Numbers.",
    )


def add_weight(board: Board) -> Gesture:
    """One click: a mass at a point."""
    prompt = "Click the point that carries the mass, or a place on a link."
    pick = yield from _pick(board, prompt, [])
    design, point = pick.added(board.session.editable(), "mass")
    name = edit.unique_name(design, "weight")
    design = edit.add_part(design, Weight(name, point, fresh.MASS))
    done = f"{name} added with {fresh.MASS:g} kg: type yours under Numbers."
    _finish(board, design, Ref("weight", name), f"Add {name}", done)


def add_force(board: Board) -> Gesture:
    """Two clicks: where a steady force acts, and which way it pulls."""
    prompt = "Click the point that the force acts on, or a place on a link."
    pick = yield from _pick(board, prompt, [])
    towards = yield from _aim(board, "Click where the force pulls to.", pick)
    design, point = pick.added(board.session.editable(), "load point")
    name = edit.unique_name(design, "force")
    force = Force(name, point, *fresh.force(pick.place, towards))
    design = edit.add_part(design, force)
    done = f"{name} added with {fresh.FORCE:g} N: type yours under Numbers."
    _finish(board, design, Ref("load", name), f"Add {name}", done)


def add_torque(board: Board) -> Gesture:
    """One click: a steady torque on a link."""
    prompt = "Click the link that the torque turns."
    board.session.message.emit(prompt)
    while True:
        act = yield
        if act.kind == "cancel":
            raise Cancelled
        link = board.finder.plate(act.place)
        if act.kind == "move":
            target = Ref("link", link) if link else None
            board.show_feedback(Feedback(cursor=act.place, note=link or "", target=target))
        if act.kind == "press" and link is not None:
            break
    design = board.session.document.design
    name = edit.unique_name(design, "torque")
    design = edit.add_part(design, Torque(name, link, fresh.TORQUE))
    done = f"{name} added: type its size under Numbers."
    _finish(board, design, Ref("load", name), f"Add {name}", done)


def add_screw(board: Board) -> Gesture:
    """One click: a screw through the plate clicked or through the frame, to fasten it."""
    prompt = (
        "Click where a screw goes: on bare paper it fastens the frame, on a link it goes through "
        "that link."
    )
    pick = yield from _pick(board, prompt, [])
    base = "fixing 1" if pick.link == FRAME else "screw 1"
    design, name = pick.added(board.session.editable(), base)
    screw = Screw(name)
    design = edit.set_screw(design, screw)
    done = f"{name} takes a screw M{screw.thread:g}: choose another thread under Numbers."
    _finish(board, design, Ref("point", name), f"Add screw through {name}", done)


def join(board: Board) -> Gesture:
    """Two clicks: two points become one pivot, the second goes to the first."""
    names: list[str] = []
    picks: list[Pick] = []
    for prompt in ("Click the point that stays.", "Click the point to join with it."):
        pick = yield from _pick(board, prompt, picks)
        while pick.name is None or pick.name in names:
            pick = yield from _pick(board, "That is no other point. " + prompt, picks)
        picks.append(pick)
        names.append(pick.name)
    design = edit.join(board.session.editable(), names[0], names[1])
    text = f"Join {names[1]} with {names[0]}"
    _finish(board, design, Ref("point", names[0]), text, f"{names[0]} is a pivot now.")


TOOLS: Mapping[str, Callable[[Board], Gesture]] = {
    "point": add_point,
    "link": add_link,
    "slider": add_slider,
    "compression": add_compression,
    "extension": add_extension,
    "torsion": add_torsion,
    "weight": add_weight,
    "force": add_force,
    "torque": add_torque,
    "screw": add_screw,
    "join": join,
}


def tool(key: str, board: Board) -> Gesture:
    """The adding gesture of that key. A refusal is told and ends it, Escape leaves no trace."""
    try:
        yield from TOOLS[key](board)
    except Cancelled:
        board.session.message.emit("")
    except ThrowoverError as problem:
        board.session.message.emit(str(problem))
    board.show_feedback(Feedback())
