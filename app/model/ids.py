"""Ids: `tag-xxxxxxxx`, eight random characters from an injectable source."""

import secrets
from collections.abc import Callable, Container

ALPHABET = "0123456789abcdefghjkmnpqrstvwxyz"
LENGTH = 8

Source = Callable[[], str]
"""Gives eight characters of `ALPHABET`."""


def random_characters() -> str:
    return "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))


def counting_source(start: int = 1) -> Source:
    """A source for tests and scripts: 00000001, 00000002, …"""
    state = start - 1

    def next_characters() -> str:
        nonlocal state
        state += 1
        number, out = state, ""
        for _ in range(LENGTH):
            number, digit = divmod(number, len(ALPHABET))
            out = ALPHABET[digit] + out
        return out

    return next_characters


def new_id(tag: str, taken: Container[str], source: Source = random_characters) -> str:
    """An id of the tag that is not in `taken`."""
    while True:
        candidate = f"{tag}-{source()}"
        if candidate not in taken:
            return candidate


def tag_of_id(entity_id: str) -> str:
    """`outlet-kind-7k2q9mfd` -> `outlet-kind`; `site` -> `site`."""
    tag, dash, tail = entity_id.rpartition("-")
    return tag if dash and len(tail) == LENGTH else entity_id
