"""The project's own cable types and outlet kinds: added, changed, copied."""

from msgspec.structs import replace

from app.editor.asking import Answer, InputProblem, Outcome, Question
from app.editor.commands.catalogue import cable_type_of, outlet_kind_of
from app.editor.commands.ports import change_kind
from app.editor.wording import number
from app.model.entities import CableType, OutletKind
from app.model.ids import Source, new_id, random_characters
from app.model.project import Patch, Project, adding, changing
from app.standards import RuleSet


def add_cable_type(
    project: Project, rules: RuleSet, name: str, *, source: Source = random_characters
) -> Patch:
    """Add the cable type that the rules call `name`."""
    cable_id = new_id("cable-type", project.cable_types, source)
    made = cable_type_of(rules, name, cable_id=cable_id)
    made = replace(made, name=free_name(made.name, {c.name for c in project.cable_types.values()}))
    return adding(f"Add cable type {made.name}", [made])


def add_outlet_kind(
    project: Project,
    rules: RuleSet,
    name: str,
    *,
    cable_type: str | None = None,
    source: Source = random_characters,
) -> Patch:
    """Add the outlet kind that the rules call `name`; cabled with the project's first type."""
    cable = cable_type or next(iter(project.cable_types), None)
    if cable is None:
        raise InputProblem("Add a cable type first; an outlet kind is cabled with one.")
    kind_id = new_id("outlet-kind", project.outlet_kinds, source)
    made = outlet_kind_of(rules, name, kind_id=kind_id, cable_type=cable)
    made = replace(made, name=free_name(made.name, {k.name for k in project.outlet_kinds.values()}))
    return adding(f"Add outlet kind {made.name}", [made])


def copy_kind(project: Project, kind_id: str, *, source: Source = random_characters) -> Patch:
    """One more cable type or outlet kind like this one, under a name of its own."""
    thing = project.get(kind_id)
    if isinstance(thing, CableType):
        names = {c.name for c in project.cable_types.values()}
        made_id = new_id("cable-type", project.cable_types, source)
        cable = replace(thing, id=made_id, name=free_name(thing.name, names))
        return adding(f"Add cable type {cable.name}", [cable])
    if isinstance(thing, OutletKind):
        names = {k.name for k in project.outlet_kinds.values()}
        made_id = new_id("outlet-kind", project.outlet_kinds, source)
        kind = replace(thing, id=made_id, name=free_name(thing.name, names))
        return adding(f"Add outlet kind {kind.name}", [kind])
    raise InputProblem("Select a cable type or an outlet kind first.")


def free_name(wanted: str, taken: set[str]) -> str:
    """The name, with a number behind it where it is taken."""
    if wanted not in taken:
        return wanted
    count = 2
    while f"{wanted} {count}" in taken:
        count += 1
    return f"{wanted} {count}"


def change_outlet_kind(
    project: Project, after: OutletKind, *, source: Source = random_characters
) -> Outcome:
    """Put another description in place of an outlet kind.

    Where its ports differ and outlets of it stand, asks whether theirs are to be remade.
    """
    before = project.outlet_kinds.get(after.id)
    if before is None:
        raise InputProblem("That kind of outlet is no longer in the project.")
    if not after.ports:
        raise InputProblem("An outlet kind needs at least one port.")
    label = f"Change outlet kind {after.name}"
    patch = changing(label, [(before, after)])
    outlets = [o.id for o in project.outlets.values() if o.kind == after.id]
    if before.ports == after.ports or not outlets:
        return patch
    remade = change_kind(project.apply(patch), outlets, after.id, source=source)
    said = number(len(outlets), "outlet")
    return Question(
        text=f"{said} of the kind {after.name} stand{'s' if len(outlets) == 1 else ''} already. "
        "Give them the new ports too?",
        answers=(
            Answer(label="Give them the new ports", patch=patch.squash(remade, label)),
            Answer(label="Only new outlets", patch=patch),
            Answer(label="Leave the kind as it was"),
        ),
    )
