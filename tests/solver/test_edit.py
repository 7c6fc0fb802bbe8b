import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import edit, parts
from solver.checks import problems
from solver.errors import DesignProblem
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    Force,
    Limit,
    Link,
    Pivot,
    Point,
    Slider,
    Stops,
    Torque,
    TorsionSpring,
    Weight,
)
from solver.parts import Kind
from solver.readings import catalogue
from tests.solver.strategies import crank_sliders, designs, four_bars, numbers, sketches

NAMED: tuple[Kind, ...] = ("point", "link", "slider", "spring", "weight", "load")


def gate() -> Design:
    """A lever, rod and slide with one part of each kind, for edits by name."""
    return Design(
        points=(
            Point("pivot", 0.0, 0.0),
            Point("grip", 0.0, 150.0),
            Point("foot", 0.0, -30.0),
            Point("pin", 80.0, -30.0),
            Point("start", 50.0, -30.0),
            Point("end", 120.0, -30.0),
            Point("post", 0.0, -100.0),
        ),
        links=(
            Link("frame", ("pivot", "start", "end", "post")),
            Link("lever", ("pivot", "grip", "foot")),
            Link("rod", ("foot", "pin")),
        ),
        lever="lever",
        grip="grip",
        stops=Stops(110.0, 70.0),
        pivots=(Pivot("pivot", 10.0), Pivot("foot", 5.0)),
        sliders=(Slider("slide", "pin", "frame", ("start", "end")),),
        springs=(
            CompressionSpring("coil", "post", "foot", 2.0, 90.0, 30.0),
            TorsionSpring("twist", "pivot", "post", "foot", 5.0, 170.0),
        ),
        weights=(Weight("knob", "grip", 0.2), Weight("shoe", "pin", 0.4)),
        loads=(Force("push", "pin", -5.0, 0.0), Torque("seal", "rod", 20.0)),
        outputs=("pin", "rod"),
        limits=(
            Limit("holding_force", at_least=4.0),
            Limit("slack_margin:coil", at_least=1.0),
            Limit("output_travel:pin", at_least=10.0),
            Limit("output_turn:rod", at_most=40.0),
            Limit("pin_load:foot", at_most=300.0),
        ),
    )


def refers(design: Design) -> set[tuple[Kind, str]]:
    """Everything that something in the design refers to."""
    found = {
        ref
        for kind in parts.FIELDS
        for part in parts.parts(design, kind)
        for ref in parts.references(part)
    }
    return found | {("link", design.lever), ("point", design.grip)}


def pick(data: st.DataObject, design: Design, kinds: tuple[Kind, ...]) -> tuple[Kind, str]:
    return data.draw(
        st.sampled_from([(kind, name) for kind in kinds for name in parts.names(design, kind)])
    )


def off_slot(design: Design, slider: Slider) -> float:
    (ax, ay), (bx, by), (x, y) = (
        (point.x, point.y) for point in map(design.point, (*slider.along, slider.point))
    )
    return abs((x - ax) * (by - ay) - (y - ay) * (bx - ax)) / math.hypot(bx - ax, by - ay)


def test_the_example_is_sound() -> None:
    assert problems(gate()) == ()


# ---- laws on any sound linkage -----------------------------------------------------------


@given(designs(), st.data(), numbers(-300, 300), numbers(-300, 300))
def test_a_moved_point_lies_where_it_was_put_and_slider_pins_on_their_lines(
    design: Design, data: st.DataObject, x: float, y: float
) -> None:
    _, name = pick(data, design, ("point",))
    try:
        moved = edit.move_point(design, name, x, y)
    except DesignProblem as problem:
        # Only a slot that has lost its direction may be refused.
        assert problem.part in parts.names(design, "slider")  # noqa: PT017
        return
    for slider in moved.sliders:
        assert off_slot(moved, slider) < 1e-9
    if name not in {slider.point for slider in design.sliders}:
        assert (moved.point(name).x, moved.point(name).y) == (x, y)
    pins = {slider.point for slider in design.sliders}
    for point in design.points:
        if point.name not in pins | {name}:
            assert moved.point(point.name) == point


