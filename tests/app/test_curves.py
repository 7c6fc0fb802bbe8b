"""The curves: what they show of the analysis, and the cursor that is the lever."""

from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QPointF, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu

from app.curves import Curves
from app.curves.pane import Marks, Pane
from app.curves.scale import Scale, fitted, following, round_step, tick_text
from app.document import Document
from app.label_places import Label, arrange
from app.session import Session
from app.theme import DARK, LIGHT, theme_source
from solver import files
from solver.analysis import Analysis
from solver.edit import move_point
from solver.project import Display
from tests.app.leftovers import Keeper
from tests.app.projects_for_tests import impossible, project, session
from tests.app.waiting import Wait
from tests.example_files import EXAMPLES


def shown(keep: Keeper, made: Session, width: int = 640, height: int = 560) -> Curves:
    curves = keep(Curves(made))
    curves.resize(width, height)
    curves.show()
    QTest.qWaitForWindowExposed(curves)
    QApplication.processEvents()
    return curves


def analysis_of(made: Session) -> Analysis:
    assert made.analysis is not None
    return made.analysis


def place_on(curves: Curves, pane: Pane, travel: float, share: float = 0.5) -> QPoint:
    """Viewport pixels of a travel, at a share of the plot's height."""
    inside = QPointF(pane.across(travel), share * pane.rect.height())
    place: QPoint = curves._view.mapFromScene(pane.box.mapToScene(inside))
    return place


def texts(pane: Pane) -> list[str]:
    return [label.text for label in pane.labels.placed]


def readouts(curves: Curves) -> list[str]:
    return [heading.value for heading in curves._headings]


# ---- scales ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("span", "parts", "step"), [(10, 5, 2), (11, 5, 5), (0.9, 5, 0.2), (4400, 5, 1000), (50, 8, 10)]
)
def test_a_step_is_the_least_round_one(span: float, parts: int, step: float) -> None:
    assert round_step(span, parts) == pytest.approx(step)


spans = st.tuples(st.floats(-1e6, 1e6), st.floats(1e-3, 1e6)).map(lambda p: (p[0], p[0] + p[1]))


@given(spans)
def test_a_fitted_scale_holds_the_curve_and_is_kept_at_once(span: tuple[float, float]) -> None:
    scale = fitted(*span)
    assert scale.low <= span[0] < span[1] <= scale.high
    assert following(*span, scale) is scale
    assert len(scale.ticks()) >= 3


def test_a_scale_stays_until_the_curve_leaves_it_or_shrinks_far_inside() -> None:
    kept = Scale(0.0, 100.0, 20.0)
    assert following(1.0, 99.0, kept) is kept
    assert following(1.0, 60.0, kept) is kept
    assert following(1.0, 101.0, kept).high > 101.0
    assert following(1.0, 20.0, kept).high < 40.0


def test_tick_texts_have_the_decimals_of_the_step_and_a_real_minus() -> None:
    assert [tick_text(v, 0.5) for v in (-0.5, 0.0, 1.5)] == ["−0.5", "0", "1.5"]
    assert tick_text(-2000.0, 1000.0) == "−2000"


# ---- labels ------------------------------------------------------------------------------


def test_labels_neither_overlap_nor_leave_the_plot(qapp: QApplication) -> None:
    metrics, bounds = QFontMetricsF(QFont()), QRectF(0, 0, 300, 60)
    labels = [
        Label(text, QColor("black"), [QPointF(x, 0), QPointF(x, 20), QPointF(x, 40)])
        for text, x in (("rest A", -20.0), ("dead centre", 10.0), ("hang", 15.0), ("B", 500.0))
    ]
    rects = [placed.rect for placed in arrange(labels, bounds, metrics, lambda rect: False)]
    assert len(rects) == 4
    assert all(bounds.contains(rect) for rect in rects)
    assert not any(a.intersects(b) for i, a in enumerate(rects) for b in rects[:i])


