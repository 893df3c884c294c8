"""Clients' lists read from files: text in its encodings, workbooks, and hostile ones of both."""

import datetime
import io
import zipfile

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from app.storage import lists_workbook
from app.storage.bounds import MOST_LIST_COLUMNS, MOST_LIST_ROWS
from app.storage.list_rows import NO_VALUE, ListFile, UnreadableList
from app.storage.lists import read_list
from tests.effort import examples

TABLE = [["Room", "Name", "Area"], ["0.07", "Büro Süd", "12,5"], ["0.08", "Lager", ""]]


def written(tmp_path, content: bytes | str, name: str = "rooms.csv", encoding: str = "utf-8"):
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode(encoding))
    return path


def cells(read):
    return [list(row.cells) for row in read.rows]


def workbook(tmp_path, fill, name="rooms.xlsx"):
    path = tmp_path / name
    book = xlsxwriter.Workbook(str(path))
    fill(book)
    book.close()
    return path


@pytest.mark.parametrize("delimiter", [";", "\t", "|", ","])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_a_list_is_the_same_in_every_encoding_and_with_every_delimiter(
    tmp_path, delimiter, encoding
):
    lines = ["\r\n" + delimiter.join(f'"{c}"' for c in row) for row in TABLE]
    read = read_list(written(tmp_path, "".join(lines), encoding=encoding))
    assert cells(read) == [TABLE[0], TABLE[1], ["0.08", "Lager"]]
    assert [row.line for row in read.rows] == [2, 3, 4]
    assert read.empty == 1


@pytest.mark.parametrize("encoding", ["latin-1", "cp1252"])
def test_letters_of_windows_are_read(tmp_path, encoding):
    read = read_list(written(tmp_path, "Room;Name\n1;Büro\n", encoding=encoding))
    assert cells(read)[1] == ["1", "Büro"]
    assert read.notes == ("Read as Latin-1, columns apart by semicolons.",)


def test_decimal_commas_do_not_part_columns(tmp_path):
    read = read_list(written(tmp_path, "Room;Area\n0,07;12,5\n0,08;13,5\n"))
    assert cells(read)[1:] == [["0,07", "12,5"], ["0,08", "13,5"]]


def test_a_line_that_states_the_delimiter_is_obeyed(tmp_path):
    read = read_list(written(tmp_path, "sep=;\nRoom;A,B\n1;2,3\n"))
    assert cells(read) == [["Room", "A,B"], ["1", "2,3"]]


