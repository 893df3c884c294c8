"""Flattens the model space of a DXF document into arrays.

The library's frontend resolves entities; simple ones go straight into the collector here. What a
block contains is flattened once for every look it is given (layer, colour, width, size), and its
arrays are moved to each place where it is inserted.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import Any, TypeAlias, cast

from ezdxf.addons.drawing.config import Configuration, ImagePolicy
from ezdxf.addons.drawing.frontend import UniversalFrontend
from ezdxf.addons.drawing.gfxproxy import DXFGraphicProxy
from ezdxf.addons.drawing.properties import Properties
from ezdxf.entities.arc import Arc
from ezdxf.entities.circle import Circle
from ezdxf.entities.dimension import Dimension
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.ellipse import Ellipse
from ezdxf.entities.insert import Insert
from ezdxf.entities.line import Line
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.mtext import MText
from ezdxf.entities.polygon import DXFPolygon
from ezdxf.entities.polyline import Polyline
from ezdxf.entities.text import Text
from ezdxf.math import Vec3

from app.plans.collector import Collector
from app.plans.curves import FULL_TURN
from app.plans.dimensions import drawn_dimension, linear_dimension
from app.plans.flat import FlatGeometry
from app.plans.insertion import insertions
from app.plans.limits import MOST_NESTING, Budget, TooMuch
from app.plans.notes import Notes
from app.plans.outlines import polyline_points
from app.plans.pens import PenBox, PlanContext
from app.plans.placing import clipped, transformed
from app.plans.recording import RecordingPipeline
from app.plans.shading import draw_hatch
from app.plans.texts import text_of_block, text_of_line
from app.progress import Cancelled

_SKIPPED = {
    "IMAGE": "image-skipped",
    "WIPEOUT": "mask-skipped",
    "OLE2FRAME": "object-skipped",
    "OLEFRAME": "object-skipped",
    "PDFUNDERLAY": "underlay-skipped",
    "DWFUNDERLAY": "underlay-skipped",
    "DGNUNDERLAY": "underlay-skipped",
    "3DSOLID": "solid-skipped",
    "BODY": "solid-skipped",
    "REGION": "solid-skipped",
    "SURFACE": "solid-skipped",
    "EXTRUDEDSURFACE": "solid-skipped",
    "LOFTEDSURFACE": "solid-skipped",
    "REVOLVEDSURFACE": "solid-skipped",
    "SWEPTSURFACE": "solid-skipped",
    "ATTDEF": "attribute-definition",
    "XLINE": "construction-line",
    "RAY": "construction-line",
}
_SAID_NOTHING_OF = frozenset(("VIEWPORT", "LIGHT", "SUN", "CAMERA", "SEQEND"))

_PLAIN = frozenset(
    ("LINE", "ARC", "CIRCLE", "ELLIPSE", "LWPOLYLINE", "POLYLINE", "SPLINE", "POINT", "INSERT")
)
_LOOK = (
    "layer",
    "color",
    "true_color",
    "linetype",
    "lineweight",
    "ltscale",
    "transparency",
    "invisible",
)
"""What the look of a plain thing depends on, besides the block that it is in."""

BlockKey: TypeAlias = tuple[object, ...]


class FlatteningFrontend(UniversalFrontend):
    """The library's frontend, recording into a collector, with every block flattened once."""

    pipeline: RecordingPipeline

    def __init__(
        self, context: PlanContext, budget: Budget, notes: Notes, *, tolerance: float
    ) -> None:
        """Flatten with chords within `tolerance` of their curves."""
        self.budget = budget
        self.notes = notes
        self.pens = PenBox(context.layer_states)
        self._context = context
        self._blocks: dict[BlockKey, FlatGeometry] = {}
        self._open_blocks: list[str] = []
        self._looks: dict[tuple[object, ...], Properties] = {}
        super().__init__(
            context,
            RecordingPipeline(self.pens, Collector(budget, tolerance)),
            Configuration(
                image_policy=ImagePolicy.IGNORE, pdmode=0, pdsize=1, min_hatch_line_distance=0
            ),
        )

        self.plan_collector = self.pipeline.collector

    @property
    def collector(self) -> Collector:
        """Where things are gathered now: the plan's collector, or that of an open block."""
        return self.pipeline.collector

    def _build_dispatch_table(self) -> dict[str, Callable[[Any, Properties], None]]:
        table: dict[str, Callable[[Any, Properties], None]] = dict(super()._build_dispatch_table())
        table.update(
            {
                "LINE": self._draw_line,
                "INSERT": self._draw_insert,
                "DIMENSION": self._draw_dimension,
                "ARC_DIMENSION": self._draw_dimension,
                "LARGE_RADIAL_DIMENSION": self._draw_dimension,
                "CIRCLE": self._draw_circle,
                "ARC": self._draw_arc,
                "ELLIPSE": self._draw_ellipse,
                "TEXT": self._draw_text,
                "ATTRIB": self._draw_text,
                "MTEXT": self._draw_mtext,
            }
        )
        for name in _SKIPPED:
            table.pop(name, None)
        return table

    def draw_entities(
        self,
        entities: Iterable[DXFGraphic],
        *,
        filter_func: Callable[[DXFGraphic], bool] | None = None,
    ) -> None:
        """Draw entities one by one; what fails is counted, and the rest is kept."""
        for entity in entities:
            if filter_func is not None and not filter_func(entity):
                continue
            self.budget.spend_entity()
            kind = entity.dxftype()
            if kind in _SKIPPED:
                self.notes.add(_SKIPPED[kind])
                continue
            try:
                self._draw_one(entity)
            except (TooMuch, Cancelled, MemoryError):
                raise
            except Exception:
                self.notes.add("entity-failed", kind)

    def _draw_one(self, entity: DXFEntity) -> None:
        if not isinstance(entity, DXFGraphic):
            # Kinds that the library only stores may still carry a picture of themselves.
            entity = cast("DXFGraphic", DXFGraphicProxy(entity))
        properties = self._look(entity)
        if not properties.is_visible:
            return
        draw = self._dispatch.get(entity.dxftype())
        if draw is not None:
            draw(entity, properties)
        else:
            self.draw_entity(entity, properties)

    def _look(self, entity: DXFGraphic) -> Properties:
        """Resolved properties; things drawn alike in the same block share them."""
        if entity.dxftype() not in _PLAIN:
            return self.ctx.resolve_all(entity)
        own = vars(entity.dxf)
        key = tuple(own.get(name) for name in _LOOK)
        known = self._looks.get(key)
        if known is None:
            known = self._looks[key] = self.ctx.resolve_all(entity)
        return known

    def skip_entity(self, entity: DXFEntity, msg: str) -> None:
        """Count what the frontend does not draw."""
        kind = entity.dxftype()
        if kind not in _SAID_NOTHING_OF and msg != "invisible":
            self.notes.add("unsupported", kind)

    def log_message(self, message: str) -> None:
        """Nothing is logged: what matters is in the notes."""

    # Blocks

    def _draw_insert(self, insert: Insert, properties: Properties) -> None:
        """Draw a block reference; what a frozen one contains stays with it on its layer."""
        outer_layer = self.pipeline.layer
        if outer_layer is None and self._context.is_frozen(properties.layer):
            self.pipeline.layer = properties.layer
        try:
            self._draw_block(insert, properties)
            self.draw_entities(cast("list[DXFGraphic]", insert.attribs))
        finally:
            self.pipeline.layer = outer_layer

    def _draw_block(self, insert: Insert, properties: Properties) -> None:
        block = insert.block()
        name = str(insert.dxf.get("name", ""))
        if block is None:
            self.notes.add("block-missing", name)
        elif block.block is not None and block.block.is_xref:
            self.notes.add("external-missing", str(block.block.dxf.get("xref_path", name)))
        elif name in self._open_blocks:
            self.notes.add("block-cycle", name)
        elif len(self._open_blocks) >= MOST_NESTING:
            self.notes.add("block-depth", name)
        else:
            self._place(insert, name, block, properties)

    def _place(
        self, insert: Insert, name: str, block: Iterable[DXFGraphic], properties: Properties
    ) -> None:
        for affine, boundary in insertions(insert):
            scale = math.sqrt(abs(affine[0] * affine[3] - affine[1] * affine[2]))
            placed = transformed(self._block_geometry(name, block, properties, scale), affine)
            if boundary is not None:
                placed = clipped(placed, boundary.polygon, keep_outside=boundary.keeps_outside)
            self.collector.add(placed)

    def _block_geometry(
        self, name: str, block: Iterable[DXFGraphic], properties: Properties, scale: float
    ) -> FlatGeometry:
        size = math.frexp(scale)[1] if scale > 0 and math.isfinite(scale) else 0
        key = (
            name,
            self.pipeline.layer,
            properties.layer,
            properties.color,
            properties.lineweight,
            properties.linetype_name,
            size,
        )
        known = self._blocks.get(key)
        if known is None:
            tolerance = self.collector.tolerance / math.ldexp(1.0, size)
            known = self._blocks[key] = self._flatten_block(name, block, properties, tolerance)
        return known

    def _flatten_block(
        self, name: str, block: Iterable[DXFGraphic], properties: Properties, tolerance: float
    ) -> FlatGeometry:
        outer, outer_looks = self.pipeline.collector, self._looks
        self.pipeline.collector, self._looks = Collector(self.budget, tolerance), {}
        self._open_blocks.append(name)
        self.ctx.push_state(properties)
        try:
            self.draw_entities(e for e in block if e.dxftype() != "ATTDEF")
            return self.pipeline.collector.geometry()
        finally:
            self.ctx.pop_state()
            self._open_blocks.pop()
            self.pipeline.collector, self._looks = outer, outer_looks

    def _draw_dimension(self, dimension: Dimension, properties: Properties) -> None:
        block = dimension.get_geometry_block()
        measured = linear_dimension(dimension, block)
        if measured is not None:
            self.collector.dimension(measured)
        if block is not None:
            self._draw_dimension_block(dimension, block, properties)
        elif measured is not None:
            drawn_dimension(self.collector, measured, self.pipeline.pen(properties))
            self.notes.add("dimension-drawn")
        else:
            self.notes.add("dimension-failed")

    def _draw_dimension_block(
        self, dimension: Dimension, block: Iterable[DXFGraphic], properties: Properties
    ) -> None:
        """Draw a dimension's own picture, which lies in place already, unless it is turned over."""
        name = str(dimension.dxf.get("geometry", ""))
        if name in self._open_blocks:
            self.notes.add("block-cycle", name)
            return
        outer_looks, self._looks = self._looks, {}
        self._open_blocks.append(name)
        self.ctx.push_state(properties)
        try:
            if dimension.ocs().transform or dimension.dxf.get("insert"):
                self.draw_entities(dimension.virtual_entities())
            else:
                self.draw_entities(block)
        finally:
            self.ctx.pop_state()
            self._open_blocks.pop()
            self._looks = outer_looks

    # Entities that go straight into the collector

    def _draw_line(self, entity: Line, properties: Properties) -> None:
        start, end = entity.dxf.start, entity.dxf.end
        pen = self.pipeline.pen(properties)
        self.collector.line(start.x, start.y, end.x, end.y, pen)

    def _draw_circle(self, entity: Circle, properties: Properties) -> None:
        self._draw_round(entity, 0.0, FULL_TURN, properties)

    def _draw_arc(self, entity: Arc, properties: Properties) -> None:
        start = math.radians(entity.dxf.start_angle)
        sweep = (math.radians(entity.dxf.end_angle) - start) % FULL_TURN or FULL_TURN
        self._draw_round(entity, start, sweep, properties)

    def _draw_round(
        self, entity: Circle, start: float, sweep: float, properties: Properties
    ) -> None:
        radius = abs(float(entity.dxf.radius))
        ocs = entity.ocs()
        center = ocs.to_wcs(Vec3(entity.dxf.center))
        self.collector.curve(
            (center.x, center.y),
            (ocs.ux.x * radius, ocs.ux.y * radius),
            (ocs.uy.x * radius, ocs.uy.y * radius),
            start,
            sweep,
            self.pipeline.pen(properties),
        )

    def _draw_ellipse(self, entity: Ellipse, properties: Properties) -> None:
        dxf = entity.dxf
        center, major, minor = Vec3(dxf.center), Vec3(dxf.major_axis), Vec3(entity.minor_axis)
        start = float(dxf.start_param)
        sweep = (float(dxf.end_param) - start) % FULL_TURN or FULL_TURN
        self.collector.curve(
            (center.x, center.y),
            (major.x, major.y),
            (minor.x, minor.y),
            start,
            sweep,
            self.pipeline.pen(properties),
        )

    def draw_polyline_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        """Draw a polyline's line; a wide one is filled too, and a mesh is left to the library."""
        if isinstance(entity, Polyline) and (entity.is_polygon_mesh or entity.is_poly_face_mesh):
            super().draw_polyline_entity(entity, properties)
            return
        if not isinstance(entity, Polyline | LWPolyline):
            raise TypeError(entity.dxftype())
        points = polyline_points(entity, self.collector.tolerance)
        self.collector.polyline(
            points, self.pipeline.pen(properties), closed=bool(entity.is_closed)
        )
        if entity.has_width:
            super().draw_polyline_entity(entity, properties)

    def _draw_text(self, entity: Text, properties: Properties) -> None:
        embedded = getattr(entity, "has_embedded_mtext_entity", False)
        if embedded:
            self._draw_mtext(cast("Any", entity).virtual_mtext_entity(), properties)
            return
        text = text_of_line(entity)
        if text is None:
            self.notes.add("text-upright")
        else:
            self.collector.text(text, self.pipeline.pen(properties))

    def _draw_mtext(self, entity: MText, properties: Properties) -> None:
        text = text_of_block(entity)
        if text is None:
            self.notes.add("text-upright")
        else:
            self.collector.text(text, self.pipeline.pen(properties))

    def draw_hatch_entity(
        self, entity: DXFGraphic, properties: Properties, *, loops: Any = None
    ) -> None:
        """Draw a hatch, filled or with its pattern."""
        pen = self.pipeline.pen(properties)
        for code in draw_hatch(
            cast("DXFPolygon", entity), self.collector, pen, self.pipeline.flattened
        ):
            self.notes.add(code)
