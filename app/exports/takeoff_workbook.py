"""The takeoff as a workbook whose bill adds itself up from the parts."""

from app.design.design import Design
from app.exports.workbook import (
    Formulas,
    TitleBlock,
    cell_at,
    column_range,
    workbook_bytes,
)
from app.sheets.table import Table
from app.sheets.takeoff_tables import takeoff_tables
from app.takeoff.takeoff import Takeoff


def takeoff_workbook(design: Design, takeoff: Takeoff, *, date: str = "") -> bytes:
    """A takeoff as XLSX: the bill of quantities first, then its parts, the assumptions last.

    The bill's quantities are sums over the parts, boxes and means are computed in their rows.
    """
    tables = takeoff_tables(design, takeoff)
    return workbook_bytes(
        tables, title_block(design, "Takeoff", date=date), formulas=_formulas(tables)
    )


def title_block(design: Design, document: str, *, date: str = "") -> TitleBlock:
    """The title block of a project's papers."""
    site = design.project.site
    return TitleBlock(
        project=site.name,
        client=site.client,
        document=document,
        revision=site.revision,
        drawn_by=site.drawn_by,
        date=date,
    )


def _formulas(tables: tuple[Table, ...]) -> dict[str, Formulas]:
    by_key = {t.key: t for t in tables}
    found: dict[str, Formulas] = {}
    if "bill" in by_key:
        found["bill"] = _bill_formulas(by_key["bill"], tables)
    if "boxes" in by_key:
        found["boxes"] = _row_formulas(by_key["boxes"], "total", "={boxes}+{repull_boxes}+{spare}")
    if "cable" in by_key:
        found["cable"] = _row_formulas(by_key["cable"], "mean", "={installed}/{runs}")
    if "backbone_cable" in by_key:
        backbone = by_key["backbone_cable"]
        found["backbone_cable"] = {
            **_row_formulas(backbone, "installed", "={count}*{each_installed}"),
            **_row_formulas(backbone, "cut", "={count}*{each_cut}"),
        }
    return found


_QUANTITIES = {"boxes": {"pieces": "total"}, "backbone_cable": {"length": "cut"}}
"""Where a part keeps its quantity in another column than the bill does."""


def _bill_formulas(bill: Table, tables: tuple[Table, ...]) -> Formulas:
    """Each quantity as the sum of the lines with the item's number in its part."""
    numbered = {
        row[t.column_of["no"]]: t
        for t in tables
        if t is not bill and "no" in t.column_of
        for row in t.rows
    }
    formulas = {}
    for r, row in enumerate(bill.rows):
        part = numbered[row[bill.column_of["no"]]]
        for quantity in ("pieces", "length"):
            c = bill.column_of[quantity]
            if row[c] is not None:
                summed = _QUANTITIES.get(part.key, {}).get(quantity, quantity)
                number = cell_at(r, bill.column_of["no"])
                formulas[r, c] = (
                    f"=SUMIFS({column_range(part, summed)},{column_range(part, 'no')},{number})"
                )
    return formulas


def _row_formulas(table: Table, key: str, pattern: str) -> Formulas:
    """One formula a row; `{key}` in the pattern stands for the row's cell of that column."""
    return {
        (r, table.column_of[key]): pattern.format(
            **{k: cell_at(r, c) for k, c in table.column_of.items()}
        )
        for r in range(len(table.rows))
    }
