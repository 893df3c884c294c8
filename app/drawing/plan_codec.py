"""A plan's drawing as one compact run of bytes, and back; nothing in it is executed.

The bytes are a magic word and one deflated run: the length of a header, the header (JSON:
names, texts, tables and the number of rows of each array) and all arrays one after the other,
the bytes of their numbers sorted by significance, which deflates better. A drawing from a
stranger is untrusted: every size, index and number is checked before it is believed.
"""

from __future__ import annotations

import struct
import zlib
from dataclasses import dataclass
from typing import Annotated, Any

import msgspec
import numpy as np
import numpy.typing as npt

from app.drawing.plan_drawing import MOST_COORDINATE, PlanDrawing, PlanLayer, PlanText
from app.drawing.primitives import HorizontalAlign, VerticalAlign

MAGIC = b"DCPLAN1\n"
MOST_BYTES = 768 * 1024 * 1024
"""A drawing that inflates to more than this is not read."""
DEFLATE_LEVEL = 4
_LENGTH = struct.Struct("<I")


class PlanDrawingError(Exception):
    """Bytes that are not a plan's drawing, or a damaged one."""


@dataclass(frozen=True, slots=True)
class _Column:
    """An array of a layer: its name, its numbers, and how many of them make a row."""

    name: str
    dtype: str
    width: int = 1


_COLUMNS = (
    _Column("segments", "<f8", 4),
    _Column("segment_colours", "<i4"),
    _Column("segment_weights", "<i4"),
    _Column("segment_dashes", "<i4"),
    _Column("outlines", "<i4", 2),
    _Column("arcs", "<f8", 5),
    _Column("hatch_lines", "<f8", 4),
    _Column("hatch_colours", "<i4"),
    _Column("hatch_weights", "<i4"),
    _Column("fill_points", "<f8", 2),
    _Column("fill_rings", "<i4"),
    _Column("fill_paths", "<i4"),
    _Column("fill_colours", "<i4"),
)

_Name = Annotated[str, msgspec.Meta(max_length=1000)]
_Words = Annotated[str, msgspec.Meta(max_length=8000)]
_Count = Annotated[int, msgspec.Meta(ge=0, le=100_000_000)]
_Colour = Annotated[int, msgspec.Meta(ge=-1, le=0xFFFFFF)]
_Width = Annotated[float, msgspec.Meta(ge=0, le=1000)]
_Number = Annotated[float, msgspec.Meta(ge=-MOST_COORDINATE, le=MOST_COORDINATE)]
_Length = Annotated[float, msgspec.Meta(ge=0, le=MOST_COORDINATE)]
_Dashes = Annotated[tuple[_Length, ...], msgspec.Meta(max_length=64)]
_Place = tuple[_Number, _Number]
_Box = tuple[_Number, _Number, _Number, _Number]


class _Text(msgspec.Struct, frozen=True, forbid_unknown_fields=True, array_like=True):
    text: _Words
    position: _Place
    height: _Length
    width: _Length
    rotation_deg: _Number
    horizontal: HorizontalAlign
    vertical: VerticalAlign
    line_step: _Number
    colour: _Count


