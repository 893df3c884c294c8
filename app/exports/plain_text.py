"""Text that a spreadsheet must never take for a formula, and that its file can hold."""

import re

FORMULA_STARTS = frozenset("=+-@\t\r\n＝＋－＠")
"""A cell that begins so is computed, or looked into, by one spreadsheet or another."""


def harmless(text: str) -> str:
    """The text, behind an apostrophe where a spreadsheet would take it for a formula."""
    return f"'{text}" if text and text[0] in FORMULA_STARTS else text


CELL_MOST = 32_767
"""Characters that a workbook's cell holds."""

_UNSTORABLE = re.compile("[\ud800-\udfff\ufffe\uffff]")


def storable(text: str) -> str:
    """The text as a workbook can hold it: signs that its XML forbids are replaced, the end of
    what is too long is cut and marked."""
    kept = _UNSTORABLE.sub("\ufffd", text)
    return kept if len(kept) <= CELL_MOST else f"{kept[: CELL_MOST - 1]}…"
