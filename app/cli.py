"""The command `throwover`: the window, a check for scripts, a portrait without a screen.

Only the commands that draw import Qt, so that a check is quick.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from app.studies import cli as studies
from app.targets import typed_folder
from app.variants import cli as variants
from app.version import program_version
from app.workshop import cli as workshop
from solver.errors import FileProblem, ThrowoverError
from solver.project import Project

HOLDS, FAILS, UNUSABLE = 0, 1, 2
"""Exit codes of `check`; `portrait` and the window use the first and the last."""

_ABOUT = """\
Throwover draws and computes hand levers that are always in one of two positions:
where they tip, how they hold, how they feel, what their springs do.

Every command tells more with --help, such as: throwover sweep --help

Look
  throwover                      open the window with a worked example
  throwover FILE                 open the window with that project
  throwover check FILE           print verdict, limits and readings
  throwover portrait [FILE] --into FOLDER    without a screen: picture, curves, readings

Choose
  throwover compare FILE         the variants of a project side by side
  throwover spread FILE          make copies that are off by their tolerances: how many hold
  throwover sensitivity FILE     what a reading depends on, the greatest effect first
  throwover sweep FILE --over …  a reading while a number goes through a range
  throwover tune FILE …          search for what to change so that all limits hold

Into the workshop
  throwover sheet FILE --into FOLDER_OR_FILE       the dimensioned sheet
  throwover template FILE --into FOLDER_OR_FILE    the drilling template at true size
  throwover outlines FILE --into FOLDER_OR_FILE    the outline of every plate for the cutter
  throwover parts FILE --into FOLDER_OR_FILE       the parts list
  throwover report FILE --into FOLDER_OR_FILE      the report

All but the window and compare take --variant NAME: the variant to work on.
"""
_CODES = """\
example: throwover check my-lever.throwover --json

exit code: 0 all limits hold, 1 a limit fails, 2 the file cannot be used
(one sentence on the error output then says why)
"""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; the process's exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    commands = {
        "check": _check,
        "compare": _compare,
        "portrait": _portrait,
        **dict.fromkeys(studies.RUN, _study),
        **dict.fromkeys(workshop.COMMANDS, _paper),
    }
    parser = _parser()
    if not given or (given[0] not in commands and not given[0].startswith("-")):
        given.insert(0, "open")
    parsed = parser.parse_args(given)
    run = commands.get(parsed.command, _open)
    try:
        return run(parsed)
    except BrokenPipeError:
        # The reader of the pipe has seen enough; leave nothing for Python to flush into it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return HOLDS
    except ThrowoverError as problem:
        print(problem, file=sys.stderr)
        return UNUSABLE


def _parser() -> argparse.ArgumentParser:
    plain = argparse.RawDescriptionHelpFormatter
    parser = argparse.ArgumentParser(
        prog="throwover",
        usage="throwover [FILE]\n       throwover COMMAND FILE [OPTIONS]",
        description=_ABOUT,
        formatter_class=plain,
    )
    parser.add_argument("--version", action="version", version=f"throwover {program_version()}")
    commands = parser.add_subparsers(
        dest="command", metavar="", prog="throwover", help=argparse.SUPPRESS
    )
    window = commands.add_parser("open", usage="throwover [FILE]", add_help=False)
    window.add_argument("file", nargs="?", type=Path, metavar="FILE")
    check = commands.add_parser(
        "check",
        help="print verdict, limits and readings of a project",
        description="Print what a project's linkage does: the verdict, each limit, each reading.",
        epilog=_CODES,
        formatter_class=plain,
    )
    check.add_argument("file", type=Path, metavar="FILE", help="the project (.throwover)")
    check.add_argument(
        "--json", action="store_true", help="print JSON, in mm, N, mJ and degrees, for scripts"
    )
    _add_variant(check)
    portrait = commands.add_parser(
        "portrait",
        help="without a screen: write picture, curves and readings into a folder",
        description="Write window.png, curves.csv, readings.txt and readings.json into a folder.\n"
        "Needs no screen.",
        epilog="example: throwover portrait my-lever.throwover --into pictures\n\n"
        "exit code: 0 written, 2 the file cannot be used or the folder cannot be written",
        formatter_class=plain,
    )
    portrait.add_argument(
        "file",
        nargs="?",
        type=Path,
        metavar="FILE",
        help="the project (.throwover); left out: the worked example",
    )
    portrait.add_argument(
        "--into", required=True, metavar="FOLDER", help="where to write; made if missing"
    )
    _add_variant(portrait)
    variants.add_command(commands, plain)
    studies.add_commands(commands, plain)
    for paper in workshop.add_commands(commands, plain):
        _add_variant(paper)
    return parser


def _add_variant(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--variant", metavar="NAME", help="the variant to take (default: the one worked on last)"
    )


def _open(parsed: argparse.Namespace) -> int:
    from app.main import run  # Qt only for the window

    return run(parsed.file)


def _check(parsed: argparse.Namespace) -> int:
    from app import report
    from solver.analysis import analyse

    project = _project(parsed.file, parsed.variant)
    analysis = analyse(project.design, display=project.display)
    make = report.as_json if parsed.json else report.as_text
    _write(make(project, analysis))
    return HOLDS if all(limit.holds for limit in analysis.limits) else FAILS


def _portrait(parsed: argparse.Namespace) -> int:
    from app.headless import portrait

    project = None if parsed.file is None else _project(parsed.file, parsed.variant)
    _write(portrait(project, typed_folder(parsed.into)))
    return HOLDS


def _compare(parsed: argparse.Namespace) -> int:
    from solver import files

    project = files.load(parsed.file)
    text, holds, unsolved = variants.compare(
        project,
        parsed.variants,
        parsed.against,
        parsed.csv,
        parsed.pdf,
        parsed.json,
        parsed.file.name,
    )
    _write(text)
    for sentence in unsolved:
        print(sentence, file=sys.stderr)
    if unsolved:
        return UNUSABLE
    return HOLDS if holds else FAILS


def _study(parsed: argparse.Namespace) -> int:
    text, holds = studies.RUN[parsed.command](_project(parsed.file, parsed.variant), parsed)
    _write(text)
    return HOLDS if holds else FAILS


def _paper(parsed: argparse.Namespace) -> int:
    project = _project(parsed.file, parsed.variant)
    _write(workshop.write_paper(parsed.command, project, parsed))
    return HOLDS


def _project(path: Path, variant: str | None) -> Project:
    """The project of a file with the wanted variant current; FileProblem if there is none."""
    from solver import files

    project = files.load(path)
    if variant is None:
        return project
    names = [known.name for known in project.variants]
    if variant not in names:
        listed = ", ".join(f"“{name}”" for name in names)
        raise FileProblem(f"{path} has no variant “{variant}”; it has {listed}.")
    return replace(project, current=names.index(variant))


def _write(text: str) -> None:
    """Print text that is UTF-8 on every console that can show it, and readable elsewhere."""
    encoding = sys.stdout.encoding or "utf-8"
    sys.stdout.write(text.encode(encoding, errors="replace").decode(encoding))
    sys.stdout.flush()