@given(designs(), st.data())
def test_renaming_there_and_back_changes_nothing(design: Design, data: st.DataObject) -> None:
    kind, name = pick(data, design, NAMED)
    if name == "frame":
        with pytest.raises(DesignProblem, match="frame"):
            edit.rename(design, kind, name, "something new")
        return
    renamed = edit.rename(design, kind, name, "something new")
    assert name not in parts.names(renamed, kind)
    assert (kind, name) not in refers(renamed)
    assert problems(renamed) == ()
    assert edit.rename(renamed, kind, "something new", name) == design


@given(designs(), st.data())
def test_removing_leaves_nothing_that_refers_to_it(design: Design, data: st.DataObject) -> None:
    kind, name = pick(data, design, (*NAMED, "pivot", "limit"))
    try:
        left = edit.remove(design, kind, name)
    except DesignProblem:
        kept = {("link", "frame"), ("link", "lever"), ("point", "pivot"), ("point", "grip")}
        assert (kind, name) in kept
        return
    assert name not in parts.names(left, kind)
    for referred_kind, referred in refers(left):
        parts.find(left, referred_kind, referred)
    assert set(left.outputs) <= {*parts.names(left, "point"), *parts.names(left, "link")}
    assert problems(left) == ()


@given(designs(), st.data())
def test_parts_taken_out_can_be_put_back(design: Design, data: st.DataObject) -> None:
    kinds: tuple[Kind, ...] = ("slider", "spring", "weight", "load", "pivot", "limit")
    names = [(kind, name) for kind in kinds for name in parts.names(design, kind)]
    if not names:
        return
    kind, name = data.draw(st.sampled_from(names))
    part = parts.find(design, kind, name)
    back = edit.add_part(edit.remove(design, kind, name), part)
    assert parts.find(back, kind, name) == part
    assert set(parts.names(back, kind)) == set(parts.names(design, kind))


def direction(design: Design, a: str, b: str) -> float:
    """From one point to another, degrees."""
    start, end = design.point(a), design.point(b)
    return math.degrees(math.atan2(end.y - start.y, end.x - start.x))


@given(four_bars() | crank_sliders(), st.data(), numbers(5, 400))
def test_set_length_keeps_the_direction(design: Design, data: st.DataObject, length: float) -> None:
    link = data.draw(st.sampled_from(design.links))
    pins = {slider.point for slider in design.sliders}
    a, b = data.draw(st.permutations(link.points))[:2]
    if b in pins | {name for slider in design.sliders for name in slider.along}:
        return
    changed = edit.set_length(design, a, b, length)
    assert edit.distance(changed, a, b) == pytest.approx(length)
    turned = direction(changed, a, b) - direction(design, a, b)
    assert math.remainder(turned, 360.0) == pytest.approx(0.0, abs=1e-6)
    there = edit.set_direction(design, a, b, 33.0)
    assert direction(there, a, b) == pytest.approx(33.0)
    assert edit.distance(there, a, b) == pytest.approx(edit.distance(design, a, b))


@given(sketches(), st.data(), st.floats(), st.floats())
def test_any_sketch_is_edited_or_refused_with_a_sentence(
    design: Design, data: st.DataObject, x: float, y: float
) -> None:
    name = data.draw(st.sampled_from(("frame", "lever", "pivot", "grip", "a", "b")))
    other = data.draw(st.sampled_from(("frame", "lever", "pivot", "grip", "a", "b")))
    kind = data.draw(st.sampled_from(tuple(parts.FIELDS)))
    edits: tuple[Callable[[], Design], ...] = (
        lambda: edit.move_point(design, name, x, y),
        lambda: edit.add_point(design, x, y, name),
        lambda: edit.attach(design, name, other),
        lambda: edit.detach(design, name, other),
        lambda: edit.join(design, name, other),
        lambda: edit.add_link(design, (name, other)),
        lambda: edit.remove(design, kind, name),
        lambda: edit.rename(design, kind, name, other),
        lambda: edit.set_lever(design, name, other),
        lambda: edit.set_stops(design, x, y),
        lambda: edit.set_length(design, name, other, x),
        lambda: edit.set_direction(design, name, other, x),
        lambda: edit.set_limit(design, name, x, y),
        lambda: edit.add_part(design, Weight(name, other, 1.0)),
        lambda: edit.add_part(design, Slider("s", name, other, (name, other))),
    )
    try:
        changed = data.draw(st.sampled_from(edits))()
    except DesignProblem as problem:
        assert str(problem)  # noqa: PT017
    else:
        assert isinstance(changed, Design)


