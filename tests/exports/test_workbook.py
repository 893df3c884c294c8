"""The workbook, opened by another library: text stays text, totals add up, pages are set up."""

import io
import re
import zipfile

import msgspec
import openpyxl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.exports.takeoff_workbook import takeoff_workbook, title_block
from app.exports.workbook import HEADING_ROW, TitleBlock, column_width, footer, workbook_bytes
from app.model.entities import Entity, Site
from app.model.settings import Settings
from app.model.vocabulary import Units
from app.sheets.table import Column, ColumnKind, Table, number_of
from app.sheets.tables import TABLES, table_of
from app.sheets.takeoff_tables import takeoff_tables
from app.takeoff.takeoff import take_off
from tests.hand_designs import HandRun, base, code, design_of, office, outlet

FIRST = HEADING_ROW + 2
"""The first row of data, counted from one."""
TITLE = TitleBlock(project="Harbour", document="Takeoff")
EVIL = [
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "\t=1+1",
    "\r=1+1",
    '=HYPERLINK("http://x","y")',
    "{=1}",
]


def opened(content: bytes) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(content))


def small(*texts: str, number: float | None = 1) -> Table:
    return Table(
        key="small",
        title="Small",
        columns=(
            Column("item", "Item"),
            Column("count", "Count", ColumnKind.COUNT, total=True),
        ),
        ids=tuple(str(i) for i in range(len(texts))),
        rows=tuple((t, number) for t in texts),
    )


def formulas_of(book: openpyxl.Workbook) -> dict[tuple[str, str], str]:
    return {
        (sheet.title, cell.coordinate): cell.value
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f"
    }


@pytest.mark.parametrize("text", EVIL)
def test_no_text_of_a_user_becomes_a_formula(text: str) -> None:
    book = opened(workbook_bytes([small(text)], TitleBlock(project=text, client=text)))
    sheet = book["Small"]
    assert sheet.cell(FIRST, 1).data_type == "s"
    assert sheet.cell(FIRST, 1).value.replace("_x000D_", "\r") == text
    # Only the total is a formula, and it speaks of numbers alone.
    assert formulas_of(book) == {("Small", f"B{FIRST + 1}"): f"=SUBTOTAL(109,$B${FIRST})"}


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60), st.text(max_size=60))
def test_any_text_is_text(one: str, other: str) -> None:
    content = workbook_bytes([small(one, other)], TitleBlock(project=one, client=other))
    book = opened(content)
    assert len(formulas_of(book)) == 1
    assert all(c.hyperlink is None for row in book["Small"].iter_rows() for c in row)


def test_evil_project_through_the_whole_takeoff() -> None:
    things: list[Entity] = []
    for thing in [Site(id="site", name="=1+1", client="@x"), *base(), outlet(1, named="=2+2")]:
        if hasattr(thing, "name"):
            thing = msgspec.structs.replace(thing, name="=1+1")
        things.append(thing)
    design = design_of(things)
    book = opened(takeoff_workbook(design, take_off(design)))
    for formula in formulas_of(book).values():
        assert re.fullmatch(
            r"=(SUBTOTAL\(109,[$A-Z0-9:]+\)|SUMIFS\(('\w+'![$A-Z0-9:]+,){2}[$A-Z0-9]+\)|[$A-Z0-9+*/]+)",
            formula,
        )
    texts = [c.value for s in book for row in s.iter_rows() for c in row if c.data_type == "s"]
    assert "=1+1" in texts


def computed(book: openpyxl.Workbook, sheet: str, formula: str) -> float:
    """What a formula gives, by a small reader of our three kinds of formula."""

    def cells(reference: str) -> list[object]:
        name, _, area = reference.rpartition("!")
        found = book[name.strip("'") or sheet][area.replace("$", "")]
        rows = found if isinstance(found, tuple) else ((found,),)
        return [c.value for row in rows for c in row]

    def number(reference: str) -> float:
        (value,) = cells(reference)
        if isinstance(value, str) and value.startswith("="):
            return computed(book, sheet, value)
        assert isinstance(value, int | float)
        return float(value)

    def numbers(reference: str) -> list[float]:
        name = reference.rpartition("!")[0].strip("'") or sheet
        return [
            computed(book, name, v) if isinstance(v, str) else float(v or 0)  # type: ignore[arg-type]
            for v in cells(reference)
        ]

    body = formula.removeprefix("=")
    if body.startswith("SUBTOTAL(109,"):
        return sum(numbers(body.removeprefix("SUBTOTAL(109,").removesuffix(")")))
    if body.startswith("SUMIFS("):
        summed, keys, key = body.removeprefix("SUMIFS(").removesuffix(")").split(",")
        (wanted,) = cells(key)
        pairs = zip(numbers(summed), cells(keys), strict=True)
        return sum(v for v, k in pairs if k == wanted)
    for sign, operate in (
        ("+", lambda values: sum(values)),
        ("*", lambda values: values[0] * values[1]),
        ("/", lambda values: values[0] / values[1]),
    ):
        if sign in body:
            return float(operate([number(part) for part in body.split(sign)]))
    raise AssertionError(formula)


