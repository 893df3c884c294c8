"""The rooms against the client's list, from the command line."""

import csv
import io
import shutil
from dataclasses import replace

import msgspec
import openpyxl
import pytest

from app.editor.commands.client_list import remove_list
from app.jobs.client_lists import take_list
from app.model.project import changing
from app.resource_files import sample_path
from app.standards import load_rules
from app.storage.lists import read_list
from app.storage.project_file import load_project, save_project
from tests.cli.test_import_and_refusals import refused, run

OFFICE = sample_path("small-office.drawcord")


@pytest.fixture
def office(tmp_path, monkeypatch):
    monkeypatch.setenv("DRAWCORD_STATE", str(tmp_path / "state"))
    path = tmp_path / "office.drawcord"
    shutil.copyfile(OFFICE, path)
    return path


def rooms_of(path):
    return [s for s in load_project(path).project.spaces.values() if s.number]


def kinds_of(path) -> list[str]:
    return [k.name for k in load_project(path).project.outlet_kinds.values()]


def listed(tmp_path, *rows, name="rooms.csv"):
    path = tmp_path / name
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file, delimiter=";").writerows(rows)
    return path


def test_a_list_is_read_saved_and_told(capsys, office, tmp_path):
    room, kind = rooms_of(office)[0], kinds_of(office)[0]
    rows = [
        ["Room no.", "Name", kind, "Widgets"],
        [room.number, room.name, "99", "1"],
        ["99.99", "Attic", "2", ""],
        [room.number, "again", "5", ""],
        ["98.1", "Cellar", "two", ""],
    ]
    status, out, err = run(capsys, "rooms", office, "--list", listed(tmp_path, *rows))
    assert (status, err) == (1, "")
    lines = [line.strip() for line in out.splitlines()]
    assert lines[0] == "Read “rooms.csv”."
    assert f"{kind}: {kind}" in lines
    assert "Widgets: not read" in lines
    assert "5 rows read, 4 taken as rooms." in lines
    assert "Line 5: “two” under " + kind + " is no whole number." in lines
    assert any(
        line.startswith(f"Lines 2 and 4 both have the number {room.number}") for line in lines
    )
    assert any("99.99" in line and "no space has its number" in line for line in lines)
    project = load_project(office).project
    assert len(project.room_lines) == 4
    missing = int(lines[-1].split(" required, ")[1].split()[0])
    assert missing > 90
    status, again, _ = run(capsys, "rooms", office)
    assert status == 1
    assert again.splitlines()[-1] == out.splitlines()[-1]


def test_a_revision_is_told_and_its_columns_are_remembered(capsys, office, tmp_path):
    room, kind = rooms_of(office)[0], kinds_of(office)[0]
    first = listed(tmp_path, ["Room", kind], [room.number, "1"], ["99", "1"])
    run(capsys, "rooms", office, "--list", first)
    second = listed(
        tmp_path, ["Room", kind], [room.number, "2"], ["98", "1"], name="rooms rev B.csv"
    )
    _, out, _ = run(capsys, "rooms", office, "--list", second)
    lines = [line.strip() for line in out.splitlines()]
    assert lines[0] == "Read “rooms rev B.csv” as a revision of the list “rooms”."
    assert f"{room.number}: {kind} 1 → 2." in lines
    assert lines[lines.index("New: 1 room") + 1] == "98."
    assert lines[lines.index("Gone: 1 room") + 1] == "99."
    _, out, _ = run(capsys, "rooms", office, "--list", second)
    assert "Nothing has changed since it was read last." in out
    assert len(load_project(office).project.client_lists) == 1
    run(capsys, "rooms", office, "--list", second, "--name", "Doors")
    assert len(load_project(office).project.client_lists) == 2


def test_the_result_is_written_as_csv_and_workbook(capsys, office, tmp_path):
    room, kind = rooms_of(office)[0], kinds_of(office)[0]
    source = listed(tmp_path, ["Room", kind], [room.number, "99"], ["=1+1", "1"])
    out = tmp_path / "result.csv"
    run(capsys, "rooms", office, "--list", source, "--out", out)
    rows = list(csv.DictReader(io.StringIO(out.read_text(encoding="utf-8"))))
    (row,) = (r for r in rows if r["number"] == room.number)
    assert row["required"] == "99"
    assert int(row["difference"]) == int(row["placed_required"]) - 99
    assert rows[-1]["number"] == "'=1+1"
    book_path = tmp_path / "result.xlsx"
    assert f"Wrote {book_path}" in run(capsys, "rooms", office, "--out", book_path)[1]
    (sheet,) = openpyxl.load_workbook(book_path).worksheets
    texts = [[cell.value for cell in line] for line in sheet.iter_rows()]
    assert any("=1+1" in line for line in texts)
    assert all(
        not (cell.data_type == "f" and "SUBTOTAL" not in str(cell.value))
        for line in sheet.iter_rows()
        for cell in line
    )


