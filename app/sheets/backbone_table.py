"""Backbone cables and demarcation extensions: one row an entry, lengths of one cable of it."""

from app.checks.run_route import REASONS
from app.design.design import Design
from app.model.entities import BackboneCable, Demarcation, Frame
from app.routing.results import RunStatus
from app.sheets.table import Column, ColumnKind, Row, Table
from app.sheets.words import STATUS_WORDS, word

KEY = "backbone"
L = ColumnKind.LENGTH
NOT_SAID = "not said"
"""Instead of a count of strands or pairs that nobody has given."""
COLUMNS: tuple[Column, ...] = (
    Column("name", "Backbone cable", width=16),
    Column("from", "From", width=14),
    Column("to", "To", width=14),
    Column("cable_type", "Cable type", width=18),
    Column("count", "Count", ColumnKind.COUNT, 7, total=True),
    Column("strands", "Strands or pairs", ColumnKind.COUNT, 9),
    Column("horizontal", "Horizontal", L, 11),
    Column("vertical", "Vertical", L, 11),
    Column("allowance", "Allowance", L, 11),
    Column("slack", "Slack", L, 11),
    Column("added", "Added", L, 11),
    Column("installed", "Installed", L, 11),
    Column("limit", "Limit", L, 11),
    Column("margin", "Margin", L, 11),
    Column("status", "Status", width=10),
    Column("cut", "Cut", L, 11),
    Column("reason", "Why no route", width=30),
    Column("length_reason", "Reason for an added or replaced length", width=30),
    Column("state", "State", width=11),
    Column("provided_by", "Provided by", width=11),
    Column("note", "Note", width=30),
)


def backbone_table(design: Design) -> Table:
    """All backbone cables in the project's order."""
    cables = design.project.backbone_cables
    return Table(
        key=KEY,
        title="Backbone",
        columns=COLUMNS,
        ids=tuple(cables),
        rows=tuple(_cable(design, c) for c in cables.values()),
        things=tuple((c.id, c.from_id, c.to_id) for c in cables.values()),
        units=design.project.settings.units,
    )


def backbone_row(design: Design, cable_id: str) -> Row | None:
    """The row of one backbone cable, None where it is not there."""
    cable = design.project.backbone_cables.get(cable_id)
    return None if cable is None else _cable(design, cable)


def end_name(design: Design, end_id: str) -> str:
    """The name of a frame or demarcation point."""
    end = design.project.get(end_id)
    return end.name if isinstance(end, Frame | Demarcation) else ""


def _cable(design: Design, cable: BackboneCable) -> Row:
    route = design.backbone.get(cable.id)
    lengths: Row = (None,) * 8
    status, cut, reason = "", None, ""
    if route is not None:
        status = STATUS_WORDS[route.status]
        if route.status is RunStatus.NO_ROUTE:
            lengths, reason = (*(None,) * 6, route.limit_mm, None), REASONS[route.reason]
        else:
            cut = route.cut_mm
            lengths = (
                route.horizontal_mm,
                route.vertical_mm,
                route.allowance_mm,
                route.slack_mm,
                route.added_mm,
                route.installed_mm,
                route.limit_mm,
                route.limit_mm - route.installed_mm,
            )
    return (
        cable.name,
        end_name(design, cable.from_id),
        end_name(design, cable.to_id),
        design.project.cable_types[cable.cable_type].name,
        cable.count,
        cable.strands if cable.strands else NOT_SAID,
        *lengths,
        status,
        cut,
        reason,
        cable.length_reason,
        word(cable.state),
        word(cable.provided_by),
        cable.note,
    )
