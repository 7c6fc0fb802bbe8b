"""What touches what over the throw, and where a finger or a hand could be caught."""

from dataclasses import replace

import pytest
import shapely

from solver.clearance import clearance, row_remarks
from solver.errors import DesignProblem
from solver.layers import coil_width, pin_layers, spring_layer
from solver.layouts import LAYOUTS
from solver.model import FRAME, CompressionSpring, Design, Plate, Point
from solver.outlines import polygon
from solver.project import Display
from solver.rebase import rebase
from solver.stack import stack
from solver.sweep_shapes import pieces
from tests.example_files import EXAMPLES, named

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def in_layers(design: Design, **layers: int) -> Design:
    plates = tuple(
        replace(plate, layer=layers.get(plate.link, plate.layer)) for plate in design.plates
    )
    return replace(design, plates=plates)


def moved(design: Design, name: str, x: float, y: float) -> Design:
    points = tuple(Point(name, x, y) if p.name == name else p for p in design.points)
    return replace(design, points=points)


@pytest.mark.parametrize("key", LAYOUT)
def test_the_layouts_run_free(key: str) -> None:
    found = clearance(LAYOUT[key]())
    assert [remark.sentence for remark in found.remarks if remark.serious] == []
    assert found.free


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_the_examples_run_free(path: object) -> None:
    from solver import files

    for variant in files.load(path).variants:  # type: ignore[arg-type]  # a path
        found = clearance(variant.design)
        assert [remark.sentence for remark in found.remarks if remark.serious] == []


def test_links_that_are_pinned_together_need_two_layers() -> None:
    found = clearance(in_layers(LAYOUT["rocker"](), rod=1))
    sentences = [remark.sentence for remark in found.remarks if remark.serious]
    assert (
        "“lever” and “rod” are pinned together and lie in one layer (1): put one of them into "
        "another."
    ) in sentences
    assert not found.free


def test_links_of_one_layer_that_meet_are_told_with_where() -> None:
    design = LAYOUT["rocker"]()
    # The rocker's pivot so near that its lower end swings against the lever's foot.
    near = moved(moved(design, "flap edge", 24.0, -32.0), "rocker end", 150.0, 40.0)
    found = clearance(near)
    (hit,) = [remark for remark in found.remarks if remark.kind == "collision"]
    assert set(hit.parts) == {"lever", "rocker"}
    assert hit.gap == 0.0
    assert hit.where is not None
    assert "touch" in hit.sentence
    assert clearance(in_layers(near, rocker=3, rod=2)).free


def test_a_gap_is_that_of_the_outlines_where_they_are_nearest() -> None:
    design = LAYOUT["rocker"]()
    found = clearance(design, positions=51)
    (gap,) = [gap for gap in found.gaps if gap.kind == "links"]
    assert {gap.a, gap.b} == {"lever", "rocker"}
    there = rebase(design, design.stops.rest_a - gap.where)
    apart = polygon(there, "lever").distance(polygon(there, "rocker"))
    # Outlines are coarser in the sweep: 0.2 % of 14 mm, twice.
    assert gap.least == pytest.approx(apart, abs=0.06)
    assert found.least == min(found.gaps, key=lambda each: each.least)


def test_a_pin_passes_through_the_layers_between_its_links() -> None:
    design = in_layers(LAYOUT["rocker"](), rod=3, rocker=2)
    assert pin_layers(design, "rod end") == (1, 3)
    # The rocker in layer 2 reaches to where the pin at the rod's end passes by.
    crossing = moved(design, "flap edge", 20.0, 55.0)
    assert any(
        remark.kind == "pin" and remark.serious and "rod end" in remark.sentence
        for remark in clearance(crossing).remarks
    )


def test_a_spring_lies_above_the_plates_on_its_ends() -> None:
    design = LAYOUT["rocker"]()
    (spring,) = design.springs
    assert isinstance(spring, CompressionSpring)
    assert spring_layer(design, spring) == 2
    assert coil_width(spring) == pytest.approx(16.4)
    # A rod that reaches down to the spring meets it; below the spring it would not.
    long = tuple(
        replace(link, points=(*link.points, "low")) if link.name == "rod" else link
        for link in design.links
    )
    points = (*design.points, Point("low", 0.0, -60.0))
    hit = clearance(replace(design, links=long, points=points))
    assert any(remark.kind == "spring" and remark.serious for remark in hit.remarks)


def test_a_slot_that_is_too_short_is_told_by_how_much() -> None:
    short = moved(LAYOUT["knee"](), "slot start", 140.0, 0.0)
    (remark,) = [remark for remark in clearance(short).remarks if remark.kind == "slot"]
    assert remark.serious
    least = min(place.real for place in pieces(short).points["plunger pin"])
    assert remark.gap == pytest.approx(least - 140.0)
    assert f"{140.0 - least:.1f}" in remark.sentence


