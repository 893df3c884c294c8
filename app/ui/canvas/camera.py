"""Where the canvas looks: a point of the site, a scale, and the size of the widget."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from PySide6.QtCore import QPointF
from PySide6.QtGui import QTransform

LEAST_PX_PER_MM = 2**-13
MOST_PX_PER_MM = 4.0
"""From 13 km across a screen to a quarter of a metre."""

STEPS_PER_DOUBLING = 9_600

Box = tuple[float, float, float, float]
"""Least x, least y, greatest x, greatest y in millimetres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Site axes (mm, y up) to the widget (logical pixels, y down) and back."""

    x_mm: float = 0.0
    y_mm: float = 0.0
    px_per_mm: float = 0.02
    width_px: int = 1
    height_px: int = 1

    def to_screen(self, x_mm: float, y_mm: float) -> QPointF:
        return QPointF(
            (x_mm - self.x_mm) * self.px_per_mm + self.width_px / 2,
            (self.y_mm - y_mm) * self.px_per_mm + self.height_px / 2,
        )

    def to_model(self, x_px: float, y_px: float) -> tuple[float, float]:
        return (
            self.x_mm + (x_px - self.width_px / 2) / self.px_per_mm,
            self.y_mm - (y_px - self.height_px / 2) / self.px_per_mm,
        )

    def transform(self) -> QTransform:
        """Millimetres of the site to pixels of the widget."""
        s = self.px_per_mm
        return QTransform(
            s,
            0.0,
            0.0,
            -s,
            self.width_px / 2 - self.x_mm * s,
            self.height_px / 2 + self.y_mm * s,
        )

    def visible(self, margin_px: float = 0.0) -> Box:
        """The part of the site in sight, and `margin_px` around it."""
        x0, y1 = self.to_model(-margin_px, -margin_px)
        x1, y0 = self.to_model(self.width_px + margin_px, self.height_px + margin_px)
        return x0, y0, x1, y1

    def resized(self, width_px: int, height_px: int) -> Camera:
        """The same centre in a widget of another size."""
        return replace(self, width_px=max(1, width_px), height_px=max(1, height_px))

    def panned(self, dx_px: float, dy_px: float) -> Camera:
        """The paper moved by so many pixels."""
        return replace(
            self,
            x_mm=self.x_mm - dx_px / self.px_per_mm,
            y_mm=self.y_mm + dy_px / self.px_per_mm,
        )

    def zoomed(self, px_per_mm: float, x_px: float, y_px: float) -> Camera:
        """At another scale, with the point under (x_px, y_px) staying where it is.

        Scales lie on fine steps, so that zooming in and out again finds the same tiles.
        """
        scale = _on_a_step(min(MOST_PX_PER_MM, max(LEAST_PX_PER_MM, px_per_mm)))
        x, y = self.to_model(x_px, y_px)
        return replace(
            self,
            px_per_mm=scale,
            x_mm=x - (x_px - self.width_px / 2) / scale,
            y_mm=y + (y_px - self.height_px / 2) / scale,
        )

    def on_whole_pixels(self, pixel_ratio: float) -> Camera:
        """Moved by less than a pixel so that the site's origin falls on a device pixel.

        Tiles and stamps then meet the lines that are drawn between them.
        """
        scale = self.px_per_mm * pixel_ratio
        left = self.x_mm * scale - self.width_px * pixel_ratio / 2
        top = self.y_mm * scale + self.height_px * pixel_ratio / 2
        return replace(
            self,
            x_mm=(round(left) + self.width_px * pixel_ratio / 2) / scale,
            y_mm=(round(top) - self.height_px * pixel_ratio / 2) / scale,
        )

    def fitted(self, box: Box, margin_px: float = 40.0) -> Camera:
        """The whole of a box in sight, as large as it goes, with a margin around it."""
        wide = max(box[2] - box[0], 1.0)
        tall = max(box[3] - box[1], 1.0)
        scale = min(
            max(self.width_px - 2 * margin_px, 1.0) / wide,
            max(self.height_px - 2 * margin_px, 1.0) / tall,
        )
        return replace(
            self,
            x_mm=(box[0] + box[2]) / 2,
            y_mm=(box[1] + box[3]) / 2,
            px_per_mm=_on_a_step(min(MOST_PX_PER_MM, max(LEAST_PX_PER_MM, scale))),
        )


def _on_a_step(px_per_mm: float) -> float:
    """The nearest of STEPS_PER_DOUBLING even steps between a scale and its double."""
    step = round(math.log2(px_per_mm) * STEPS_PER_DOUBLING)
    return float(2 ** (step / STEPS_PER_DOUBLING))
