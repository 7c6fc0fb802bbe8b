"""Scale and place of the view on the first page, and the room that it leaves for tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from app.drawing.chosen import Wanted
from app.drawing.columns import LEAST, columns_width
from app.drawing.linkage_view import draw_linkage
from app.drawing.paper import Area, drawing_area, scale_name, scale_of, scales, sheet_size
from app.drawing.poses import Posed, View
from app.drawing.title_block import HEIGHT, WIDTH
from app.drawing.view_block import Detail, ViewBlock, bare_size, view_block
from solver.project import Sheet

_GAP = 4.0
"""Between the border and what stands inside it, mm."""
APART = 6.0
"""Between view, tables and title block, mm."""
_DIMENSION_ROOM = 16.0
"""What dimensions take of the view's room at the least, mm."""
_LEAST_VIEW = 150.0
"""A view beside the title block gets at least so much width, mm."""
_LEAST_TABLES = (LEAST, 44.0)
"""Narrower or lower rooms (mm) take no tables."""


_BEARABLE = 2
"""So many interrupted lines and cramped dimensions may be before a view says less."""


@dataclass(frozen=True, slots=True)
class Fitted:
    """The view in its place, where tables go on its page, and what could not be as wished."""

    view: ViewBlock
    tables: tuple[Area, ...]
    notices: tuple[str, ...]


def fitted(poses: Posed, sheet: Sheet, wanted: Wanted) -> Fitted:
    """The largest scale, or the wished one, at which the linkage fits with its dimensions.

    At one scale, what says most is taken first, unless it is crowded.
    """
    wished = scale_of(sheet.scale)
    for scale in (*((wished,) if wished else ()), *scales()):
        found = _at_scale(poses, sheet, wanted, scale)
        if found is not None:
            break
    else:
        area = list(_areas(sheet))[-1]
        found = view_block(poses, sheet, wanted, scales()[-1], area, Detail.TERSE), area
    view, area = found
    placed, tables = _settled(view, area, sheet)
    return Fitted(placed, tables, tuple(_notices(placed, sheet, wished)))


def _at_scale(
    poses: Posed, sheet: Sheet, wanted: Wanted, scale: float
) -> tuple[ViewBlock, Area] | None:
    """The view with least trouble, the fullest of equals; None where none fits."""
    areas = list(_areas(sheet))
    if not any(_may_hold(area, poses, scale) for area in areas):
        return None
    linkage = draw_linkage(poses, View(scale))
    width, height = bare_size(linkage)
    roomy = [
        area
        for area in areas
        if width + _DIMENSION_ROOM <= area.width and height + _DIMENSION_ROOM <= area.height
    ]
    best: tuple[ViewBlock, Area] | None = None
    details = list(Detail)
    if wanted.cramped(scale) > _BEARABLE:  # said in full it would be crowded
        details = [Detail.SPARE, Detail.FULL, Detail.TERSE]
    for detail in details:
        for area in roomy:
            made = view_block(poses, sheet, wanted, scale, area, detail, linkage)
            if made.fits(area) and (best is None or made.trouble < best[0].trouble):
                best = made, area
            if best is not None and best[0].trouble <= _BEARABLE:
                return best
    return best


def _may_hold(area: Area, poses: Posed, scale: float) -> bool:
    """Whether an area holds the points of the design at least: a look before anything is drawn."""
    points = poses.design.points
    width, height = (
        scale * (max(along) - min(along))
        for along in ([point.x for point in points], [point.y for point in points])
    )
    return width <= area.width and height <= area.height


def _notices(view: ViewBlock, sheet: Sheet, wished: float | None) -> Iterator[str]:
    if wished is not None and view.scale != wished:
        drawn = scale_name(view.scale)
        yield f"{scale_name(wished)} does not fit on {sheet.size}; drawn at {drawn}."
    if view.left_out:
        listed, drawn = "; ".join(view.left_out), scale_name(view.scale)
        yield f"No room at {drawn} for a dimension in the view, see the tables: {listed}."


# ---- rooms ---------------------------------------------------------------------------------


def _areas(sheet: Sheet) -> Iterator[Area]:
    """Where the view may go: beside the title block where there is room, or over it."""
    area = drawing_area(sheet_size(sheet.size, sheet.landscape))
    inner = Area(area.left + _GAP, area.bottom + _GAP, area.right - _GAP, area.top - _GAP)
    beside = replace(inner, right=area.right - WIDTH - APART)
    if beside.width >= _LEAST_VIEW:
        yield beside
    yield replace(inner, bottom=area.bottom + HEIGHT + APART)


def _settled(view: ViewBlock, area: Area, sheet: Sheet) -> tuple[ViewBlock, tuple[Area, ...]]:
    """The view in the middle of what tables beside or below it leave of its area."""
    left, bottom, right, top = view.box
    inside = whole_page(sheet)
    beside = replace(inside, left=area.left + (right - left) + 2.0 * APART)
    below = replace(inside, top=area.top - (top - bottom) - 2.0 * APART)
    least_width, least_height = _LEAST_TABLES
    if beside.width >= least_width and beside.width * beside.height >= below.width * below.height:
        beside = replace(beside, left=inside.right - columns_width(beside.width))
        return view.placed(replace(area, right=beside.left - APART)), (beside,)
    if below.height >= least_height:
        return view.placed(replace(area, bottom=below.top + APART)), (below,)
    return view.placed(area), ()


def whole_page(sheet: Sheet) -> Area:
    """The room for tables over the title block, on a page without a view."""
    area = drawing_area(sheet_size(sheet.size, sheet.landscape))
    return Area(area.left + 2.0, area.bottom + HEIGHT + APART, area.right - 2.0, area.top - 3.0)
