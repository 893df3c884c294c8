"""Text that a spreadsheet must never take for a formula."""

FORMULA_STARTS = frozenset("=+-@\t\r\n＝＋－＠")
"""A cell that begins so is computed, or looked into, by one spreadsheet or another."""


def harmless(text: str) -> str:
    """The text, behind an apostrophe where a spreadsheet would take it for a formula."""
    return f"'{text}" if text and text[0] in FORMULA_STARTS else text
