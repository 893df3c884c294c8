"""The takeoff as tables: one a part."""

from dataclasses import replace

from app.checks.cautions import cautions_of
from app.design.design import Design
from app.model.entities import CableType
from app.sheets.backbone_table import end_name
from app.sheets.bill_table import (
    SECTION_TITLES,
    backbone_numbers,
    bill_table,
    box_number,
    item_numbers,
    item_of,
    part_table,
)
from app.sheets.penetrations_table import penetrations_table
from app.sheets.table import Cell, Column, ColumnKind, Row, Table
from app.sheets.words import word
from app.takeoff.boxes import BoxLine
from app.takeoff.lines import Line, Section, Unit
from app.takeoff.takeoff import Takeoff
from app.takeoff.warning_line import warnings_of

C, L = ColumnKind.COUNT, ColumnKind.LENGTH
CABLE_COLUMNS: tuple[Column, ...] = (
    Column("cable_type", "Cable type", width=20),
    Column("floor", "Floor", width=14),
    Column("frame", "Frame", width=12),
    Column("runs", "Runs", C, 8, total=True),
    Column("installed", "Installed", L, 12, total=True),
    Column("cut", "Cut", L, 12, total=True),
    Column("longest", "Longest run", L, 12),
    Column("mean", "Mean run", L, 12),
    Column("provided_by", "Provided by", width=12),
)
BOX_COLUMNS: tuple[Column, ...] = (
    Column("no", "No.", width=7),
    Column("cable_type", "Cable type", width=20),
    Column("box", "Box", L, 9),
    Column("usable", "Usable", L, 9),
    Column("runs", "Runs", C, 8, total=True),
    Column("cut", "Cut", L, 12, total=True),
    Column("boxes", "Boxes by cutting", C, 10, total=True),
    Column("bound", "Least possible", C, 10),
    Column("proven", "Proven least", width=10),
    Column("offcut", "Left in boxes", L, 11, total=True),
    Column("repull_runs", "Runs pulled again", C, 10),
    Column("repull_boxes", "Boxes for these", C, 10, total=True),
    Column("spare", "Spare boxes", C, 9, total=True),
    Column("total", "Boxes to order", C, 10, total=True),
    Column("too_long", "Runs longer than a box", C, 11),
    Column("provided_by", "Provided by", width=12),
)
PLAN_COLUMNS: tuple[Column, ...] = (
    Column("box", "Box", width=24),
    Column("run", "Run", width=14),
    Column("cable", "Cable", width=14),
    Column("frame", "Frame", width=12),
    Column("cut", "Cut", L, 10, total=True),
    Column("left", "Left in the box", L, 12),
)
MATERIAL_COLUMNS: tuple[Column, ...] = (
    Column("no", "No.", width=7),
    Column("item", "Item", width=44),
    Column("floor", "Floor", width=14),
    Column("frame", "Frame", width=12),
    Column("pieces", "Pieces", C, 10),
    Column("length", "Length", L, 12),
    Column("provided_by", "Provided by", width=12),
    Column("basis", "How counted", width=46),
)
BACKBONE_COLUMNS: tuple[Column, ...] = (
    Column("no", "No.", width=7),
    Column("name", "Backbone cable", width=18),
    Column("cable_type", "Cable type", width=22),
    Column("from", "From", width=14),
    Column("to", "To", width=14),
    Column("count", "Count", C, 8, total=True),
    Column("each_installed", "Installed, each", L, 12),
    Column("each_cut", "Cut, each", L, 12),
    Column("installed", "Installed", L, 12, total=True),
    Column("cut", "Cut", L, 12, total=True),
    Column("provided_by", "Provided by", width=12),
)
ASSUMPTION_COLUMNS: tuple[Column, ...] = (
    Column("name", "Assumption", width=38),
    Column("value", "Value", width=44),
    Column("authority", "Authority", width=34),
    Column("evidence", "Evidence", width=11),
)
CAUTION_COLUMNS: tuple[Column, ...] = (
    Column("title", "Caution", width=24),
    Column("text", "What to mind", width=110),
)


def takeoff_tables(design: Design, takeoff: Takeoff) -> tuple[Table, ...]:
    """All parts of a takeoff that have something in them: bill, cable, …, assumptions.

    What is wrong with the design stands over the first of them and over the cable.
    """
    shown = [t for t in takeoff_parts(design, takeoff) if t.rows]
    warning = warnings_of(design)
    return tuple(
        replace(t, warning=warning) if t is shown[0] or t.key == "cable" else t for t in shown
    )


def takeoff_parts(design: Design, takeoff: Takeoff) -> tuple[Table, ...]:
    """All parts of a takeoff, those with nothing in them too."""
    return (
        bill_table(design, takeoff),
        cable_table(design, takeoff),
        boxes_table(design, takeoff),
        plan_table(design, takeoff),
        takeoff_backbone_table(design, takeoff),
        *(section_table(design, takeoff, section) for section in Section),
        penetrations_table(design),
        cautions_table(design),
        assumptions_table(design, takeoff),
    )


