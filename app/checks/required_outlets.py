"""The client's list against what is placed: outlets required in a space and not there."""

from collections.abc import Mapping

from app.checks.finding import Finding, Severity, finding
from app.checks.wording import many, space_name
from app.model.entities import OutletKind, Space

RULE = "outlets_required"


def check_required(
    space: Space,
    asked: Mapping[str, int],
    placed: Mapping[str, int],
    kinds: Mapping[str, OutletKind],
) -> list[Finding]:
    """One finding for a space that has fewer, or more, outlets of a kind than are required.

    `asked` and `placed` count outlets of the space by kind. More than required is only noted.
    """
    said, short, missing = [], False, 0
    for kind, count in asked.items():
        there = placed.get(kind, 0)
        if there != count:
            short = short or there < count
            missing += max(0, count - there)
            said.append(f"{kinds[kind].name} {there} of {count} (difference {there - count:+d})")
    if not said:
        return []
    total = sum(asked.values())
    text = f"{space_name(space)}: {many(total, 'outlet')} required; placed: {', '.join(said)}."
    return [
        finding(
            rule=RULE,
            severity=Severity.WARN if short else Severity.NOTE,
            text=text,
            things=(space.id,),
            floor=space.floor,
            excess=missing,
        )
    ]
