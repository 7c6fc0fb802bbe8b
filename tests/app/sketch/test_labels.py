from app.session import Ref
from app.sketch.boxes import touches_any
from app.sketch.labels import Label, Placed, place_labels

SHEET = (0.0, 0.0, 400.0, 300.0)


def label(name: str, x: float, y: float) -> Label:
    return Label(Ref("point", name), name, x, y, 8.0, "point", 60.0, 16.0)


def apart(one: Placed, other: Placed) -> bool:
    (x1, y1, w1, h1), (x2, y2, w2, h2) = one.box, other.box
    return x1 + w1 <= x2 or x2 + w2 <= x1 or y1 + h1 <= y2 or y2 + h2 <= y1


def test_close_labels_are_placed_apart() -> None:
    labels = [label("one", 200.0, 150.0), label("two", 215.0, 150.0), label("three", 205.0, 160.0)]
    placed = place_labels(labels, [], SHEET, {})
    assert not any(each.covered for each in placed)
    assert apart(placed[0], placed[1])
    assert apart(placed[0], placed[2])
    assert apart(placed[1], placed[2])


def test_a_label_at_the_edge_stays_on_the_sheet() -> None:
    (placed,) = place_labels([label("edge", 395.0, 5.0)], [], SHEET, {})
    left, top, width, height = placed.box
    assert left >= 0.0
    assert top >= 0.0
    assert left + width <= 400.0
    assert top + height <= 300.0


def test_a_label_keeps_off_a_bar() -> None:
    start, end = (200.0, 150.0), (320.0, 30.0)
    (placed,) = place_labels([label("end", 200.0, 150.0)], [(start, end, 7.0)], SHEET, {})
    assert not touches_any(placed.box, [(start, end, 0.0)])


def test_a_label_keeps_off_a_broad_bar_by_half_its_width() -> None:
    start, end = (50.0, 150.0), (350.0, 150.0)
    (placed,) = place_labels([label("seat", 200.0, 150.0)], [(start, end, 20.0)], SHEET, {})
    _, top, _, height = placed.box
    assert top >= 170.0 or top + height <= 130.0


def test_a_parts_name_goes_farther_off_rather_than_on_a_plate() -> None:
    lever = ((200.0, 60.0), (200.0, 280.0), 14.0)
    knobs = [(at, at, 20.0) for at in ((102.0, 76.0), (200.0, 60.0), (298.0, 76.0))]
    grip = Label(Ref("point", "grip"), "grip", 200.0, 60.0, 23.0, "point", 30.0, 15.0)
    weight = Label(Ref("weight", "hand knob"), "hand knob", 200.0, 76.0, 10.0, "part", 66.0, 15.0)
    _, placed = place_labels([grip, weight], [lever, *knobs], SHEET, {})
    assert not touches_any(placed.box, [lever, *knobs])


def test_a_label_keeps_its_side_where_nothing_speaks_against_it() -> None:
    one = label("one", 200.0, 150.0)
    (fresh,) = place_labels([one], [], SHEET, {})
    (kept,) = place_labels([one], [], SHEET, {one.key: 3})
    assert (fresh.side, kept.side) == (0, 3)


def test_with_no_room_the_later_label_is_covered() -> None:
    heap = [label(str(number), 200.0, 150.0) for number in range(40)]
    placed = place_labels(heap, [], SHEET, {})
    assert not placed[0].covered
    assert placed[-1].covered


def test_a_name_that_would_be_cut_at_the_edge_of_the_view_is_not_shown() -> None:
    (cut,) = place_labels([label("far", 900.0, 150.0)], [], SHEET, {})
    (shown,) = place_labels([label("near", 390.0, 150.0)], [], SHEET, {})
    assert (cut.covered, shown.covered) == (True, False)
