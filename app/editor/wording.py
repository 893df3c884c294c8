"""What things are called in sentences and labels: “outlet 2-041”, “3 baskets”, “4 things”."""

from collections import Counter
from collections.abc import Iterable

from app.model.entities import AccessPoint, Entity, Pathway, tag_of
from app.model.vocabulary import PathwayKind

_NOUNS = {
    "site": "site card",
    "settings": "settings",
    "cable-type": "cable type",
    "outlet-kind": "outlet kind",
    "candidate": "frame place",
    "demarcation": "demarcation point",
    "backbone-cable": "backbone cable",
    "drop-out": "drop-out",
    "break": "keep-apart",
    "outdoor-duct": "outdoor duct",
    "waiver": "waiver",
    "serving-zone": "serving zone",
    "walked-length": "walked length",
    "client-list": "client's list",
    "room-line": "listed room",
}
_PATHWAY_NOUNS = {PathwayKind.HOOKS: "hook line"}
_ESSES = ("s", "x", "ch")
MOST_NAMED_KINDS = 2
"""More would be a list, not a label."""


def noun(thing: Entity) -> str:
    """The kind of thing, as a crew would call it."""
    if isinstance(thing, Pathway):
        return _PATHWAY_NOUNS.get(thing.kind, words(thing.kind))
    if isinstance(thing, AccessPoint):
        return words(thing.kind)
    tag = tag_of(type(thing).__name__)
    return _NOUNS.get(tag, tag)


def words(value: str) -> str:
    """A stored word as it is read: `in_floor_duct` -> “in-floor duct”."""
    plain = value.replace("_", " ")
    return plain.replace("in floor", "in-floor")


def mark_of(thing: Entity) -> str:
    """The number or name that people know the thing by; empty where it has none."""
    return str(getattr(thing, "number", "") or getattr(thing, "name", ""))


def name_of(thing: Entity) -> str:
    """“outlet 2-041”, or “an outlet without a number” where nothing tells it apart."""
    mark = mark_of(thing)
    kind = noun(thing)
    if mark:
        return f"{kind} {mark}"
    article = "an" if kind[0] in "aeiou" else "a"
    return f"{article} {kind} without a number" if hasattr(thing, "number") else f"the {kind}"


def plural(kind: str) -> str:
    return kind + ("es" if kind.endswith(_ESSES) else "s")


def counted(things: Iterable[Entity]) -> str:
    """“outlet 2-041”, “3 outlets”, “2 outlets and 1 basket”, “7 things”."""
    every = list(things)
    if len(every) == 1:
        thing = every[0]
        return name_of(thing) if mark_of(thing) else noun(thing)
    kinds = Counter(noun(t) for t in every)
    if len(kinds) > MOST_NAMED_KINDS:
        return f"{len(every)} things"
    return " and ".join(number(n, kind) for kind, n in kinds.items()) or "nothing"


def number(count: int, kind: str) -> str:
    """“1 outlet”, “3 outlets”."""
    return f"{count} {kind if count == 1 else plural(kind)}"


def capital(text: str) -> str:
    """The text with its first letter large and all others as they are."""
    return text[:1].upper() + text[1:]
