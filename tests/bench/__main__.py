"""`python -m tests.bench`: the table of figures in DEVELOPERS.md."""

from __future__ import annotations

import os
from pathlib import Path

from tests.bench import choosing, solving, studying
from tests.bench.timing import table

if __name__ == "__main__":
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from tests.bench import dragging, shading

    examples = Path(__file__).parents[2] / "assets" / "examples"
    rows = [
        *solving.rows(),
        *studying.rows(),
        *choosing.rows(),
        *dragging.rows(examples),
        *shading.rows(examples),
    ]
    print(table(rows))