def test_swept_outlines_cover_every_pose() -> None:
    design = LAYOUT["compression"]()
    swept = clearance(design, positions=31).swept["lever"]
    for travel in (0.0, 16.0, 48.0):
        there = polygon(rebase(design, design.stops.rest_a - travel), "lever")
        assert there.difference(swept.buffer(0.2)).area == pytest.approx(0.0, abs=1e-9)
    assert swept.area > 3.0 * polygon(design, "lever").area


def test_fingers_are_warned_of_gaps_that_close_below_25_mm() -> None:
    remarks = clearance(LAYOUT["knee"]()).remarks
    pinches = [r for r in remarks if r.kind == "pinch" and r.gap is not None and r.gap > 0.0]
    assert any("a finger needs 25.0 mm (ISO 13854)" in remark.sentence for remark in pinches)
    assert not any(remark.serious for remark in pinches)
    assert any("keep fingers out of the throw" in remark.sentence for remark in remarks)


@pytest.mark.parametrize(("gap", "told"), [(24.9, True), (25.0, False), (25.5, False)])
def test_the_limit_for_a_finger_is_25_mm(gap: float, told: bool) -> None:
    design = gap_of(gap)
    pinches = [r for r in clearance(design).remarks if {"lever", "arm"} == set(r.parts)]
    assert bool(pinches) is told


def gap_of(gap: float) -> Design:
    """A four-bar whose lever and rocker stand that far apart where they are nearest: in rest B.

    A parallelogram: both arms stay parallel, so the gap is the bars' distance less their widths.
    """
    from math import cos, radians, sin

    from solver.model import Link, Stops

    width = 20.0
    ground = (gap + width) / sin(radians(60.0)) * (1.0 - 1e-12)
    up = 100.0
    points = (
        Point("a", 0.0, 0.0),
        Point("b", 0.0, up),
        Point("c", ground, up),
        Point("d", ground, 0.0),
        Point("grip", 0.0, 150.0 + cos(0.0)),
    )
    links = (
        Link(FRAME, ("a", "d")),
        Link("lever", ("a", "b", "grip")),
        Link("rod", ("b", "c")),
        Link("arm", ("d", "c")),
    )
    plates = (Plate("lever", width), Plate("rod", width, layer=2), Plate("arm", width))
    return Design(points, links, "lever", "grip", Stops(90.0, 60.0), plates=plates)


def test_the_hand_needs_room_at_the_grip() -> None:
    design = LAYOUT["rocker"]()
    high = moved(design, "flap edge", 40.0, 150.0)
    remarks = clearance(high).remarks
    assert any(remark.kind == "hand" and "rocker" in remark.parts for remark in remarks)
    assert not any(remark.kind == "hand" for remark in clearance(design).remarks)


def test_links_without_plates_are_named_and_left_out() -> None:
    design = LAYOUT["rocker"]()
    bare = replace(design, plates=tuple(p for p in design.plates if p.link != "rod"))
    found = clearance(bare)
    assert "rod" not in found.swept
    assert "Not looked at, for they have no plate: “rod”." in found.notes


def test_a_linkage_that_locks_has_its_sentence() -> None:
    with pytest.raises(DesignProblem):
        clearance(moved(LAYOUT["rocker"](), "rocker end", 40.0, -5.0))


def test_sentences_speak_the_users_units() -> None:
    sentences = [r.sentence for r in clearance(LAYOUT["knee"](), display=Display("inch")).remarks]
    assert any("0.984 in (ISO 13854)" in sentence for sentence in sentences)


def test_rows_of_levers() -> None:
    design = LAYOUT["compression"]()
    assert row_remarks(design, 1, 1.0) == ()
    deep = stack(design).total
    tight, fingers = row_remarks(design, 3, deep)
    assert tight.serious
    assert f"one is {deep + 1.0:.1f} mm deep" in tight.sentence
    assert not fingers.serious
    assert [remark.serious for remark in row_remarks(design, 3, 40.0)] == [False]
    assert row_remarks(design, 3, 55.0) == ()


def test_the_stack_is_as_high_as_its_layers_say() -> None:
    design = replace(LAYOUT["rocker"](), springs=(), limits=())
    layers = stack(design).layers
    assert layers == {0: (-6.0, 0.0), 1: (1.0, 6.0), 2: (7.0, 12.0)}
    assert stack(design).total == 6.0 + 12.0 + 3.5


def test_swept_shapes_are_what_the_sweep_says() -> None:
    put = pieces(LAYOUT["rocker"](), 5)
    assert put.travel == pytest.approx([0.0, 12.5, 25.0, 37.5, 50.0])
    assert shapely.area(put.plates["rod"]) == pytest.approx(shapely.area(put.plates["rod"])[0])