def test_a_label_avoids_the_curve_or_shortens_or_goes(qapp: QApplication) -> None:
    metrics, bounds = QFontMetricsF(QFont()), QRectF(0, 0, 300, 60)
    ink, places = QColor("black"), [QPointF(0, 0), QPointF(0, 30)]
    upper = QRectF(0, 0, 300, 10)

    def found(label: Label) -> list[tuple[str, float]]:
        placed = arrange([label], bounds, metrics, lambda rect: rect.intersects(upper))
        return [(one.text, one.rect.top()) for one in placed]

    assert found(Label("name", ink, places)) == [("name", 30.0)]
    assert found(Label("name", ink, places[:1])) == [("name", 0.0)]
    assert found(Label("name", ink, places[:1], needed=False)) == []
    assert found(Label("a very long name" * 9, ink, places, short="short")) == [("short", 30.0)]


# ---- what is shown -----------------------------------------------------------------------


def test_plots_show_the_analysis(keep: Keeper) -> None:
    with_rod = session("rocker")
    curves, analysis = shown(keep, with_rod), analysis_of(with_rod)
    xs, ys = curves.energy.traces[0].xs, curves.energy.traces[0].ys
    assert np.array_equal(xs, analysis.travel)
    assert np.array_equal(ys, analysis.energy)
    to_b, to_a = (trace.ys for trace in curves.effort.traces)
    assert np.array_equal(to_b, analysis.effort_to_b)
    assert np.array_equal(to_a, analysis.effort_to_a)
    (zone,) = analysis.hang_zones
    assert curves.energy.marks.bands == curves.effort.marks.bands == ((zone.start, zone.end),)
    assert [mark.travel for mark in curves.energy.marks.lines] == [
        *(0.0, analysis.throw, analysis.dead_centre)
    ]
    assert len({mark.style for mark in curves.energy.marks.lines}) == 3
    assert curves.effort.marks.arrows == ((analysis.commit_from_a, 1), (analysis.commit_from_b, -1))


def test_rests_dead_centre_hang_zone_wells_and_curves_are_labelled(keep: Keeper) -> None:
    with_rod = session("rocker")
    curves, analysis = shown(keep, with_rod), analysis_of(with_rod)
    energy, effort = " | ".join(texts(curves.energy)), " | ".join(texts(curves.effort))
    assert analysis.dead_centre is not None
    for part in ("rest A", "rest B", f"dead centre {analysis.dead_centre:.1f}°", "hang zone"):
        assert part in energy
    assert energy.count(" deep") == 2
    peak = analysis.readings["peak_effort_to_b"].value
    assert f"A → B, peak {peak:.2f} N" in effort
    assert "B → A, peak" in effort
    assert "commit point from A" in effort
    assert "commit point from B" in effort


@pytest.mark.parametrize("width", [260, 384, 900])
@pytest.mark.parametrize("key", ["compression", "extension", "rocker", "knee", "blank"])
def test_labels_keep_apart_at_every_width(keep: Keeper, key: str, width: int) -> None:
    curves = shown(keep, session(key), width, 420)
    for pane in (curves.energy, curves.effort):
        rects = [label.rect for label in pane.labels.placed]
        assert len(rects) >= 2
        assert all(pane.rect.contains(rect) for rect in rects)
        assert not any(a.intersects(b) for i, a in enumerate(rects) for b in rects[:i])


def test_every_step_of_the_scales_has_its_number_beside_the_plot(keep: Keeper) -> None:
    curves = shown(keep, session("rocker"))
    for axis, scale in (
        (curves.energy.axis, curves.energy.y),
        (curves.effort.axis, curves.effort.y),
        (curves._travel_axis, curves.effort.x),
    ):
        assert axis.texts == [tick_text(tick, scale.step) for tick in scale.ticks()]
        assert len(axis.texts) >= 4


