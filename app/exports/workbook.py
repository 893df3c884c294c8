"""Tables as a workbook: one sheet a table, live totals, set up to be printed.

Text is always written as text. Formulas are made here, over cells with numbers only.
"""

import datetime
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import xlsxwriter  # type: ignore[import-untyped]
from xlsxwriter.utility import xl_range_abs, xl_rowcol_to_cell  # type: ignore[import-untyped]

from app.exports.plain_text import storable
from app.model.vocabulary import Units
from app.sheets.table import Cell, Column, ColumnKind, Table, number_of, total_of

MADE = datetime.datetime(2000, 1, 1)
"""A fixed date in the file, so that the same project gives the same bytes."""
SHEET_NAME_MOST = 31
FOOTER_MOST = 255
A4, LETTER = 9, 1
WIDEST = 60
HEADING_ROW = 4
TITLE_SIZE = 14
WARNING_COLOUR = "#A61C00"
MARGIN_INCHES = 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What stands over and under every sheet."""

    project: str = ""
    client: str = ""
    document: str = ""
    revision: str = ""
    drawn_by: str = ""
    date: str = ""


NUMBER_FORMATS = {
    ColumnKind.COUNT: "#,##0",
    ColumnKind.LENGTH: "#,##0.0",
    ColumnKind.SIZE: "#,##0.0",
    ColumnKind.AREA: "#,##0.0",
    ColumnKind.SECTION: "#,##0",
    ColumnKind.RATIO: "0.0%",
    ColumnKind.DECIMAL: "#,##0.00",
    ColumnKind.MONEY: "#,##0.00",
}


Formulas = Mapping[tuple[int, int], str]
"""Formulas of a table's cells by row and column, instead of the plain numbers there."""


def workbook_bytes(
    tables: Sequence[Table],
    title: TitleBlock,
    *,
    formulas: Mapping[str, Formulas] | None = None,
) -> bytes:
    """A workbook with one sheet for each table, in their order.

    `formulas`: by the table's key; the table's own number is kept as the formula's result.
    """
    buffer = io.BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_urls": False,
        "strings_to_numbers": False,
    }
    book = xlsxwriter.Workbook(buffer, options)
    book.set_properties(
        {
            "title": title.document,
            "author": storable(title.drawn_by),
            "created": MADE,
            "comments": "",
        }
    )
    styles = Styles(book)
    for table in tables:
        _write_sheet(book, styles, table, title, (formulas or {}).get(table.key, {}))
    book.close()
    return buffer.getvalue()


class Styles:
    """The formats of a workbook, made once."""

    def __init__(self, book: Any) -> None:
        self.title: Any = book.add_format({"bold": True, "font_size": TITLE_SIZE})
        self.soft: Any = book.add_format({"italic": True})
        self.warning: Any = book.add_format({"bold": True, "font_color": WARNING_COLOUR})
        self.heading: Any = book.add_format(
            {
                "bold": True,
                "bottom": 1,
                "top": 1,
                "text_wrap": True,
                "valign": "vcenter",
                "indent": 1,
            }
        )
        self.number_heading: Any = book.add_format(
            {
                "bold": True,
                "bottom": 1,
                "top": 1,
                "text_wrap": True,
                "valign": "vcenter",
                "align": "right",
            }
        )
        self.text: Any = book.add_format({"text_wrap": True, "valign": "top", "indent": 1})
        self.total_text: Any = book.add_format({"bold": True, "top": 1, "indent": 1})
        self.number: dict[ColumnKind, Any] = {}
        self.total: dict[ColumnKind, Any] = {}
        for kind, number_format in NUMBER_FORMATS.items():
            shape = {"num_format": number_format, "valign": "top"}
            self.number[kind] = book.add_format(shape)
            self.total[kind] = book.add_format({**shape, "bold": True, "top": 1})


def _write_sheet(
    book: Any, styles: Styles, table: Table, title: TitleBlock, formulas: Formulas
) -> None:
    sheet = book.add_worksheet(sheet_name(table))
    _write_head(sheet, styles, table, title)
    first = HEADING_ROW + 1
    for r, row in enumerate(table.rows, start=first):
        for c, (value, column) in enumerate(zip(row, table.columns, strict=True)):
            formula = formulas.get((r - first, c))
            _write_cell(sheet, styles, (r, c), value, column, table.units, formula)
    last = first + len(table.rows) - 1
    if table.rows:
        sheet.autofilter(HEADING_ROW, 0, last, len(table.columns) - 1)
        _write_totals(sheet, styles, table, first, last)
    for c, column in enumerate(table.columns):
        sheet.set_column(c, c, column_width(table, c, column))
    _set_up_print(sheet, table, title)


