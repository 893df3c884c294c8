"""What holds of every number that is changed: no two alike, and nothing that is printed.

Whatever gives or takes a number by hand goes through here: typing, pasting, renumbering.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import TypeVar

from app.checks.wording import floor_phrase, place_name
from app.editor.asking import InputProblem
from app.editor.wording import capital, mark_of, name_of, number
from app.model.entities import Entity, Frame, Outlet, Pathway, Port, Riser
from app.model.project import Project

TOLD_APART: tuple[type[Entity], ...] = (Outlet, Pathway, Riser, Frame)
"""Things of which no two may carry one number or name."""
Pair = tuple[Entity, Entity]
T = TypeVar("T")


def refuse_frozen(project: Project, pairs: Iterable[Pair]) -> None:
    """Raise InputProblem if a printed number, cable number or panel port would change.

    A frame's name is part of what is printed of the ports that end at it.
    """
    held: list[Outlet] = []
    renamed: list[Frame] = []
    for before, after in pairs:
        if isinstance(before, Outlet) and isinstance(after, Outlet) and _frozen(before, after):
            held.append(before)
        if isinstance(before, Frame) and isinstance(after, Frame) and before.name != after.name:
            renamed.append(before)
    if held:
        raise InputProblem(f"{printed_words(held)}; release the numbers first.")
    printed = frames_printed(project) if renamed else frozenset()
    named = next((f for f in renamed if f.id in printed), None)
    if named is not None:
        raise InputProblem(
            f"Ports at {name_of(named)} are printed with its name; release their numbers first."
        )


def frames_printed(project: Project) -> frozenset[str]:
    """The frames whose names stand on what is printed of their ports."""
    return frozenset(
        p.ends_at.frame
        for o in project.outlets.values()
        for p in o.ports
        if p.printed and p.ends_at is not None
    )


def _frozen(before: Outlet, after: Outlet) -> bool:
    """Whether something that is printed changes; what is empty may still be filled."""
    if before.number_printed and before.number and after.number != before.number:
        return True
    if before.ports == after.ports:
        return False
    then = {p.id: p for p in after.ports}
    return any(p.printed and p.id in then and _port_frozen(p, then[p.id]) for p in before.ports)


def _port_frozen(before: Port, after: Port) -> bool:
    if before.cable_number and after.cable_number != before.cable_number:
        return True
    return before.ends_at is not None and after.ends_at != before.ends_at


def printed_words(outlets: Sequence[Outlet]) -> str:
    """“Outlet 2-041 is printed”, “Outlet 2-041 and 3 more are printed”."""
    first = capital(name_of(outlets[0]))
    more = len(outlets) - 1
    return f"{first} is printed" if not more else f"{first} and {more} more are printed"


def refuse_taken(project: Project, pairs: Sequence[Pair]) -> None:
    """Raise InputProblem, naming the other one, if a number would be carried twice.

    Only what the pairs change is looked at; two that are alike already may stay so.
    """
    for sort in TOLD_APART:
        new = [a for b, a in pairs if type(a) is sort and mark_of(a) and mark_of(a) != mark_of(b)]
        if new:
            gone = {a.id for _, a in pairs}
            others = (t for t in project.table(sort).values() if t.id not in gone)
            still = (a for b, a in pairs if type(a) is sort and mark_of(a) == mark_of(b))
            _refuse(new, (*others, *still), mark_of, lambda t: _who(project, t))
    _refuse_cables(project, pairs)


def _refuse_cables(project: Project, pairs: Sequence[Pair]) -> None:
    """No cable number and no port of a panel twice."""
    touched = {a.id: a for _, a in pairs if isinstance(a, Outlet)}
    before = {p.id: p for b, _ in pairs if isinstance(b, Outlet) for p in b.ports}
    new: list[tuple[Outlet, Port]] = []
    other: list[tuple[Outlet, Port]] = []
    for outlet in touched.values():
        for port in outlet.ports:
            was = before.get(port.id)
            same = was is not None and (was.cable_number, was.ends_at) == (
                port.cable_number,
                port.ends_at,
            )
            (other if same else new).append((outlet, port))
    if not any(p.cable_number or p.ends_at for _, p in new):
        return
    for outlet in project.outlets.values():
        if outlet.id not in touched:
            other.extend((outlet, port) for port in outlet.ports)

    def whose(entry: tuple[Outlet, Port]) -> str:
        return f"a cable of {_who(project, entry[0])}"

    _refuse(new, other, lambda e: e[1].cable_number, whose)
    _refuse(new, other, lambda e: place_of_port(project, e[1]), whose)


def place_of_port(project: Project, port: Port) -> str:
    """`1B-A07`; empty where the port has no place on a panel."""
    if port.ends_at is None:
        return ""
    return place_name(port.ends_at, project.frames.get(port.ends_at.frame))


def _refuse(
    new: Sequence[T], others: Iterable[T], mark: Callable[[T], str], who: Callable[[T], str]
) -> None:
    wanted = Counter(m for e in new if (m := mark(e).strip()))
    for entry in others:
        if mark(entry).strip() in wanted:
            raise InputProblem(
                f"{mark(entry).strip()} is carried by {who(entry)} already; give another one."
            )
    twice = next((m for m, n in wanted.items() if n > 1), None)
    if twice is not None:
        raise InputProblem(
            f"{twice} would be carried by {wanted[twice]}; give each its own, or renumber them."
        )


def _who(project: Project, thing: Entity) -> str:
    floor = getattr(thing, "floor", None)
    where = "" if floor is None else f" on {floor_phrase(project.floors.get(floor))}"
    return f"{name_of(thing)}{where}"


def told_again(kept: Iterable[str], wanted: str, what: str) -> str | None:
    """What to ask before a number of something that is gone is carried again; None if none is."""
    if not wanted or wanted not in kept:
        return None
    return (
        f"{wanted} was carried by {what} that has been removed; its label may still hang "
        "somewhere. Carry it again?"
    )


def many_printed(outlets: Sequence[Outlet]) -> str:
    """“3 outlets”, for labels and questions."""
    return name_of(outlets[0]) if len(outlets) == 1 else number(len(outlets), "outlet")
