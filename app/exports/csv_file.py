"""Tables as CSV: RFC 4180, UTF-8, headings that never change, numbers as numbers."""

import csv
import io
from collections.abc import Iterable
from pathlib import Path

from app.exports.plain_text import harmless
from app.exports.saving import save
from app.model.vocabulary import Units
from app.sheets.table import Cell, Column, ColumnKind, Table, number_of

BOM = b"\xef\xbb\xbf"

_UNIT_WORDS = {
    "m": "m",
    "ft": "ft",
    "mm": "mm",
    "m²": "m2",
    "ft²": "ft2",
    "mm²": "mm2",
    "in²": "in2",
    "%": "percent",
}
_DECIMALS = {
    ColumnKind.LENGTH: 3,
    ColumnKind.AREA: 2,
    ColumnKind.SECTION: 2,
    ColumnKind.RATIO: 2,
    ColumnKind.MONEY: 2,
}


def csv_heading(column: Column, units: Units) -> str:
    """`installed_m`: the column's key and its unit in plain letters."""
    unit = _UNIT_WORDS.get(column.unit(units), "")
    return f"{column.key}_{unit}" if unit else column.key


def csv_bytes(table: Table, *, bom: bool = False) -> bytes:
    """A table as CSV; with `bom` for spreadsheets that else take UTF-8 for something older.

    A table's warning is its first row, alone in the first column, for it must not be missed.
    Text that a spreadsheet would compute is written behind an apostrophe.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([csv_heading(c, table.units) for c in table.columns])
    if table.warning:
        writer.writerow([harmless(table.warning), *[""] * (len(table.columns) - 1)])
    kinds = [c.kind for c in table.columns]
    for row in table.rows:
        writer.writerow(
            [_cell(value, kind, table.units) for value, kind in zip(row, kinds, strict=True)]
        )
    content = text.getvalue().encode("utf-8", errors="replace")
    return BOM + content if bom else content


def save_csv(path: Path, table: Table, *, bom: bool = False) -> None:
    """Write one table. Raises ExportFailed."""
    save(path, csv_bytes(table, bom=bom))


def csv_path(folder: Path, table: Table) -> Path:
    """Where a table lies in a folder of tables."""
    return folder / f"{table.key}.csv"


def save_csv_folder(folder: Path, tables: Iterable[Table], *, bom: bool = False) -> list[Path]:
    """Write each table as KEY.csv into a folder that is there; gives the files' paths.

    Raises ExportFailed.
    """
    paths = []
    for table in tables:
        path = csv_path(folder, table)
        save_csv(path, table, bom=bom)
        paths.append(path)
    return paths


def _cell(value: Cell, kind: ColumnKind, units: Units) -> str:
    if isinstance(value, str):
        return harmless(value)
    number = number_of(value, kind, units)
    if number is None:
        return ""
    if kind is ColumnKind.RATIO:
        number *= 100
    places = _DECIMALS.get(kind)
    return str(number) if places is None else f"{number:.{places}f}"