def test_totals_are_what_another_reader_computes() -> None:
    given_runs = {
        f"outlet-{code(i)}": HandRun(installed_mm=20_000 + 1_234 * i, leg_mm=700 * i)
        for i in range(1, 14)
    }
    design = design_of(office(), given_runs)
    takeoff = take_off(design)
    content = takeoff_workbook(design, takeoff, date="2026-11-25")
    live = opened(content)
    shown = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
    checked = 0
    for (sheet, at), formula in formulas_of(live).items():
        expected = shown[sheet][at].value
        # A mean is kept in whole millimetres; the live one has all its decimals.
        assert computed(live, sheet, formula) == pytest.approx(expected, abs=0.0006)
        checked += 1
    assert checked > 20
    # And the metres against the runs themselves, summed anew.
    metres = int(design.runs.installed_mm.sum()) / 1000
    cable = shown["Cable"]
    heading = [c.value for c in cable[HEADING_ROW + 1]]
    total = cable.cell(cable.max_row, heading.index("Installed, m") + 1).value
    assert total == pytest.approx(metres)


@pytest.mark.parametrize("units", list(Units))
def test_every_number_is_the_tables_number(units: Units) -> None:
    design = design_of(office(Settings(id="settings", units=units)))
    tables = [table_of(design, key) for key in TABLES if key != "findings"]
    book = opened(workbook_bytes(tables, TITLE))
    assert book.sheetnames == [t.title for t in tables]
    for table in tables:
        sheet = book[table.title]
        assert [c.value for c in sheet[HEADING_ROW + 1]] == list(table.headings())
        for r, row in enumerate(table.rows, start=FIRST):
            for c, (value, column) in enumerate(zip(row, table.columns, strict=True), start=1):
                cell = sheet.cell(r, c)
                if isinstance(value, str):
                    assert (cell.value or "") == value
                else:
                    wanted = number_of(value, column.kind, units)
                    assert cell.value == (wanted if wanted is None else pytest.approx(wanted))


def test_pages_are_set_up() -> None:
    design = design_of(office())
    book = opened(takeoff_workbook(design, take_off(design)))
    for sheet in book:
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.page_setup.paperSize == 9
        # One page wide is what a file says that says nothing.
        assert sheet.page_setup.fitToWidth in {None, 1}
        assert sheet.page_setup.fitToHeight == 0
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.print_title_rows == f"${HEADING_ROW + 1}:${HEADING_ROW + 1}"
        assert sheet.freeze_panes == f"B{FIRST}"
        assert sheet.oddFooter.center.text == sheet.title
        assert sheet.oddFooter.right.text == "&P / &N"
    us = design_of(office(Settings(id="settings", units=Units.US)))
    assert opened(takeoff_workbook(us, take_off(us)))["Cable"].page_setup.paperSize == 1


def test_no_column_is_too_narrow_for_its_numbers() -> None:
    """A number wider than its column would print as ####."""
    given_runs = {f"outlet-{code(i)}": HandRun(installed_mm=9_876_543) for i in range(1, 14)}
    design = design_of(office(), given_runs)
    book = opened(takeoff_workbook(design, take_off(design)))
    for table in takeoff_tables(design, take_off(design)):
        sheet = book[table.title]
        for i, column in enumerate(table.columns):
            letter = sheet.cell(HEADING_ROW + 1, i + 1).column_letter
            width = sheet.column_dimensions[letter].width
            if column.is_number:
                printed = [
                    f"{number_of(row[i], column.kind, table.units):,.1f}"
                    for row in table.rows
                    if row[i] is not None
                ]
                assert all(len(p) <= width for p in printed)
            assert width >= column_width(table, i, column) - 0.5
        widths = sum(d.width for d in sheet.column_dimensions.values())
        # A landscape A4 holds some 130 characters of 11 points; more is shrunk to fit. Half
        # size is still readable.
        assert widths <= 260


def test_the_same_project_gives_the_same_bytes() -> None:
    one = design_of(office())
    two = design_of(office())
    content = takeoff_workbook(one, take_off(one))
    assert content == takeoff_workbook(two, take_off(two))
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert {i.date_time[:3] for i in archive.infolist()} == {(1980, 1, 1)}


def test_footer_keeps_a_users_ampersand_and_its_measure() -> None:
    title = TitleBlock(project="Sand & Sons &P" + "x" * 400, revision="B")
    text = footer("Cable", title)
    assert text.startswith("&LSand && Sons &&P")
    assert len(text) <= 255
    assert text.endswith("&CCable&R&P / &N")
    many = footer("Cable", TitleBlock(project="&" * 300))
    assert len(re.match(r"&L(&*)&C", many).group(1)) % 2 == 0  # type: ignore[union-attr]
    assert footer("Cable", TitleBlock()) == "&CCable&R&P / &N"


def test_title_block_speaks_for_the_project() -> None:
    site = Site(id="site", name="Ferry terminal", client="Port", revision="A", drawn_by="N. N.")
    block = title_block(design_of([site, *base()]), "Takeoff", date="2026-11-25")
    book = opened(workbook_bytes([small("x")], block))
    texts = [book["Small"].cell(r, 1).value for r in (1, 2, 3)]
    assert texts == ["Small", "Ferry terminal · Port", "Takeoff · Revision A · N. N. · 2026-11-25"]


def test_a_table_of_nothing_is_still_a_sheet() -> None:
    book = opened(workbook_bytes([small()], TITLE))
    assert [c.value for c in book["Small"][HEADING_ROW + 1]] == ["Item", "Count"]
    assert formulas_of(book) == {}


@pytest.mark.parametrize("text", ["a\uffffb", "a\ud800b", "a\x00\x01b", "é" * 40_000])
def test_text_that_a_file_cannot_hold_is_mended(text: str) -> None:
    content = workbook_bytes([small(text)], TitleBlock(project=text, drawn_by=text))
    value = opened(content)["Small"].cell(FIRST, 1).value
    assert value.startswith(text[0])
    assert len(value) <= 32_767
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for name in archive.namelist():
            assert "\uffff" not in archive.read(name).decode("utf-8")