def _write_head(sheet: Any, styles: Styles, table: Table, title: TitleBlock) -> None:
    sheet.write_string(0, 0, table.title, styles.title)
    line = " · ".join(p for p in (title.project, title.client) if p)
    sheet.write_string(1, 0, storable(line))
    revision = f"Revision {title.revision}" if title.revision else ""
    line = " · ".join(p for p in (title.document, revision, title.drawn_by, title.date) if p)
    sheet.write_string(2, 0, storable(line))
    if table.warning:
        sheet.write_string(3, 0, f"{table.warning} {table.note}".rstrip(), styles.warning)
    elif table.note:
        sheet.write_string(3, 0, table.note, styles.soft)
    for c, column in enumerate(table.columns):
        style = styles.number_heading if column.is_number else styles.heading
        sheet.write_string(HEADING_ROW, c, column.heading(table.units), style)


def _write_cell(
    sheet: Any,
    styles: Styles,
    at: tuple[int, int],
    value: Cell,
    column: Column,
    units: Units,
    formula: str | None,
) -> None:
    if isinstance(value, str):
        if value:
            sheet.write_string(*at, storable(value), styles.text)
        return
    number = number_of(value, column.kind, units)
    if number is None:
        return
    if formula is None:
        sheet.write_number(*at, number, styles.number[column.kind])
    else:
        sheet.write_formula(*at, formula, styles.number[column.kind], number)


def cell_at(row: int, column: int) -> str:
    """The name of a table's cell in its sheet: `$A6` for the first one."""
    name: str = xl_rowcol_to_cell(HEADING_ROW + 1 + row, column, col_abs=True)
    return name


def column_range(table: Table, key: str) -> str:
    """The cells of one column of a table, with its sheet: `'Outlets'!$D$6:$D$9`."""
    first, c = HEADING_ROW + 1, table.column_of[key]
    cells: str = xl_range_abs(first, c, first + len(table.rows) - 1, c)
    return f"'{sheet_name(table)}'!{cells}"


def sheet_name(table: Table) -> str:
    """The name of a table's sheet; titles are ours and hold no sign that is forbidden there."""
    return table.title[:SHEET_NAME_MOST]


def _write_totals(sheet: Any, styles: Styles, table: Table, first: int, last: int) -> None:
    """Sums of the rows in sight: a filter changes them."""
    if not any(c.total for c in table.columns):
        return
    row = last + 1
    for c, column in enumerate(table.columns):
        if column.total:
            # 109 sums what a filter leaves in sight.
            formula = f"=SUBTOTAL(109,{xl_range_abs(first, c, last, c)})"
            value = number_of(total_of(table.rows, c), column.kind, table.units)
            sheet.write_formula(row, c, formula, styles.total[column.kind], value)
        else:
            sheet.write_string(row, c, "Total" if c == 0 else "", styles.total_text)


def column_width(table: Table, index: int, column: Column) -> float:
    """Characters that a column needs: its hint, or its widest number with its total."""
    if not column.is_number:
        longest = max((len(str(row[index] or "")) for row in table.rows), default=0)
        return float(max(column.width, min(WIDEST, longest + 2, 2 * column.width)))
    numbers = [total_of(table.rows, index)] if column.total else []
    numbers += [v for row in table.rows if isinstance(v := row[index], int | float)]
    widest = max((_printed_width(v, column.kind, table.units) for v in numbers), default=0)
    return float(max(column.width, widest + 2))


def _printed_width(value: float, kind: ColumnKind, units: Units) -> int:
    number = number_of(value, kind, units)
    if number is None:
        return 0
    if kind is ColumnKind.RATIO:
        return len(f"{number * 100:.1f}%")
    places = NUMBER_FORMATS[kind].partition(".")[2].count("0")
    return len(f"{number:,.{places}f}")


def _set_up_print(sheet: Any, table: Table, title: TitleBlock) -> None:
    sheet.set_landscape()
    sheet.set_paper(LETTER if table.units is Units.US else A4)
    sheet.set_margins(MARGIN_INCHES, MARGIN_INCHES, MARGIN_INCHES, 2 * MARGIN_INCHES)
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(HEADING_ROW)
    sheet.freeze_panes(HEADING_ROW + 1, 1)
    sheet.hide_gridlines(0)
    sheet.set_footer(footer(table.title, title))


def footer(sheet_title: str, title: TitleBlock) -> str:
    """The title block at the foot of every page; a user's `&` is no code there."""
    revision = f" · revision {title.revision}" if title.revision else ""
    tail = f"&C{_plain(sheet_title)}&R&P / &N"
    left = f"{title.project}{revision}"
    while len(_plain(left)) > FOOTER_MOST - len(tail) - len("&L"):
        left = left[:-1]
    return f"&L{_plain(left)}{tail}" if left else tail


def _plain(text: str) -> str:
    return storable(text).replace("&", "&&")
