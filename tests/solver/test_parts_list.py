"""The parts list: every piece once, counted for each lever, weighed, and safe as CSV."""

import csv
import io
import math
from dataclasses import replace

import pytest

from solver import files
from solver.layouts import LAYOUTS
from solver.model import FRAME, Design, Plate, Weight
from solver.outlines import plate_weight
from solver.parts_list import PartRow, as_csv, parts_list, piece_count, total_mass
from solver.project import Display, Sheet
from solver.stack import pin_length, stack
from tests.example_files import EXAMPLES, named

LAYOUT = {layout.key: layout.build for layout in LAYOUTS}


def counts(design: Design, levers: int = 1) -> dict[str, int]:
    found: dict[str, int] = {}
    for row in parts_list(design, Sheet(levers=levers)):
        found[row.kind] = found.get(row.kind, 0) + row.count
    return found


def row_of(design: Design, name: str) -> PartRow:
    return next(row for row in parts_list(design) if row.name == name)


def test_a_lever_with_its_spring() -> None:
    assert counts(LAYOUT["compression"]()) == {
        "plate": 2,
        "pin": 3,  # the pivot and two for the spring's ends
        "ring": 3,  # each pin's other end is flush with the link that holds it
        "washer": 2,  # on the pivot, under the spring on the lever
        "spacer": 1,  # under the spring on the frame
        "spring": 1,
        "stop": 2,
        "knob": 1,
        "screw": 1,
    }


def test_lever_rod_and_rocker() -> None:
    found = counts(LAYOUT["rocker"]())
    assert found["plate"] == 4
    assert found["pin"] == 6
    assert found["ring"] == 6
    assert found["washer"] == 5
    assert found["spacer"] == 1


def test_a_layer_left_out_takes_a_spacer() -> None:
    # The plunger's pin goes from the frame's slot to the rod above the lever's layer.
    row = row_of(LAYOUT["knee"](), "spacer")
    assert row.note == "plunger pin"
    assert row.length == pytest.approx(1.0 + 5.0 + 1.0)


def test_washers_and_spacers_go_over_their_pins_and_rings_sit_on_them() -> None:
    """Pins of 8 mm in the layout; M8 washers of ISO 7089 have 8.4 mm (from memory)."""
    design = LAYOUT["knee"]()
    sizes = {(row.kind, row.bore) for row in parts_list(design) if row.kind in ("spacer", "ring")}
    assert sizes == {("spacer", 8.4), ("ring", 8.0)}
    washers = [row for row in parts_list(design) if row.name == "pivot washer"]
    assert {(row.bore, row.width) for row in washers} == {(8.4, 16.0)}


def test_a_row_of_levers_has_everything_so_many_times() -> None:
    design = LAYOUT["rocker"]()
    one, four = parts_list(design), parts_list(design, Sheet(levers=4))
    assert [row.count for row in four] == [4 * row.count for row in one]
    assert piece_count(four) == 4 * piece_count(one)
    assert total_mass(four) == pytest.approx(4.0 * total_mass(one))


def test_plates_weigh_what_the_solver_lets_them_weigh() -> None:
    design = LAYOUT["rocker"]()
    for plate in design.plates:
        if plate.link != FRAME:
            row = row_of(design, plate.link)
            # What is cut has chords for its round ends, 0.03 % of them at most within the circle.
            assert row.mass == pytest.approx(plate_weight(design, plate).mass, rel=1e-4)
            assert (row.material, row.thickness) == ("Aluminium", 5.0)


def test_the_stock_of_a_bar_is_its_length_by_its_width() -> None:
    row = row_of(LAYOUT["rocker"](), "rod")
    assert row.length == pytest.approx(math.hypot(150.0, 5.0) + 28.0, abs=0.2)
    assert row.width == pytest.approx(28.0, abs=0.1)


def test_a_link_without_a_plate_is_listed_all_the_same() -> None:
    design = replace(LAYOUT["rocker"](), plates=())
    row = row_of(design, "rod")
    assert (row.kind, row.mass, row.note) == ("plate", None, "plate not settled")


