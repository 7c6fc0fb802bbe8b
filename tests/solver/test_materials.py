"""Materials: every row is usable, and says where its number is from."""

import pytest

from solver.materials import materials, plate_mass


def test_the_table_holds_what_a_workshop_has() -> None:
    wanted = {"steel", "stainless", "aluminium", "brass", "POM", "PA", "plywood"}
    assert wanted <= set(materials())


@pytest.mark.parametrize("key", materials())
def test_every_row_says_where_its_density_is_from(key: str) -> None:
    row = materials()[key]
    assert row.key == key
    assert row.title
    assert 300.0 < row.density < 12000.0
    assert "memory" in row.source or "read" in row.source


def test_a_square_decimetre_of_millimetre_steel_weighs_78_5_grams() -> None:
    assert plate_mass(1e4, 1.0, "steel") == pytest.approx(0.0785)
    with pytest.raises(KeyError):
        plate_mass(1.0, 1.0, "cheese")
