"""Read a plan from a file or from bytes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from ezdxf.document import Drawing

from app.drawing.plan_drawing import PlanDrawing
from app.plans.assemble import assembled
from app.plans.byte_stream import digest, read_bytes, too_large
from app.plans.classify import HEAD_BYTES, classify_bytes
from app.plans.document import damaged, pieced_together, plain, read_strictly, recovered
from app.plans.flat import FlatGeometry, Pen
from app.plans.flatten import FlatteningFrontend
from app.plans.imported import ImportedPlan, PlanImportError
from app.plans.limits import MOST_FILE_BYTES, Budget, TooMuch
from app.plans.loose_dimensions import stated_beside_lines
from app.plans.notes import Notes
from app.plans.pens import LayerState, PlanContext
from app.plans.scale_guess import chord_tolerance
from app.plans.units import (
    HEADER_VARIABLES,
    is_sure,
    loose_dimensions,
    stated_dimensions,
    unit_proposals,
)
from app.progress import Cancelled, Progress, Silent

ASSEMBLED = 0.95
DEFAULT_NAME = "plan.dxf"


def read_plan(
    path_or_bytes: Path | str | bytes, *, name: str | None = None, progress: Progress | None = None
) -> ImportedPlan:
    """Read a DXF of any version; `name` is shown in messages (default: the file's name).

    Runs in any thread. Raises PlanImportError for a file that is no plan or cannot be read, and
    Cancelled when `progress` says so.
    """
    progress = Silent() if progress is None else progress
    if isinstance(path_or_bytes, bytes):
        data, name = path_or_bytes, name or DEFAULT_NAME
        if len(data) > MOST_FILE_BYTES:
            raise PlanImportError(too_large(name, len(data)))
    else:
        path = Path(path_or_bytes)
        name = name or path.name
        data = read_bytes(path, name=name, progress=progress)
    refusal = classify_bytes(data[:HEAD_BYTES])
    if refusal is not None:
        raise PlanImportError(f"{name}: {refusal}")
    try:
        # Numbers that overflow lie nowhere, and are dropped and counted with the rest of these.
        with np.errstate(all="ignore"):
            return _read_dxf(data, name, progress)
    except MemoryError as error:
        raise PlanImportError(
            f"{name} needs more memory than there is. Close other programs, or save only the "
            "floor that is needed and open that."
        ) from error


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Drawn:
    """What is needed of a document once it is drawn."""

    geometry: FlatGeometry
    pens: Sequence[Pen]
    layer_states: dict[str, LayerState]
    header: dict[str, object]
    notes: Notes


def _read_dxf(data: bytes, name: str, progress: Progress) -> ImportedPlan:
    drawn = _drawn(plain(data), name, progress)
    progress.report(ASSEMBLED, "Sorting by layer")
    notes = drawn.notes
    drawing, dimensions = assembled(drawn.geometry, drawn.pens, drawn.layer_states, notes)
    if not _shows_something(drawing):
        raise PlanImportError(_nothing_drawn(name, notes))
    _note_hidden_layers(drawing, notes)
    _note_stray(drawing, notes)
    stated = stated_dimensions(dimensions)
    loose = stated_beside_lines(drawing, stated)
    proposals = unit_proposals(drawn.header, drawing, stated, loose)
    progress.report(1.0, "Read")
    return ImportedPlan(
        drawing=drawing,
        proposals=proposals,
        is_unscaled=not is_sure(proposals),
        report=notes.report(),
        dimensions=(*stated, *loose_dimensions(loose, proposals[0].mm_per_unit)),
        sha256=digest(data),
        source_name=name,
    )


def _drawn(data: bytes, name: str, progress: Progress) -> _Drawn:
    """The file read and drawn as it stands, or else as recovered. Raises PlanImportError.

    The library raises almost anything on damage, while reading and while drawing.
    """
    errors: list[Exception] = []
    empty: _Drawn | None = None
    for read in (read_strictly, recovered, pieced_together):
        notes = Notes()
        try:
            drawn = _draw(read(data, notes, progress), notes, progress)
        except (Cancelled, MemoryError):
            raise
        except Exception as error:
            errors.append(error)
            continue
        if drawn.geometry.has_content:
            return drawn
        empty = drawn if empty is None else empty
    if empty is None:
        raise damaged(name, errors) from errors[-1]
    return empty


def _draw(doc: Drawing, notes: Notes, progress: Progress) -> _Drawn:
    """The model space, flattened."""
    budget = Budget(progress=progress, expected_entities=max(len(doc.entitydb), 1))
    context = PlanContext(doc)
    frontend = FlatteningFrontend(context, budget, notes, tolerance=chord_tolerance(doc))
    try:
        frontend.draw_entities(doc.modelspace())
    except TooMuch:
        notes.add("too-much")
    _note_paper_space(doc, notes)
    return _Drawn(
        geometry=frontend.plan_collector.geometry(),
        pens=frontend.pens.pens,
        layer_states=context.layer_states,
        header={name: doc.header.get(name) for name in HEADER_VARIABLES},
        notes=notes,
    )


def _note_paper_space(doc: Drawing, notes: Notes) -> None:
    for layout in doc.layouts:
        if layout.is_modelspace:
            continue
        count = sum(entity.dxftype() != "VIEWPORT" for entity in layout)
        if count:
            notes.add("paper-space", str(layout.name), count)


def _shows_something(drawing: PlanDrawing) -> bool:
    """Whether any layer, hidden or not, has a line of some length, an area or a text."""
    return any(
        bool(layer.texts)
        or len(layer.fill_points) > 0
        or len(layer.hatch_lines) > 0
        or bool((layer.segments[:, :2] != layer.segments[:, 2:]).any())
        for layer in drawing.layers
    )


def _note_hidden_layers(drawing: PlanDrawing, notes: Notes) -> None:
    for layer in drawing.layers:
        has_content = len(layer.segments) or len(layer.fill_points) or layer.texts
        if has_content and not layer.is_visible:
            notes.add("hidden-layers", layer.name)


def _note_stray(drawing: PlanDrawing, notes: Notes) -> None:
    if drawing.bounds is None or drawing.bounds == drawing.raw_bounds:
        return
    x0, y0, x1, y1 = drawing.bounds
    segments = np.concatenate(
        [layer.segments for layer in drawing.layers if layer.is_visible] or [np.zeros((0, 4))]
    )
    xs, ys = segments[:, 0::2], segments[:, 1::2]
    outside = (xs < x0) | (xs > x1) | (ys < y0) | (ys > y1)
    count = int(outside.all(axis=1).sum())
    if count:
        notes.add("stray", count=count)


def _nothing_drawn(name: str, notes: Notes) -> str:
    on_paper = notes.count("paper-space")
    if on_paper:
        return (
            f"{name} has nothing in model space; {on_paper} things are drawn on its sheets. Copy "
            "them to model space, or ask for the drawing that the sheets show, and save as DXF."
        )
    if notes.count("external-missing"):
        return (
            f"{name} only refers to other drawings and contains none itself. Bind them into one "
            "drawing and save that as DXF."
        )
    if notes.count("recovered"):
        return (
            f"{name} is damaged: nothing that can be drawn is left in it. Save it as DXF again in "
            "the program that made it."
        )
    left_out = " ".join(note.text for note in notes.report())
    return (
        f"{name} contains no lines and no texts. Check that the right file was saved. {left_out}"
    ).strip()
