from __future__ import annotations

import math
from dataclasses import replace

import pytest

from solver.analysis import Analysis, analyse
from solver.layouts import LAYOUTS
from solver.model import (
    CompressionSpring,
    Design,
    ExtensionSpring,
    GuideRod,
    Limit,
    Pivot,
    Stops,
    Torque,
    TorsionSpring,
)
from solver.project import Display
from solver.results import HangZone
from solver.verdict import HANG_SHARE, Findings, judge, limit_sentence
from tests.outside.sketches import lever, polar
from tests.solver.linkages import frictionless

LAYOUT = {layout.key: layout for layout in LAYOUTS}
COMPRESSION = replace(LAYOUT["compression"].build(), limits=(), plates=())
BLANK = replace(LAYOUT["blank"].build(), plates=())


def with_spring(**changes: object) -> Design:
    (spring,) = COMPRESSION.springs
    return replace(COMPRESSION, springs=(replace(spring, **changes),))  # type: ignore[arg-type]


def with_friction(design: Design, friction: float) -> Design:
    pivots = tuple(replace(pivot, friction=friction) for pivot in design.pivots)
    return replace(design, pivots=pivots)


def test_a_lever_without_friction_carries_itself_home() -> None:
    result = analyse(frictionless(COMPRESSION))
    assert result.verdict == (
        "The lever carries itself home from wherever it is let go, and stays there."
    )
    assert result.good
    assert result.notes == ()


def test_a_little_friction_is_told_but_not_held_against_it() -> None:
    result = analyse(with_friction(COMPRESSION, 0.1))
    width = result.readings["hang_zone_mm"].value
    assert result.good
    assert (
        f"only around dead centre, over {width:.1f} mm at the grip, can friction" in result.verdict
    )


def test_a_wide_hang_zone_is_a_place_to_be_left_standing() -> None:
    result = analyse(with_friction(COMPRESSION, 0.4))
    (zone,) = result.hang_zones
    assert result.readings["hang_zone"].value > HANG_SHARE * result.throw
    assert not result.good
    assert result.verdict == (
        "The lever can be left standing around dead centre: friction holds it between "
        f"{zone.start:.1f}° and {zone.end:.1f}° from rest A, "
        f"{zone.end_mm - zone.start_mm:.1f} mm at the grip, more than 5 % of the travel."
    )


def test_a_limit_of_ones_own_decides_what_is_too_wide() -> None:
    rough = with_friction(COMPRESSION, 0.4)
    width = analyse(rough).readings["hang_zone_mm"].value
    for most, good in ((width + 1.0, True), (width - 1.0, False)):
        result = analyse(replace(rough, limits=(Limit("hang_zone_mm", at_most=most),)))
        assert result.good is good
        assert ("left standing" in result.verdict) is not good
        assert ("more than your limit allows" in result.verdict) is not good


def hills(*places: float) -> Design:
    """A lever pushed off certain directions by short springs, each over ±16°."""
    anchors = {f"anchor {i}": polar(62.0, -90.0 + place) for i, place in enumerate(places)}
    design = lever({"grip": (0.0, 120.0), "foot": (0.0, -40.0)}, anchors, "grip", 118.0, 62.0)
    springs = tuple(
        CompressionSpring(name, name, "foot", 3.0, 26.0, 10.0, end_friction=0.0) for name in anchors
    )
    return replace(design, springs=springs)


def test_a_valley_between_two_dead_centres_is_told() -> None:
    result = analyse(hills(-15.0, 15.0))
    assert [zone.kind for zone in result.hang_zones] == ["dead centre", "valley", "dead centre"]
    # Mirror symmetry puts the valley in the middle; without friction it is a single place.
    assert result.verdict == (
        "The lever can be left standing 28.0° from rest A: it comes to rest there by itself."
    )
    assert not result.good


def test_a_stretch_that_nothing_drives_is_told() -> None:
    # Beyond ±16° of its dead centre the only spring has let go.
    result = analyse(hills(0.0))
    assert "nothing keeps it at rest A and nothing keeps it at rest B" in result.verdict
    kinds = [zone.kind for zone in result.hang_zones]
    assert kinds == ["slack", "dead centre", "slack"]
    assert result.hang_zones[0].end == pytest.approx(28.0 - 15.99, abs=0.01)


def test_a_slack_stretch_between_held_rests_is_told() -> None:
    found = findings(analyse(COMPRESSION))
    zone = HangZone(10.0, 20.0, 24.4, 48.9, "slack")
    sentence, good, _ = judge(replace(found, zones=(*found.zones, zone)), Display())
    assert sentence == (
        "The lever can be left standing between 10.0° and 20.0° from rest A: nothing pushes it "
        "home there."
    )
    assert not good


