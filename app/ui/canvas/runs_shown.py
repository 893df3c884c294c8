"""Which runs a selection means, and how outlets stand in a preview."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from app.design import Design
from app.editor.document import Preview
from app.model.entities import Outlet
from app.model.project import Project
from app.ui.canvas.outlet_rows import OutletRows


def preview_statuses(rows: OutletRows, preview: Preview | None) -> np.ndarray | None:
    """The statuses as a preview has them; None where they are those of the document."""
    change = None if preview is None else preview.change
    if preview is None or change is None:
        return None
    touched = None if change.everything else change.outlets & rows.row_of.keys()
    return rows.statuses_in(preview.project, preview.design, touched)


def chosen_runs(
    project: Project, design: Design, ids: Iterable[str]
) -> tuple[list[Outlet], set[str]]:
    """The outlets and ports whose runs the selected ids mean.

    An outlet means its runs, a frame all that it serves, a space those of its outlets, a port
    its own.
    """
    chosen = set(ids)
    outlets: dict[str, Outlet] = {}
    ports: set[str] = set()
    for outlet_id, port_id in (
        *_of_outlets(project, design, chosen),
        *_of_frames(project, design, chosen),
    ):
        outlet = project.outlets.get(outlet_id)
        if outlet is not None:
            outlets[outlet_id] = outlet
            ports.add(port_id)
    return list(outlets.values()), ports


def _of_outlets(project: Project, design: Design, chosen: set[str]) -> Iterator[tuple[str, str]]:
    runs = design.runs
    spaces = {i for i in chosen if i in project.spaces}
    within = [o for o, s in design.space_of.items() if s in spaces] if spaces else []
    for thing_id in (*chosen, *within):
        outlet = project.outlets.get(thing_id)
        if outlet is not None:
            yield from ((outlet.id, port.id) for port in outlet.ports)
        elif thing_id in runs.row_of:
            yield runs.outlet_ids[runs.row_of[thing_id]], thing_id


def _of_frames(project: Project, design: Design, chosen: set[str]) -> Iterator[tuple[str, str]]:
    runs = design.runs
    served = [i for i, f in enumerate(runs.frame_ids) if f in chosen]
    for row in np.flatnonzero(np.isin(runs.frame_index, served)).tolist():
        yield runs.outlet_ids[row], runs.port_ids[row]


def chosen_backbone(project: Project, ids: Iterable[str]) -> list[str]:
    """The backbone cables that the ids mean: themselves, and those of a demarcation point."""
    chosen = set(ids)
    points = {i for i in chosen if i in project.demarcations}
    return [
        cable.id
        for cable in project.backbone_cables.values()
        if cable.id in chosen or not points.isdisjoint((cable.from_id, cable.to_id))
    ]