def test_pins_are_as_long_as_their_layers_ask() -> None:
    design = replace(LAYOUT["rocker"](), springs=(), limits=())
    # Frame 6, washer 1, lever 5, play 0.3, end 3.2 to the next half; flush with what holds it.
    assert pin_length(design, "lever pivot") == 6.0 + 1.0 + 5.0 + 3.5
    assert pin_length(design, "rod end") == 5.0 + 1.0 + 5.0 + 3.5
    thick = replace(
        design, plates=(*design.plates[:1], Plate("lever", 28.0, 9.3), *design.plates[2:])
    )
    assert pin_length(thick, "lever pivot") == 20.0


def test_a_pin_that_carries_a_spring_reaches_through_it() -> None:
    design = LAYOUT["knee"]()
    found = stack(design)
    (spring,) = design.springs
    top = found.springs[spring.name].high
    assert top > found.layers[2][1] + 20.0
    # The rod holds it, so both ends are free: behind the frame's slot and above the spring.
    assert pin_length(design, "plunger pin") == pytest.approx(3.3 + 6.0 + top + 3.3, abs=0.5)
    assert len(found.pin("plunger pin").of("end")) == 2


def test_a_weight_at_the_grip_is_the_knob() -> None:
    design = replace(LAYOUT["compression"](), weights=(Weight("brass knob", "grip", 0.12),))
    found = counts(design)
    assert "knob" not in found
    assert found["weight"] == 1
    assert row_of(design, "brass knob").mass == 0.12


@pytest.mark.parametrize("path", EXAMPLES, ids=named)
def test_every_example_has_a_list_whose_items_count_up(path: object) -> None:
    for variant in files.load(path).variants:  # type: ignore[arg-type]  # a path
        rows = parts_list(variant.design)
        assert [row.item for row in rows] == list(range(1, len(rows) + 1))
        assert piece_count(rows) >= len(variant.design.links) + len(variant.design.springs)
        assert 0.0 < total_mass(rows) < 10.0


def test_csv_reads_back_with_units_and_sums() -> None:
    rows = parts_list(LAYOUT["rocker"]())
    head, *body, sums = csv.reader(io.StringIO(as_csv(rows)))
    assert head[:3] == ["Item", "Part", "Count"]
    assert head[4] == "Thickness (mm)"
    assert head[7:9] == ["Bore or shaft (mm)", "Mass of one (kg)"]
    assert [row[1] for row in body] == [row.name for row in rows]
    assert sums[1:3] == ["all together", str(piece_count(rows))]
    inch = next(csv.reader(io.StringIO(as_csv(rows, (Display("inch"),)))))
    assert inch[4] == "Thickness (in)"


def test_csv_holds_no_formulas_and_survives_any_name() -> None:
    rows = [
        PartRow(1, '=HYPERLINK("x")', "weight", 1, note="@sum"),
        PartRow(2, 'a "quoted", name\nof two lines', "weight", 1),
    ]
    _, first, second, _ = csv.reader(io.StringIO(as_csv(rows)))
    assert first[1] == '\'=HYPERLINK("x")'
    assert first[9] == "'@sum"
    assert second[1] == 'a "quoted", name\nof two lines'


def test_a_spring_is_listed_as_one_orders_it_in_the_units_of_the_list() -> None:
    design = LAYOUT["compression"]()
    (bare,) = design.springs
    assert row_of(design, bare.name).width is None
    assert "wire, outside diameter and coils not given" in row_of(design, bare.name).note
    known = replace(bare, wire=2.0, outside_diameter=18.0, coils=11.5, order_note="shelf 2")
    design = replace(design, springs=(known,))
    row = row_of(design, bare.name)
    assert (row.length, row.width) == (82.0, 18.0)
    assert row.note.startswith("compression spring 2 × 18 mm × 11.5 coils, ")
    assert row.note.endswith("N/mm, free length 82.0 mm, shelf 2")
    (inch,) = (row for row in parts_list(design, None, [Display("inch")]) if row.kind == "spring")
    assert inch.note.startswith("compression spring 0.0787 × 0.709 in × 11.5 coils, ")
    assert "lbf/in, free length 3.228 in" in inch.note
    assert "mm" not in inch.note
