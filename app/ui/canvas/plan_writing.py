"""What the plans of a floor have written themselves: where it stands, and what it names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
import shapely

from app.ui.canvas.plan_scene import PlanScene
from app.ui.canvas.qt_arrays import Floats

LEGIBLE_FROM_PX = 4.0
"""The height of a capital from which a text of the plan can be read."""

_AROUND_WORDS = ".,;:()[]"


def _no_boxes() -> Floats:
    return np.zeros((0, 5))


@dataclass(frozen=True, slots=True, eq=False)
class PlanWriting:
    """`boxes` (n, 5): left, bottom, right, top and the height of a capital, in mm; `texts` (n)."""

    boxes: Floats = field(default_factory=_no_boxes)
    texts: tuple[str, ...] = ()


def writing_of(scene: PlanScene) -> PlanWriting:
    """All visible texts of a scene."""
    rows, texts = [], []
    for sheet in scene.sheets:
        for layer in sheet.drawing.layers:
            if layer.name in sheet.hidden:
                continue
            for text in layer.texts:
                points = np.array([sheet.to_site.map(*corner) for corner in text.corners])
                height = text.height * sheet.mm_per_unit
                rows.append((*points.min(axis=0), *points.max(axis=0), height))
                texts.append(text.text)
    return PlanWriting(np.array(rows, dtype=np.float64).reshape(-1, 5), tuple(texts))


def words_within(writing: PlanWriting, shape: shapely.Polygon) -> dict[str, float]:
    """The words whose texts have their middle in a shape, with the height of their capitals."""
    boxes = writing.boxes
    x, y = (boxes[:, 0] + boxes[:, 2]) / 2, (boxes[:, 1] + boxes[:, 3]) / 2
    x0, y0, x1, y1 = shape.bounds
    near = np.flatnonzero((x >= x0) & (x <= x1) & (y >= y0) & (y <= y1))
    inside = near[shapely.contains_xy(shape, x[near], y[near])]
    words: dict[str, float] = {}
    for row in inside.tolist():
        for word in _words(writing.texts[row]):
            words[word] = max(words.get(word, 0.0), float(boxes[row, 4]))
    return words


def is_written(name: str, words: Mapping[str, float], px_per_mm: float) -> bool:
    """Whether every word of a name can be read among the words of the plan."""
    own = _words(name)
    return bool(own) and all(words.get(w, 0.0) * px_per_mm >= LEGIBLE_FROM_PX for w in own)


def _words(text: str) -> list[str]:
    stripped = (w.strip(_AROUND_WORDS).casefold() for w in text.split())
    return [w for w in stripped if w]
