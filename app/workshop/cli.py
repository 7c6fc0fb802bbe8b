"""The papers for the workshop as commands. Needs no screen, and Qt only for what is painted."""

from __future__ import annotations

import argparse
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from app.targets import made_folder, target
from solver.project import Project

_HELP: Mapping[str, tuple[str, str]] = {
    "sheet": (
        "write the dimensioned sheet",
        "Write the dimensioned sheet of a project: the linkage with its dimensions, hole table,\n"
        "springs, limits and title block, as the project's sheet settings have it.",
    ),
    "template": (
        "write the drilling template, to be printed at 100 %%",
        "Write the drilling template of every plate at true size. Print it at 100 % and measure\n"
        "the ruler on it before you drill.",
    ),
    "outlines": (
        "write the outline of every plate for the cutter, one file each",
        "Write every plate at true size with its holes open, one file for each plate (a PDF\n"
        "holds them all). DXF files are in mm.",
    ),
    "parts": (
        "write the parts list",
        "Write the parts list: plates, pins, springs and small parts with sizes, masses and\n"
        "counts, for all levers of the row.",
    ),
    "report": (
        "write the report",
        "Write the report of a project: sketch, curves, readings, limits, springs, assumptions\n"
        "and cautions. The web page (html) is one file that fetches nothing.",
    ),
}

COMMANDS: tuple[str, ...] = tuple(_HELP)

_CODES = """\
example: throwover {key} my-lever.throwover --into for-the-shop

exit code: 0 written, 2 the file cannot be used or the target cannot be written
(one sentence on the error output then says why; a file that was there is left whole)
"""
_FORMATS = {
    "sheet": "pdf, svg, dxf, png",
    "template": "pdf, svg, dxf, png",
    "outlines": "dxf, svg, pdf, png",
    "parts": "csv, pdf, svg, dxf, png",
    "report": "pdf, html, svg, png",
}


def add_commands(commands: Any, plain: Any) -> tuple[argparse.ArgumentParser, ...]:  # noqa: ANN401
    """Add the papers to the command line's parsers; `plain` is the formatter of their help."""
    return tuple(_parser(commands, plain, key) for key in _HELP)


def _parser(commands: Any, plain: Any, key: str) -> argparse.ArgumentParser:  # noqa: ANN401
    short, long = _HELP[key]
    parser: argparse.ArgumentParser = commands.add_parser(
        key, help=short, description=long, epilog=_CODES.format(key=key), formatter_class=plain
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="the project (.throwover)")
    parser.add_argument(
        "--into",
        required=True,
        metavar="FOLDER_OR_FILE",
        help="a folder (made if missing; files are named after the project, and the variant where "
        "there are several), or a file with one of the endings below",
    )
    parser.add_argument(
        "--format",
        metavar="FORMAT",
        type=str.lower,
        help=f"{_FORMATS[key]} (default: the file's ending, else the first)",
    )
    return parser


def write_paper(key: str, project: Project, parsed: argparse.Namespace) -> str:
    """Write a paper of the project; the text says which files, and what could not be as wished.

    DesignProblem for a design that cannot be solved, FileProblem for a target that cannot be
    written.
    """
    from app.workshop.papers import PAPERS, Papers, file_name, kind_for, named_after

    paper = next(paper for paper in PAPERS.values() if paper.key == key)
    path, is_file = target(parsed.into, paper.title.lower(), paper.kinds)
    kind = kind_for(paper, parsed.format, path if is_file else None)
    papers = Papers(project)
    os.environ["QT_QPA_PLATFORM"] = "offscreen"  # fonts are needed, a screen is not
    pages = papers.pages(paper.key)  # a design that cannot be solved makes no folder
    if not is_file:
        name = named_after(parsed.file.stem, project)
        path = made_folder(path) / file_name(name, paper.key, kind)
    written = papers.write(paper.key, kind, path)
    listed = "\n".join(f"  {path}" for path in written)
    notices = "".join(f"{notice}\n" for page in pages for notice in page.notices)
    called = project.title or parsed.file.stem
    return f"{paper.title} of “{called}” written:\n{listed}\n{notices}"
