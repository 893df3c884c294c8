"""A client's list read from a file: rows of texts as they are seen, whatever the kind of file.

A list from a stranger is untrusted: its size is bounded (`bounds.py`), nothing in it is run or
worked out, and what cannot be read is said. Workbooks are read by `lists_workbook`, texts by
`lists_text`.
"""

from __future__ import annotations

from pathlib import Path

from app.storage.bounds import LARGEST_LIST_BYTES
from app.storage.failures import in_words
from app.storage.list_rows import ListFile, UnreadableList
from app.storage.lists_text import text_rows
from app.storage.lists_workbook import OLD_WORKBOOK, workbook_rows

WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm"})
ZIP = b"PK\x03\x04"
BYTES_PER_MIB = 2**20


def read_list(path: Path, *, sheet: str | None = None) -> ListFile:
    """The rows of a list; of a workbook those of one sheet, else of the first that holds a table.

    Raises UnreadableList.
    """
    content = _content(path)
    if content.startswith(ZIP):
        return workbook_rows(content, path.name, sheet)
    if content.startswith(OLD_WORKBOOK):
        raise UnreadableList(
            f"“{path.name}” is a workbook of an old kind, or one with a password; save it as "
            ".xlsx without a password, or as CSV, and read that."
        )
    if path.suffix.lower() in WORKBOOK_SUFFIXES:
        raise UnreadableList(
            f"“{path.name}” is called a workbook and is none; save the list anew as .xlsx or CSV."
        )
    return text_rows(content, path.name)


def _content(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_LIST_BYTES + 1)
    except FileNotFoundError:
        raise UnreadableList(f"There is no file “{path}”; check its name and folder.") from None
    except OSError as error:
        raise UnreadableList(f"“{path.name}” cannot be read: {in_words(error)}.") from error
    if len(content) > LARGEST_LIST_BYTES:
        raise UnreadableList(
            f"“{path.name}” is larger than {LARGEST_LIST_BYTES // BYTES_PER_MIB} MiB, as no list "
            "of rooms is; save the sheet with the rooms alone and read that."
        )
    if not content.strip(b"\0 \t\r\n"):
        raise UnreadableList(f"“{path.name}” is empty.")
    return content
