"""The spring gauge: what each bar says, and that it can be read."""

from collections.abc import Callable
from dataclasses import replace
from itertools import groupby, pairwise

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.document import Document
from app.gauge import SpringGauge
from app.session import Ref, Session
from app.spring_bars import Bar, bars, described
from app.theme import theme_source
from solver.analysis import Analysis, analyse
from solver.edit import move_point
from solver.model import CompressionSpring, Design, ExtensionSpring, Spring, TorsionSpring
from solver.project import Display, Project, Variant
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import layout, session
from tests.app.waiting import Wait

METRIC = Display()


def with_springs(*springs: Spring) -> Design:
    return replace(layout("compression"), springs=springs, limits=())


def main_spring(**changes: object) -> CompressionSpring:
    (spring,) = layout("compression").springs
    assert isinstance(spring, CompressionSpring)
    return replace(spring, **changes)  # type: ignore[arg-type]  # names given by the tests


def bar_of(spring: Spring) -> tuple[Bar, Analysis]:
    analysis = analyse(with_springs(spring))
    (bar,) = bars(analysis, METRIC)
    return bar, analysis


def made(*springs: Spring) -> Session:
    document = Document(Project("Gate", (Variant("first", with_springs(*springs)),)))
    session = Session(document)
    document.setParent(session)
    return session


def shown(keep: Keeper, session: Session, width: int = 340, height: int = 300) -> SpringGauge:
    gauge = keep(SpringGauge(session))
    gauge.resize(width, height)
    gauge.show()
    QTest.qWaitForWindowExposed(gauge)
    QApplication.processEvents()
    return gauge


def pixels(gauge: SpringGauge, colour: QColor) -> int:
    image = gauge.grab().toImage()
    return sum(
        image.pixelColor(x, y) == colour
        for y in range(image.height())
        for x in range(image.width())
    )


# ---- what a bar says ---------------------------------------------------------------------


def test_a_compression_spring_runs_from_where_it_bottoms_to_free() -> None:
    bar, analysis = bar_of(main_spring())
    (work,) = analysis.springs
    assert (bar.left, bar.right) == (48.0, 82.0)
    assert (bar.low, bar.high) == (work.shortest, work.longest)
    assert bar.extent() == (48.0, 82.0)
    assert [(margin.end, margin.text) for margin in bar.margins] == [
        ("left", f"bottoming margin {work.shortest - 48:.1f} mm"),
        ("right", f"slack margin {82 - work.longest:.1f} mm"),
    ]
    assert all(margin.holds for margin in bar.margins)


def texts(spring: Spring) -> list[tuple[str, bool, str]]:
    bar, _ = bar_of(spring)
    return [(margin.end, margin.holds, margin.text) for margin in bar.margins]


def pull(**changes: object) -> ExtensionSpring:
    spring = ExtensionSpring("pull", "grip", "spring anchor", 1.0, 210.0, longest=240.0)
    return replace(spring, **changes)  # type: ignore[arg-type]  # names given by the tests


def twist(**changes: object) -> TorsionSpring:
    spring = TorsionSpring("twist", "pivot", "grip", "spring anchor", 5.0, -120.0)
    return replace(spring, **changes)  # type: ignore[arg-type]  # names given by the tests


# The layout is symmetric: dead centre is upright, where the spring is shortest; both rests are
# 24° away. At a rest the foot is 64.14 mm from the anchor, at dead centre 60 mm; grip to anchor
# is 227.1 mm at a rest, 232 mm upright. Twist is the lever's ±24° away from upright.
@pytest.mark.parametrize(
    ("spring", "said"),
    [
        (
            main_spring(free_length=62.0),
            ("right", False, "lets go: 2.1 mm past its free length at rest A"),
        ),
        (
            main_spring(free_length=62.0, captive=True),
            ("right", False, "2.1 mm past its free length at rest A, where it pulls"),
        ),
        (
            main_spring(solid_length=57.0),
            ("left", False, "would bottom: 1.0 mm too far at dead centre"),
        ),
        (pull(), ("left", True, "slack margin 17.1 mm")),
        (pull(), ("right", True, "overstretch margin 8.0 mm")),
        (
            pull(free_length=229.0),
            ("left", False, "lets go: 1.9 mm past its free length at rest A"),
        ),
        (
            pull(longest=231.0),
            ("right", False, "would be stretched 1.0 mm too far at dead centre"),
        ),
        (twist(most_twist=90.0), ("right", True, "overwinding margin 6.00°")),
        (twist(most_twist=80.0), ("right", False, "would be wound 4.00° too far at rest A")),
        (twist(free_angle=-170.0), ("left", False, "passes its free angle by 14.0° at rest B")),
    ],
)
def test_margins_say_how_much_and_where(spring: Spring, said: tuple[str, bool, str]) -> None:
    assert said in texts(spring)


def test_a_limit_that_was_not_given_leaves_the_end_open() -> None:
    bar, analysis = bar_of(pull(longest=None))
    assert bar.right is None
    assert bar.right_text == "longest not given"
    assert [margin.end for margin in bar.margins] == ["left"]
    assert bar.extent()[1] > analysis.springs[0].longest


def test_a_spring_that_winds_the_other_way_is_drawn_the_same_way_round() -> None:
    one, other = bar_of(twist())[0], bar_of(twist(free_angle=-240.0))[0]
    assert one.sign == -other.sign
    assert 0 < one.low < one.high
    assert (one.low, one.high) == pytest.approx((other.low, other.high))


