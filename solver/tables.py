"""The data tables in `assets/`, read once; each says where its numbers come from."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

# Beside `solver`, in a checkout as in an installed program (see pyproject.toml).
_ASSETS = Path(__file__).resolve().parent.parent / "assets"


@cache
def table(name: str) -> dict[str, Any]:
    """The JSON table `assets/<name>.json`; FileNotFoundError where there is none."""
    content: dict[str, Any] = json.loads((_ASSETS / f"{name}.json").read_text(encoding="utf-8"))
    return content