def cable_table(design: Design, takeoff: Takeoff) -> Table:
    """Cable by type, floor and frame."""
    project = design.project
    rows: list[Row] = [
        (
            project.cable_types[c.cable_type].name,
            project.floors[c.floor].name,
            project.frames[c.frame].name,
            c.runs,
            c.installed_mm,
            c.cut_mm,
            c.longest_mm,
            c.mean_mm,
            word(c.provided_by),
        )
        for c in takeoff.cable
    ]
    things = [c.things for c in takeoff.cable]
    return part_table(design, "cable", "Cable", CABLE_COLUMNS, rows, things)


def boxes_table(design: Design, takeoff: Takeoff) -> Table:
    """Boxes by cable type: cut, pulled again, spare, to order."""
    types = design.project.cable_types
    rows: list[Row] = [
        (box_number(i), *_box_row(types[b.cable_type], b)) for i, b in enumerate(takeoff.boxes)
    ]
    things = [tuple(p for box in b.plan for p in box.ports) for b in takeoff.boxes]
    note = "Runs are cut whole: no run is joined from two leftovers."
    return part_table(design, "boxes", "Boxes", BOX_COLUMNS, rows, things, note)


def _box_row(cable: CableType, line: BoxLine) -> Row:
    return (
        cable.name,
        line.box_mm,
        line.usable_mm,
        line.runs,
        line.cut_mm,
        len(line.plan),
        line.bound,
        "yes" if line.proven else "no",
        line.offcut_mm,
        line.repull_runs,
        line.repull_boxes,
        line.spare_boxes,
        line.total,
        len(line.too_long),
        word(line.provided_by),
    )


def plan_table(design: Design, takeoff: Takeoff) -> Table:
    """Which run is cut from which box."""
    project, runs = design.project, design.runs
    labels = {
        p.id: (o.number, p.label, p.cable_number) for o in project.outlets.values() for p in o.ports
    }
    rows: list[Row] = []
    things: list[tuple[str, ...]] = []
    for line in takeoff.boxes:
        name = project.cable_types[line.cable_type].name
        for number, box in enumerate(line.plan, start=1):
            left_mm = line.usable_mm
            for port in box.ports:
                row = runs.row_of[port]
                cut_mm = int(runs.cut_mm[row])
                left_mm -= cut_mm
                outlet, label, cable = labels[port]
                frame = runs.frame_of(row)
                rows.append(
                    (
                        f"{name} {number}",
                        f"{outlet} {label}".strip(),
                        cable,
                        "" if frame is None else project.frames[frame].name,
                        cut_mm,
                        left_mm,
                    )
                )
                things.append((port,))
    return part_table(design, "cutting", "Cutting", PLAN_COLUMNS, rows, things)


def section_table(design: Design, takeoff: Takeoff, section: Section) -> Table:
    """The lines of one part: pieces in one column, lengths in another.

    Lines of one item have one number, whatever their floor or frame.
    """
    lines = takeoff.section(section)
    numbers = item_numbers(takeoff)
    return part_table(
        design,
        section.value,
        SECTION_TITLES[section],
        MATERIAL_COLUMNS,
        [_material(design, line, numbers.get(item_of(line), "")) for line in lines],
        [line.things for line in lines],
    )


def _material(design: Design, line: Line, number: str) -> Row:
    floors, frames = design.project.floors, design.project.frames
    pieces: Cell = line.quantity if line.unit is Unit.PIECE else None
    length: Cell = line.quantity if line.unit is Unit.LENGTH else None
    return (
        number,
        line.item,
        "" if line.floor is None else floors[line.floor].name,
        "" if line.frame is None else frames[line.frame].name,
        pieces,
        length,
        word(line.provided_by),
        line.basis,
    )


def takeoff_backbone_table(design: Design, takeoff: Takeoff) -> Table:
    """New backbone cable."""
    project, numbers = design.project, backbone_numbers(takeoff)
    rows: list[Row] = []
    for line in takeoff.backbone:
        cable = project.backbone_cables[line.cable]
        rows.append(
            (
                numbers[line.cable_type, line.provided_by],
                cable.name,
                project.cable_types[line.cable_type].name,
                end_name(design, cable.from_id),
                end_name(design, cable.to_id),
                line.count,
                line.each_installed_mm,
                line.each_cut_mm,
                line.installed_mm,
                line.cut_mm,
                word(line.provided_by),
            )
        )
    things = [(line.cable,) for line in takeoff.backbone]
    return part_table(design, "backbone_cable", "Backbone", BACKBONE_COLUMNS, rows, things)


def cautions_table(design: Design) -> Table:
    """The usual cautions that concern the project."""
    cautions = cautions_of(design.project)
    rows: list[Row] = [(c.title, c.text) for c in cautions]
    note = "Local code, the site's rules and licensed practice decide."
    return part_table(design, "cautions", "Cautions", CAUTION_COLUMNS, rows, [()] * len(rows), note)


def assumptions_table(design: Design, takeoff: Takeoff) -> Table:
    """What the quantities rest on."""
    rows: list[Row] = [(a.name, a.value, a.authority, a.evidence) for a in takeoff.assumptions]
    return part_table(
        design, "assumptions", "Assumptions", ASSUMPTION_COLUMNS, rows, [()] * len(rows)
    )
