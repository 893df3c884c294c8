"""The runs: one row a port, with the sums of its parts, and the parts themselves if asked."""

from collections.abc import Callable, Iterable, Sequence

from app.checks.wording import place_name
from app.design.design import Design
from app.model.entities import Outlet, PanelPort, Port
from app.model.phases import phase_name
from app.model.ports import own_phase
from app.model.project import Project
from app.model.vocabulary import State, Units
from app.routing.results import Part, Runs, RunStatus
from app.routing.told_words import sent_words, told_words
from app.sheets.table import Column, ColumnKind, Row, Table, number_of
from app.sheets.words import STATUS_WORDS, word
from app.takeoff.lying_words import work_word
from app.takeoff.states import state_of

KEY = "runs"
L = ColumnKind.LENGTH
COLUMNS: tuple[Column, ...] = (
    Column("outlet", "Outlet", width=12),
    Column("port", "Port", width=8),
    Column("cable", "Cable number", width=12),
    Column("floor", "Floor", width=10),
    Column("space", "Space", width=22),
    Column("service", "Service", width=12),
    Column("frame", "Frame", width=10),
    Column("cable_type", "Cable type", width=16),
    Column("horizontal", "Horizontal", L, 11, total=True),
    Column("vertical", "Vertical", L, 11, total=True),
    Column("allowance", "Allowance", L, 11, total=True),
    Column("slack", "Slack", L, 11, total=True),
    Column("added", "Added", L, 11, total=True),
    Column("installed", "Installed", L, 11, total=True),
    Column("limit", "Limit", L, 11),
    Column("margin", "Margin", L, 11),
    Column("status", "Status", width=10),
    Column("cut", "Cut", L, 11, total=True),
    Column("leg", "Leg", L, 9),
    Column("state", "State", width=11),
    Column("provided_by", "Provided by", width=11),
    Column("measured", "Measured", L, 11),
    Column("tested", "Tested", width=9),
    Column("reason", "Reason for an added or replaced length", width=30),
    Column("panel_port", "Panel port", width=11),
    Column("phase", "Phase", width=11),
    Column("work", "Work", width=12),
    Column("lying", "Lies there", L, 11),
    Column("told", "Told of its way", width=20),
    Column("length_from", "Length from", width=11),
)
PARTS = Column("parts", "Parts, with their lengths", width=60)

PartsOf = Callable[[Design, str], tuple[Part, ...]]
NO_LENGTH = (None,) * 6
LIES = (State.EXISTING, State.TO_REMOVE)


def runs_table(design: Design, *, parts_of: PartsOf | None = None) -> Table:
    """All runs in the design's order; with `parts_of` a last column names every part."""
    runs = design.runs
    rows = run_rows(design, range(len(runs)))
    columns = COLUMNS
    if parts_of is not None:
        columns = (*COLUMNS, PARTS)
        rows = [
            (*row, parts_text(parts_of(design, port), design.project.settings.units))
            for row, port in zip(rows, runs.port_ids, strict=True)
        ]
    return Table(
        key=KEY,
        title="Runs",
        columns=columns,
        ids=runs.port_ids,
        rows=tuple(rows),
        things=tuple(zip(runs.outlet_ids, runs.port_ids, strict=True)),
        units=design.project.settings.units,
    )


def run_row(design: Design, port_id: str) -> Row | None:
    """The row of one run, None where there is no such port."""
    row = design.runs.row_of.get(port_id)
    return None if row is None else run_rows(design, [row])[0]


def run_rows(design: Design, rows: Sequence[int]) -> list[Row]:
    """The rows of these runs. Lengths are None where there is no route."""
    project, runs = design.project, design.runs
    ports = {p.id: p for o in _outlets_of(design, rows) for p in o.ports}
    found: list[Row] = []
    for row, lengths in zip(rows, _lengths(runs, rows), strict=True):
        outlet = project.outlets[runs.outlet_ids[row]]
        port = ports[runs.port_ids[row]]
        space_id = design.space_of.get(outlet.id)
        space = None if space_id is None else project.spaces.get(space_id)
        frame_id = runs.frame_of(row)
        test = port.test
        found.append(
            (
                outlet.number,
                port.label,
                port.cable_number,
                project.floors[outlet.floor].name,
                "" if space is None else f"{space.number} {space.name}".strip(),
                port.service,
                "" if frame_id is None else project.frames[frame_id].name,
                project.cable_types[port.cable_type].name,
                *lengths,
                word(state_of(outlet, port)),
                word(outlet.provided_by),
                None if test is None else test.length_mm,
                "" if test is None else "passed" if test.passed else "failed",
                port.length_reason,
                "" if port.ends_at is None else _place(project, port.ends_at),
                phase_name(project.settings, own_phase(outlet, port)),
                work_word(outlet, port, runs),
                port.lying_mm,
                "; ".join(filter(None, (sent_words(project, port), told_words(project, port)))),
                _length_from(outlet, port, runs, row),
            )
        )
    return found


def parts_text(parts: Iterable[Part], units: Units) -> str:
    """The parts of a length in one cell: `drop at the outlet 2.550; leg 7.000; …`, in the unit
    of the table's other lengths."""
    return "; ".join(f"{p.name} {number_of(p.length_mm, L, units):.3f}" for p in parts)


def _length_from(outlet: Outlet, port: Port, runs: Runs, row: int) -> str:
    """On what the length rests; of what lies there unmeasured it is an estimate."""
    if runs.estimated[row]:
        return "estimate"
    if port.replaced_mm is not None:
        return "given"
    return "route" if state_of(outlet, port) not in LIES else "tester"


def _place(project: Project, place: PanelPort) -> str:
    return place_name(place, project.frames.get(place.frame))


def _outlets_of(design: Design, rows: Sequence[int]) -> list[Outlet]:
    outlets = design.project.outlets
    return [outlets[o] for o in dict.fromkeys(design.runs.outlet_ids[r] for r in rows)]


def _lengths(runs: Runs, rows: Sequence[int]) -> list[Row]:
    """From horizontal to leg, straight from the columns."""
    index = list(rows)
    margin = runs.limit_mm[index] - runs.installed_mm[index]
    columns = [
        runs.horizontal_mm[index],
        runs.vertical_mm[index],
        runs.allowance_mm[index],
        runs.slack_mm[index],
        runs.added_mm[index],
        runs.installed_mm[index],
        runs.limit_mm[index],
        margin,
        runs.status[index],
        runs.cut_mm[index],
        runs.leg_mm[index],
    ]
    found: list[Row] = []
    for cells in zip(*(c.tolist() for c in columns), strict=True):
        status = RunStatus(cells[8])
        if status is RunStatus.NO_ROUTE:
            found.append((*NO_LENGTH, cells[6], None, STATUS_WORDS[status], None, None))
        else:
            found.append((*cells[:8], STATUS_WORDS[status], *cells[9:]))
    return found
