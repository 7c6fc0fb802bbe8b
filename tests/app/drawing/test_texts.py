import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.boxes import text_box
from app.drawing.metrics import cut, em_of, plain, text_width, wrap
from app.drawing.model import Drawing, Layer, LinearDimension, Table, Text
from app.drawing.table_parts import fitting_widths
from tests.app.drawing.faults import overlaps, texts

SHEET = (210.0, 297.0)


def page(*texts: Text) -> Drawing:
    return Drawing(SHEET, texts)


def test_a_text_is_as_wide_as_the_letters_of_its_font() -> None:
    # DejaVu Sans Condensed: H 0.677 em, digits 0.572 em.
    assert text_width("H0", 7.29) == pytest.approx((0.677 + 0.573) * em_of(7.29), abs=0.02)
    assert em_of(7.29) == pytest.approx(10.0)


def test_bold_is_wider() -> None:
    assert text_width("throw", 3.5, bold=True) > text_width("throw", 3.5)


@given(st.text(max_size=400), st.floats(5.0, 200.0))
def test_a_cut_text_fits_and_has_no_controls(text: str, width: float) -> None:
    short = cut(text, 2.5, width)
    assert text_width(short, 2.5) <= width + 1e-9
    assert "\n" not in short
    assert "\u202e" not in short


@given(st.text(max_size=300), st.floats(20.0, 200.0))
def test_wrapped_lines_fit(text: str, width: float) -> None:
    assert all(text_width(line, 2.5) <= width + 1e-9 for line in wrap(text, 2.5, width))


def test_marks_of_direction_are_taken_out() -> None:
    assert plain("a\u202egnp.exe\u2066 b\n c") == "agnp.exe b c"


def test_wrapping_loses_no_word() -> None:
    text = "wear eye protection when fitting springs " * 5
    assert " ".join(wrap(text, 2.5, 60.0)) == text.strip()


def test_texts_side_by_side_are_free() -> None:
    first = Text("holding force", (20.0, 100.0))
    second = Text("5.4 N", (20.0 + text_width(first.text, 2.5) + 0.1, 100.0))
    assert overlaps(page(first, second)) == []


def test_texts_that_lie_on_each_other_are_found() -> None:
    found = overlaps(page(Text("rest A", (20.0, 100.0)), Text("rest B", (22.0, 101.0))))
    assert found == ["“rest B” meets “rest A”"]


def test_turned_texts_are_judged_by_their_turned_boxes() -> None:
    level = Text("a long text that lies level", (50.0, 100.0))
    beside = Text("upright", (49.0, 101.0), turn=90.0)
    through = Text("upright", (60.0, 98.0), turn=90.0)
    assert overlaps(page(level, beside)) == []
    assert len(overlaps(page(level, through))) == 1


def test_a_text_that_leaves_the_sheet_is_found() -> None:
    assert overlaps(page(Text("edge", (205.0, 100.0)))) == ["“edge” leaves the sheet"]


def test_small_print_is_found() -> None:
    assert overlaps(page(Text("tiny", (50.0, 100.0), height=2.0))) == ["“tiny” is 2 mm high"]


def test_texts_of_dimensions_and_tables_count() -> None:
    table = Table((20.0, 50.0), (30.0, 30.0), (("Hole", "x"), ("pivot", "0")))
    line = LinearDimension("a", (20.0, 100.0), (80.0, 100.0), (0.0, 110.0), 60.0, "60", 0.0)
    drawing = Drawing(SHEET, (table, line))
    assert [text.text for text in texts(drawing)] == ["Hole", "x", "pivot", "0", "60"]


def test_anchors() -> None:
    box = text_box(Text("x", (50.0, 60.0), 5.0, "middle", "middle"))
    assert box.middle[0] == pytest.approx(50.0)
    right = text_box(Text("x", (50.0, 60.0), 5.0, "right"))
    assert max(x for x, _ in right.corners()) == pytest.approx(50.0)
    left = text_box(Text("x", (50.0, 60.0), 5.0))
    assert min(x for x, _ in left.corners()) == pytest.approx(50.0)


def test_columns_are_as_wide_as_their_widest_cell() -> None:
    rows = (("No.", "Hole"), ("1", "the hole with the long name"))
    widths = fitting_widths(rows, 2.5)
    table = Table((20.0, 100.0), widths, rows)
    assert [t.text for t in texts(Drawing(SHEET, (table,)))] == [c for row in rows for c in row]


def test_every_layer_has_a_width_of_iso_128() -> None:
    assert {layer.width for layer in Layer} <= {0.13, 0.18, 0.25, 0.35, 0.5, 0.7}
