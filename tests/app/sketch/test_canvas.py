"""The canvas driven by real mouse and key events, looked at through document and pixels."""

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, QSize, Qt
from PySide6.QtGui import QColor, QImage, QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.session import Ref, Session
from app.sketch.canvas import SketchCanvas
from app.theme import DARK, LIGHT, current, theme_source
from solver.model import FRAME, Design, Link, Stops
from solver.project import Display, Project, Variant
from tests.app.leftovers import Keeper
from tests.app.sketch.board import design_of, session_of
from tests.app.sketch.painted import paint_picture
from tests.app.waiting import Wait

LEFT = Qt.MouseButton.LeftButton
NO_KEY = Qt.KeyboardModifier.NoModifier


@pytest.fixture
def session() -> Session:
    return session_of(design_of("compression"))


@pytest.fixture
def canvas(session: Session, keep: Keeper, wait: Wait) -> SketchCanvas:
    canvas = keep(SketchCanvas(session))
    canvas.resize(900, 700)
    canvas.show()
    wait.until(canvas.isVisible)
    return canvas


def pixel(canvas: SketchCanvas, point: str) -> QPointF:
    return canvas.to_pixel(canvas.session.places()[point])


def mouse(
    canvas: SketchCanvas,
    kind: QEvent.Type,
    at: QPointF,
    button: Qt.MouseButton = LEFT,
    keys: Qt.KeyboardModifier = NO_KEY,
) -> None:
    buttons = button if kind != QEvent.Type.MouseButtonRelease else Qt.MouseButton.NoButton
    press = Qt.MouseButton.NoButton if kind == QEvent.Type.MouseMove else button
    view = canvas.viewport()
    event = QMouseEvent(kind, at, view.mapToGlobal(at), press, buttons, keys)
    QApplication.sendEvent(view, event)


def drag(canvas: SketchCanvas, start: QPointF, by: QPointF, release: bool = True) -> None:
    mouse(canvas, QEvent.Type.MouseButtonPress, start)
    for step in range(1, 6):
        mouse(canvas, QEvent.Type.MouseMove, start + by * (step / 5.0))
        QApplication.processEvents()
    if release:
        mouse(canvas, QEvent.Type.MouseButtonRelease, start + by)


def test_a_mouse_drag_moves_the_point_by_as_many_mm_as_pixels_say(canvas: SketchCanvas) -> None:
    session = canvas.session
    x, y = session.places()["spring anchor"]
    scale = canvas.pixels_per_mm
    drag(canvas, pixel(canvas, "spring anchor"), QPointF(12.0 * scale, 9.0 * scale))
    point = session.document.design.point("spring anchor")
    assert (point.x, point.y) == (x + 12.0, y - 9.0)
    assert session.document.undo_stack.count() == 1


def test_escape_while_dragging_restores_the_document(canvas: SketchCanvas) -> None:
    document = canvas.session.document
    before = document.project
    drag(canvas, pixel(canvas, "lever foot"), QPointF(30.0, 10.0), release=False)
    assert document.project != before
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert document.project == before
    mouse(canvas, QEvent.Type.MouseButtonRelease, QPointF(400.0, 300.0))
    assert document.undo_stack.count() == 0


def test_places_and_pixels_are_each_others_way_back(canvas: SketchCanvas) -> None:
    canvas.zoom_at(QPointF(200.0, 100.0), 1.7)
    canvas.pan(33.0, -20.0)
    assert canvas.to_world(canvas.to_pixel((12.5, -7.25))) == pytest.approx((12.5, -7.25))
    up, here = canvas.to_pixel((0.0, 10.0)), canvas.to_pixel((0.0, 0.0))
    assert up.y() < here.y()


