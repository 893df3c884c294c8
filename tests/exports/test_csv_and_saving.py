"""CSV read back by the standard reader; files written whole or not at all."""

import csv
import io
import os
import stat
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.exports import saving
from app.exports.csv_file import csv_bytes, csv_heading, save_csv, save_csv_folder
from app.exports.saving import ExportFailed, save
from app.model.vocabulary import Units
from app.sheets.table import Column, ColumnKind, Table
from app.sheets.tables import TABLES, table_of
from tests.hand_designs import design_of, office

COLUMNS = (
    Column("item", "Item"),
    Column("installed", "Installed", ColumnKind.LENGTH),
    Column("fill", "Fill", ColumnKind.RATIO),
    Column("count", "Count", ColumnKind.COUNT),
)


def table(*rows: tuple, units: Units = Units.METRIC) -> Table:  # type: ignore[type-arg]
    return Table(
        key="small",
        title="Small",
        columns=COLUMNS,
        ids=tuple(str(i) for i in range(len(rows))),
        rows=rows,
        units=units,
    )


def read(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠"])
def test_text_that_would_be_computed_stands_behind_an_apostrophe(start: str) -> None:
    rows = read(csv_bytes(table((f"{start}1+1", -1_000, -0.5, -3))))
    assert rows[1] == [f"'{start}1+1", "-1.000", "-50.00", "-3"]


def test_lines_and_quotes_as_the_rfc_wants_them() -> None:
    # RFC 4180: CRLF, quotes doubled, fields with comma, quote or line end in quotes.
    content = csv_bytes(table(('a "b", c\nd', 60_950, 0.128, None)))
    assert content == (b'item,installed_m,fill_percent,count\r\n"a ""b"", c\nd",60.950,12.80,\r\n')


def test_headings_have_keys_and_plain_units() -> None:
    assert [csv_heading(c, Units.US) for c in COLUMNS] == [
        "item",
        "installed_ft",
        "fill_percent",
        "count",
    ]


def test_mark_for_older_spreadsheets() -> None:
    assert csv_bytes(table(), bom=True).startswith(b"\xef\xbb\xbfitem")
    assert csv_bytes(table()).startswith(b"item")


@settings(max_examples=80, deadline=None)
@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=40))
def test_any_text_comes_back_and_is_harmless(text: str) -> None:
    rows = read(csv_bytes(table((text, 1, 0.1, 1))))
    assert len(rows) == 2
    cell = rows[1][0]
    assert cell in {text, f"'{text}"}
    assert cell[:1] not in set("=+-@\t\r\n＝＋－＠")


@pytest.mark.parametrize("key", list(TABLES))
def test_every_table_has_one_line_a_row(key: str) -> None:
    made = table_of(design_of(office()), key)
    rows = read(csv_bytes(made))
    assert len(rows) == 1 + len(made.rows)
    assert all(len(r) == len(made.columns) for r in rows)


def test_headings_never_change() -> None:
    """What others read by: a change here breaks their lists."""
    made = table_of(design_of(office()), "runs")
    assert [csv_heading(c, Units.METRIC) for c in made.columns] == [
        "outlet",
        "port",
        "cable",
        "floor",
        "space",
        "service",
        "frame",
        "cable_type",
        "horizontal_m",
        "vertical_m",
        "allowance_m",
        "slack_m",
        "added_m",
        "installed_m",
        "limit_m",
        "margin_m",
        "status",
        "cut_m",
        "leg_m",
        "state",
        "provided_by",
        "measured_m",
        "tested",
        "reason",
        "panel_port",
        "phase",
        "work",
        "lying_m",
        "told",
        "length_from",
    ]


def test_a_folder_of_tables(tmp_path: Path) -> None:
    paths = save_csv_folder(tmp_path, [table(("a", 1, 0.1, 1))])
    assert paths == [tmp_path / "small.csv"]
    assert paths[0].read_bytes() == csv_bytes(table(("a", 1, 0.1, 1)))


def test_a_missing_folder_is_said_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ExportFailed, match="could not be written: the folder is not there"):
        save_csv(tmp_path / "nowhere" / "a.csv", table())


def test_a_failed_write_leaves_the_old_file_and_no_remains(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(saving.os, "fsync", full)
    with pytest.raises(ExportFailed, match="no space left on the disk"):
        save(path, b"new")
    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.csv"]


def test_a_saved_file_has_the_usual_permissions(tmp_path: Path) -> None:
    save(tmp_path / "a.csv", b"x")
    (tmp_path / "b.csv").write_bytes(b"x")
    if os.name == "posix":
        modes = {p.stat().st_mode for p in tmp_path.iterdir()}
        assert len(modes) == 1


@pytest.mark.skipif(os.name == "nt", reason="such permissions are Unix's")
def test_a_new_file_has_the_permissions_of_any_and_the_process_keeps_its_own(tmp_path, monkeypatch):
    before = os.umask(0o027)
    try:
        monkeypatch.setattr(os, "umask", None)  # it is the whole process's, other threads' too
        save(tmp_path / "a.csv", b"x")
        monkeypatch.undo()
        assert stat.S_IMODE((tmp_path / "a.csv").stat().st_mode) == 0o640
    finally:
        os.umask(before)
