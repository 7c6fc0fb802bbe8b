"""A remark on a plate, a hole or a gap: what was found, where, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Remark:
    """One finding. `serious` ones keep the linkage from being built or moving; others caution.

    kind is one of "edge", "web", "collision", "pin", "spring", "stop", "slot", "pinch", "hand",
    "row", "plate", "screw"; parts are the names concerned; gap (mm) and where (travel in degrees)
    are None where there is none.
    """

    kind: str
    serious: bool
    parts: tuple[str, ...]
    sentence: str
    gap: float | None = None
    where: float | None = None
