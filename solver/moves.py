"""Moving points in a whole batch of designs, as `solver.edit.move_points` does in one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from solver.model import Design, Slider
from solver.plan import Plan


def settle(plan: Plan, parameters: NDArray[np.float64], moved: Iterable[str]) -> None:
    """Put the pins concerned by moved points back on their slots, in place, in (B, P)."""
    for slider in _concerned(plan.design, set(moved)):
        a, b = (_place(plan, parameters, name) for name in slider.along)
        pin = _place(plan, parameters, slider.point)
        with np.errstate(divide="ignore", invalid="ignore"):
            along = (b - a) / np.abs(b - a)
        put = a + along * np.real((pin - a) * along.conj())
        at = plan.column(f"points.{slider.point}.x")
        parameters[:, at], parameters[:, at + 1] = put.real, put.imag


def following(design: Design, moved: Iterable[str]) -> tuple[str, ...]:
    """The points that move when some do: these, and the pins that are put back on their slots."""
    names = dict.fromkeys(moved)
    pins = [slider.point for slider in _concerned(design, set(names))]
    return tuple(names | dict.fromkeys(pins))


def slots_of(design: Design, point: str) -> tuple[Slider, ...]:
    """The sliders whose pin is at a point."""
    return tuple(slider for slider in design.sliders if slider.point == point)


def _concerned(design: Design, moved: set[str]) -> Iterator[Slider]:
    # A pin may be the end of another slot, so that moving it calls for another round.
    for _ in design.sliders:
        concerned = [
            slider
            for slider in design.sliders
            if not moved.isdisjoint((slider.point, *slider.along))
        ]
        yield from concerned
        moved = {slider.point for slider in concerned}


def _place(plan: Plan, parameters: NDArray[np.float64], name: str) -> NDArray[np.complex128]:
    at = plan.column(f"points.{name}.x")
    result: NDArray[np.complex128] = parameters[:, at] + 1j * parameters[:, at + 1]
    return result
