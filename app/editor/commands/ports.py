"""The ports of an outlet: made from its kind, changed with it, added and removed."""

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.wording import counted, name_of, number
from app.model.entities import Outlet, OutletKind, Port, PortTemplate
from app.model.ids import Source, new_id, random_characters
from app.model.project import Patch, Project, changing

MOST_PORTS = 200


def port_ids(project: Project) -> set[str]:
    """The ids of all ports there are."""
    return {p.id for outlet in project.outlets.values() for p in outlet.ports}


def ports_of_kind(kind: OutletKind, taken: set[str], source: Source) -> tuple[Port, ...]:
    """Fresh ports as the kind has them; their ids are added to `taken`."""
    return tuple(_port(template, taken, source) for template in kind.ports)


def _port(template: PortTemplate, taken: set[str], source: Source) -> Port:
    port_id = new_id("port", taken, source)
    taken.add(port_id)
    return Port(
        id=port_id,
        service=template.service,
        cable_type=template.cable_type,
        power_class=template.power_class,
        termination=template.termination,
    )


def fresh_ports(ports: Iterable[Port], taken: set[str], source: Source) -> tuple[Port, ...]:
    """The same ports for another outlet: no identifier, panel port, test or known length."""
    out = []
    for port in ports:
        port_id = new_id("port", taken, source)
        taken.add(port_id)
        out.append(
            replace(
                port,
                id=port_id,
                label="",
                cable_number="",
                added_mm=0,
                replaced_mm=None,
                length_reason="",
                test=None,
                ends_at=None,
                printed=False,
                lying_mm=None,
                cable_stays=None,
                via=(),
                never=(),
            )
        )
    return tuple(out)


def change_kind(
    project: Project, ids: Sequence[str], kind_id: str, *, source: Source = random_characters
) -> Patch:
    """Make outlets of another kind.

    Ports keep their ids, identifiers and frames in order as far as the new kind has ports.
    """
    kind = project.outlet_kinds.get(kind_id)
    if kind is None:
        raise InputProblem("That kind of outlet is not in the project.")
    outlets = outlets_of(project, ids)
    taken = port_ids(project)
    pairs = [(o, replace(o, kind=kind.id, ports=_refit(o, kind, taken, source))) for o in outlets]
    return changing(f"Make {counted(outlets)} {_of_kind(kind)}", pairs)


def _of_kind(kind: OutletKind) -> str:
    return f"“{kind.name}”"


def outlets_of(project: Project, ids: Iterable[str]) -> list[Outlet]:
    """The outlets among these ids. Raises InputProblem if there are none."""
    found = [project.outlets[i] for i in dict.fromkeys(ids) if i in project.outlets]
    if not found:
        raise InputProblem("Select an outlet first.")
    return found


def _refit(outlet: Outlet, kind: OutletKind, taken: set[str], source: Source) -> tuple[Port, ...]:
    out = []
    for index, template in enumerate(kind.ports):
        if index < len(outlet.ports):
            out.append(
                replace(
                    outlet.ports[index],
                    service=template.service,
                    cable_type=template.cable_type,
                    power_class=template.power_class,
                    termination=template.termination,
                )
            )
        else:
            out.append(_port(template, taken, source))
    return tuple(out)


def add_ports(project: Project, ids: Sequence[str], *, source: Source = random_characters) -> Patch:
    """One more port on each outlet, like its last one (or like its kind's first)."""
    outlets = outlets_of(project, ids)
    taken = port_ids(project)
    pairs = []
    for outlet in outlets:
        if len(outlet.ports) >= MOST_PORTS:
            raise InputProblem(f"{MOST_PORTS} ports are the most that {name_of(outlet)} can have.")
        if outlet.ports:
            more = fresh_ports([outlet.ports[-1]], taken, source)
        else:
            more = ports_of_kind(project.outlet_kinds[outlet.kind], taken, source)[:1]
        pairs.append((outlet, replace(outlet, ports=(*outlet.ports, *more))))
    return changing(f"Add a port to {counted(outlets)}", pairs)


def remove_ports(project: Project, ports: Iterable[str]) -> Patch:
    """Take ports, and so their runs, away."""
    gone = set(ports)
    touched = [o for o in project.outlets.values() if any(p.id in gone for p in o.ports)]
    if not touched:
        raise InputProblem("Select a port first.")
    pairs = [(o, replace(o, ports=tuple(p for p in o.ports if p.id not in gone))) for o in touched]
    count = sum(len(b.ports) - len(a.ports) for b, a in pairs)
    return changing(f"Remove {number(count, 'port')} of {counted(touched)}", pairs)