def findings(result: Analysis) -> Findings:
    return Findings(
        result.readings, result.hang_zones, result.springs, result.limits, result.design
    )


def test_a_lever_that_leaves_its_rest_is_told() -> None:
    # One spring pulls the lever upright: both rests push it off.
    design = lever(
        {"grip": (0.0, 120.0), "arm": (0.0, 60.0)}, {"post": (0.0, 100.0)}, "grip", 120, 60
    )
    design = replace(design, springs=(ExtensionSpring("pull", "post", "arm", 1.0, 20.0),))
    result = analyse(design)
    push = -result.readings["holding_force_a"].value
    assert result.verdict == (
        f"The lever is not held: it leaves rest A by itself, with {push:.1f} N at the grip and "
        f"it leaves rest B by itself, with {push:.1f} N at the grip."
    )


def test_a_rest_kept_by_friction_alone_is_told() -> None:
    # 50 N·mm drive the lever to A against 200 N·mm of drag.
    design = replace(
        BLANK,
        pivots=(Pivot("pivot", friction=0.0, drag=200.0),),
        loads=(Torque("m", "lever", 50.0),),
    )
    assert analyse(design).verdict == "The lever is not held: only friction keeps it at rest B."


def test_a_bare_lever_is_kept_nowhere() -> None:
    assert analyse(BLANK).verdict == (
        "The lever is not held: nothing keeps it at rest A and nothing keeps it at rest B."
    )


@pytest.mark.parametrize(
    ("limits", "ending"),
    [
        ((Limit("throw", at_least=90.0),), "1 of 1 limit fails."),
        (
            (Limit("throw", at_least=90.0), Limit("holding_force", at_least=1.0)),
            "1 of 2 limits fails.",
        ),
        (
            (Limit("throw", at_least=90.0), Limit("holding_force", at_least=99.0)),
            "2 of 2 limits fail.",
        ),
    ],
)
def test_failing_limits_are_counted(limits: tuple[Limit, ...], ending: str) -> None:
    result = analyse(replace(COMPRESSION, limits=limits))
    assert result.verdict.endswith(ending)
    assert not result.good


def test_limit_sentences_say_by_how_much_and_which_way() -> None:
    reading = analyse(COMPRESSION).readings["throw"]
    assert reading.value == pytest.approx(48.0)
    display = Display()
    assert limit_sentence(Limit("throw", at_least=50.0), reading, display) == (
        False,
        "Throw is 48.0°, 2.00° below the least allowed 50.0°: raise it.",
    )
    low = limit_sentence(Limit("throw", at_most=45.0), reading, display)
    assert not low[0]
    assert "above the most allowed" in low[1]
    assert low[1].endswith("lower it.")
    holds, sentence = limit_sentence(Limit("throw", 40.0, 49.0), reading, display)
    assert holds
    assert sentence.endswith("to spare.")
    assert "1.0" in sentence
    missing = replace(reading, value=math.nan)
    assert limit_sentence(Limit("throw", at_least=1.0), missing, display) == (
        False,
        "Throw: this linkage has none, so the limit cannot hold.",
    )


def test_limits_speak_the_users_units() -> None:
    design = replace(COMPRESSION, limits=(Limit("holding_force", at_least=40.0),))
    (limit,) = analyse(design, display=Display(units="inch")).limits
    assert "lbf" in limit.sentence
    assert " N" not in limit.sentence


def test_notes_on_springs() -> None:
    (spring,) = COMPRESSION.springs
    assert isinstance(spring, CompressionSpring)
    short = analyse(with_spring(free_length=63.0)).notes
    assert any("Spring “main spring” lets go" in note for note in short)
    solid = analyse(with_spring(solid_length=58.0)).notes
    assert any("Spring “main spring” bottoms: it goes 2.0" in note for note in solid)
    rod = analyse(with_spring(rod=GuideRod(closed=40.0, reach=62.0))).notes
    assert any("guide rod of spring “main spring” comes out" in note for note in rod)
    extension = replace(LAYOUT["extension"].build(), limits=())
    (pull,) = extension.springs
    assert isinstance(pull, ExtensionSpring)
    over = analyse(replace(extension, springs=(replace(pull, longest=100.0),))).notes
    assert any("“main spring” is overstretched: it goes 10.0" in note for note in over)
    coil = TorsionSpring("coil", "pivot", "spring anchor", "grip", 20.0, 140.0, most_twist=30.0)
    wound = analyse(replace(COMPRESSION, springs=(*COMPRESSION.springs, coil))).notes
    assert any("“coil” is overwound" in note for note in wound)


def test_a_throw_the_other_way_reads_the_same() -> None:
    there, back = analyse(COMPRESSION), analyse(replace(COMPRESSION, stops=Stops(66.0, 114.0)))
    assert there.sense == -back.sense
    assert there.verdict == back.verdict