def test_refusals_leave_the_project_as_it_was(capsys, office, tmp_path):
    before = office.read_bytes()
    gone = refused(capsys, "rooms", office, "--list", tmp_path / "gone.csv")
    assert "no file" in gone
    empty = listed(tmp_path, ["Room", "Name"])
    assert "No line of this list is a room" in refused(capsys, "rooms", office, "--list", empty)
    text = refused(capsys, "rooms", office, "--out", tmp_path / "rooms.txt")
    assert "let it end in .xlsx or .csv" in text
    over = refused(capsys, "rooms", office, "--list", empty, "--out", empty)
    assert "is what is read" in over
    assert office.read_bytes() == before


def test_nothing_required_is_said(capsys, office):
    saved = load_project(office)
    spaces = saved.project.spaces.values()
    nothing = changing("", [(s, msgspec.structs.replace(s, required=())) for s in spaces])
    save_project(office, replace(saved, project=saved.project.apply(nothing)))
    status, out, _ = run(capsys, "rooms", office)
    assert (status, out.splitlines()[-1]) == (0, "Nothing is required of any room.")


def test_taking_a_list_and_taking_it_out_leaves_the_project_as_it_was(tmp_path):
    project = load_project(OFFICE).project
    rooms = listed(tmp_path, ["Room"], [next(iter(project.spaces.values())).number])
    taken, _, _ = take_list(project, load_rules(), read_list(rooms))
    after = project.apply(taken.patch)
    assert after.apply(remove_list(after, taken.client_list)) == project


def surveyed(office, tmp_path, capsys):
    """The office with a list of all its rooms; gives their rows and the first kind's name."""
    kind = kinds_of(office)[0]
    rows = [["Room", "Floor", kind]]
    rows += [[room.number, "Ground", "2"] for room in rooms_of(office)]
    assert len(rows) > 4
    run(capsys, "rooms", office, "--list", listed(tmp_path, *rows, name="Schedule.csv"))
    return rows, kind


def test_a_list_that_does_not_match_is_no_revision_unless_it_is_said_to_be(
    capsys, office, tmp_path
):
    rows, kind = surveyed(office, tmp_path, capsys)
    before, misspelt = office.read_bytes(), f"{kind[:-2]}{kind[-1]}"
    strange = [["Room", "Flor", misspelt], *([f"X{n}", "G", "1"] for n in range(6))]
    path = listed(tmp_path, *strange, name="bad.csv")
    text = refused(capsys, "rooms", office, "--list", path)
    assert "“bad.csv” is not taken as a revision of the list “Schedule”" in text
    assert f"no column is read as “Floor” or “{kind}”" in text
    assert f"“{misspelt}” may be “{kind}”" in text
    there = len(rows) - 1
    assert f"{there} of the {there} rooms that it has would go" in text
    assert "--replace-list" in text
    assert "--name NAME" in text
    assert office.read_bytes() == before
    _, out, _ = run(capsys, "rooms", office, "--list", path, "--name", "Doors")
    assert "Read “bad.csv”." in out
    assert len(load_project(office).project.client_lists) == 2
    run(capsys, "rooms", office, "--list", path, "--name", "Schedule", "--replace-list")
    assert len(load_project(office).project.room_lines) == 12


def test_a_misspelt_number_is_told_with_the_room_that_it_may_be(capsys, office, tmp_path):
    rooms, kind = rooms_of(office), kinds_of(office)[0]
    number = next(r.number for r in rooms if "0" in r.number)
    rows = [[r.number, "1"] for r in rooms if r.number != number]
    path = listed(tmp_path, ["Room", kind], *rows, [number.replace("0", "o"), "1"], ["", "2"])
    _, out, _ = run(capsys, "rooms", office, "--list", path)
    lines = [line.strip() for line in out.splitlines()]
    hint = f"Line {len(rows) + 2}: no space is {number.replace('0', 'o')}; it may be {number}"
    assert [line for line in lines if line.startswith(hint)]


def test_a_column_of_counts_that_is_gone_is_missed_though_all_rooms_are_there(
    capsys, office, tmp_path
):
    rows, kind = surveyed(office, tmp_path, capsys)
    path = listed(tmp_path, *(row[:2] for row in rows), name="rev B.csv")
    text = refused(capsys, "rooms", office, "--list", path)
    assert f"no column is read as “{kind}”; put it right" in text
    more = [*(row[:3] for row in rows[:-1]), ["99", "Ground", "1"]]
    status, out, _ = run(capsys, "rooms", office, "--list", listed(tmp_path, *more, name="C.csv"))
    assert (status, "Gone: 1 room" in out) == (1, True)
