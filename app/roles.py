"""What points and parts are in a design, in the words of the trade."""

from solver.model import (
    FRAME,
    Design,
    Force,
    Load,
    Spring,
    TorsionSpring,
)


def point_roles(design: Design) -> dict[str, tuple[str, ...]]:
    """For every point what it is, the most telling first; a point of no use yet is "point"."""
    roles: dict[str, list[str]] = {point.name: [] for point in design.points}
    try:
        lever_pivot = design.lever_pivot()
    except KeyError:
        lever_pivot = ""
    for name, words in (
        [(design.grip, "grip"), (lever_pivot, "lever pivot")]
        + [(name, "pivot") for name in roles if len(design.links_at(name)) > 1]
        + [(slider.point, "slider pin") for slider in design.sliders]
        + [(end, "slot end") for slider in design.sliders for end in slider.along]
        + [pair for spring in design.springs for pair in _spring_roles(spring)]
        + [(screw.point, _screw_role(design, screw.point)) for screw in design.screws]
        + [(weight.point, "weight") for weight in design.weights]
        + [(load.point, "load") for load in design.loads if isinstance(load, Force)]
    ):
        known = roles.get(name)
        if known is None or words in known or (words == "pivot" and "lever pivot" in known):
            continue
        known.append(words)
    return {name: tuple(words) or ("point",) for name, words in roles.items()}


def link_word(design: Design, link: str) -> str:
    """Frame, lever or link."""
    if link == FRAME:
        return "frame"
    return "lever" if link == design.lever else "link"


def load_word(load: Load) -> str:
    """Force or torque."""
    return "force" if isinstance(load, Force) else "torque"


def _screw_role(design: Design, point: str) -> str:
    return "fixing hole" if FRAME in design.links_at(point) else "screw"


def _spring_roles(spring: Spring) -> list[tuple[str, str]]:
    if isinstance(spring, TorsionSpring):
        return [(spring.leg_a, "spring leg"), (spring.leg_b, "spring leg")]
    return [(spring.a, "spring anchor"), (spring.b, "spring anchor")]