def test_cells_of_several_lines_are_one_line_of_print(tmp_path):
    read = read_list(written(tmp_path, 'Room,Name\n1,"Meeting\nroom\t A"\n'))
    assert cells(read)[1] == ["1", "Meeting room A"]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is empty"),
        (b"\n \n\t\n", "is empty"),
        (b"a;b\x00c\n" + bytes(range(256)) * 4, "is no text"),
        (b'Room;Name\n1;"Office\n2;Store\n', "quotation mark"),
        (b"\xff\xfea\x00;\x00b", "breaks off"),
        (b"Room\n" + b"1;" * (MOST_LIST_COLUMNS + 1) + b"x\n", "columns in row 2"),
        (b"Room;Name\n" + b"1;a\n" * (MOST_LIST_ROWS + 1), f"{MOST_LIST_ROWS:,} rows"),
        (b"1;2\n" + b"9" * (17 * 2**20), "larger than 16 MiB"),
        (lists_workbook.OLD_WORKBOOK + b"\0" * 600, "old kind, or one with a password"),
        (b"PK\x03\x04" + b"\x11" * 900, "damaged or has a password"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_sentence(tmp_path, content, says):
    with pytest.raises(UnreadableList, match=says) as refused:
        read_list(written(tmp_path, content))
    assert "\n" not in str(refused.value)
    assert "“rooms.csv”" in str(refused.value)


def test_a_file_that_is_not_there_and_one_that_only_has_the_name(tmp_path):
    with pytest.raises(UnreadableList, match="no file"):
        read_list(tmp_path / "gone.csv")
    with pytest.raises(UnreadableList, match="is none"):
        read_list(written(tmp_path, "Room;Name\n", name="rooms.xlsx"))


def test_numbers_are_read_as_they_are_seen_and_never_rounded(tmp_path):
    def fill(book):
        two, none, three = (book.add_format({"num_format": f}) for f in ("0.00", "0", "000"))
        sheet = book.add_worksheet("Rooms")
        sheet.write_row(0, 0, ["Room", "Area", "Desk"])
        sheet.write_number(1, 0, 0.1, two)
        sheet.write_number(1, 1, 113.97, none)
        sheet.write_number(1, 2, 13)
        sheet.write_number(2, 0, 7, three)
        sheet.write_boolean(2, 2, True)
        sheet.write_number(3, 0, 1.25)

    read = read_list(workbook(tmp_path, fill))
    assert cells(read)[1:] == [["0.10", "113.97", "13"], ["007", "", "yes"], ["1.25"]]
    assert (read.sheet, read.sheets, read.notes) == ("Rooms", ("Rooms",), ())


def test_formulas_are_not_worked_out(tmp_path):
    """The value that stands there is taken; openpyxl writes formulas without one."""

    def fill(book):
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, ["Room", "Desk"])
        sheet.write_string(1, 0, "1")
        sheet.write_formula(1, 1, "=40+2", None, 7)

    assert cells(read_list(workbook(tmp_path, fill)))[1] == ["1", "7"]
    book = openpyxl.Workbook()
    book.active.append(["Room", "Desk"])
    book.active.append(["1", "=40+2"])
    book.active.append([datetime.date(2026, 4, 2), 3])
    book.save(tmp_path / "never.xlsx")
    read = read_list(tmp_path / "never.xlsx")
    assert cells(read)[1:] == [["1", NO_VALUE], ["2026-04-02T00:00:00", "3"]]
    assert [note.split(":")[0].split(" is ")[0] for note in read.notes] == [
        "Cell B2 holds a formula without a value",
        "Cell A3",
    ]


def test_the_sheet_with_the_table_is_found_and_another_can_be_asked_for(tmp_path):
    def fill(book):
        book.add_worksheet("Cover").write_string(0, 0, "Ferry terminal")
        for name in ("Rooms", "Doors"):
            sheet = book.add_worksheet(name)
            sheet.write_row(3, 0, [name, "Name"])
            sheet.write_row(4, 0, ["1", "a"])

    path = workbook(tmp_path, fill)
    read = read_list(path)
    assert (read.sheet, read.sheets) == ("Rooms", ("Cover", "Rooms", "Doors"))
    assert [row.line for row in read.rows] == [4, 5]
    assert cells(read_list(path, sheet="Doors"))[0] == ["Doors", "Name"]
    with pytest.raises(UnreadableList, match="no sheet “Windows”"):
        read_list(path, sheet="Windows")


def replaced(tmp_path, part: str, content: bytes):
    """A sound workbook with one part put in place of another."""

    def fill(book):
        book.add_worksheet().write_row(0, 0, ["Room", "Name"])

    source = workbook(tmp_path, fill, "sound.xlsx")
    out = io.BytesIO()
    with (
        zipfile.ZipFile(source) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for info in old.infolist():
            new.writestr(info, content if info.filename == part else old.read(info))
        if part not in old.namelist():
            new.writestr(part, content)
    return written(tmp_path, out.getvalue(), "hostile.xlsx")


SHEET = "xl/worksheets/sheet1.xml"
HEAD = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
CELL = b'<c r="%s"><v>1</v></c>'


def sheet(rows: bytes, before: bytes = b"") -> bytes:
    return HEAD + before + b"<sheetData>" + rows + b"</sheetData></worksheet>"


def test_a_sheet_that_says_it_is_full_costs_no_more_than_its_cells(tmp_path):
    rows = (
        b"".join(
            b'<row r="%d">' % n + CELL % b"A%d" % n + CELL % b"B%d" % n + b"</row>" for n in (1, 2)
        )
        + b'<row r="1048576">'
        + CELL % b"A1048576"
        + b"</row>"
    )
    path = replaced(tmp_path, SHEET, sheet(rows, b'<dimension ref="A1:XFD1048576"/>'))
    read = read_list(path)
    assert [row.line for row in read.rows] == [1, 2, 1_048_576]


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"".join(b"<row><c><v>1</v></c></row>" for _ in range(MOST_LIST_ROWS + 1)), "rows"),
        (b"<row>" + b"<c><v>1</v></c>" * 16_384 + b"</row>", "columns in row 1"),
        (b"<row>" + b"<c><v>1</v></c>" * 8_000_000 + b"</row>", "would unpack to"),
        (b"<row><c><v>1</v></c>", "is damaged"),
        (b'<row><c t="s"><v>99999</v></c></row>', "is damaged"),
        (b'<row r="9999999999999"><c><v>1</v></c></row>', "more than 2,000,000 rows"),
    ],
)
def test_hostile_sheets_are_refused_in_one_sentence(tmp_path, content, says):
    with pytest.raises(UnreadableList, match=says) as refused:
        read_list(replaced(tmp_path, SHEET, sheet(content)))
    assert "“hostile.xlsx”" in str(refused.value)


