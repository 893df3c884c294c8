"""Every table of a design by its key: the whole table, or one row anew after an edit."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from app.design.design import Design
from app.sheets.backbone_table import backbone_row, backbone_table
from app.sheets.carriers_table import pathway_row, pathways_table, riser_row, risers_table
from app.sheets.findings_table import finding_row, findings_table
from app.sheets.frames_table import frame_row, frames_table
from app.sheets.outlets_table import outlet_row, outlets_table
from app.sheets.penetrations_table import penetration_row, penetrations_table
from app.sheets.runs_table import run_row, runs_table
from app.sheets.spaces_table import space_row, spaces_table
from app.sheets.table import Row, Table


@dataclass(frozen=True, slots=True)
class TableMaker:
    """How one table is made, and one of its rows."""

    table: Callable[[Design], Table]
    row: Callable[[Design, str], Row | None]


TABLES: Mapping[str, TableMaker] = {
    "outlets": TableMaker(outlets_table, outlet_row),
    "runs": TableMaker(runs_table, run_row),
    "pathways": TableMaker(pathways_table, pathway_row),
    "risers": TableMaker(risers_table, riser_row),
    "frames": TableMaker(frames_table, frame_row),
    "backbone": TableMaker(backbone_table, backbone_row),
    "spaces": TableMaker(spaces_table, space_row),
    "findings": TableMaker(findings_table, finding_row),
    "penetrations": TableMaker(penetrations_table, penetration_row),
}
"""In the order the window shows them. Ids of rows are ids of things; in `runs` those of ports,
in `findings` the findings' keys."""


def table_of(design: Design, key: str) -> Table:
    """One whole table."""
    return TABLES[key].table(design)


def row_of(design: Design, key: str, row_id: str) -> Row | None:
    """One row as it now is, None where it is no longer there."""
    return TABLES[key].row(design, row_id)
