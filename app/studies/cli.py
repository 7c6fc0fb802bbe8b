"""The studies as commands: spread, sensitivity, sweep, tune. Needs no Qt."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from dataclasses import replace
from operator import attrgetter
from pathlib import Path
from typing import Any

from solver.errors import DesignProblem
from solver.model import Design
from solver.near_names import look_up
from solver.project import Project
from solver.readings import ReadingKind, catalogue

Outcome = tuple[str, bool]
"""What to print, and whether what was asked for holds."""

_USUAL = "holding_force"


def spread(project: Project, parsed: argparse.Namespace) -> Outcome:
    """Copies that are off by their tolerances."""
    from app.studies import reports
    from solver.hole_tolerances import holes_only
    from solver.spread import spread

    if parsed.only == "holes":
        given = holes_only(project.design.tolerances)
        project = project.with_design(replace(project.design, tolerances=given))
    reading = chosen_reading(project.design, parsed.reading).key
    found = spread(project.design, parsed.copies)
    if parsed.json:
        text = reports.spread_json(project, found, reading)
    elif parsed.csv:
        text = reports.spread_csv(project, found)
    else:
        text = reports.spread_text(project, found, reading)
    share = found.all_limits if found.limits else found.good
    return text, 100.0 * share.share >= parsed.share


def sensitivity(project: Project, parsed: argparse.Namespace) -> Outcome:
    """What a reading depends on."""
    from app.studies import reports
    from solver.sensitivity import sensitivities

    found = sensitivities(project.design, chosen_reading(project.design, parsed.reading).key)
    if parsed.json:
        return reports.effects_json(project, found), True
    if parsed.csv:
        return reports.effects_csv(found), True
    return reports.effects_text(project, found), True


def sweep(project: Project, parsed: argparse.Namespace) -> Outcome:
    """A reading over the range of a number, or of two."""
    from app.studies import cli_sweep

    return cli_sweep.run(project, parsed, chosen_reading(project.design, parsed.reading).key)


def tune(project: Project, parsed: argparse.Namespace) -> Outcome:
    """What to change so that all limits hold."""
    from app.studies.cli_tuning import tune
    from solver.tuning_goal import Wish

    share = None if parsed.share is None else parsed.share / 100.0
    wish = Wish(share=share)
    if parsed.nearest:
        wish = Wish("near", share=share)
    elif parsed.most is not None:
        wish = Wish("most", chosen_reading(project.design, parsed.most).key, share)
    elif parsed.least is not None:
        wish = Wish("least", chosen_reading(project.design, parsed.least).key, share)
    return tune(project, parsed, wish)


def chosen_reading(design: Design, wish: str | None) -> ReadingKind:
    """The reading of that key or, in any case, label; DesignProblem, naming near ones, if none."""
    kinds = catalogue(design)
    if wish is None:
        limited = {limit.reading for limit in design.limits}
        first = [kind for kind in kinds if kind.key in limited]
        usual = [kind for kind in kinds if kind.key == _USUAL]
        return (first or usual or list(kinds))[0]
    found, hint = look_up(wish, kinds, attrgetter("key", "label"))
    if found is not None:
        return found
    told = hint or f"there is {', '.join(kind.key for kind in kinds)}"
    raise DesignProblem(f"There is no reading “{wish}”; {told}.", wish)


RUN: Mapping[str, Callable[[Project, argparse.Namespace], Outcome]] = {
    "spread": spread,
    "sensitivity": sensitivity,
    "sweep": sweep,
    "tune": tune,
}

_CODES = """\
example: throwover {example}

exit code: 0 {holds}, 1 {fails}, 2 the file or a number cannot be used
(one sentence on the error output then says why)
"""


def add_commands(commands: Any, plain: Any) -> tuple[argparse.ArgumentParser, ...]:  # noqa: ANN401
    """Add the studies to the command line's parsers; `plain` is the formatter of their help."""
    makers = (_spread_parser, _sensitivity_parser, _sweep_parser, _tune_parser)
    return tuple(make(commands, plain) for make in makers)


def _spread_parser(commands: Any, plain: Any) -> argparse.ArgumentParser:  # noqa: ANN401
    parser = _parser(
        commands,
        plain,
        "spread",
        help="make many copies that are off by their tolerances: how many hold the limits",
        description="Make many copies of a project's linkage, each off by the tolerances that the\n"
        "project has, and print how many hold each limit, what the readings are over the copies,\n"
        "and which tolerance spreads a reading most.",
        example="spread my-lever.throwover",
        holds="enough copies hold all limits",
        fails="too few do (see --share)",
    )
    parser.add_argument(
        "--copies",
        type=_count,
        default=2000,
        metavar="N",
        help="how many copies (default: %(default)s)",
    )
    parser.add_argument(
        "--share",
        type=float,
        default=99.0,
        metavar="PERCENT",
        help="how many of 100 copies must hold all limits (default: 99)",
    )
    parser.add_argument(
        "--only",
        choices=("holes",),
        help="let the holes alone be off, and make everything else exact",
    )
    _add_reading(parser, "the reading whose spread is looked into")
    _add_format(parser)
    return parser


def _sensitivity_parser(commands: Any, plain: Any) -> argparse.ArgumentParser:  # noqa: ANN401
    parser = _parser(
        commands,
        plain,
        "sensitivity",
        help="what a reading depends on, the greatest effect first",
        description="Print what a little more of every number does to a reading, the greatest\n"
        "effect first, and which way to move each point. It also tells the names of the numbers\n"
        "that “sweep” and “tune” take.",
        example="sensitivity my-lever.throwover",
        holds="done",
    )
    _add_reading(parser, "the reading looked into")
    _add_format(parser)
    return parser