def test_definitions_that_unfold_are_refused(tmp_path):
    bomb = b'<!DOCTYPE a [<!ENTITY b "' + b"x" * 900 + b'">]>'
    path = replaced(tmp_path, SHEET, b" " * 5_000 + bomb + sheet(b""))
    with pytest.raises(UnreadableList, match="defines words of its own"):
        read_list(path)


def test_macros_are_left_alone(tmp_path):
    path = replaced(tmp_path, "xl/vbaProject.bin", b"Attribute VB_Name" * 100)
    macro = path.rename(tmp_path / "macro.xlsm")
    assert cells(read_list(macro)) == [["Room", "Name"]]


def read_or_refused(path) -> ListFile | str:
    """What is read, else the sentence that refuses it."""
    try:
        return read_list(path)
    except UnreadableList as refused:
        return str(refused)


@settings(max_examples=examples(150), deadline=None)
@given(content=st.one_of(st.binary(max_size=400), st.text(max_size=200).map(str.encode)))
def test_any_bytes_are_read_or_refused_in_one_sentence(tmp_path_factory, content):
    path = written(tmp_path_factory.mktemp("any"), content)
    read = read_or_refused(path)
    if isinstance(read, str):
        assert "\n" not in read
    else:
        assert all("\n" not in cell for row in read.rows for cell in row.cells)


def a_workbook() -> bytes:
    out = io.BytesIO()
    book = openpyxl.Workbook()
    for row in TABLE:
        book.active.append(row)
    book.save(out)
    return out.getvalue()


SOUND = a_workbook()


@settings(max_examples=examples(80), deadline=None)
@given(
    part=st.integers(0, 20),
    at=st.integers(0, 5_000),
    junk=st.binary(min_size=1, max_size=40),
)
def test_a_workbook_damaged_anywhere_is_read_or_refused(tmp_path_factory, part, at, junk):
    """Bytes of one part are overwritten before it is packed, so that no checksum shields it."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(SOUND)) as old, zipfile.ZipFile(out, "w") as new:
        names = old.namelist()
        for name in names:
            content = old.read(name)
            if name == names[part % len(names)]:
                start = at % len(content)
                content = content[:start] + junk + content[start + len(junk) :]
            new.writestr(name, content)
    path = written(tmp_path_factory.mktemp("damaged"), out.getvalue(), "rooms.xlsx")
    read = read_or_refused(path)
    if isinstance(read, str):
        assert "“rooms.xlsx”" in read
        assert "\n" not in read
    else:
        assert read.rows


def test_a_cell_in_the_last_column_does_not_fill_every_row_up_to_it(tmp_path, monkeypatch):
    """Each of its rows would become 16,384 cells: of a full sheet minutes, for nothing."""
    rows = b"".join(b'<row><c r="A%d"><v>1</v></c><c r="XFD%d"/></row>' % (n, n) for n in (1, 2))
    path = replaced(tmp_path, SHEET, sheet(rows))
    asked: list[int] = []
    plain = lists_workbook.zip_longest

    def counting(*columns, fillvalue=None):
        asked.extend(len(c) for c in columns if isinstance(c, tuple))
        return plain(*columns, fillvalue=fillvalue)

    monkeypatch.setattr(lists_workbook, "zip_longest", counting)
    assert len(read_list(path).rows) == 2
    assert asked
    assert max(asked) <= MOST_LIST_COLUMNS + 1