# ---- one edit at a time ------------------------------------------------------------------


def test_a_pin_follows_its_slot() -> None:
    moved = edit.move_points(gate(), {"start": (50.0, 0.0), "end": (120.0, 0.0)})
    assert moved.point("pin") == Point("pin", 80.0, 0.0)
    assert edit.move_point(gate(), "pin", 95.0, 12.0).point("pin") == Point("pin", 95.0, -30.0)


def test_a_slot_cannot_lose_its_direction() -> None:
    with pytest.raises(DesignProblem, match="“slide” has no direction"):
        edit.move_point(gate(), "end", 50.0, -30.0)


@pytest.mark.parametrize("place", [(math.nan, 0.0), (0.0, math.inf)])
def test_points_stay_on_the_sheet(place: tuple[float, float]) -> None:
    with pytest.raises(DesignProblem, match="finite"):
        edit.move_point(gate(), "foot", *place)


def test_new_points_links_and_parts_get_free_names() -> None:
    design = edit.add_point(gate(), 5.0, 6.0, "rod")
    design = edit.add_point(design, 15.0, 6.0, "rod")
    assert [point.name for point in design.points[-2:]] == ["point", "point 2"]
    assert design.link("rod").points[-2:] == ("point", "point 2")
    design = edit.add_link(design, ("point", "post"))
    assert design.links[-1] == Link("link", ("point", "post"))
    design = edit.add_part(design, Weight("knob", "pin", 1.0))
    assert design.weights[-1].name == "knob 2"
    assert edit.unique_name(design, "knob 2") == "knob 3"
    design = edit.add_part(design, ExtensionSpring("", "post", "grip", 1.0, 50.0))
    assert design.springs[-1].name == "spring"


def test_points_and_links_do_not_share_a_name() -> None:
    with pytest.raises(DesignProblem, match="There is a link “rod” already"):
        edit.rename(gate(), "point", "pin", "rod")
    with pytest.raises(DesignProblem, match="There is a point “pin” already"):
        edit.add_link(gate(), ("pin", "post"), "pin")


@pytest.mark.parametrize("name", ["", "   ", "x" * 61, "tab\there", "bell\x07"])
def test_names_that_cannot_be_shown_are_refused(name: str) -> None:
    with pytest.raises(DesignProblem, match="name"):
        edit.rename(gate(), "spring", "coil", name)


def test_renaming_reaches_every_reference() -> None:
    design = gate()
    for kind, old in (("point", "pin"), ("link", "rod"), ("spring", "coil"), ("point", "foot")):
        design = edit.rename(design, kind, old, f" my {old} ")  # type: ignore[arg-type]
    assert design.sliders[0].point == "my pin"
    assert design.outputs == ("my pin", "my rod")
    assert [limit.reading for limit in design.limits] == [
        "holding_force",
        "slack_margin:my coil",
        "output_travel:my pin",
        "output_turn:my rod",
        "pin_load:my foot",
    ]
    assert problems(design) == ()


def test_removing_a_link_takes_what_only_it_had() -> None:
    left = edit.remove(gate(), "link", "rod")
    assert parts.names(left, "point") == ("pivot", "grip", "foot", "start", "end", "post")
    assert left.sliders == ()
    assert parts.names(left, "weight") == ("knob",)
    assert left.loads == ()
    assert left.outputs == ()
    assert parts.names(left, "limit") == ("holding_force", "slack_margin:coil", "pin_load:foot")
    assert parts.names(left, "pivot") == ("pivot", "foot")


def test_removing_a_point_takes_a_link_that_has_one_left() -> None:
    left = edit.remove(gate(), "point", "foot")
    assert parts.names(left, "link") == ("frame", "lever")
    assert left.link("lever").points == ("pivot", "grip")
    assert left.springs == ()


