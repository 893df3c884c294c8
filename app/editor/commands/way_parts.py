"""What every way down is made of, and who provides it, as the settings of the project say."""

from collections.abc import Iterable

from msgspec.structs import replace

from app.editor.wording import words
from app.model.project import Patch, Project, changing
from app.model.settings import WAYS, WayRule
from app.model.vocabulary import WayDown, WayPart
from app.model.ways_down import PARTS_OF_WAY


def rule_of(rules: Iterable[WayRule], way: WayDown, part: WayPart) -> WayRule | None:
    """The rule of a part; None where the way down is made without it."""
    return next((r for r in rules if r.way is way and r.part is part), None)


def set_way_part(
    project: Project, way: WayDown, part: WayPart, rule: WayRule | None, *, label: str = ""
) -> Patch:
    """Make a way down with this part as the rule says, or (None) without it."""
    kept = [r for r in project.settings.ways if (r.way, r.part) != (way, part)]
    return _put(
        project, [*kept, *([] if rule is None else [rule])], label or _said(way, part, rule)
    )


def way_part_as_usual(project: Project, way: WayDown, part: WayPart) -> Patch:
    """Take the usual rule of one part again."""
    label = f"Set {_named(way, part)} as usual"
    return set_way_part(project, way, part, rule_of(WAYS, way, part), label=label)


def ways_as_usual(project: Project) -> Patch:
    """Take the usual parts of every way down again."""
    return _put(project, WAYS, "Set the parts of all ways down as usual")


def _put(project: Project, rules: Iterable[WayRule], label: str) -> Patch:
    """The rules in the order of ways and their parts, so that equal rules are equal settings."""
    found = list(rules)
    every = ((way, part) for way, parts in PARTS_OF_WAY.items() for part in parts)
    ordered = (rule_of(found, way, part) for way, part in every)
    settings = project.settings
    after = replace(settings, ways=tuple(r for r in ordered if r is not None))
    return changing(label, [(settings, after)] if after != settings else [])


def _said(way: WayDown, part: WayPart, rule: WayRule | None) -> str:
    if rule is None:
        return f"Leave out {_named(way, part)}"
    by = "whoever provides the outlet" if rule.provided_by is None else rule.provided_by.value
    return f"Set provider of {_named(way, part)} to {by}"


def _named(way: WayDown, part: WayPart) -> str:
    """`back box (wall cavity)`."""
    return f"{words(part)} ({words(way)})"