def test_a_bar_is_described_in_words() -> None:
    bar, _ = bar_of(main_spring())
    words = described(bar, METRIC)
    assert words.startswith("main spring, compression spring: works from 60.0 mm to 64.1 mm.")
    assert "bottoming margin 12.0 mm; slack margin 17.9 mm." in words


# ---- the widget --------------------------------------------------------------------------


def test_only_what_goes_wrong_is_drawn_in_the_bad_colour(keep: Keeper) -> None:
    theme_source.choose("light")
    bad = theme_source.theme.bad
    assert pixels(shown(keep, made(main_spring())), bad) == 0
    assert pixels(shown(keep, made(main_spring(free_length=62.0))), bad) > 60


def test_the_pointer_follows_the_lever(keep: Keeper) -> None:
    theme_source.choose("light")
    moving = made(main_spring())
    gauge = shown(keep, moving)

    def pointer() -> float:
        image, colour = gauge.grab().toImage(), theme_source.theme.selection
        found = [
            x
            for x in range(image.width())
            for y in range(image.height())
            if image.pixelColor(x, y) == colour
        ]
        return sum(found) / len(found)

    moving.set_travel(0.0)
    at_rest = pointer()
    moving.set_travel(24.0)
    assert pointer() < at_rest - 10


def test_an_edit_shows_at_once(keep: Keeper, wait: Wait) -> None:
    editing = session("compression")
    gauge = shown(keep, editing)
    before = gauge.sheet.accessibleDescription()
    with wait.for_signal(editing.calm.settled):
        editing.document.preview(move_point(editing.document.design, "spring anchor", 0.0, -95.0))
    after = gauge.sheet.accessibleDescription()
    assert after != before
    assert "slack margin" in after


LONG = "helper spring at the foot of the lever"


@pytest.mark.parametrize("width", [300, 340, 420])
@pytest.mark.parametrize(
    "change", [dict, lambda: {"free_length": 62.0}, lambda: {"solid_length": 62.0}]
)
def test_no_line_is_wider_than_the_gauge(
    keep: Keeper, width: int, change: Callable[[], dict[str, object]]
) -> None:
    gauge = shown(keep, made(main_spring(name=LONG, **change()), pull(), twist()), width, 500)
    metrics, room = QFontMetricsF(gauge.sheet.font()), gauge.sheet.width() - 24
    for row in gauge.sheet._rows:
        for line in row.lines:
            gap = 12 if line.left and line.right else 0
            taken = metrics.horizontalAdvance(line.left) + metrics.horizontalAdvance(line.right)
            assert taken + gap <= room


@pytest.mark.parametrize("ratio", [1, 2])
def test_lines_are_as_thick_on_every_screen(keep: Keeper, ratio: int) -> None:
    sheet = shown(keep, made(main_spring())).sheet
    image = QImage(sheet.size() * ratio, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(ratio)
    image.fill(Qt.GlobalColor.white)
    sheet.render(image)
    edge = theme_source.theme.plate_edge.rgb()
    # Down through the bar near its left end: its upper edge, its ground, its lower edge.
    column = [image.pixel(18 * ratio, y) for y in range(image.height())]
    runs = [len(list(run)) for colour, run in groupby(column) if colour == edge]
    assert runs == [ratio, ratio]


def test_many_springs_scroll(keep: Keeper) -> None:
    springs = [main_spring(name=f"spring {number}", rate=0.4) for number in range(6)]
    gauge = shown(keep, made(*springs), 340, 260)
    assert gauge.sheet.height() > gauge.viewport().height()
    assert gauge.verticalScrollBar().maximum() > 0
    rows = gauge.sheet._rows
    assert len(rows) == 6
    assert all(a.top + a.height < b.top for a, b in pairwise(rows))


@pytest.mark.parametrize("width", [240, 380])
def test_at_its_least_height_a_spring_is_seen_wholly(keep: Keeper, width: int) -> None:
    gauge = shown(keep, made(main_spring()), width, 100)
    gauge.resize(width, gauge.minimumSizeHint().height())
    QApplication.processEvents()
    assert gauge.sheet.height() <= gauge.viewport().height()
    assert gauge.verticalScrollBar().maximum() == 0


def test_pressing_a_bar_selects_its_spring(keep: Keeper) -> None:
    pressed = made(main_spring(), pull())
    gauge = shown(keep, pressed, 340, 300)
    second = gauge.sheet._rows[1]
    place = QPoint(40, round(second.top + second.height / 2))
    QTest.mouseClick(gauge.sheet, Qt.MouseButton.LeftButton, pos=place)
    assert pressed.selection == (Ref("spring", "pull"),)


def test_no_springs_is_said(keep: Keeper) -> None:
    gauge = shown(keep, session("blank"))
    assert gauge.sheet.accessibleDescription() == "This design has no springs."


def test_a_hidden_gauge_catches_up(keep: Keeper, wait: Wait) -> None:
    hidden = session("compression")
    gauge = shown(keep, hidden)
    gauge.hide()
    before = gauge.sheet.accessibleDescription()
    with wait.for_signal(hidden.updated):
        hidden.document.apply(move_point(hidden.document.design, "spring anchor", 0, -95), "Move")
    assert gauge.sheet.accessibleDescription() == before
    gauge.show()
    assert gauge.sheet.accessibleDescription() != before