@pytest.mark.parametrize(
    ("kind", "name"),
    [("point", "pivot"), ("point", "grip"), ("link", "lever"), ("link", "frame")],
)
def test_lever_and_frame_cannot_be_removed(kind: Kind, name: str) -> None:
    with pytest.raises(DesignProblem, match=f"“{name}” is the "):
        edit.remove(gate(), kind, name)


def test_outputs_are_marked_and_taken_back() -> None:
    design = edit.mark_output(edit.mark_output(gate(), "foot"), "foot")
    assert design.outputs == ("pin", "rod", "foot")
    assert edit.remove(design, "output", "rod").outputs == ("pin", "foot")
    with pytest.raises(DesignProblem, match="no point or link “coil”"):
        edit.mark_output(design, "coil")


def test_attach_and_detach_undo_each_other() -> None:
    design = edit.add_link(gate(), ("post", "grip"), "stay")
    tied = edit.attach(design, "pin", "stay")
    assert tied.links_at("pin") == ("rod", "stay")
    assert edit.detach(tied, "pin", "stay") == design


@pytest.mark.parametrize(
    ("point", "link", "words"),
    [
        ("pin", "rod", "on link “rod” alone"),
        ("foot", "rod", "needs its point"),
        ("pivot", "lever", "would not turn"),
        ("grip", "rod", "is not on link"),
    ],
)
def test_detaching_is_refused(point: str, link: str, words: str) -> None:
    with pytest.raises(DesignProblem, match=words):
        edit.detach(gate(), point, link)


@pytest.mark.parametrize(
    ("point", "link", "words"),
    [
        ("pin", "rod", "already"),
        ("pin", "frame", "slides on link “frame”"),
        ("foot", "frame", "would not turn"),
    ],
)
def test_attaching_is_refused(point: str, link: str, words: str) -> None:
    with pytest.raises(DesignProblem, match=words):
        edit.attach(gate(), point, link)


def test_joining_hangs_everything_on_one_point() -> None:
    design = edit.add_point(gate(), 30.0, 40.0, "lever", "tip")
    design = edit.add_part(design, Pivot("tip", 3.0))
    joined = edit.join(edit.add_point(design, 31.0, 40.0, "rod", "eye"), "tip", "eye")
    assert joined.links_at("tip") == ("lever", "rod")
    assert "eye" not in parts.names(joined, "point")
    kept = edit.join(edit.add_point(design, 9.0, 9.0, "rod", "eye"), "eye", "tip")
    assert kept.pivot_at("eye") == Pivot("eye", 3.0)
    assert kept.point("eye") == Point("eye", 9.0, 9.0)


def test_joining_keeps_the_pivot_and_limit_of_the_point_that_stays() -> None:
    design = edit.add_point(gate(), 9.0, 9.0, "rod", "eye")
    design = edit.add_link(edit.add_point(design, 20.0, 9.0, "frame", "bolt"), ("eye", "bolt"))
    design = edit.add_part(design, Pivot("eye", 99.0))
    design = edit.set_limit(design, "pin_load:eye", at_most=1.0)
    joined = edit.join(design, "foot", "eye")
    assert joined.pivot_at("foot") == Pivot("foot", 5.0)
    limits = [limit for limit in joined.limits if limit.reading == "pin_load:foot"]
    assert limits == [Limit("pin_load:foot", at_most=300.0)]


def test_joining_two_points_of_a_link_leaves_it_a_corner_less() -> None:
    design = edit.join(edit.add_point(gate(), 9.0, 9.0, "rod", "eye"), "foot", "eye")
    assert design.link("rod").points == ("foot", "pin")
    assert problems(design) == ()


@pytest.mark.parametrize(
    ("keep", "drop", "words"),
    [
        ("foot", "post", "spring “coil” needs both of them"),
        ("foot", "pin", "link “rod” needs both of them"),
        ("pin", "post", "cannot slide on it"),
        ("grip", "start", "would not turn"),
        ("grip", "grip", "another point"),
        ("grip", "nowhere", "no point “nowhere”"),
    ],
)
def test_joining_is_refused(keep: str, drop: str, words: str) -> None:
    with pytest.raises(DesignProblem, match=words):
        edit.join(gate(), keep, drop)


