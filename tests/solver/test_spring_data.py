"""What is known of a spring as a thing to buy, and remarks where it does not agree."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.analysis import analyse
from solver.layouts import LAYOUTS
from solver.model import CompressionSpring, ExtensionSpring, Spring, TorsionSpring
from solver.project import Display
from solver.spring_data import (
    inside_diameter,
    mean_diameter,
    missing,
    not_given_words,
    size_words,
    spring_remarks,
    steel_rates,
    to_buy,
    trim_length,
    working_coils,
)

METRIC, INCH = Display(), Display("inch")
# R = 81 500 · 1.2⁴ / (8 · 10.8³ · 7) = 2.3956 N/mm, L_c = 10.8 mm ground, 12.6 mm unground.
PUSH = CompressionSpring(
    "push", "a", "b", 2.4, 80.0, 11.0, wire=1.2, outside_diameter=12.0, coils=9.0
)
# R = 81 500 · 1.3⁴ / (8 · 10.7³ · 31.5) = 0.7540 N/mm: all coils of the body work.
PULL = ExtensionSpring(
    "pull", "a", "b", 0.75, 60.4, 6.0, wire=1.3, outside_diameter=12.0, coils=31.5
)
# R = 206 000 · 2⁴ / (3666.9 · 12.5 · 4.5) = 15.98 N·mm/°.
TWIST = TorsionSpring(
    "twist", "o", "a", "b", 16.0, 110.0, wire=2.0, outside_diameter=14.5, coils=4.5
)


def test_what_agrees_needs_no_remark() -> None:
    for spring in (PUSH, PULL, TWIST):
        assert spring_remarks(spring, METRIC) == ()


def test_what_is_not_known_needs_no_remark() -> None:
    wrong = replace(PUSH, rate=30.0, solid_length=40.0)
    for unknown in ("wire", "outside_diameter"):
        told = spring_remarks(replace(wrong, **{unknown: None}), METRIC)  # type: ignore[arg-type]
        assert not any("the rate typed" in sentence for sentence in told)
    assert spring_remarks(replace(wrong, coils=None), METRIC) == ()


@pytest.mark.parametrize(
    ("spring", "display", "sentence"),
    [
        (
            replace(PUSH, rate=3.52),
            METRIC,
            "Spring “push”: with 1.2 mm wire, 12 mm outside and 7 of 9 coils working a steel "
            "spring has about 2.396 N/mm; the rate typed is 3.520 N/mm: check them.",
        ),
        (
            replace(PUSH, rate=3.52),
            INCH,
            "Spring “push”: with 0.0472 in wire, 0.472 in outside and 7 of 9 coils working a "
            "steel spring has about 13.68 lbf/in; the rate typed is 20.10 lbf/in: check them.",
        ),
        (
            replace(PULL, rate=0.5),
            METRIC,
            "Spring “pull”: with 1.3 mm wire, 12 mm outside and 31.5 coils a steel spring has "
            "about 0.754 N/mm; the rate typed is 0.500 N/mm: check them.",
        ),
        (
            replace(TWIST, rate=20.0),
            METRIC,
            "Spring “twist”: with 2 mm wire, 14.5 mm outside and 4.5 coils a steel spring has "
            "about 15.98 N·mm/°; the rate typed is 20.00 N·mm/°: check them.",
        ),
        (
            replace(PUSH, solid_length=19.8),
            METRIC,
            "Spring “push”: 9 coils of 1.2 mm wire close solid at 10.8 mm with ground ends, "
            "12.6 mm without; the solid length typed is 19.8 mm: check them.",
        ),
        (
            replace(PULL, outside_diameter=6.0, coils=None),
            METRIC,
            "Spring “pull”: its coils are 3.6 times as wide as its wire, in the mean; 4 to 20 "
            "times are usual (EN 15800): check wire and diameter.",
        ),
        (
            replace(PUSH, coils=2.0),
            METRIC,
            "Spring “push”: of 2 coils, with one closed at each end, none is left to work: give "
            "all coils, those at the ends too.",
        ),
    ],
)
def test_what_does_not_agree_is_told(spring: Spring, display: Display, sentence: str) -> None:
    assert spring_remarks(spring, display) == (sentence,)


def test_the_legs_of_a_torsion_spring_make_it_softer() -> None:
    """120 mm of legs count as 120 / (3 π · 12.5) = 1.0186 coils: 15.98 · 4.5 / 5.5186 = 13.03."""
    _, patented = steel_rates(TWIST, 120.0) or (0.0, 0.0)
    assert patented == pytest.approx(13.03, abs=0.005)
    assert spring_remarks(replace(TWIST, rate=13.0), METRIC, 120.0) == ()
    (sentence,) = spring_remarks(TWIST, METRIC, 120.0)
    assert sentence == (
        "Spring “twist”: with 2 mm wire, 14.5 mm outside and 4.5 coils and legs that bend over "
        "120.0 mm together a steel spring has about 13.03 N·mm/°; the rate typed is 16.00 N·mm/°: "
        "check them."
    )


def test_any_usual_steel_and_what_stock_is_off_by_are_let_pass() -> None:
    """73/81.5 of the rate for stainless; a tenth off either side."""
    stainless, patented = steel_rates(PUSH) or (0.0, 0.0)
    assert (stainless, patented) == pytest.approx((2.1458, 2.3956), rel=1e-4)
    for rate, passes in (
        (0.91 * stainless, True),
        (0.89 * stainless, False),
        (1.09 * patented, True),
        (1.11 * patented, False),
    ):
        assert (spring_remarks(replace(PUSH, rate=rate), METRIC) == ()) is passes


def test_a_solid_length_may_be_that_of_either_end_and_a_twentieth_off() -> None:
    for solid, passes in ((10.3, True), (10.2, False), (13.2, True), (13.3, False)):
        remarks = spring_remarks(replace(PUSH, solid_length=solid), METRIC)
        assert (remarks == ()) is passes


def test_index_bounds() -> None:
    for outside, passes in ((5.9, False), (6.1, True), (25.1, True), (25.3, False)):
        remarks = spring_remarks(replace(PUSH, outside_diameter=outside, coils=None), METRIC)
        assert (remarks == ()) is passes


def test_diameters_and_working_coils() -> None:
    assert mean_diameter(PUSH) == pytest.approx(10.8)
    assert inside_diameter(PUSH) == pytest.approx(9.6)
    assert [working_coils(spring) for spring in (PUSH, PULL, TWIST)] == [7.0, 31.5, 4.5]
    bare = replace(PUSH, wire=None, coils=None)
    assert (mean_diameter(bare), inside_diameter(bare), working_coils(bare)) == (None, None, None)
    assert steel_rates(bare) is None


def test_what_is_missing_in_words() -> None:
    assert missing(PUSH) == ()
    assert not_given_words(PUSH) == ""
    assert not_given_words(replace(PUSH, wire=None)) == "wire not given"
    assert not_given_words(replace(PUSH, wire=None, coils=None)) == "wire and coils not given"
    bare = replace(PUSH, wire=None, outside_diameter=None, coils=None)
    assert not_given_words(bare) == "wire, outside diameter and coils not given"


def test_sizes_as_one_orders_them() -> None:
    assert size_words(PUSH, METRIC) == "1.2 × 12 mm × 9 coils"
    assert size_words(replace(PUSH, coils=None), INCH) == "0.0472 × 0.472 in"
    assert size_words(replace(PUSH, wire=None), METRIC) == "outside 12 mm, 9 coils"
    assert size_words(replace(PUSH, outside_diameter=None), METRIC) == "wire 1.2 mm, 9 coils"
    assert trim_length(100.0, METRIC) == "100"


def test_what_to_ask_a_supplier_for() -> None:
    assert to_buy(PUSH, [METRIC]) == (
        "compression spring 1.2 × 12 mm × 9 coils, 2.400 N/mm, free length 80.0 mm"
    )
    assert to_buy(replace(PULL, order_note="drawer 4"), [INCH]) == (
        "extension spring 0.0512 × 0.472 in × 31.5 coils, 4.283 lbf/in, free length 2.378 in, "
        "initial tension 1.35 lbf, drawer 4"
    )
    assert to_buy(replace(TWIST, wire=None, coils=None), [METRIC]) == (
        "torsion spring, outside 14.5 mm, 16.00 N·mm/°, wire and coils not given"
    )
    assert to_buy(replace(TWIST, leg_length=65.0), [METRIC, INCH], ["left-hand coiled"]) == (
        "torsion spring 2 × 14.5 mm × 4.5 coils [0.0787 × 0.571 in × 4.5 coils], left-hand coiled, "
        "16.00 N·mm/° [0.1416 in·lbf/°], legs 65.0 mm [2.559 in] from the axis"
    )


def test_what_to_buy_is_told_in_both_units_where_both_are_wanted() -> None:
    assert to_buy(replace(PUSH, free_length=76.2), [METRIC, INCH]) == (
        "compression spring 1.2 × 12 mm × 9 coils [0.0472 × 0.472 in × 9 coils], "
        "2.400 N/mm [13.70 lbf/in], free length 76.2 mm [3.000 in]"
    )


def test_remarks_stand_under_the_verdict_and_leave_it_as_it_is() -> None:
    design = next(layout for layout in LAYOUTS if layout.key == "compression").build()
    before = analyse(design)
    (spring,) = design.springs
    odd = replace(spring, wire=1.2, outside_diameter=12.0, coils=40.0)
    after = analyse(replace(design, springs=(odd,)))
    assert [note for note in after.notes if note not in before.notes] == list(
        spring_remarks(odd, METRIC)
    )
    assert len(after.notes) > len(before.notes)
    assert (after.verdict, after.good) == (before.verdict, before.good)
    assert {key: r.value for key, r in after.readings.items()} == pytest.approx(
        {key: r.value for key, r in before.readings.items()}, rel=0.0, nan_ok=True
    )
