"""Lists as text: CSV with any usual delimiter, in the encodings that spreadsheets write."""

from __future__ import annotations

import codecs
import csv
import io
from collections import Counter
from collections.abc import Iterator

from app.storage.list_rows import ListFile, UnreadableList, bounded_rows, clean

DELIMITERS = ";,\t|"
_NAMES = {";": "semicolons", ",": "commas", "\t": "tabs", "|": "upright bars"}
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)
LINES_LOOKED_AT = 60
HALF = 0.5
_SEPARATOR_LINE = "sep="


def text_rows(content: bytes, name: str) -> ListFile:
    """The rows of a CSV file. Raises UnreadableList."""
    text, encoding = _decoded(content, name)
    first, _, rest = text.partition("\n")
    said = first.strip().strip('"')
    stated = said.lower().startswith(_SEPARATOR_LINE) and len(said) == len(_SEPARATOR_LINE) + 1
    delimiter = said[-1] if stated else _delimiter(text)
    rows, empty = bounded_rows(name, _rows(rest if stated else text, delimiter, name))
    apart = _NAMES.get(delimiter, f"“{delimiter}”")
    return ListFile(
        source_name=name,
        rows=rows,
        empty=empty,
        notes=(f"Read as {encoding}, columns apart by {apart}.",),
    )


def _decoded(content: bytes, name: str) -> tuple[str, str]:
    """The text and the name of its encoding: a mark at the beginning decides, else UTF-8 if it
    is, else UTF-16 where every other byte is nought, else Latin-1 as Windows writes it."""
    try:
        for mark, encoding in _MARKS:
            if content.startswith(mark):
                return _plain(content.decode(encoding), name), encoding.removesuffix("-sig").upper()
        sample = content[:4_000]
        for first, encoding in ((1, "utf-16-le"), (0, "utf-16-be")):
            noughts = sample[first::2].count(0)
            if noughts > HALF * len(sample) / 2 and not sample[1 - first :: 2].count(0):
                return _plain(content.decode(encoding), name), "UTF-16"
    except UnicodeDecodeError as error:
        raise UnreadableList(
            f"“{name}” breaks off or is damaged at byte {error.start:,}; save it anew as CSV in "
            "UTF-8."
        ) from None
    for encoding, called in (("utf-8", "UTF-8"), ("cp1252", "Latin-1"), ("latin-1", "Latin-1")):
        try:
            return _plain(content.decode(encoding), name), called
        except UnicodeDecodeError:
            continue
    raise AssertionError("every byte is a letter of Latin-1")


def _plain(text: str, name: str) -> str:
    if "\0" in text:
        raise UnreadableList(f"“{name}” is no text; save the list as CSV or .xlsx and read that.")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _delimiter(text: str) -> str:
    """What parts the columns: the sign that gives most lines the same number of columns."""
    head = "\n".join(text.split("\n", LINES_LOOKED_AT)[:LINES_LOOKED_AT])

    def worth(delimiter: str) -> tuple[int, int]:
        try:
            counts = Counter(
                len(row) for row in csv.reader(io.StringIO(head), delimiter=delimiter) if row
            )
        except csv.Error:
            return (0, 0)
        most = [(count, columns) for columns, count in counts.items() if columns > 1]
        return max(most, default=(0, 0))

    return max(DELIMITERS, key=lambda d: (worth(d), -DELIMITERS.index(d)))


def _rows(text: str, delimiter: str, name: str) -> Iterator[list[str]]:
    reader = csv.reader(io.StringIO(text), delimiter=delimiter, strict=True)
    try:
        for row in reader:
            yield [clean(cell) for cell in row]
    except csv.Error as error:
        raise UnreadableList(
            f"“{name}” cannot be read at line {reader.line_num} ({error}); look for a quotation "
            "mark that is not closed."
        ) from None
