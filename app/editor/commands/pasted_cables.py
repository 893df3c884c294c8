"""Cable numbers and panel ports of an existing building, pasted beside the table of runs.

One column is cable numbers, or panel ports (`1B-A07`) where every line reads as one; two columns
are the cable number and the panel port. They go to runs in the order in which these are shown.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace as with_fields

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.commands.kept_numbers import place_of_port, refuse_frozen, refuse_taken
from app.editor.commands.numbering import Retired, none_retired
from app.editor.commands.panel_places import place_typed
from app.editor.commands.pasted_numbers import TWO, Pasted, PastedLine, rows_of
from app.editor.commands.patterns import LONGEST_NUMBER
from app.editor.wording import name_of, number
from app.model.entities import Entity, Outlet, Port
from app.model.project import Patch, Project, changing

HEADINGS = frozenset({"cable", "cable number", "panel port", "port", "panel"})
Owned = Mapping[str, tuple[Outlet, Port]]
"""Outlet and port by the port's id."""


def pasted_cables(
    project: Project,
    text: str,
    *,
    in_order: Sequence[str],
    retired: Retired = none_retired,
) -> Pasted:
    """What a pasted text would do; `in_order` are the ports of the runs that it goes to.

    Raises InputProblem where the text is no list at all.
    """
    rows = rows_of(text, HEADINGS)
    if not rows:
        raise InputProblem(
            "Paste a column of cable numbers or of panel ports, or two: cable number and port."
        )
    owned = {p.id: (o, p) for o in project.outlets.values() for p in o.ports}
    ports = [i for i in in_order if i in owned]
    places_only = all(len(c) == 1 and _is_place(project, c[0]) for _, _, c in rows)
    lines, after = list[PastedLine](), dict[str, Port]()
    for place, (index, line_text, cells) in enumerate(rows):
        line = PastedLine(line=index, text=line_text, new="  ".join(cells))
        if place >= len(ports):
            problem = f"the list goes to {number(len(ports), 'run')}; select more rows, or none"
            lines.append(with_fields(line, problem=problem))
            continue
        outlet, port = owned[ports[place]]
        line = with_fields(line, outlet=outlet.id, port=port.id, now=_now(project, outlet, port))
        try:
            made = _with_cells(project, port, cells, places_only=places_only)
        except InputProblem as problem_:
            lines.append(with_fields(line, outlet=None, problem=str(problem_).rstrip(".")))
            continue
        after[port.id] = made
        lines.append(with_fields(line, same=made == port))
    wrong = _wrong(project, owned, after, frozenset(retired(Port)))
    checked = tuple(
        with_fields(line, problem=wrong[line.port], same=False)
        if not line.problem and line.port in wrong
        else line
        for line in lines
    )
    return Pasted(checked, _patch(project, owned, after, wrong))


def _is_place(project: Project, text: str) -> bool:
    try:
        return place_typed(project, text) is not None
    except InputProblem:
        return False


def _now(project: Project, outlet: Outlet, port: Port) -> str:
    label = port.label or str(outlet.ports.index(port) + 1)
    own = "  ".join(t for t in (port.cable_number, place_of_port(project, port)) if t)
    return f"{outlet.number or 'no number'}, port {label}{': ' if own else ''}{own}"


def _with_cells(project: Project, port: Port, cells: Sequence[str], *, places_only: bool) -> Port:
    """The port as a line says. Raises InputProblem."""
    if len(cells) > TWO:
        raise InputProblem(f"{len(cells)} columns; there are to be one or two")
    number_, place = ("", cells[0]) if places_only else (cells[0], cells[1] if cells[1:] else "")
    if len(number_) > LONGEST_NUMBER:
        raise InputProblem(f"a number has at most {LONGEST_NUMBER} letters")
    made = replace(port, cable_number=number_) if number_ else port
    ends_at = place_typed(project, place)
    return made if ends_at is None else replace(made, ends_at=ends_at)


def _wrong(
    project: Project, owned: Owned, after: Mapping[str, Port], gone: frozenset[str]
) -> dict[str, str]:
    """Why a port cannot be as its line says; a refused one keeps what it has from the others."""
    wrong: dict[str, str] = {}
    while True:
        going = {i: p for i, p in after.items() if i not in wrong}
        held = {
            mark: outlet
            for i, (outlet, port) in owned.items()
            if i not in going
            for mark in _marks(project, port)
        }
        times = Counter(m for p in after.values() for m in _marks(project, p))
        found = {
            i: why
            for i, port in going.items()
            if (why := _why_not(project, owned[i][1], port, held, times, gone))
        }
        if not found:
            return wrong
        wrong |= found


def _why_not(
    project: Project,
    before: Port,
    after: Port,
    held: Mapping[str, Outlet],
    times: Mapping[str, int],
    gone: frozenset[str],
) -> str:
    changed = [m for m in _marks(project, after) if m not in _marks(project, before)]
    if before.printed and any(m not in _marks(project, after) for m in _marks(project, before)):
        return "the run is printed; release it first"
    for mark in changed:
        said = mark.removeprefix(_PLACE)
        if times[mark] > 1:
            return f"{said} stands in {times[mark]} lines"
        if mark in held:
            return f"a cable of {name_of(held[mark])} has {said}"
        if mark in gone:
            return f"a cable that was removed had {said}"
    return ""


_PLACE = "\0"


def _marks(project: Project, port: Port) -> tuple[str, ...]:
    """What a port has that no other may have: its cable number, its place."""
    place = place_of_port(project, port)
    marks = (port.cable_number, f"{_PLACE}{place}" if place else "")
    return tuple(m for m in marks if m)


def _patch(
    project: Project, owned: Owned, after: Mapping[str, Port], wrong: Mapping[str, str]
) -> Patch | None:
    changed = {i: p for i, p in after.items() if i not in wrong and p != owned[i][1]}
    touched = dict.fromkeys(owned[i][0].id for i in changed)
    pairs: list[tuple[Entity, Entity]] = []
    for outlet in (project.outlets[o] for o in touched):
        ports = tuple(changed.get(p.id, p) for p in outlet.ports)
        pairs.append((outlet, replace(outlet, ports=ports)))
    if not pairs:
        return None
    refuse_frozen(project, pairs)
    refuse_taken(project, pairs)
    return changing(f"Set the numbers of {number(len(changed), 'cable')} from a list", pairs)