def test_the_wheel_zooms_at_the_cursor(canvas: SketchCanvas) -> None:
    at = QPointF(250.0, 180.0)
    before, scale = canvas.to_world(at), canvas.pixels_per_mm
    event = QWheelEvent(
        at,
        canvas.viewport().mapToGlobal(at),
        QPoint(),
        QPoint(0, 120),
        Qt.MouseButton.NoButton,
        NO_KEY,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(canvas.viewport(), event)
    assert canvas.pixels_per_mm == pytest.approx(1.25 * scale)
    # The view scrolls by whole pixels.
    assert canvas.to_world(at) == pytest.approx(before, abs=1.0 / canvas.pixels_per_mm)


def test_the_middle_button_pans(canvas: SketchCanvas) -> None:
    middle, start = Qt.MouseButton.MiddleButton, QPointF(300.0, 300.0)
    before = canvas.to_world(start)
    mouse(canvas, QEvent.Type.MouseButtonPress, start, middle)
    mouse(canvas, QEvent.Type.MouseMove, start + QPointF(40.0, 25.0), middle)
    mouse(canvas, QEvent.Type.MouseButtonRelease, start + QPointF(40.0, 25.0), middle)
    assert canvas.to_world(start + QPointF(40.0, 25.0)) == pytest.approx(before, abs=0.01)


def test_space_and_drag_pans_and_edits_nothing(canvas: SketchCanvas) -> None:
    start = pixel(canvas, "grip")
    before = canvas.to_world(start)
    QTest.keyPress(canvas, Qt.Key.Key_Space)
    drag(canvas, start, QPointF(30.0, 20.0))
    QTest.keyRelease(canvas, Qt.Key.Key_Space)
    assert canvas.to_world(start + QPointF(30.0, 20.0)) == pytest.approx(before, abs=0.01)
    assert canvas.session.document.undo_stack.count() == 0


def test_everything_is_in_view_from_the_start(canvas: SketchCanvas) -> None:
    view = canvas.visible_area()
    for x, y in canvas.session.places().values():
        assert view.contains(QPointF(x, y))


def test_the_view_follows_the_window_until_the_hand_chooses_it(
    canvas: SketchCanvas, wait: Wait
) -> None:
    scale = canvas.pixels_per_mm
    canvas.resize(600, 450)
    wait.until(lambda: canvas.pixels_per_mm < scale)
    canvas.zoom_in()
    scale = canvas.pixels_per_mm
    canvas.resize(900, 700)
    QApplication.processEvents()
    assert canvas.pixels_per_mm == scale
    canvas.fit()
    assert canvas.pixels_per_mm != scale


def test_arrow_keys_make_one_command_when_the_burst_is_over(
    canvas: SketchCanvas, wait: Wait
) -> None:
    document = canvas.session.document
    canvas.session.select(Ref("point", "spring anchor"))
    start = document.design.point("spring anchor")
    for _ in range(3):
        QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyClick(canvas, Qt.Key.Key_Up, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClick(canvas, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert document.undo_stack.count() == 0
    wait.until(lambda: document.undo_stack.count() == 1)
    point = document.design.point("spring anchor")
    assert (point.x, point.y) == pytest.approx((start.x + 2.9, start.y + 10.0))


def test_another_key_ends_the_burst_at_once(canvas: SketchCanvas) -> None:
    canvas.session.select(Ref("point", "spring anchor"))
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    QTest.keyPress(canvas, Qt.Key.Key_Control)
    assert canvas.session.document.undo_stack.count() == 1


def test_delete_and_tab(canvas: SketchCanvas) -> None:
    canvas.setFocus()
    names = [point.name for point in canvas.session.document.design.points]
    for name in names:
        QTest.keyClick(canvas, Qt.Key.Key_Tab)
        assert canvas.session.selection == (Ref("point", name),)
    QTest.keyClick(canvas, Qt.Key.Key_Delete)
    assert names[-1] not in [point.name for point in canvas.session.document.design.points]


def test_a_double_click_asks_for_the_numbers(canvas: SketchCanvas, wait: Wait) -> None:
    at = pixel(canvas, "lever foot").toPoint()
    with wait.for_signal(canvas.inspect_requested):
        QTest.mouseDClick(canvas.viewport(), LEFT, NO_KEY, at)
    assert canvas.session.selection == (Ref("point", "lever foot"),)


def test_a_tool_runs_by_mouse_and_tells_when_it_is_over(canvas: SketchCanvas) -> None:
    told: list[str] = []
    canvas.tool_changed.connect(told.append)
    canvas.begin_tool("weight")
    assert canvas.tool == "weight"
    QTest.mouseClick(canvas.viewport(), LEFT, NO_KEY, pixel(canvas, "grip").toPoint())
    assert told == ["weight", ""]
    assert canvas.session.document.design.weights[0].point == "grip"
    canvas.begin_tool("link")
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert canvas.tool == ""


def test_an_unknown_tool_is_refused(canvas: SketchCanvas) -> None:
    with pytest.raises(KeyError):
        canvas.begin_tool("gear")


def test_the_reason_of_an_impossible_design_is_shown_at_the_top(
    canvas: SketchCanvas, wait: Wait
) -> None:
    design = design_of("compression")
    alone = Design(
        points=design.points,
        links=(Link(FRAME, ("pivot", "spring anchor")), design.links[1]),
        lever="lever",
        grip="grip",
        stops=Stops(90.0, 90.0),
    )
    shown = [child for child in canvas.children() if child.objectName() == "problem"]
    canvas.session.document.apply(alone, "Break it")
    wait.until(lambda: any(child.property("visible") for child in shown))
    canvas.session.document.undo()
    wait.until(lambda: not any(child.property("visible") for child in shown))


def test_another_project_ends_the_gesture_of_the_old_one(canvas: SketchCanvas, wait: Wait) -> None:
    document = canvas.session.document
    drag(canvas, pixel(canvas, "lever foot"), QPointF(30.0, 10.0), release=False)
    other = Project("Other", (Variant("first", design_of("knee")),))
    document.new(other)
    mouse(canvas, QEvent.Type.MouseMove, QPointF(400.0, 300.0))
    mouse(canvas, QEvent.Type.MouseButtonRelease, QPointF(400.0, 300.0))
    QApplication.processEvents()
    assert document.project is other
    assert document.undo_stack.count() == 0


# ---- pixels ----------------------------------------------------------------------------


def close(one: QColor, other: QColor) -> bool:
    pairs = ((one.red(), other.red()), (one.green(), other.green()), (one.blue(), other.blue()))
    return all(abs(a - b) <= 2 for a, b in pairs)


def test_the_lever_is_painted_where_it_is(canvas: SketchCanvas, wait: Wait) -> None:
    def at(place: tuple[float, float]) -> QColor:
        canvas.refresh()
        QApplication.processEvents()
        return canvas.grab().toImage().pixelColor(canvas.to_pixel(place).toPoint())

    assert close(at((0.0, 100.0)), current().lever_plate)
    canvas.session.set_travel(0.0)
    assert not close(at((0.0, 100.0)), current().lever_plate)


def test_the_theme_changes_the_paper(canvas: SketchCanvas) -> None:
    def corner() -> set[str]:
        image = canvas.grab().toImage()
        return {image.pixelColor(x, 5).name() for x in range(5, 60)}

    theme_source.choose("dark")
    QApplication.processEvents()
    dark = corner()
    theme_source.choose("light")
    QApplication.processEvents()
    assert DARK.paper.name() in dark
    assert LIGHT.paper.name() in corner()


def test_inches_bring_another_grid(canvas: SketchCanvas) -> None:
    def picture() -> QImage:
        canvas.refresh()
        QApplication.processEvents()
        return canvas.grab().toImage()

    document = canvas.session.document
    metric = picture()
    inch = Project("Inch", document.project.variants, 0, Display(units="inch"))
    document.apply_project(inch, "Inches")
    assert picture() != metric


def test_a_picture_shows_the_linkage_on_its_paper(canvas: SketchCanvas) -> None:
    image = paint_picture(canvas.picture, QSize(640, 480), current(), "DejaVu Sans")
    colours = {image.pixelColor(x, y).name() for x in range(0, 640, 4) for y in range(0, 480, 4)}
    assert current().lever_plate.name() in colours
    assert current().paper.name() in colours


def test_the_canvas_can_be_described_by_a_screen_reader(canvas: SketchCanvas) -> None:
    assert canvas.accessibleName() == "Sketch"
    assert "arrow keys" in canvas.accessibleDescription()