def _sweep_parser(commands: Any, plain: Any) -> argparse.ArgumentParser:  # noqa: ANN401
    parser = _parser(
        commands,
        plain,
        "sweep",
        help="a reading while one number, or two, go through a range, and how many copies hold",
        description="Print a reading while one number of the design goes through a range, or two\n"
        "do. Over one number it also tells how many copies hold all limits at each value, and\n"
        "where reading and copies meet what is asked of them. A number goes by its words in the\n"
        "window or by its path, both of which `throwover sensitivity FILE` tells; units are the\n"
        "project's, such as\n"
        '  throwover sweep FILE --over "rate of main spring=2..4 N/mm"\n'
        '  throwover sweep FILE --over "springs.main spring.rate=2..4 N/mm"',
        example='sweep my-lever.throwover --over "rate of main spring=2..4 N/mm"',
        holds="done",
    )
    form = "NUMBER=FROM..TO"
    parser.add_argument("--over", required=True, metavar=form, help="a number and its range")
    parser.add_argument("--by", metavar=form, help="a second number and its range")
    parser.add_argument(
        "--steps", type=_steps, default=41, metavar="N", help="values of each (default: 41)"
    )
    parser.add_argument(
        "--copies",
        type=_copies,
        metavar="N",
        help="copies made at each value, 0 for none (default: 1000, fewer for many values)",
    )
    _add_reading(parser, "the reading that is printed")
    output = parser.add_mutually_exclusive_group()
    output.add_argument(
        "--json", action="store_true", help="print JSON, in mm, N, mJ and degrees, for scripts"
    )
    output.add_argument("--csv", action="store_true", help="print CSV, in the project's units")
    return parser


def _tune_parser(commands: Any, plain: Any) -> argparse.ArgumentParser:  # noqa: ANN401
    parser = _parser(
        commands,
        plain,
        "tune",
        help="search for what to change so that all limits hold",
        description="Search for what to change so that all limits hold, with the most room for\n"
        "the tolerances, with as much or as little as can be of one reading, or with as little\n"
        "changed as can be. Each option that says what may change can be given several times.\n"
        "The file itself stays as it is. The example asks for the least to change so that 99 of\n"
        "100 copies hold all limits.",
        example='tune my-lever.throwover --point "spring anchor=10 mm" --nearest --share 99',
        holds="all that was asked for holds",
        fails="nothing does (the nearest is printed)",
    )
    for option, form, what in (
        (
            "--point",
            "POINT=REACH",
            "a point that may move so far in x and y: “spring anchor=10 mm”",
        ),
        ("--rate", "SPRING=FROM..TO", "a spring's rate may be in that range"),
        ("--free-length", "SPRING=FROM..TO", "a spring's free length may be in that range"),
        ("--springs", "SPRING=LIST", "a spring may be any of a text file's: name; rate; free …"),
        ("--rest", "A=REACH", "rest A or B may be so far off where it is: “A=5°”"),
    ):
        parser.add_argument(option, action="append", default=[], metavar=form, help=what)
    wish = parser.add_mutually_exclusive_group()
    wish.add_argument("--most", metavar="READING", help="as much as can be of a reading")
    wish.add_argument("--least", metavar="READING", help="as little as can be of a reading")
    wish.add_argument(
        "--nearest",
        action="store_true",
        help="change as few numbers as can be, and those as little",
    )
    parser.add_argument(
        "--share",
        type=float,
        metavar="PERCENT",
        help="so many of 100 copies must hold all limits, each off by its tolerances",
    )
    parser.add_argument(
        "--budget", type=_count, default=12_000, metavar="N", help="designs to try, about 12 000"
    )
    parser.add_argument(
        "--copies", type=_count, default=2000, metavar="N", help="copies that judge the answer"
    )
    parser.add_argument(
        "--into",
        type=Path,
        metavar="FILE",
        help="write the project with the answer as a further variant into this file",
    )
    parser.add_argument(
        "--json", action="store_true", help="print JSON, in mm, N, mJ and degrees, for scripts"
    )
    return parser


def _parser(
    commands: Any,  # noqa: ANN401
    plain: Any,  # noqa: ANN401
    name: str,
    *,
    help: str,
    description: str,
    example: str,
    holds: str,
    fails: str = "does not occur",
) -> argparse.ArgumentParser:
    """A command on one variant of a file, with an example and what its exit codes mean."""
    parser: argparse.ArgumentParser = commands.add_parser(
        name,
        help=help,
        description=description,
        epilog=_CODES.format(example=example, holds=holds, fails=fails),
        formatter_class=plain,
    )
    _add_file(parser)
    return parser


def _add_file(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", type=Path, metavar="FILE", help="the project (.throwover)")
    parser.add_argument(
        "--variant", metavar="NAME", help="the variant to take (default: the one worked on last)"
    )


def _add_reading(parser: argparse.ArgumentParser, what: str) -> None:
    parser.add_argument(
        "--reading",
        metavar="NAME",
        help=f"{what}: its words in the window or its key, such as holding_force"
        " (default: the first with a limit)",
    )


def _add_format(parser: argparse.ArgumentParser) -> None:
    form = parser.add_mutually_exclusive_group()
    form.add_argument(
        "--json", action="store_true", help="print JSON, in mm, N, mJ and degrees, for scripts"
    )
    form.add_argument("--csv", action="store_true", help="print a table, in the same units")


def _count(text: str) -> int:
    number = int(text)
    if not 1 <= number <= 100_000:
        raise argparse.ArgumentTypeError("a number from 1 to 100000 is needed")
    return number


def _copies(text: str) -> int:
    return 0 if text == "0" else _count(text)


def _steps(text: str) -> int:
    number = int(text)
    if not 2 <= number <= 1000:
        raise argparse.ArgumentTypeError("a number from 2 to 1000 is needed")
    return number