@pytest.mark.parametrize(
    ("link", "grip", "words"),
    [
        ("frame", "post", "does not move"),
        ("rod", "pin", "exactly one point"),
        ("lever", "pivot", "is the lever's pivot"),
        ("lever", "pin", "is not on link"),
    ],
)
def test_a_lever_needs_its_pivot_and_grip(link: str, grip: str, words: str) -> None:
    with pytest.raises(DesignProblem, match=words):
        edit.set_lever(gate(), link, grip)


def test_another_grip() -> None:
    assert edit.set_lever(gate(), "lever", "foot").grip == "foot"


def test_stops() -> None:
    assert edit.set_stops(gate(), rest_b=60.0).stops == Stops(110.0, 60.0)
    for rest_b in (110.0, 470.0, -250.0, math.nan, math.inf):
        with pytest.raises(DesignProblem, match=r"[Rr]est A"):
            edit.set_stops(gate(), rest_b=rest_b)


def test_limits_are_set_changed_and_refused() -> None:
    design = edit.set_limit(gate(), "holding_force", 5.0, 9.0)
    assert design.limits[0] == Limit("holding_force", 5.0, 9.0)
    assert edit.set_limit(design, "barrier", 1.0).limits[-1] == Limit("barrier", 1.0)
    with pytest.raises(DesignProblem, match="least or a greatest"):
        edit.set_limit(design, "barrier")
    with pytest.raises(DesignProblem, match="above its greatest"):
        edit.set_limit(design, "barrier", 2.0, 1.0)


def test_parts_are_replaced_in_place() -> None:
    design = edit.replace_part(gate(), ExtensionSpring("coil", "post", "grip", 1.0, 50.0))
    assert isinstance(design.springs[0], ExtensionSpring)
    assert design.springs[1] == gate().springs[1]
    design = edit.replace_part(design, Pivot("pin", 12.0))
    assert design.pivot_at("pin").pin_diameter == 12.0
    slanted = edit.replace_part(design, Slider("slide", "pin", "frame", ("start", "post")))
    assert off_slot(slanted, slanted.sliders[0]) < 1e-9
    with pytest.raises(DesignProblem, match="no spring “other”"):
        edit.replace_part(design, ExtensionSpring("other", "post", "grip", 1.0, 50.0))
    with pytest.raises(DesignProblem, match="no point “nowhere”"):
        edit.replace_part(design, ExtensionSpring("coil", "post", "nowhere", 1.0, 50.0))


@pytest.mark.parametrize(
    ("part", "words"),
    [
        (Slider("s", "foot", "lever", ("pivot", "grip")), "cannot slide on it"),
        (Slider("s", "pin", "lever", ("pivot", "post")), "“post” is not on link “lever”"),
        (Weight("w", "nowhere", 1.0), "no point “nowhere”"),
        (Torque("t", "nothing", 1.0), "no link “nothing”"),
    ],
)
def test_parts_need_something_to_hang_on(part: parts.Part, words: str) -> None:
    with pytest.raises(DesignProblem, match=words):
        edit.add_part(gate(), part)


@pytest.mark.parametrize("length", [0.0, -3.0, math.nan, math.inf])
def test_lengths_are_above_zero(length: float) -> None:
    with pytest.raises(DesignProblem, match="above 0"):
        edit.set_length(gate(), "foot", "pin", length)


def test_points_on_one_spot_have_no_direction_to_be_pulled_in() -> None:
    design = edit.add_point(gate(), 0.0, 150.0, "lever", "ring")
    with pytest.raises(DesignProblem, match="Pull “ring” off “grip” first"):
        edit.set_length(design, "grip", "ring", 10.0)


def test_every_reading_of_a_part_is_known_by_its_part() -> None:
    """A limit on any reading that names a part goes when the part goes."""
    keys = [kind.key for kind in catalogue(gate()) if ":" in kind.key]
    assert keys
    for key in keys:
        assert any(True for _ in parts.references(Limit(key))), key