@pytest.mark.parametrize("height", [190, 205, 220])
def test_a_low_plot_has_numbers_at_every_second_step_or_fewer(keep: Keeper, height: int) -> None:
    curves = shown(keep, session("rocker"), 300, height)
    pane = curves.energy
    shown_at = [round(place.y()) for place, _ in pane.axis._texts]
    gaps = {round(float(gap)) for gap in np.diff(sorted(shown_at))}
    assert min(gaps) >= round(pane.axis._metrics.height())
    assert max(gaps) - min(gaps) <= 1
    assert "0" in pane.axis.texts
    assert len(pane.axis.texts) < len(pane.y.ticks())


def test_the_numbers_stand_at_their_lines(keep: Keeper) -> None:
    curves = shown(keep, session("rocker"))
    pane, axis = curves.energy, curves.energy.axis
    middles = [place.y() + axis._metrics.height() / 2.0 for place, _ in axis._texts]
    assert [pane.down(tick) for tick in pane.y.ticks()] == pytest.approx(middles, abs=1.0)


def test_both_plots_share_the_travel_axis(keep: Keeper) -> None:
    curves = shown(keep, session())
    for travel in (0.0, 20.0, 50.0):
        above = place_on(curves, curves.energy, travel).x()
        assert above == place_on(curves, curves.effort, travel).x()


def test_a_curve_with_a_gap_is_drawn_on_both_sides_of_it(keep: Keeper) -> None:
    curves = shown(keep, session())
    pane = curves.energy
    pane.set_marks(Marks())
    span = np.linspace(pane.x.low, pane.x.high, 301)
    level = np.full(301, 0.6 * pane.y.high + 0.4 * pane.y.low)
    level[100:200] = np.nan
    pane.set_curves(span, [level])

    def inked(travel: float) -> bool:
        image = curves.grab().toImage()
        at = place_on(curves, pane, travel, pane.down(level[0]) / pane.rect.height())
        return min(image.pixelColor(at.x(), at.y() + off).lightness() for off in (-1, 0, 1)) < 120

    shares = (0.1, 0.52, 0.9)
    assert [inked(pane.x.low + share * (pane.x.high - pane.x.low)) for share in shares] == [
        *(True, False, True)
    ]


