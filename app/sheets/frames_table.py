"""The frames: ports ended, panels, lengths, area served."""

import numpy as np

from app.design.design import Design
from app.model.entities import Frame
from app.model.phases import phase_name
from app.routing.results import RunStatus
from app.sheets.table import Column, ColumnKind, Row, Table
from app.sheets.words import word
from app.sizing.panels import PanelNeed
from app.takeoff.panel_needs import FramePanels, panels_of_frame, room_words

KEY = "frames"
C, L = ColumnKind.COUNT, ColumnKind.LENGTH
COLUMNS: tuple[Column, ...] = (
    Column("name", "Frame", width=12),
    Column("floor", "Floor", width=10),
    Column("kind", "Kind", width=13),
    Column("roles", "Roles", width=16),
    Column("runs", "Runs", C, 7, total=True),
    Column("ports", "Ports ended", C, 11, total=True),
    Column("ports_grown", "With growth", C, 11, total=True),
    Column("panels_standing", "Panels standing", C, 9, total=True),
    Column("panels_new", "Panels new", C, 9, total=True),
    Column("ports_free", "Ports free after", C, 9, total=True),
    Column("ports_given", "Ports given", C, 9, total=True),
    Column("ports_not_given", "Ports not given", C, 9, total=True),
    Column("panels", "Panels by cable", width=32),
    Column("room", "Room left", width=38),
    Column("longest", "Longest run", L, 11),
    Column("mean", "Mean run", L, 10),
    Column("cable", "Cable installed", L, 12, total=True),
    Column("near", "Near", C, 6, total=True),
    Column("over", "Over", C, 6, total=True),
    Column("area", "Area served", ColumnKind.AREA, 11),
    Column("racks", "Racks", C, 7, total=True),
    Column("state", "State", width=11),
    Column("phase", "Phase", width=11),
    Column("provided_by", "Provided by", width=11),
    Column("note", "Note", width=30),
)


def frames_table(design: Design) -> Table:
    """All frames in the project's order."""
    frames = design.project.frames
    return Table(
        key=KEY,
        title="Frames",
        columns=COLUMNS,
        ids=tuple(frames),
        rows=tuple(_frame(design, f) for f in frames.values()),
        units=design.project.settings.units,
    )


def frame_row(design: Design, frame_id: str) -> Row | None:
    """The row of one frame, None where it is not there."""
    frame = design.project.frames.get(frame_id)
    return None if frame is None else _frame(design, frame)


def _frame(design: Design, frame: Frame) -> Row:
    runs = design.runs
    index = runs.frame_ids.index(frame.id) if frame.id in runs.frame_ids else -2
    rows = np.flatnonzero(runs.frame_index == index)
    installed, status = runs.installed_mm[rows], runs.status[rows]
    panels = panels_of_frame(design.project, runs, frame.id)
    count, total = len(rows), int(installed.sum())
    return (
        frame.name,
        design.project.floors[frame.floor].name,
        word(frame.kind),
        ", ".join(word(r) for r in frame.roles),
        count,
        sum(p.need.ports for p in panels),
        sum(p.need.ports_with_growth for p in panels),
        sum(p.need.standing for p in panels),
        sum(p.need.new for p in panels),
        sum(p.need.free_after for p in panels),
        sum(p.given for p in panels),
        sum(p.not_given for p in panels),
        panels_text(panels),
        "; ".join(room_words(p) for p in panels if p.need.total or p.need.ports),
        int(installed.max()) if count else None,
        (2 * total + count) // (2 * count) if count else None,
        total,
        int((status == RunStatus.NEAR).sum()),
        int((status == RunStatus.OVER).sum()),
        design.areas_m2.get(frame.id, 0.0),
        frame.racks,
        word(frame.state),
        phase_name(design.project.settings, frame.phase),
        word(frame.provided_by),
        frame.note,
    )


def panels_text(panels: tuple[FramePanels, ...]) -> str:
    """`9 × 24 for Cat 6A unshielded`; where they differ in size, how many ports they have."""
    return "; ".join(
        f"{_sizes(p.need)} for {p.sort}" for p in panels if p.need.total or p.need.ports
    )


def _sizes(need: PanelNeed) -> str:
    if need.places == need.total * need.panel_ports:
        return f"{need.total} × {need.panel_ports}"
    return f"{need.total} with {need.places} ports"