class _Layer(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    name: _Name
    is_on: bool
    is_frozen: bool
    rows: tuple[_Count, ...]
    texts: Annotated[list[_Text], msgspec.Meta(max_length=1_000_000)]


class _Header(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    origin: _Place
    colours: Annotated[tuple[_Colour, ...], msgspec.Meta(max_length=1_000_000)]
    lineweights_mm: Annotated[tuple[_Width, ...], msgspec.Meta(max_length=100_000)]
    dash_patterns: Annotated[tuple[_Dashes, ...], msgspec.Meta(max_length=100_000)]
    bounds: _Box | None
    raw_bounds: _Box | None
    layers: Annotated[list[_Layer], msgspec.Meta(max_length=100_000)]


def encode_drawing(drawing: PlanDrawing) -> bytes:
    """The drawing as bytes; the same drawing always gives the same bytes."""
    header = msgspec.json.encode(
        _Header(
            origin=drawing.origin,
            colours=drawing.colours,
            lineweights_mm=drawing.lineweights_mm,
            dash_patterns=drawing.dash_patterns,
            bounds=drawing.bounds,
            raw_bounds=drawing.raw_bounds,
            layers=[_layer_header(layer) for layer in drawing.layers],
        )
    )
    deflate = zlib.compressobj(DEFLATE_LEVEL)
    pieces = [MAGIC, deflate.compress(_LENGTH.pack(len(header)) + header)]
    for layer in drawing.layers:
        for column in _COLUMNS:
            pieces.append(deflate.compress(_packed(getattr(layer, column.name), column)))
    pieces.append(deflate.flush())
    return b"".join(pieces)


def _layer_header(layer: PlanLayer) -> _Layer:
    return _Layer(
        name=layer.name,
        is_on=layer.is_on,
        is_frozen=layer.is_frozen,
        rows=tuple(len(getattr(layer, column.name)) for column in _COLUMNS),
        texts=[
            _Text(
                text=text.text,
                position=(float(text.position[0]), float(text.position[1])),
                height=float(text.height),
                width=float(text.width),
                rotation_deg=float(text.rotation_deg),
                horizontal=text.horizontal,
                vertical=text.vertical,
                line_step=float(text.line_step),
                colour=text.colour,
            )
            for text in layer.texts
        ],
    )


def _packed(rows: npt.NDArray[Any], column: _Column) -> bytes:
    """The bytes of an array, those of equal significance together."""
    flat = np.ascontiguousarray(rows, dtype=column.dtype).reshape(-1)
    return flat.view(np.uint8).reshape(-1, flat.itemsize).T.tobytes()


def _unpacked(data: memoryview, column: _Column) -> npt.NDArray[Any]:
    dtype = np.dtype(column.dtype)
    together = np.frombuffer(data, dtype=np.uint8).reshape(dtype.itemsize, -1)
    flat = np.ascontiguousarray(together.T).view(dtype).reshape(-1)
    native = flat.astype(dtype.newbyteorder("="), copy=False)
    return native.reshape(-1, column.width) if column.width > 1 else native


def decode_drawing(data: bytes) -> PlanDrawing:
    """The drawing that `encode_drawing` wrote. Raises PlanDrawingError."""
    if not data.startswith(MAGIC):
        raise PlanDrawingError("These are not the bytes of a plan's drawing.")
    body = _inflated(data[len(MAGIC) :])
    if len(body) < _LENGTH.size:
        raise PlanDrawingError("A plan's drawing ends before its header.")
    (length,) = _LENGTH.unpack_from(body)
    start = _LENGTH.size + length
    if start > len(body):
        raise PlanDrawingError("A plan's drawing ends within its header.")
    try:
        header = msgspec.json.decode(body[_LENGTH.size : start], type=_Header)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise PlanDrawingError(f"A plan's drawing has a damaged header: {error}.") from error
    return PlanDrawing(
        origin=header.origin,
        layers=tuple(_layers(header, memoryview(body)[start:])),
        colours=header.colours,
        lineweights_mm=header.lineweights_mm,
        dash_patterns=header.dash_patterns,
        bounds=header.bounds,
        raw_bounds=header.raw_bounds,
    )


def _inflated(data: bytes) -> bytes:
    inflate = zlib.decompressobj()
    try:
        body = inflate.decompress(data, MOST_BYTES)
    except zlib.error as error:
        raise PlanDrawingError(f"A plan's drawing is damaged: {error}.") from error
    if not inflate.eof:
        if len(body) >= MOST_BYTES:
            raise PlanDrawingError("A plan's drawing is larger than Drawcord reads.")
        raise PlanDrawingError("A plan's drawing is cut short.")
    return body


def _layers(header: _Header, data: memoryview) -> list[PlanLayer]:
    needed = sum(
        rows * column.width * np.dtype(column.dtype).itemsize
        for layer in header.layers
        for rows, column in zip(layer.rows, _COLUMNS, strict=False)
    )
    if needed != len(data) or any(len(layer.rows) != len(_COLUMNS) for layer in header.layers):
        raise PlanDrawingError("A plan's drawing has arrays of another size than it says.")
    if not header.dash_patterns or header.dash_patterns[0]:
        raise PlanDrawingError("A plan's drawing does not begin its dashes with a solid line.")
    layers = []
    at = 0
    for layer in header.layers:
        arrays = {}
        for rows, column in zip(layer.rows, _COLUMNS, strict=True):
            size = rows * column.width * np.dtype(column.dtype).itemsize
            arrays[column.name] = _unpacked(data[at : at + size], column)
            at += size
        _check_layer(layer, arrays, header)
        layers.append(_decoded_layer(layer, arrays))
    return layers


def _decoded_layer(layer: _Layer, arrays: dict[str, npt.NDArray[Any]]) -> PlanLayer:
    texts = tuple(
        PlanText(**{name: getattr(text, name) for name in _Text.__struct_fields__})
        for text in layer.texts
    )
    return PlanLayer(
        name=layer.name, is_on=layer.is_on, is_frozen=layer.is_frozen, texts=texts, **arrays
    )


def _check_layer(layer: _Layer, arrays: dict[str, npt.NDArray[Any]], header: _Header) -> None:
    """Raise PlanDrawingError unless every number is believable and every index finds something."""
    lines, hatches = len(arrays["segments"]), len(arrays["hatch_lines"])
    colours = len(header.colours)
    indices = (
        ("segment_colours", lines, colours),
        ("segment_weights", lines, len(header.lineweights_mm)),
        ("segment_dashes", lines, len(header.dash_patterns)),
        ("hatch_colours", hatches, colours),
        ("hatch_weights", hatches, len(header.lineweights_mm)),
        ("fill_colours", len(arrays["fill_paths"]) - 1, colours),
    )
    problems = [
        f"{name} of layer {layer.name!r}"
        for name, rows, limit in indices
        if len(arrays[name]) != rows or not _within(arrays[name], limit)
    ]
    problems += [
        f"{name} of layer {layer.name!r}"
        for name in ("segments", "arcs", "hatch_lines", "fill_points")
        if not (np.abs(arrays[name]) <= MOST_COORDINATE).all()
    ]
    outlines = arrays["outlines"].astype(np.int64)
    if not ((outlines >= 0).all() and (outlines.sum(axis=1) <= lines).all()):
        problems.append(f"outlines of layer {layer.name!r}")
    for name, total in (("fill_rings", "fill_points"), ("fill_paths", "fill_rings")):
        most = len(arrays[total]) - (1 if total == "fill_rings" else 0)
        if not _are_offsets(arrays[name], most):
            problems.append(f"{name} of layer {layer.name!r}")
    if any(text.colour >= colours for text in layer.texts):
        problems.append(f"texts of layer {layer.name!r}")
    if problems:
        raise PlanDrawingError(f"A plan's drawing is damaged in the {problems[0]}.")


def _within(indices: npt.NDArray[Any], limit: int) -> bool:
    return not len(indices) or bool(indices.min() >= 0 and indices.max() < limit)


def _are_offsets(offsets: npt.NDArray[Any], total: int) -> bool:
    """Whether offsets begin at 0, never fall, and end at the total."""
    if not len(offsets) or offsets[0] != 0 or offsets[-1] != total:
        return False
    return bool((np.diff(offsets.astype(np.int64)) >= 0).all())
