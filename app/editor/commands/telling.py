"""Runs told to pass here, or never there, and runs sent to a frame: many at once."""

from collections.abc import Callable, Iterable, Sequence

from msgspec.structs import replace

from app.editor.asking import InputProblem
from app.editor.wording import counted, name_of, number
from app.model.entities import Entity, Outlet, Port
from app.model.ids import tag_of_id
from app.model.integrity import MOST_VIAS
from app.model.project import Patch, Project, changing
from app.model.references import LAID


def outlets_with(project: Project, ids: Iterable[str]) -> tuple[list[Outlet], set[str]]:
    """The outlets among these ids of outlets and ports, and the ports that are meant.

    Raises InputProblem if there are none.
    """
    wanted = set(ids)
    outlets, ports = [], set()
    for outlet in project.outlets.values():
        meant = {p.id for p in outlet.ports if outlet.id in wanted or p.id in wanted}
        if meant:
            outlets.append(outlet)
            ports |= meant
    if not outlets:
        raise InputProblem("Select outlets or runs first.")
    return outlets, ports


def pass_here(project: Project, ids: Iterable[str], ways: Sequence[str]) -> Patch:
    """Tell runs to pass these pathways, risers or ducts as well."""
    things = _ways(project, ways)
    outlets, meant = outlets_with(project, ids)
    added = tuple(t.id for t in things)

    def told(port: Port) -> Port:
        via = tuple(dict.fromkeys((*port.via, *added)))
        if len(via) > MOST_VIAS:
            raise InputProblem(
                f"A run can be told to pass at most {MOST_VIAS} pathways; let it go any way "
                "first, or draw the way."
            )
        return replace(port, via=via, never=tuple(w for w in port.never if w not in added))

    return _changed(outlets, meant, told, f"Pass {counted(things)}")


def never_there(project: Project, ids: Iterable[str], ways: Sequence[str]) -> Patch:
    """Tell runs never to pass these pathways, risers or ducts."""
    things = _ways(project, ways)
    outlets, meant = outlets_with(project, ids)
    added = tuple(t.id for t in things)

    def told(port: Port) -> Port:
        never = tuple(dict.fromkeys((*port.never, *added)))
        return replace(port, never=never, via=tuple(w for w in port.via if w not in added))

    return _changed(outlets, meant, told, f"Never pass {counted(things)}")


def any_way(project: Project, ids: Iterable[str]) -> Patch:
    """Let runs go any way again."""
    outlets, meant = outlets_with(project, ids)
    return _changed(outlets, meant, lambda p: replace(p, via=(), never=()), "Any way")


def end_at(project: Project, ids: Iterable[str], frame_id: str | None) -> Patch:
    """End runs at a frame, whoever serves their room; None: by the rules again."""
    frame = None if frame_id is None else project.frames.get(frame_id)
    if frame_id is not None and frame is None:
        raise InputProblem("That frame is no longer in the project; choose another one.")
    outlets, meant = outlets_with(project, ids)
    label = "End by the rules" if frame is None else f"End at {name_of(frame)}"
    return _changed(outlets, meant, lambda p: replace(p, frame=frame_id), label)


def _ways(project: Project, ways: Sequence[str]) -> list[Entity]:
    found = [project.get(w) for w in dict.fromkeys(ways) if tag_of_id(w) in LAID]
    things = [t for t in found if t is not None]
    if not things:
        raise InputProblem("Choose a pathway, riser or outdoor duct.")
    return things


def _changed(
    outlets: list[Outlet], meant: set[str], told: Callable[[Port], Port], label: str
) -> Patch:
    pairs = [
        (o, replace(o, ports=tuple(told(p) if p.id in meant else p for p in o.ports)))
        for o in outlets
    ]
    patch = changing(f"{label}: {number(len(meant), 'run')} of {counted(outlets)}", pairs)
    if not patch.changes:
        raise InputProblem("They are told so already.")
    return patch


def without_ways(port: Port, gone: Iterable[str]) -> Port:
    """The port with none of these pathways among what it was told."""
    away = set(gone)
    if away.isdisjoint(port.via) and away.isdisjoint(port.never):
        return port
    return replace(
        port,
        via=tuple(w for w in port.via if w not in away),
        never=tuple(w for w in port.never if w not in away),
    )
