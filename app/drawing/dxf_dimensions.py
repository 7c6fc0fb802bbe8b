"""Dimensions as DIMENSION entities, which CAD programs measure and edit as such."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from app.drawing.cutting import cut
from app.drawing.dimension_parts import (
    ABOVE,
    ARROW,
    BEYOND,
    GAP,
    leader_of,
    line_angle,
    polar,
    readable,
    text_middle,
)
from app.drawing.metrics import text_width
from app.drawing.model import (
    AngularDimension,
    Arc,
    Corners,
    Dimension,
    Layer,
    Line,
    LinearDimension,
    Place,
    RadialDimension,
)

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.entities.dimstyleoverride import DimStyleOverride
    from ezdxf.layouts.blocklayout import BlockLayout
    from ezdxf.layouts.layout import Modelspace

STYLE = "THROWOVER"
_BY_BLOCK = 0
"""The colour number of what takes the colour of its dimension."""
ToModel = Callable[[Place], Place]


def add_dimension_style(document: Document, text_style: str, scale: float) -> None:
    """A dimension style of our own; `scale` is file mm per mm on paper.

    The library's styles for radii count lengths a hundredfold; this one counts them once.
    """
    style = document.dimstyles.new(STYLE)
    style.dxf.dimtxsty = text_style
    style.dxf.dimscale = scale
    style.dxf.dimlfac = 1.0
    style.dxf.dimtxt = 2.5
    style.dxf.dimasz = ARROW
    style.dxf.dimexo = GAP
    style.dxf.dimexe = BEYOND
    style.dxf.dimgap = ABOVE
    style.dxf.dimtad = 1  # text above the line
    style.dxf.dimtih = 0  # and along it
    style.dxf.dimtoh = 0
    style.dxf.dimdec = 2
    style.dxf.dimzin = 8  # no zeros at the end
    style.dxf.dimdsep = ord(".")
    style.dxf.dimadec = 2
    style.dxf.dimazin = 2
    style.dxf.dimtmove = 2  # a moved text leaves the line where it is


def add_dimension(space: Modelspace, dimension: Dimension, at: ToModel, page_scale: float) -> None:
    """Add a dimension; `at` brings a place on paper into the file's mm.

    A view of another scale than the page's main view gets the factor that makes its dimensions
    true.
    """
    if isinstance(dimension, LinearDimension):
        made = _linear(space, dimension, at, page_scale)
    elif isinstance(dimension, AngularDimension):
        made = _angular(space, dimension, at)
    else:
        made = _radial(space, dimension, at, page_scale)
    made.render()
    if isinstance(dimension, AngularDimension):
        _tie(made.dimension.get_geometry_block(), dimension, at)
    if dimension.gaps:
        _interrupt(made.dimension.get_geometry_block(), dimension.gaps, at)


def _tie(block: BlockLayout | None, dimension: AngularDimension, at: ToModel) -> None:
    """The leader to an angle's text, as on paper: the library draws one to the arc's middle."""
    assert block is not None  # rendered just now
    for line in leader_of(dimension):
        block.add_line(at(line.start), at(line.end), dxfattribs={"color": _BY_BLOCK})


def _interrupt(block: BlockLayout | None, gaps: Sequence[Corners], at: ToModel) -> None:
    """Cut the drawn lines of a dimension at texts; who draws it anew may close them again."""
    assert block is not None  # rendered just now
    corners = [(at(a), at(b), at(c), at(d)) for a, b, c, d in gaps]
    layer = Layer.DIMENSIONS
    for entity in list(block.query("LINE ARC")):
        attributes = {"layer": entity.dxf.layer, "color": entity.dxf.color}
        stroke: Line | Arc
        if entity.dxftype() == "LINE":
            start, end = entity.dxf.start, entity.dxf.end
            stroke = Line(layer, (start.x, start.y), (end.x, end.y))
        else:
            centre, begin = entity.dxf.center, entity.dxf.start_angle
            turn = (entity.dxf.end_angle - begin) % 360.0
            stroke = Arc(layer, (centre.x, centre.y), entity.dxf.radius, begin, begin + turn)
        block.delete_entity(entity)
        for piece in cut(stroke, corners):
            if isinstance(piece, Line):
                block.add_line(piece.start, piece.end, dxfattribs=attributes)
            elif isinstance(piece, Arc):
                block.add_arc(
                    *(piece.centre, piece.radius, piece.start, piece.end), dxfattribs=attributes
                )


def _linear(
    space: Modelspace, dimension: LinearDimension, at: ToModel, page_scale: float
) -> DimStyleOverride:
    written = f"{dimension.value:.2f}".rstrip("0").rstrip(".")
    angle = readable(line_angle(dimension))  # or its text stands on its head
    ends = sorted(
        (dimension.start, dimension.end),
        key=lambda place: (
            place[0] * math.cos(math.radians(angle)) + place[1] * math.sin(math.radians(angle))
        ),
    )
    return space.add_linear_dim(
        base=at(dimension.through),
        p1=at(ends[0]),  # in the angle's direction, or the arrow heads point the wrong way
        p2=at(ends[1]),
        location=at(text_middle(dimension)),
        text="<>" if dimension.text == written else dimension.text,
        angle=angle,
        dimstyle=STYLE,
        override={"dimlfac": page_scale / dimension.scale},
        dxfattribs={"layer": dimension.layer.title},
    )


def _angular(space: Modelspace, dimension: AngularDimension, at: ToModel) -> DimStyleOverride:
    # Through three points: the kind through two lines may take the other sector.
    centre = dimension.centre
    first, second = (
        polar(centre, max(reach, 1.0), direction)
        for direction, reach in zip((dimension.start, dimension.end), dimension.reach, strict=True)
    )
    middle = (dimension.start + dimension.end) / 2.0
    return space.add_angular_dim_3p(
        base=at(polar(centre, dimension.radius, middle)),
        center=at(centre),
        p1=at(first),
        p2=at(second),
        location=at(text_middle(dimension)),
        text=dimension.text,
        text_rotation=0.0,
        dimstyle=STYLE,
        dxfattribs={"layer": dimension.layer.title},
    )


def _radial(
    space: Modelspace, dimension: RadialDimension, at: ToModel, page_scale: float
) -> DimStyleOverride:
    add = space.add_diameter_dim if dimension.kind == "diameter" else space.add_radius_dim
    half = text_width(dimension.text, dimension.height) / 2.0
    right = dimension.text_at[0] >= dimension.centre[0]
    x = dimension.text_at[0] + (half if right else -half)
    return add(
        center=at(dimension.centre),
        radius=dimension.radius / page_scale,
        angle=dimension.direction,
        location=at((x, dimension.text_at[1] + dimension.height / 2.0)),
        text=dimension.text,
        dimstyle=STYLE,
        override={"dimlfac": page_scale / dimension.scale, "dimtoh": 1, "dimtmove": 1},
        dxfattribs={"layer": dimension.layer.title},
    )
