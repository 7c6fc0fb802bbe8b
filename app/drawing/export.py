"""Pages into files: PDF with all of them, SVG, PNG and DXF with one page each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Literal

from app.drawing.model import Drawing
from solver.files import write_whole

Format = Literal["pdf", "svg", "png", "dxf"]
FORMATS: tuple[Format, ...] = ("pdf", "svg", "png", "dxf")


def write(pages: Sequence[Drawing], path: Path, kind: Format) -> tuple[Path, ...]:
    """Write pages to a file, and say which files these became.

    A PDF holds every page. Of the other formats the first page goes to `path`, the next ones to
    `name-2.svg` and so on beside it. A file is whole afterwards, or the one before is untouched;
    FileProblem, with a sentence, where one cannot be written.
    """
    if kind == "pdf":
        from app.drawing.pdf import as_pdf

        write_whole(path, as_pdf(pages))
        return (path,)
    encode = _encoder(kind)
    contents = [encode(page) for page in pages]
    paths = tuple(_numbered(path, index) for index in range(len(pages)))
    for target, content in zip(paths, contents, strict=True):
        write_whole(target, content)
    return paths


def _numbered(path: Path, index: int) -> Path:
    return path if index == 0 else path.with_name(f"{path.stem}-{index + 1}{path.suffix}")


def _encoder(kind: Format) -> Callable[[Drawing], bytes]:
    if kind == "svg":
        from app.drawing.svg import as_svg

        return as_svg
    if kind == "png":
        from app.drawing.png import as_png

        return as_png
    from app.drawing.dxf import as_dxf

    return as_dxf
