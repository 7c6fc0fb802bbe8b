"""A page as a DXF file: the linkage 1:1 in mm with real dimensions, the sheet scaled around it.

Layers are those of the drawing. The page's `origin` is the file's zero.
"""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING

from app.drawing.boxes import base_left
from app.drawing.dxf_dimensions import add_dimension, add_dimension_style
from app.drawing.metrics import plain
from app.drawing.model import (
    PATTERNS,
    AngularDimension,
    Arc,
    Circle,
    Drawing,
    Layer,
    Line,
    LinearDimension,
    Place,
    Polyline,
    RadialDimension,
    Table,
    Text,
)
from app.drawing.table_parts import parts_of_table

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.layout import Modelspace

_MILLIMETRES = 4
_FONTS = {False: ("Throwover", "arial.ttf"), True: ("Throwover bold", "arialbd.ttf")}
_NARROWING = 0.92
"""What brings that font to the widths that texts are given; see `app.drawing.metrics`."""


def as_dxf(page: Drawing) -> bytes:
    """The page as a DXF file (release 2010), in model mm."""
    # Late: it takes half as long to load as the window to open.
    from ezdxf.filemanagement import new

    document = new("R2010", units=_MILLIMETRES)
    _prepare(document, page)
    _Sheet(document.modelspace(), page).everything()
    width, height = page.size
    document.set_modelspace_vport(
        height / page.scale,
        (
            (width / 2.0 - page.origin[0]) / page.scale,
            (height / 2.0 - page.origin[1]) / page.scale,
        ),
    )
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8", "replace")


def _prepare(document: Document, page: Drawing) -> None:
    document.header["$LTSCALE"] = 1.0 / page.scale
    document.header["$MEASUREMENT"] = 1
    document.header["$LWDISPLAY"] = 1
    for style, font in _FONTS.values():
        document.styles.add(style, font=font, dxfattribs={"width": _NARROWING})
    for layer in Layer:
        line_type = _line_type(document, layer)
        document.layers.add(layer.title, linetype=line_type, lineweight=round(100 * layer.width))
    add_dimension_style(document, _FONTS[False][0], 1.0 / page.scale)


def _line_type(document: Document, layer: Layer) -> str:
    pattern = [width * layer.width for width in PATTERNS[layer.pattern]]
    if not pattern:
        return "CONTINUOUS"
    name = f"{layer.pattern} {layer.width:g}".upper().replace(" ", "_").replace(".", "")
    if name not in document.linetypes:
        signed = [length * (-1.0) ** index for index, length in enumerate(pattern)]
        document.linetypes.add(name, [sum(pattern), *signed], description=layer.pattern)
    return name


class _Sheet:
    """One page going into a model space."""

    def __init__(self, space: Modelspace, page: Drawing) -> None:
        self._space = space
        self._page = page
        self._grow = 1.0 / page.scale

    def everything(self) -> None:
        """Add all elements in their order."""
        for element in self._page.elements:
            if isinstance(element, LinearDimension | AngularDimension | RadialDimension):
                add_dimension(self._space, element, self._at, self._page.scale)
            elif isinstance(element, Table):
                for part in parts_of_table(element):
                    self._part(part)
            else:
                self._part(element)

    def _at(self, place: Place) -> Place:
        x, y = self._page.origin
        return ((place[0] - x) * self._grow, (place[1] - y) * self._grow)

    def _part(self, part: Line | Polyline | Circle | Arc | Text) -> None:
        layer = {"layer": part.layer.title}
        if isinstance(part, Line):
            self._space.add_line(self._at(part.start), self._at(part.end), dxfattribs=layer)
        elif isinstance(part, Polyline):
            self._polyline(part)
        elif isinstance(part, Circle):
            self._circle(part)
        elif isinstance(part, Arc):
            self._space.add_arc(
                self._at(part.centre),
                part.radius * self._grow,
                part.start,
                part.end,
                dxfattribs=layer,
            )
        else:
            self._text(part)

    def _polyline(self, line: Polyline) -> None:
        places = [self._at(place) for place in line.points]
        if line.filled:
            hatch = self._space.add_hatch(dxfattribs={"layer": line.layer.title})
            hatch.paths.add_polyline_path(places, is_closed=True)
        else:
            self._space.add_lwpolyline(
                places, close=line.closed, dxfattribs={"layer": line.layer.title}
            )

    def _circle(self, circle: Circle) -> None:
        centre, radius = self._at(circle.centre), circle.radius * self._grow
        if circle.filled:
            hatch = self._space.add_hatch(dxfattribs={"layer": circle.layer.title})
            hatch.paths.add_edge_path().add_arc(centre, radius, 0.0, 360.0)
        else:
            self._space.add_circle(centre, radius, dxfattribs={"layer": circle.layer.title})

    def _text(self, text: Text) -> None:
        # The anchor is brought to the base line, where every program counts from alike.
        from ezdxf.enums import TextEntityAlignment

        _, up = base_left(text)
        turn = math.radians(text.turn)
        at = (text.at[0] - up * math.sin(turn), text.at[1] + up * math.cos(turn))
        sides = {
            "left": TextEntityAlignment.LEFT,
            "middle": TextEntityAlignment.CENTER,
            "right": TextEntityAlignment.RIGHT,
        }
        entity = self._space.add_text(
            _uncoded(text.text),
            height=text.height * self._grow,
            rotation=text.turn,
            dxfattribs={
                "layer": text.layer.title,
                "style": _FONTS[text.bold][0],
                "width": _NARROWING,
            },
        )
        entity.set_placement(self._at(at), align=sides[text.across])


def _uncoded(text: str) -> str:
    """A text in which nothing is a code: two percent signs begin one, ^ stands for control."""
    text = plain(text).replace("%%", "% %")
    return text.replace("^", "ˆ").replace("\\U+", "\\ U+").replace("\\M+", "\\ M+")
