import contextlib
import subprocess
import sys
from itertools import product, starmap
from time import perf_counter
from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver import units
from solver.errors import UnitProblem
from solver.project import AngleFrom, Display, Units
from solver.units import Quantity

METRIC = Display("metric", "x")
INCH = Display("inch", "x")
UPRIGHT = Display("metric", "upright")
QUANTITIES: tuple[Quantity, ...] = get_args(Quantity)
DISPLAYS = tuple(starmap(Display, product(get_args(Units), get_args(AngleFrom))))

typed_anyhow = st.text(max_size=60) | st.text("0123456789 .,-+*/^'\"°eEmMinftNl()_", max_size=40)


@pytest.mark.parametrize(
    ("text", "quantity", "display", "value"),
    [
        ("12", "length", METRIC, 12.0),
        ("12", "length", INCH, 304.8),
        ("3/8 in", "length", METRIC, 9.525),
        ("1 3/8 in", "length", METRIC, 34.925),
        ("1 3/8", "length", INCH, 34.925),
        ("12 mm + 2", "length", METRIC, 14.0),
        ("12 mm + 2", "length", INCH, 62.8),
        ("1 in - 5.4", "length", METRIC, 20.0),
        ("-4,5", "length", METRIC, -4.5),
        ("−4.5 mm", "length", METRIC, -4.5),
        ("0,125 in", "length", METRIC, 3.175),
        ("1.5e2 um", "length", METRIC, 0.15),
        ("5' 3 1/2\"", "length", METRIC, 1612.9),
        ("-1 ft 1 in", "length", METRIC, -330.2),
        ("30", "angle", UPRIGHT, 30.0),
        ("1 turn", "angle", METRIC, 360.0),
        ("30' 36\"", "angle", METRIC, 0.51),
        ("10", "direction", METRIC, 10.0),
        ("10", "direction", UPRIGHT, 100.0),
        ("10° + 5", "direction", UPRIGHT, 105.0),
        ("1.2 lbf", "force", METRIC, 5.3378659383126),
        ("2 kgf", "force", METRIC, 19.6133),
        ("8 in-lbf", "torque", METRIC, 903.8786322208936),
        ("8 lbf in", "torque", METRIC, 903.8786322208936),
        ("2 N·m", "torque", METRIC, 2000.0),
        ("1 J", "energy", METRIC, 1000.0),
        ("10 lbf/in", "rate", METRIC, 1.7512683524647636),
        ("10", "rate", INCH, 1.7512683524647636),
        ("1 N*m/rad", "angular_rate", METRIC, 17.453292519943297),
        ("8 oz", "mass", METRIC, 0.226796185),
        ("15 %", "ratio", METRIC, 0.15),
        ("2/3", "ratio", METRIC, 2 / 3),
        ("3", "count", METRIC, 3.0),
        ("9.25", "coils", METRIC, 9.25),
        ("0.0625", "diameter", INCH, 1.5875),
        ("9.81 m/s²", "acceleration", METRIC, 9.81),
        ("32 ft/s^2", "acceleration", METRIC, 9.7536),
    ],
)
def test_reads_what_people_type(
    text: str, quantity: Quantity, display: Display, value: float
) -> None:
    assert units.read(text, quantity, display) == pytest.approx(value, rel=1e-11)


@pytest.mark.parametrize(
    ("text", "quantity", "words"),
    [
        ("", "length", "This field takes a length, such as 12 mm or 3/8 in."),
        ("3 N", "length", "takes a length, such as 12 mm or 3/8 in; “3 N” is a force."),
        ("5 lb", "force", "“5 lb” is a mass"),
        ("12 N·mm", "angular_rate", "“12 N·mm” is a torque"),
        ("3 mm + 2 kg", "length", "“+ 2 kg” is a mass"),
        ("3 deg", "ratio", "is an angle"),
        ("3 N/kg/kg", "length", "is something else"),
        ("3 furlong", "length", "the unit of “3 furlong” is not known"),
        ("2.5", "count", "is not whole"),
        ("1,234", "length", "two ways"),
        ("1,234.5", "length", "one decimal point"),
        ("1-3/8 in", "length", "a sum or a difference"),
        ("5 3 mm", "length", "plus or a minus between “5” and “3 mm”"),
        ("1/0", "length", "divides by zero"),
        ("nan", "length", "cannot be read"),
        ("inf mm", "length", "cannot be read"),
        ("1e300", "length", "too large"),
        ("1e9999 mm", "length", "too large"),
        ("-1e10", "force", "too large"),
        ("2 mm**9", "length", "cannot be read"),
        ("9**9**9", "length", "cannot be read"),
        ("(1+2) mm", "length", "cannot be read"),
        ("__import__('os')", "length", "cannot be read"),
        ("9" * 10_000, "length", "too long"),
    ],
)
def test_refuses_with_a_sentence(text: str, quantity: Quantity, words: str) -> None:
    with pytest.raises(UnitProblem) as refused:
        units.read(text, quantity, METRIC)
    sentence = str(refused.value)
    assert words in sentence
    assert sentence.endswith(".")


