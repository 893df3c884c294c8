"""A small building five years on, saved and taken off from the command line (`practice`).

24 outlets of two ports, all existing and tested: 48 cables on two full panels of 24, in a tray of
300 × 60. Three outlets are added, one is removed, one is moved by 20 m. By hand: 8 new runs (6, and
2 for the moved outlet, whose cables are too short), 4 cables to remove; 48 − 4 + 8 = 52 ports want
one more panel, and 72 − 52 = 20 are free after; 52 cables of 44.2 mm² are 12.8 % of 18,000 mm²,
and 56 are 13.7 % while the old ones lie there.
"""

import csv
import io
from collections import Counter
from pathlib import Path

import openpyxl
import pytest

from app.jobs import read_project
from app.sheets.carriers_table import pathways_table
from app.sheets.frames_table import frames_table
from app.sheets.table import Table
from app.storage.project_file import SavedProject, save_project
from tests.cli.test_import_and_refusals import run
from tests.published.test_five_years_later import on_full_panels, small_building, worked_on

Row = dict[str, object]


@pytest.fixture(params=[False, True], ids=["unmeasured", "measured"])
def building(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Path:
    """The project after the work was drawn, as a file."""
    monkeypatch.setenv("DRAWCORD_STATE", str(tmp_path / "state"))
    found = on_full_panels(small_building(measured=request.param))
    path = tmp_path / "house.drawcord"
    design = worked_on(measured=request.param, building=found)
    save_project(path, SavedProject(project=design.project))
    return path


def sheets(capsys: pytest.CaptureFixture[str], project: Path) -> dict[str, list[Row]]:
    """The parts of the takeoff's workbook: rows by their headings, without totals."""
    book = project.with_suffix(".xlsx")
    status, _, err = run(capsys, "takeoff", project, "--out", book)
    assert (status, err) == (0, "")
    found: dict[str, list[Row]] = {}
    for sheet in openpyxl.load_workbook(book):
        heads, *rows = list(sheet.iter_rows(values_only=True))[4:]
        kept = [r for r in rows if r[0] != "Total" and any(c is not None for c in r)]
        found[sheet.title] = [dict(zip(heads, r, strict=True)) for r in kept]
    return found


def runs(capsys: pytest.CaptureFixture[str], project: Path) -> list[dict[str, str]]:
    status, out, err = run(capsys, "runs", project, "--csv", "-")
    assert (status, err) == (0, "")
    return list(csv.DictReader(io.StringIO(out)))


def cell(table: Table, key: str) -> object:
    """A value of the only row of a table."""
    (row,) = table.rows
    return row[table.column_of[key]]


def test_eight_new_runs_and_four_cables_to_remove(building, capsys):
    parts = sheets(capsys, building)
    (cable,) = parts["Cable"]
    assert cable["Runs"] == 8
    removed = {row["Item"]: row["Pieces"] for row in parts["Removal"]}
    assert removed["Cable to remove"] == 4
    assert removed["Outlet to remove"] == 1
    moved = {row["Item"]: row["Pieces"] for row in parts["Relocation"]}
    assert moved == {"Outlet to relocate": 1, "Cable replaced, with its outlet": 2}
    work = Counter(row["work"] for row in runs(capsys, building))
    assert work == {"stays": 44, "pull": 6, "replace": 2, "remove": 2}


def test_numbers_stay_and_go_on(building, capsys):
    numbers = dict.fromkeys(row["outlet"] for row in runs(capsys, building))
    assert list(numbers) == [f"{n:03}" for n in range(1, 28)]
    states = {row["outlet"]: row["state"] for row in runs(capsys, building)}
    assert (states["023"], states["024"], states["025"]) == ("to relocate", "to remove", "new")


def test_one_more_panel_and_twenty_ports_free_after(building, capsys):
    (panel,) = [r for r in sheets(capsys, building)["Frames"] if str(r["Item"]).startswith("Panel")]
    assert panel["Pieces"] == 1
    assert str(panel["How counted"]).startswith("52 ports")
    assert "2 standing" in str(panel["How counted"])
    status, out, _ = run(capsys, "number", building)
    assert status == 0
    assert out.splitlines()[0] == "T1: 6 runs on panel C (new)"
    given = [row["panel_port"] for row in runs(capsys, building)]
    assert len(set(given)) == len(given) == 54
    assert {p for p in given if p.startswith("T1-C")} == {f"T1-C{n:02}" for n in range(1, 7)}
    assert cell(frames_table(read_project(building).design), "ports_free") == 20


def test_fill_with_what_stays_and_with_what_still_lies_there(building):
    tray = pathways_table(read_project(building).design)
    assert (cell(tray, "cables"), cell(tray, "cables_lying")) == (44 + 8, 56)
    assert cell(tray, "inside_section") == 18_000
    assert cell(tray, "cable_section") == pytest.approx(2_297, abs=0.5)
    assert round(100 * cell(tray, "fill"), 1) == 12.8
    assert round(100 * cell(tray, "fill_lying"), 1) == 13.7