def test_an_edit_redraws_the_curves(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    curves = shown(keep, made)
    before = curves.energy.traces[0].ys.copy()
    with wait.for_signal(made.updated):
        made.document.preview(move_point(made.document.design, "spring anchor", 3.0, -95.0))
    after = curves.energy.traces[0].ys
    assert np.array_equal(after, analysis_of(made).energy)
    assert not np.allclose(after, before)


def test_a_small_drag_leaves_the_scales_alone(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    curves = shown(keep, made)
    scales = {(curves.energy.y, curves.effort.y)}
    for step in range(6):
        with wait.for_signal(made.updated):
            place = (0.2 + 0.2 * step, -92.0)
            made.document.preview(move_point(made.document.design, "spring anchor", *place))
        scales.add((curves.energy.y, curves.effort.y))
    assert len(scales) == 1


def test_inches_change_numbers_and_names(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    curves, analysis = shown(keep, made), analysis_of(made)
    peak = float(curves.effort.traces[0].ys.max())
    with wait.for_signal(made.updated):
        value = made.document.project
        inch = type(value)(value.title, value.variants, value.current, Display(units="inch"))
        made.document.apply_project(inch, "Units")
    in_pounds = float(curves.effort.traces[0].ys.max())
    assert in_pounds == pytest.approx(peak / 4.4482216, rel=1e-6)
    assert [heading.unit for heading in curves._headings] == [
        *("in·lbf", "lbf at the grip", "° from rest A")
    ]
    assert "lbf" in readouts(curves)[1]
    assert analysis.travel[-1] == pytest.approx(curves.energy.traces[0].xs[-1])


def test_a_design_that_cannot_be_solved_keeps_the_last_curves_and_says_so(
    keep: Keeper, wait: Wait
) -> None:
    made = session()
    curves = shown(keep, made)
    before = curves.energy.traces[0].ys.copy()
    with wait.for_signal(made.calm.settled):
        made.document.preview(impossible(made.document.design))
    assert np.array_equal(curves.energy.traces[0].ys, before)
    assert "last design" in curves._headings[0].note
    with wait.for_signal(made.updated):
        made.document.cancel()
    assert curves._headings[0].note == ""


def test_nothing_solved_yet_is_said_in_words(keep: Keeper, wait: Wait) -> None:
    made = session()
    with wait.for_signal(made.updated):
        broken = project().with_design(impossible(project().design))
        made.document.new(broken)
    curves = shown(keep, made)
    assert "nothing to plot" in curves.energy.labels.message
    assert not curves.energy.cursor.isVisible()
    with wait.for_signal(made.updated):
        made.document.new(project())
    assert curves.energy.labels.message == ""
    assert curves.energy.cursor.isVisible()


def test_hidden_curves_catch_up_when_shown(keep: Keeper, wait: Wait) -> None:
    made = session("compression")
    curves = shown(keep, made)
    curves.hide()
    before = curves.energy.traces[0].ys.copy()
    with wait.for_signal(made.updated):
        made.document.apply(move_point(made.document.design, "spring anchor", 4.0, -95.0), "Move")
    assert np.array_equal(curves.energy.traces[0].ys, before)
    curves.show()
    assert np.array_equal(curves.energy.traces[0].ys, analysis_of(made).energy)


def test_the_theme_switches_at_once(keep: Keeper) -> None:
    curves = shown(keep, session())
    corner = curves.rect().bottomLeft() + QPoint(2, -2)
    for choice, theme in (("dark", DARK), ("light", LIGHT)):
        theme_source.choose("dark" if choice == "dark" else "light")
        QApplication.processEvents()
        assert curves.grab().toImage().pixelColor(corner) == theme.paper
    assert curves.energy.theme is LIGHT


# ---- the cursor --------------------------------------------------------------------------


def test_pressing_in_either_plot_moves_the_lever_there(keep: Keeper) -> None:
    made = session("compression")
    curves = shown(keep, made)
    for pane, travel in ((curves.energy, 10.0), (curves.effort, 31.0)):
        QTest.mouseClick(
            *(curves._view.viewport(), Qt.MouseButton.LeftButton),
            pos=place_on(curves, pane, travel),
        )
        assert made.travel() == pytest.approx(travel, abs=0.1)


def test_dragging_scrubs_and_stops_at_the_rests(keep: Keeper) -> None:
    made = session("compression")
    curves, analysis = shown(keep, made), analysis_of(made)
    view = curves._view.viewport()
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=place_on(curves, curves.energy, 5.0))
    for travel in (12.0, 20.0):
        QTest.mouseMove(view, place_on(curves, curves.energy, travel))
        assert made.travel() == pytest.approx(travel, abs=0.1)
    beyond = QPoint(curves._view.width() + 40, place_on(curves, curves.energy, 0.0).y())
    QTest.mouseMove(view, beyond)
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=beyond)
    assert made.travel() == pytest.approx(analysis.throw)


def test_the_cursor_follows_the_lever_and_reads_the_curves(keep: Keeper) -> None:
    made = session("compression")
    curves, analysis = shown(keep, made), analysis_of(made)
    made.set_travel(12.0)
    for pane in (curves.energy, curves.effort):
        assert pane.cursor.pos().x() == pytest.approx(pane.across(12.0))
    energy = float(np.interp(12.0, analysis.travel, analysis.energy))
    grip = float(np.interp(12.0, analysis.travel, analysis.grip_travel))
    assert readouts(curves)[0] == f"{energy:.1f} mJ"
    assert readouts(curves)[2] == f"12.0° = {grip:.1f} mm at the grip"
    made.set_travel(0.0)
    assert readouts(curves)[2].startswith("rest A, ")
    assert readouts(curves)[0] in curves.accessibleDescription()


def test_the_cursor_stays_on_the_curves_when_the_window_changes_its_size(
    keep: Keeper, wait: Wait
) -> None:
    made = session("compression")
    curves = shown(keep, made)
    made.set_travel(9.0)
    before = list(curves.effort.cursor.dots)
    curves.resize(420, 400)
    wait.until(lambda: curves.effort.cursor.dots != before)
    analysis = analysis_of(made)
    level = float(np.interp(9.0, analysis.travel, analysis.effort_to_b))
    for pane in (curves.energy, curves.effort):
        assert pane.cursor.pos().x() == pytest.approx(pane.across(9.0))
    assert curves.effort.cursor.dots[0] == pytest.approx(curves.effort.down(level), abs=0.05)


def test_keys_move_the_lever(keep: Keeper) -> None:
    made = session("compression")
    curves, analysis = shown(keep, made), analysis_of(made)
    for key, modifiers, travel in (
        (Qt.Key.Key_Home, Qt.KeyboardModifier.NoModifier, 0.0),
        (Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier, 10.0),
        (Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier, 11.0),
        (Qt.Key.Key_Left, Qt.KeyboardModifier.ControlModifier, 10.9),
        (Qt.Key.Key_End, Qt.KeyboardModifier.NoModifier, analysis.throw),
    ):
        QTest.keyClick(curves, key, modifiers)
        assert made.travel() == pytest.approx(travel)


def test_the_plots_have_no_menu_and_do_not_zoom(keep: Keeper) -> None:
    curves = shown(keep, session())
    view = curves._view.viewport()
    ranges = curves.energy.box.viewRange(), curves.effort.box.viewRange()
    place = place_on(curves, curves.effort, 20.0)
    QTest.mouseClick(view, Qt.MouseButton.RightButton, pos=place)
    QTest.mousePress(view, Qt.MouseButton.RightButton, pos=place)
    QTest.mouseMove(view, place + QPoint(40, 30))
    QTest.mouseRelease(view, Qt.MouseButton.RightButton, pos=place + QPoint(40, 30))
    turn = QWheelEvent(
        *(QPointF(place), QPointF(view.mapToGlobal(place)), QPoint(), QPoint(0, 240)),
        *(Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier),
        *(Qt.ScrollPhase.NoScrollPhase, False),
    )
    QApplication.sendEvent(view, turn)
    QApplication.processEvents()
    assert not [menu for menu in QApplication.topLevelWidgets() if isinstance(menu, QMenu)]
    assert (curves.energy.box.viewRange(), curves.effort.box.viewRange()) == ranges


@pytest.mark.parametrize("number", [1, 2])
def test_a_narrow_plot_keeps_the_name_by_shortening_the_value(keep: Keeper, number: int) -> None:
    curves = shown(keep, session("rocker"), 270, 300)
    heading = curves._headings[number]
    place = curves._view.mapFromScene(heading.mapRectToScene(heading.boundingRect()))
    box = place.boundingRect().adjusted(curves._axis_width, 2, 0, -2)
    start = QRect(box.topLeft(), QSize(60, box.height()))
    with_value, whole = curves.grab(start).toImage(), curves.grab(box).toImage()
    heading.say("", "")
    heading.unit = ""
    assert curves.grab(start).toImage() == with_value
    assert curves.grab(box).toImage() != whole


# ---- at rest ------------------------------------------------------------------------------


def pictured(curves: Curves) -> list[object]:
    """The scales of both plots, and the words with their places."""
    panes = (curves.energy, curves.effort)
    return [(pane.y, [(each.text, each.rect) for each in pane.labels.placed]) for pane in panes]


def test_scales_and_words_follow_from_the_design_once_the_hand_rests(keep: Keeper) -> None:
    made = session()
    curves = shown(keep, made)
    before, document = pictured(curves), made.document
    spring = document.design.springs[0]
    for times in (4.0, 2.5):
        stronger = replace(spring, rate=times * spring.rate)
        document.preview(replace(document.design, springs=(stronger,)))
        QApplication.processEvents()
    dragged = curves.effort.y
    document.commit("Drag")
    QApplication.processEvents()
    after = pictured(curves)
    assert dragged.high > curves.effort.y.high  # wide enough for what the drag went through
    other = shown(keep, Session(Document(document.project)))
    assert pictured(other) == after
    document.undo()
    QApplication.processEvents()
    assert pictured(curves) == before


def test_lines_are_as_wide_on_a_screen_of_fine_pixels(keep: Keeper) -> None:
    def widths(curves: Curves) -> set[float]:
        panes = (curves.energy, curves.effort)
        return {trace.pen.widthF() for pane in panes for trace in pane.traces} | {
            pane.line(LIGHT.ink).widthF() for pane in panes
        }

    assert widths(shown(keep, session())) == {1.0}
    assert widths(fine(keep, session())) == {2.0}


class Fine(Curves):
    """Curves on a screen with two device pixels per pixel."""

    def devicePixelRatioF(self) -> float:
        return 2.0


def fine(keep: Keeper, made: Session) -> Curves:
    curves = keep(Fine(made))
    curves.resize(640, 560)
    curves.show()
    QApplication.processEvents()
    return curves


def test_broad_lines_are_smooth_again_once_the_hand_rests(keep: Keeper) -> None:
    made = session()
    curves = fine(keep, made)

    def smooth() -> list[tuple[bool, int]]:
        return [(trace.smooth, len(trace.xs)) for trace in curves.effort.traces]

    before = smooth()
    assert all(antialias for antialias, _ in before)
    spring = made.document.design.springs[0]
    stronger = replace(spring, rate=2.0 * spring.rate)
    made.document.preview(replace(made.document.design, springs=(stronger,)))
    QApplication.processEvents()
    assert not any(antialias for antialias, _ in smooth())
    made.document.commit("Drag")
    QApplication.processEvents()
    assert smooth() == before


def test_labels_of_one_kin_are_all_in_full_or_all_short(qapp: QApplication) -> None:
    metrics, ink = QFontMetricsF(QFont()), QColor("black")
    wide = metrics.horizontalAdvance("commit point from A")
    labels = [
        Label(f"commit point from {rest}", ink, [QPointF(0, y)], needed=False, short="commit",
              kin="commit")
        for rest, y in (("A", 0), ("B", 60))
    ]  # fmt: skip

    def said(covers: QRectF) -> list[str]:
        placed = arrange(labels, QRectF(0, 0, 400, 120), metrics, covers.intersects)
        return [each.text for each in placed]

    assert said(QRectF(390, 0, 1, 1)) == ["commit point from A", "commit point from B"]
    assert said(QRectF(wide - 5, 60, 10, 20)) == ["commit", "commit"]


def test_a_label_goes_off_the_bands_where_it_can(qapp: QApplication) -> None:
    metrics, ink = QFontMetricsF(QFont()), QColor("black")
    band = QRectF(0, 0, 40, 200)
    places = [QPointF(10, 0), QPointF(60, 50)]
    for clear, left in ((False, 10.0), (True, 60.0)):
        (label,) = arrange([Label("peak", ink, places, clear=clear)], QRectF(0, 0, 300, 200),
                           metrics, lambda rect: False, band.intersects)  # fmt: skip
        assert label.rect.left() == left
    (only,) = arrange([Label("peak", ink, places[:1], clear=True)], QRectF(0, 0, 300, 200),
                      metrics, lambda rect: False, band.intersects)  # fmt: skip
    assert only.rect.left() == 10.0


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("size", [(320, 300), (520, 420)])
def test_words_in_the_plots_of_every_example_keep_off_each_other(
    path: Path, size: tuple[int, int], keep: Keeper
) -> None:
    curves = shown(keep, Session(Document(files.load(path))), *size)
    for pane in (curves.energy, curves.effort):
        rects = [each.rect for each in pane.labels.placed]
        assert not any(one.intersects(other) for one, other in combinations(rects, 2))
    commits = {text for text in texts(curves.effort) if text.startswith("commit")}
    assert commits in ({"commit"}, {"commit point from A", "commit point from B"})
    assert curves.effort.cursor.zValue() < curves.effort.labels.zValue()
