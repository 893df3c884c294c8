"""Numbers marked as printed, which freezes them, and released again."""

from collections.abc import Iterable

from msgspec.structs import replace

from app.editor.asking import Answer, InputProblem, Question
from app.editor.commands.kept_numbers import many_printed
from app.model.entities import Outlet
from app.model.project import Patch, Project, changing


def mark_printed(project: Project, ids: Iterable[str] | None = None) -> Patch:
    """Freeze the numbers, cable numbers and panel ports of outlets (None: of all)."""
    outlets = _outlets(project, ids)
    pairs = [(o, p) for o in outlets if (p := _printed(o)) != o]
    if not pairs:
        raise InputProblem("Nothing here has a number that is not marked as printed already.")
    return changing(f"Mark {many_printed([o for o, _ in pairs])} as printed", pairs)


def _printed(outlet: Outlet) -> Outlet:
    ports = tuple(
        replace(p, printed=True) if (p.cable_number or p.ends_at) and not p.printed else p
        for p in outlet.ports
    )
    return replace(outlet, number_printed=outlet.number_printed or bool(outlet.number), ports=ports)


def release_numbers(project: Project, ids: Iterable[str] | None = None) -> Question:
    """Ask whether printed numbers of outlets (None: of all) may change again."""
    outlets = _outlets(project, ids)
    held = [o for o in outlets if o.number_printed or any(p.printed for p in o.ports)]
    if not held:
        raise InputProblem("Nothing here is marked as printed.")
    pairs = [(o, _released(o)) for o in held]
    name = many_printed(held)
    return Question(
        text=f"The numbers of {name} are on paper or on labels. If they change, what is printed "
        "and what hangs in the building will say something else. Release them?",
        answers=(
            Answer(label="Keep them"),
            Answer(label="Release", patch=changing(f"Release the numbers of {name}", pairs)),
        ),
    )


def _released(outlet: Outlet) -> Outlet:
    ports = tuple(replace(p, printed=False) if p.printed else p for p in outlet.ports)
    return replace(outlet, number_printed=False, ports=ports)


def _outlets(project: Project, ids: Iterable[str] | None) -> list[Outlet]:
    if ids is None:
        return list(project.outlets.values())
    found = [project.outlets[i] for i in dict.fromkeys(ids) if i in project.outlets]
    if not found:
        raise InputProblem("Select outlets first.")
    return found
