"""The command `throwover compare`. Needs no Qt except for the PDF."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from solver.errors import FileProblem
from solver.project import Project

_ABOUT = """\
Compare two to four variants of a project: verdict, part counts, the room to each limit,
how many of 2000 copies, each off by its tolerances, hold the limits and why others fail, every
reading with its difference to one of the variants, and what is different in words. Every number
is the one that “throwover check FILE --variant NAME” or “throwover spread FILE --variant NAME”
prints.
"""
_MORE = """\
examples:
  throwover compare lever.throwover
  throwover compare lever.throwover --variants "with rod" "on the shaft" --pdf compared.pdf

exit code: 0 all limits of all variants hold, 1 a limit fails, 2 the file cannot be used
or a variant cannot be solved (one sentence on the error output then says why)
"""


def add_command(commands: Any, plain: Any) -> argparse.ArgumentParser:  # noqa: ANN401
    """Add the command to the command line's parsers; `plain` is the formatter of its help."""
    parser: argparse.ArgumentParser = commands.add_parser(
        "compare",
        usage="throwover compare FILE [--variants NAME NAME …] [--against NAME]\n"
        "                         [--csv FILE] [--pdf FILE] [--json]",
        help="compare the variants of a project: parts, limits, readings, what is different",
        description=_ABOUT,
        epilog=_MORE,
        formatter_class=plain,
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="the project (.throwover)")
    parser.add_argument(
        "--variants",
        nargs="+",
        metavar="NAME",
        help="the variants; names with spaces in quotes"
        " (default: all, in the order of the project)",
    )
    parser.add_argument(
        "--against",
        metavar="NAME",
        help="the variant that the others are held against (default: the first)",
    )
    parser.add_argument(
        "--csv", type=Path, metavar="FILE", help="also write the table for a spreadsheet"
    )
    parser.add_argument(
        "--pdf", type=Path, metavar="FILE", help="also write one page with pictures and curves"
    )
    parser.add_argument(
        "--json", action="store_true", help="print JSON, in mm, N, mJ and degrees, for scripts"
    )
    return parser


def compare(
    project: Project,
    names: Sequence[str] | None,
    against: str | None,
    csv: Path | None,
    pdf: Path | None,
    as_json: bool,
    file: str = "",
) -> tuple[str, bool, tuple[str, ...]]:
    """The text to print, whether all limits hold, and a sentence on each unsolved variant.

    Writes the files that are asked for; `file` is the project's name, which the page says.
    FileProblem where they cannot be written, or where the names do not make two to four variants.
    """
    from app.variants import records, tables
    from app.variants.comparison import compared, with_copies
    from app.variants.outcomes import Outcomes
    from solver.files import write_whole

    indices = _chosen(project, names)
    base = _place(project, indices, against)
    comparison = with_copies(compared(project, indices, Outcomes(), against=base))
    text = records.as_json(comparison) if as_json else tables.as_text(comparison)
    if csv is not None:
        write_whole(csv, records.as_csv(comparison).encode())
    if pdf is not None:
        from app.variants.page import Origin, as_pdf

        write_whole(pdf, as_pdf(comparison, 0.0, "share", Origin(file)))
    written = ", ".join(str(path) for path in (csv, pdf) if path is not None)
    if written and not as_json:
        text += f"\nWritten: {written}\n"
    unsolved = tuple(
        f"Variant “{entry.name}” cannot be solved: {entry.outcome.problem}"
        for entry in comparison.entries
        if entry.analysis is None
    )
    holds = all(
        limit.holds
        for entry in comparison.entries
        if entry.analysis is not None
        for limit in entry.analysis.limits
    )
    return text, holds and not unsolved, unsolved


def _place(project: Project, indices: tuple[int, ...], against: str | None) -> int:
    """Where among the compared variants the one held against is."""
    from solver import variants

    if against is None:
        return 0
    index = variants.find(project, against)
    if index not in indices:
        raise FileProblem(f"“{against}” is not among those compared: name it after --variants too.")
    return indices.index(index)


def _chosen(project: Project, wanted: Sequence[str] | None) -> tuple[int, ...]:
    """The indices of the named variants, or of all."""
    from app.variants.comparison import LEAST, MOST
    from solver import variants

    known = variants.names(project)
    names = list(dict.fromkeys(known if wanted is None else wanted))
    listed = ", ".join(f"“{name}”" for name in known)
    if len(known) < LEAST:
        raise FileProblem(
            f"This project has one variant only, {listed}; keep it as another in the window "
            "(Variants, Keep as a variant) and change one of the two."
        )
    if not LEAST <= len(names) <= MOST:
        raise FileProblem(
            f"Name {LEAST} to {MOST} variants after --variants; this project has {listed}."
        )
    return tuple(variants.find(project, name) for name in names)
