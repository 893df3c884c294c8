"""Which use of a space a word in a client's list means."""

from __future__ import annotations

from functools import lru_cache

import msgspec

from app.editor.room_lists.plain_words import close, plain
from app.model.vocabulary import SpaceUse
from app.standards import RuleSet


class MeantUse(msgspec.Struct, frozen=True, kw_only=True):
    """The use that is meant beyond doubt, if any; else what it may be, as it is written."""

    use: SpaceUse | None = None
    likely: tuple[str, ...] = ()


def _words(use: SpaceUse) -> str:
    return str(use.value).replace("_", " ")


def use_meant(rules: RuleSet, text: str) -> MeantUse:
    """A use by its stored word or its name in the rules; a misspelt one is only proposed."""
    names = {_words(use): use for use in SpaceUse if use is not SpaceUse.UNKNOWN}
    names |= {rules.space_uses[use].name: use for use in names.values()}
    return _meant(tuple(names.items()), text)


@lru_cache(maxsize=4_096)
def _meant(names: tuple[tuple[str, SpaceUse], ...], text: str) -> MeantUse:
    said = plain(text)
    for name, use in names:
        if plain(name) == said:
            return MeantUse(use=use)
    by_name = dict(names)
    found = dict.fromkeys(by_name[name] for name in close(text, by_name))
    return MeantUse(likely=tuple(_words(use) for use in found))
