"""Colours, line widths and dashes of a DXF document's entities, resolved to pens.

The only reading of a document's layer table: which layers there are, and what the file shows.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ezdxf.addons import acadctb
from ezdxf.addons.drawing.properties import (
    LayerProperties,
    LayoutProperties,
    Properties,
    RenderContext,
)
from ezdxf.document import Drawing

from app.drawing.plan_drawing import INK
from app.plans.cleaning import clean_name
from app.plans.flat import Pen
from app.plans.limits import MOST_COORDINATE

_INK_NAME = "#000001"
"""What the library is told the default pen's colour is; no palette contains it."""

MOST_DASHES = 64
MOST_WIDTH_MM = 100.0
DEFAULT_WIDTH_MM = 0.25

_LIGHT_GROUND = "#ffffff"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerState:
    """A layer of the file: its name as written, and whether the file shows it."""

    name: str
    is_on: bool
    is_frozen: bool


class PlanContext(RenderContext):
    """Resolves what entities look like; looks for no fonts and opens no plot style file."""

    def __init__(self, doc: Drawing) -> None:
        """Read the layers, linetypes and scales of a document."""
        self.layer_states = _layer_states(doc)
        super().__init__(doc, ctb=acadctb.new_ctb())
        self.set_layer_properties_override(_show_all)
        self.set_current_layout(doc.modelspace(), ctb=acadctb.new_ctb())
        self.current_layout_properties = LayoutProperties(
            "Model", _LIGHT_GROUND, foreground_color=_INK_NAME, units=self.units
        )

    def _setup_text_styles(self, doc: Drawing) -> None:
        """Text is kept as text: no fonts are looked for."""

    def is_frozen(self, layer: str) -> bool:
        """Whether the file has frozen the layer."""
        state = self.layer_states.get(clean_name(layer).lower())
        return state is not None and state.is_frozen


def _show_all(layers: Sequence[LayerProperties]) -> None:
    """Hidden layers are read like others; whether they are shown is kept beside."""
    for layer in layers:
        layer.is_visible = True


def _layer_states(doc: Drawing) -> dict[str, LayerState]:
    states = {}
    for layer in doc.layers:
        name = clean_name(str(layer.dxf.name))
        states[name.lower()] = LayerState(
            name=name, is_on=bool(layer.is_on()), is_frozen=bool(layer.is_frozen())
        )
    return states


class PenBox:
    """All pens in use, numbered as they turn up."""

    def __init__(self, layer_states: dict[str, LayerState]) -> None:
        """Start with no pens."""
        self.pens: list[Pen] = []
        self._numbers: dict[Pen, int] = {}
        self._states = layer_states

    def number(self, properties: Properties, layer: str | None) -> int:
        """The number of the pen for resolved properties, on `layer` if that is given."""
        name = clean_name(properties.layer if layer is None else layer)
        state = self._states.get(name.lower())
        pen = Pen(
            layer=name if state is None else state.name,
            colour=_colour(properties.color),
            width_mm=_width_mm(properties.lineweight),
            dashes=_dashes(properties.linetype_pattern, properties.linetype_scale),
        )
        number = self._numbers.get(pen)
        if number is None:
            number = self._numbers[pen] = len(self.pens)
            self.pens.append(pen)
        return number


def _colour(name: str) -> int:
    return INK if name[:7] == _INK_NAME else int(name[1:7], 16)


def _dashes(pattern: Sequence[float], scale: float) -> tuple[float, ...]:
    """Lengths on, off, ...; none where the pattern says nothing that can be drawn."""
    if len(pattern) < 2 or len(pattern) > MOST_DASHES or not scale > 0:  # noqa: PLR2004 - on, off
        return ()
    even = pattern[: len(pattern) // 2 * 2]
    lengths = tuple(round(float(length) * scale, 9) for length in even)
    return lengths if all(0 <= length <= MOST_COORDINATE for length in lengths) else ()


def _width_mm(width: float) -> float:
    """A pen's width, or that of the default pen where the file's is absurd."""
    return float(width) if 0 <= width <= MOST_WIDTH_MM else DEFAULT_WIDTH_MM
