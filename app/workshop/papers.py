"""What the workshop gets, by key: its words, its file formats, its pages, its files.

Needs no Qt until pages become PDF, SVG, PNG or a web page.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Literal

from app.drawing.export import FORMATS, write
from app.drawing.fitting import Fitted
from app.drawing.model import Drawing
from app.file_names import file_names, plain_name
from app.workshop.gap_words import remarks_of
from solver.analysis import Analysis, analyse
from solver.clearance import Clearance, clearance
from solver.errors import FileProblem
from solver.files import write_whole
from solver.model import FRAME
from solver.project import Project
from solver.remark import Remark

Key = Literal["sheet", "template", "outlines", "parts", "report"]
Kind = Literal["pdf", "svg", "png", "dxf", "csv", "html"]


@dataclass(frozen=True, slots=True)
class Paper:
    """One thing that the workshop gets; the first of its formats is the usual one."""

    key: Key
    title: str
    sentence: str
    kinds: tuple[Kind, ...]


PAPERS: Mapping[Key, Paper] = {
    paper.key: paper
    for paper in (
        Paper(
            "sheet",
            "Dimensioned sheet",
            "the linkage with its dimensions, hole table, springs, limits and title block",
            ("pdf", "svg", "dxf", "png"),
        ),
        Paper(
            "template",
            "Drilling template",
            "every plate at true size with centre marks, to be glued on and drilled through",
            ("pdf", "svg", "dxf", "png"),
        ),
        Paper(
            "outlines",
            "Outlines for the cutter",
            "every plate by itself, holes open, one file each",
            ("dxf", "svg", "pdf", "png"),
        ),
        Paper(
            "parts",
            "Parts list",
            "plates, pins, springs and small parts with sizes, masses and counts",
            ("csv", "pdf", "svg", "dxf", "png"),
        ),
        Paper(
            "report",
            "Report",
            "sketch, curves, readings, limits, springs, assumptions and cautions",
            ("pdf", "html", "svg", "png"),
        ),
    )
}


class Papers:
    """The papers of a project's current variant; what several need is worked out once.

    They speak the sheet's units, whatever the window shows. `analysis` saves working out what
    is known, `earlier` the papers of the project before an edit what that left alone. Everything
    that makes pages raises DesignProblem for a design that cannot be solved.
    """

    def __init__(
        self,
        project: Project,
        analysis: Analysis | None = None,
        today: date | None = None,
        earlier: Papers | None = None,
    ) -> None:
        self.project = project
        self._given = analysis if project.display == project.paper_wording else None
        self._today = today or date.today()
        self._pages: dict[Key, tuple[Drawing, ...]] = {}
        if earlier is not None:
            self._take_over(earlier)

    @cached_property
    def analysis(self) -> Analysis:
        """What the linkage does."""
        return self._given or analyse(self.project.design, display=self.project.paper_wording)

    @cached_property
    def clearance(self) -> Clearance:
        """Gaps and collisions over the throw."""
        return clearance(self.project.design, display=self.project.paper_wording)

    @cached_property
    def view(self) -> Fitted:
        """The view of the dimensioned sheet."""
        from app.drawing.sheet import viewed

        return viewed(self.project, self.analysis)

    def _take_over(self, earlier: Papers) -> None:
        """What is known already of the same design in the same units."""
        from app.drawing.sheet import same_view

        mine, theirs = (
            (papers.project.design, papers.project.paper_displays) for papers in (self, earlier)
        )
        kept = ["analysis", "clearance"] if mine == theirs else []
        kept += ["view"] if kept and same_view(self.project, earlier.project) else []
        known = vars(earlier)  # where cached properties keep what they have worked out
        vars(self).update({name: known[name] for name in kept if name in known})

    @property
    def remarks(self) -> tuple[Remark, ...]:
        """Everything to be said of plates, holes and gaps, the serious first."""
        return remarks_of(self.project, self.clearance, self.project.paper_wording)

    def pages(self, key: Key) -> tuple[Drawing, ...]:
        """The pages of a paper."""
        if key not in self._pages:
            make = {
                "sheet": self._sheet,
                "template": self._template,
                "outlines": self._outlines,
                "parts": self._parts,
                "report": self._report,
            }[key]
            self._pages[key] = make()
        return self._pages[key]

    def write(self, key: Key, kind: Kind, path: Path) -> tuple[Path, ...]:
        """Write a paper, and say which files it became: several pages may become several.

        A file is whole afterwards, or the one before is untouched; FileProblem, with its path
        and what to do, where one cannot be written.
        """
        try:
            return self._write(key, kind, path)
        except FileProblem as problem:
            raise FileProblem(
                f"{problem} It was to be {path.absolute()}; what was there before is untouched. "
                "Name a folder that is there, that you may write to and that has room."
            ) from problem

    def _write(self, key: Key, kind: Kind, path: Path) -> tuple[Path, ...]:
        if kind == "csv":
            write_whole(path, self._parts_csv().encode())
        elif kind == "html":
            write_whole(path, self._report_html().encode("utf-8", "replace"))
        elif key == "outlines" and kind != "pdf":
            return self._write_apart(kind, path)
        else:
            return write(self.pages(key), path, _drawn(kind))
        return (path,)

    # ---- the single papers ---------------------------------------------------------------

    def _sheet(self) -> tuple[Drawing, ...]:
        from app.drawing.sheet import compose

        return compose(
            self.project,
            self.analysis,
            remarks=[remark.sentence for remark in self.remarks],
            today=self._today,
            view=self.view,
        )

    def _template(self) -> tuple[Drawing, ...]:
        from app.drawing.template import template

        return template(self.project, self._plates())

    def _outlines(self) -> tuple[Drawing, ...]:
        from app.workshop.outline_pages import outline_pages

        return outline_pages(self.project, self._plates())

    def _plates(self) -> tuple[str, ...]:
        """The links that are cut from plate: all that have two points or more, and the frame."""
        links = self.project.design.links
        return tuple(
            link.name for link in links if (link.name == FRAME and link.points) or link.points[1:]
        )

    def _parts(self) -> tuple[Drawing, ...]:
        from app.workshop.parts_pages import parts_pages

        return parts_pages(self.project, self._today)

    def _report(self) -> tuple[Drawing, ...]:
        from app.workshop.report_pages import report_pages
        from app.workshop.report_parts import report_of

        said = report_of(self.project, self.analysis, self.remarks, self.clearance, self._today)
        return report_pages(self.project, self.analysis, said)

    def _report_html(self) -> str:
        from app.workshop.report_html import report_html
        from app.workshop.report_parts import report_of

        said = report_of(self.project, self.analysis, self.remarks, self.clearance, self._today)
        return report_html(self.project, self.analysis, said)

    def _parts_csv(self) -> str:
        from solver.checks import check
        from solver.parts_list import as_csv, parts_list

        project, displays = self.project, self.project.paper_displays
        check(project.design)
        return as_csv(parts_list(project.design, project.sheet, displays), displays)

    def _write_apart(self, kind: Kind, path: Path) -> tuple[Path, ...]:
        """A file for each plate, named after the file that was asked for and the plate."""
        from app.drawing.part_dxf import part_dxf

        pages = self.pages("outlines")
        targets = [
            path.with_name(f"{name}{path.suffix}")
            for name in file_names(path.stem, [page.name for page in pages])
        ]
        for page, target in zip(pages, targets, strict=True):
            if kind == "dxf":
                write_whole(target, part_dxf(self.project, page.name))
            else:
                write((page,), target, _drawn(kind))
        return tuple(targets)


def _drawn(kind: Kind) -> Literal["pdf", "svg", "png", "dxf"]:
    for drawn in FORMATS:
        if drawn == kind:
            return drawn
    raise ValueError(kind)


def kind_for(paper: Paper, wish: str | None, file: Path | None) -> Kind:
    """The format that was asked for, or the one that a file's ending says, or the usual one.

    FileProblem where the paper is not made in it, or where wish and ending differ.
    """
    if wish is not None and wish not in paper.kinds:
        listed = ", ".join(paper.kinds)
        raise FileProblem(
            f"The {paper.title.lower()} is not written as {wish}; choose one of {listed}."
        )
    ending = None if file is None else file.suffix[1:].lower()
    if file is not None and wish not in (None, ending):
        raise FileProblem(
            f"{file} ends in .{ending}, but the format asked for is {wish}: make them the same."
        )
    chosen = wish or ending or paper.kinds[0]
    return next(kind for kind in paper.kinds if kind == chosen)


def named_after(stem: str, project: Project) -> str:
    """What a paper's files are named after: the project's file, and the variant where it has more.

    So papers of two variants never have one name, whichever of them was worked on last.
    """
    several = len(project.variants) > 1
    return f"{stem} {project.variant.name}" if several else stem


def file_name(name: str, key: Key, kind: Kind) -> str:
    """What a paper's file is called, from `named_after`."""
    return f"{plain_name(name)}-{key}.{kind}"