def test_a_lever_that_sweeps_over_a_spring_anchor_is_told() -> None:
    """The anchor lies beyond the pivot, under the lever: a post there would stand in its way."""
    remarks = clearance(LAYOUT["extension"]()).remarks
    (post,) = [r for r in remarks if r.kind == "pin" and "bracket" in r.sentence]
    assert post.parts == ("spring anchor", "lever")
    assert not any("bracket" in r.sentence for r in clearance(LAYOUT["compression"]()).remarks)


def test_a_spring_over_the_end_of_a_pin_is_told() -> None:
    """A compression spring lies right above the plates; across the pivot it meets the ring."""
    design = LAYOUT["compression"]()
    (spring,) = design.springs
    across = moved(moved(design, spring.a, 4.0, 60.0), spring.b, 0.0, -32.0)  # type: ignore[union-attr]
    (over,) = [r for r in clearance(across).remarks if r.kind == "spring"]
    assert over.serious
    assert over.parts == ("main spring", "pivot")
    assert over.sentence.startswith("“main spring” and the pin “pivot” touch, ")
    assert not any(r.kind == "spring" for r in clearance(design).remarks)


def test_an_extension_spring_lies_above_the_end_of_the_pivot_that_it_runs_over() -> None:
    design = LAYOUT["extension"]()
    found = stack(design)
    assert found.springs["main spring"].low >= found.pin("pivot").high + 1.0
    assert not any(r.kind == "spring" for r in clearance(design).remarks)


def with_coils(design: Design, **changes: object) -> Design:
    (spring,) = design.springs
    return replace(design, springs=(replace(spring, **changes),))  # type: ignore[arg-type]


def test_a_coil_is_as_wide_as_it_was_bought_and_the_notes_say_which() -> None:
    assumed = LAYOUT["compression"]()
    known = with_coils(assumed, outside_diameter=12.0)
    (spring,) = known.springs
    assert coil_width(spring) == 12.0
    swept = pieces(known, 3).springs[spring.name][0]
    length = swept.area / 12.0
    assert swept.length == pytest.approx(2.0 * (length + 12.0))
    assert "“main spring” is 12.0 mm wide, as given, and taken" in clearance(known).notes[0]
    (note,) = (n for n in clearance(assumed).notes if "main spring" in n)
    assert note == (
        "“main spring” is taken to be 16.4 mm wide (a fifth of its free length, 6.0 mm to "
        "25.0 mm), for its outside diameter is not given, and to lie above the plates on its ends."
    )
    thick, thin = (stack(d).springs[spring.name] for d in (assumed, known))
    assert (thick.low, thick.high) == pytest.approx((thin.low, thin.high + 4.4))


def test_a_torsion_spring_must_go_over_its_pin() -> None:
    from solver import files

    (path,) = (path for path in EXAMPLES if path.stem.startswith("06"))
    design = files.load(path).design
    assert clearance(design).free
    pin = design.pivot_at(design.springs[0].pivot).pin_diameter  # type: ignore[union-attr]
    tight = with_coils(design, outside_diameter=pin + 2.0 * 2.25)
    (remark,) = (r for r in clearance(tight).remarks if r.kind == "spring" and r.serious)
    assert remark.parts == ("latch spring", "latch arm")
    assert remark.gap == 0.0
    assert remark.sentence == (
        "The coils of “latch spring” are 8.0 mm wide inside and do not go over the pin “latch "
        "arm” of 8.0 mm: take a wider spring or a thinner pin."
    )
    assert clearance(with_coils(tight, wire=None)).free


def test_a_torsion_spring_that_closes_on_its_pin_is_told_with_how_far_it_is_wound() -> None:
    """D n / (n + α/360) - d, α the greatest twist of the throw, must exceed the pin."""
    from solver import files

    (path,) = (path for path in EXAMPLES if path.stem.startswith("06"))
    design = files.load(path).design
    (spring,) = design.springs
    wound = float(-pieces(design).twists[spring.name].min())
    assert 60.0 < wound < 80.0
    just = (8.0 + 2.25) * (5.25 + wound / 360.0) / 5.25 + 2.25
    assert clearance(with_coils(design, outside_diameter=just + 0.01)).free
    tight = clearance(with_coils(design, outside_diameter=just - 0.01))
    (remark,) = (r for r in tight.remarks if r.kind == "spring")
    assert remark.serious
    assert remark.parts == ("latch spring", "latch arm")
    assert remark.sentence == (
        f"The coils of “latch spring” close to 8.0 mm inside, wound up by {wound:.1f}°, and jam on "
        "the pin “latch arm” of 8.0 mm: take a wider spring or a thinner pin."
    )
