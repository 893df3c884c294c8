"""Which kind of outlet a word means: “desks”, “AP”, “cameras”."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from app.editor.room_lists.plain_words import all_close, close, plain, telling
from app.model.entities import OutletKind

_SYMBOL_OF = {
    "desk": "data",
    "workplace": "data",
    "workstation": "data",
    "seat": "data",
    "data": "data",
    "socket": "data",
    "lan": "data",
    "network": "data",
    "rj45": "data",
    "ap": "access_point",
    "wap": "access_point",
    "wifi": "access_point",
    "wlan": "access_point",
    "wireless": "access_point",
    "cctv": "camera",
    "cam": "camera",
    "screen": "sign",
    "display": "sign",
    "tv": "sign",
    "sign": "sign",
    "telephone": "phone",
    "phone": "phone",
    "door": "door",
    "reader": "door",
    "kiosk": "kiosk",
    "till": "kiosk",
    "pos": "kiosk",
    "clock": "speaker",
    "loudspeaker": "speaker",
}
"""What crews call the kinds of a symbol. Source: practice."""


class Meant(msgspec.Struct, frozen=True, kw_only=True):
    """The kind that is meant beyond doubt, if any, and all that are likely, by id."""

    kind: str | None = None
    likely: tuple[str, ...] = ()


def kind_meant(kinds: Iterable[OutletKind], words: str) -> Meant:
    """What a word or heading means: a kind of that name, or the only one with those words.

    Everything else is likely at best: several kinds with the word, what crews call so, and
    names that are spelt nearly alike.
    """
    every = list(kinds)
    said = telling(words)
    if not said:
        return Meant()
    same = [k.id for k in every if telling(k.name) == said or plain(k.name) == plain(words)]
    within = [k for k in every if said <= telling(k.name)]
    within.sort(key=lambda k: len(telling(k.name)))
    called = [k for k in every if any(k.symbol == _SYMBOL_OF.get(word) for word in said)]
    by_name = {k.name: k.id for k in every}
    spelt = [k.id for k in every if all_close(said, telling(k.name))]
    spelt += [by_name[name] for name in close(words, by_name)]
    likely = tuple(dict.fromkeys([*same, *(k.id for k in within), *spelt, *(k.id for k in called)]))
    if len(same) == 1:
        return Meant(kind=same[0], likely=likely)
    if not same and len(within) == 1:
        return Meant(kind=within[0].id, likely=likely)
    return Meant(likely=likely)
