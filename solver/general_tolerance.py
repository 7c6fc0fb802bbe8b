"""The general tolerances of ISO 2768-1 for linear sizes, from assets/iso2768.json."""

from __future__ import annotations

from typing import Literal

from solver.tables import table

ToleranceClass = Literal["fine", "medium", "coarse", "very coarse"]


def plus_minus(tolerance_class: ToleranceClass, size: float) -> float:
    """What a size (mm) may be off by, ± mm, in a class.

    A size is in the range that it is the upper end of. Where the table has no entry (below
    0.5 mm, above 4 m, and one end of two classes) the nearest entry of the class is taken.
    """
    content = table("iso2768")
    entries = [
        (upper, value)
        for (_, upper), value in zip(
            content["ranges"], content["plus_minus"][tolerance_class], strict=True
        )
        if value is not None
    ]
    return float(next((value for upper, value in entries if size <= upper), entries[-1][1]))