@given(typed_anyhow, st.sampled_from(QUANTITIES), st.sampled_from(DISPLAYS))
def test_any_text_is_a_bounded_number_or_a_unit_problem(
    text: str, quantity: Quantity, display: Display
) -> None:
    with contextlib.suppress(UnitProblem):
        assert abs(units.read(text, quantity, display)) <= units.LARGEST


@pytest.mark.parametrize(
    "text",
    ["1 " + "m " * 59, "1 m" + "*m" * 58, "1" * 120, "1 1/" * 30, "- " * 60, "1e" * 60, "'\"" * 60],
)
def test_hostile_text_costs_no_more_than_a_keystroke(text: str) -> None:
    units.read("1 mm", "length", METRIC)
    start = perf_counter()
    with pytest.raises(UnitProblem):
        units.read(text, "length", METRIC)
    # A hundred times what it takes, so that only runaway growth fails.
    assert perf_counter() - start < 0.5


@given(
    st.floats(-1e6, 1e6),
    st.sampled_from([q for q in QUANTITIES if q != "count"]),
    st.sampled_from(DISPLAYS),
)
def test_exact_text_reads_back_as_the_value(
    value: float, quantity: Quantity, display: Display
) -> None:
    step = 1.0 / units.factor(quantity, display)
    back = units.read(units.exact(value, quantity, display), quantity, display)
    # Six decimals on screen, then twelve digits of the number read back.
    room = 0.5e-6 * step + 1e-11 * abs(value)
    assert back == pytest.approx(value, rel=0.0, abs=room)


@given(st.floats(-1e6, 1e6), st.sampled_from(QUANTITIES), st.sampled_from(DISPLAYS))
def test_shown_text_is_the_number_with_its_unit(
    value: float, quantity: Quantity, display: Display
) -> None:
    number, unit = units.number(value, quantity, display), units.unit_of(quantity, display)
    assert units.show(value, quantity, display).split() in ([number, unit], [number + unit])
    assert "-" not in number
    shown = float(number.replace("−", "-"))
    assert shown == pytest.approx(units.displayed(value, quantity, display), abs=0.5)


@pytest.mark.parametrize(
    ("value", "quantity", "display", "text"),
    [
        (12.345, "length", METRIC, "12.3 mm"),
        (12.0, "length", METRIC, "12.0 mm"),
        (12.345, "length", INCH, "0.486 in"),
        (-0.01, "length", METRIC, "0.0 mm"),
        (-3.2, "force", METRIC, "−3.20 N"),
        (32.04, "force", METRIC, "32.0 N"),
        (100.0, "direction", UPRIGHT, "10.0°"),
        (100.0, "direction", METRIC, "100.0°"),
        (280.0, "direction", UPRIGHT, "190.0°"),
        (904.0, "energy", INCH, "8.001 in·lbf"),
        (0.15, "ratio", METRIC, "0.150"),
        (3.0, "count", METRIC, "3"),
        (9.25, "coils", METRIC, "9.25"),
        (0.85, "diameter", METRIC, "0.85 mm"),
        (15.6, "diameter", METRIC, "15.6 mm"),
        (0.85, "diameter", INCH, "0.0335 in"),
        (float("nan"), "length", METRIC, "–"),
        (float("-inf"), "force", METRIC, "−∞ N"),
    ],
)
def test_shows_as_many_digits_as_matter(
    value: float, quantity: Quantity, display: Display, text: str
) -> None:
    assert units.show(value, quantity, display) == text


def test_a_number_out_of_an_array_shows_as_any_other() -> None:
    value = np.array([2.5])[0]
    assert units.show(value, "length", METRIC) == units.show(2.5, "length", METRIC)
    assert units.exact(value, "length", METRIC) == units.exact(2.5, "length", METRIC)


def test_digits_can_be_asked_for() -> None:
    assert units.show(12.3456, "length", METRIC, digits=3) == "12.346 mm"


@pytest.mark.parametrize("quantity", QUANTITIES)
@pytest.mark.parametrize("display", DISPLAYS, ids=str)
def test_the_table_agrees_with_the_units_file(quantity: Quantity, display: Display) -> None:
    """The label on screen, typed back, is worth what the table says."""
    label = units.unit_of(quantity, display)
    one, none = (units.read(f"{n} {label}", quantity, display) for n in (1, 0))
    assert (one - none) * units.factor(quantity, display) == pytest.approx(1.0, rel=1e-11)
    assert none == (90.0 if (quantity, display.angle_from) == ("direction", "upright") else 0.0)


def test_showing_numbers_does_not_load_the_units_library() -> None:
    code = (
        "import sys; from solver import units; from solver.project import Display; "
        "units.show(1.0, 'length', Display()); print('pint' in sys.modules); "
        "units.read('1 mm', 'length', Display()); print('pint' in sys.modules)"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.split() == ["False", "True"]
