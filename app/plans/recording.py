"""The recording end of the drawing frontend: what it draws goes straight into a collector."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
from ezdxf.addons.drawing.backend import ImageData
from ezdxf.addons.drawing.config import Configuration
from ezdxf.addons.drawing.pipeline import AbstractPipeline, DrawEntitiesCallback
from ezdxf.addons.drawing.properties import Properties, RenderContext
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.viewport import Viewport
from ezdxf.math import AnyVec, Matrix44
from ezdxf.path import Path
from ezdxf.tools.clipping_portal import ClippingShape

from app.plans.beziers import flattened_path
from app.plans.collector import Collector
from app.plans.pens import PenBox


class RecordingPipeline(AbstractPipeline):
    """Draws by adding to `collector`, with pens numbered by `pens`, on `layer` if it is set."""

    def __init__(self, pens: PenBox, collector: Collector) -> None:
        """Record into a collector; the frontend changes the collector at each block."""
        self.pens = pens
        self.collector = collector
        self.layer: str | None = None

    def pen(self, properties: Properties) -> int:
        """The number of the pen for these properties."""
        return self.pens.number(properties, self.layer)

    def draw_point(self, pos: AnyVec, properties: Properties) -> None:
        """A point: a line without length."""
        self.collector.line(pos.x, pos.y, pos.x, pos.y, self.pen(properties))

    def draw_line(self, start: AnyVec, end: AnyVec, properties: Properties) -> None:
        """A straight line."""
        self.collector.line(start.x, start.y, end.x, end.y, self.pen(properties))

    def draw_solid_lines(
        self, lines: Iterable[tuple[AnyVec, AnyVec]], properties: Properties
    ) -> None:
        """Lines of a pattern."""
        rows = np.array([(s.x, s.y, e.x, e.y) for s, e in lines]).reshape(-1, 4)
        self.collector.hatch(rows, self.pen(properties))

    def draw_path(self, path: Path, properties: Properties) -> None:
        """A line of straight and curved pieces."""
        pen = self.pen(properties)
        for part in path.sub_paths() if path.has_sub_paths else (path,):
            points = self.flattened(part)
            self.collector.polyline(points, pen, closed=part.is_closed)

    def draw_filled_paths(self, paths: Iterable[Path], properties: Properties) -> None:
        """An area with holes."""
        self.collector.fill([self.flattened(path) for path in paths], self.pen(properties))

    def draw_filled_polygon(self, points: Iterable[AnyVec], properties: Properties) -> None:
        """An area without holes."""
        self.collector.fill([[(p.x, p.y) for p in points]], self.pen(properties))

    def flattened(self, path: Path) -> list[tuple[float, float]]:
        """The vertices of a path whose curves are broken into chords."""
        return flattened_path(path, self.collector.tolerance)

    # What follows is asked for by the frontend and not used here: texts are recorded as text,
    # pictures and viewports are not drawn, blocks are clipped as arrays.

    def set_draw_entities_callback(self, callback: DrawEntitiesCallback) -> None:
        """Not used: there are no viewports."""

    def set_config(self, config: Configuration) -> None:
        """Not used: nothing here is configured."""

    def set_current_entity_handle(self, handle: str) -> None:
        """Not used: handles are not kept."""

    def push_clipping_shape(self, shape: ClippingShape, transform: Matrix44 | None) -> None:
        """Not used: blocks are clipped as arrays."""

    def pop_clipping_shape(self) -> None:
        """Not used: blocks are clipped as arrays."""

    def draw_viewport(
        self, vp: Viewport, layout_ctx: RenderContext, bbox_cache: Any = None
    ) -> None:
        """Not used: paper space is not drawn."""

    def draw_text(
        self,
        text: str,
        transform: Matrix44,
        properties: Properties,
        cap_height: float,
        dxftype: str = "TEXT",
    ) -> None:
        """Not used: texts are recorded as text."""

    def draw_image(self, image_data: ImageData, properties: Properties) -> None:
        """Not used: pictures are not drawn."""

    def finalize(self) -> None:
        """Not used: arrays need no end."""

    def set_background(self, color: str) -> None:
        """Not used: the ground is the canvas's."""

    def enter_entity(self, entity: DXFGraphic, properties: Properties) -> None:
        """Not used: properties come with each call."""

    def exit_entity(self, entity: DXFGraphic) -> None:
        """Not used: properties come with each call."""
