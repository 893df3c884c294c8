"""Lengths that somebody measured, typed or pasted for many runs at once."""

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.measures import parse_length
from app.editor.wording import number
from app.model.entities import Outlet, Port
from app.model.fields import FURTHEST_MM
from app.model.ids import tag_of_id
from app.model.project import Patch, Project, changing
from app.model.vocabulary import Units

MEASURED = "measured"
UNKNOWN = frozenset({"", "-", "–", "?"})
"""What stands in a list for a run that nobody has measured."""


def ports_in_order(project: Project, ids: Iterable[str]) -> list[tuple[Outlet, Port]]:
    """The ports of these outlets, and single ports, in the order of the ids."""
    wanted = list(dict.fromkeys(ids))
    of_port = {}
    if any(tag_of_id(i) == "port" for i in wanted):
        of_port = {p.id: (o, p) for o in project.outlets.values() for p in o.ports}
    found: list[tuple[Outlet, Port]] = []
    for thing in wanted:
        outlet = project.outlets.get(thing)
        if outlet is not None:
            found += [(outlet, port) for port in outlet.ports]
        elif thing in of_port:
            found.append(of_port[thing])
    if not found:
        raise InputProblem("Select the outlets whose runs were measured first.")
    return found


def read_lengths(text: str, units: Units) -> list[int | None]:
    """One length a line; a line with a dash, or an empty one between others, is not known.

    Of several columns the last counts. Raises InputProblem with the line that is no length.
    """
    found: list[int | None] = []
    for line_number, line in enumerate(text.strip("\r\n").splitlines(), start=1):
        cell = line.split("\t")[-1].strip()
        if cell in UNKNOWN:
            found.append(None)
            continue
        try:
            length_mm = parse_length(cell, units)
        except InputProblem as problem:
            raise InputProblem(f"Line {line_number}: {problem}") from None
        if not 0 < length_mm <= FURTHEST_MM:
            raise InputProblem(f"Line {line_number}: a run is longer than nothing.")
        found.append(length_mm)
    return found


def set_measured(project: Project, ids: Iterable[str], lengths_mm: Sequence[int | None]) -> Patch:
    """The lengths of the runs of these outlets, port by port; None leaves one as it is."""
    ports = ports_in_order(project, ids)
    if len(ports) != len(lengths_mm):
        raise InputProblem(
            f"The list has {number(len(lengths_mm), 'length')} for {number(len(ports), 'run')}; "
            "put a dash where a run was not measured."
        )
    given = {
        port.id: length
        for (_, port), length in zip(ports, lengths_mm, strict=True)
        if length is not None
    }
    if not given:
        raise InputProblem("The list has no length.")
    outlets = {outlet.id: outlet for outlet, _ in ports}
    pairs = [
        (
            outlet,
            replace(outlet, ports=tuple(_measured(p, given.get(p.id)) for p in outlet.ports)),
        )
        for outlet in outlets.values()
    ]
    label = (
        f"Set measured {'length' if len(given) == 1 else 'lengths'} of {number(len(given), 'run')}"
    )
    return changing(label, [(b, a) for b, a in pairs if b != a])


def _measured(port: Port, length_mm: int | None) -> Port:
    if length_mm is None:
        return port
    return replace(port, replaced_mm=length_mm, length_reason=port.length_reason or MEASURED)
