"""Words of a file from anywhere, made fit to be shown and stored."""

from __future__ import annotations

import re
from functools import lru_cache

from app.plans.limits import MOST_TEXT_LENGTH

MOST_NAME_LENGTH = 255

_NOT_PRINTED = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


def clean(text: str) -> str:
    """Text that can be shown and stored: of bounded length, without control characters."""
    return _NOT_PRINTED.sub(" ", text[:MOST_TEXT_LENGTH]).strip(" \n")


@lru_cache(maxsize=4096)
def clean_name(name: str) -> str:
    """A name of a layer, block or file in one line, never empty."""
    return clean(name[:MOST_NAME_LENGTH]).replace("\n", " ") or "unnamed"
