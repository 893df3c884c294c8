"""Check, runs and takeoff of the samples, from the command line."""

import csv
import io
import os
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import msgspec
import openpyxl
import pytest

from app.cli import commands
from app.cli.terminal import columns
from app.exports import csv_file
from app.jobs import check, read_project
from app.model.entities import Waiver
from app.model.project import Patch, adding, changing, removing
from app.model.vocabulary import ScaledBy
from app.resource_files import sample_path
from app.storage.project_file import load_project, save_project
from app.takeoff.warning_line import warnings_of
from tests.cli.test_import_and_refusals import CHECKOUT, refused, run

OFFICE = sample_path("small-office.drawcord")
TERMINAL = sample_path("ferry-terminal.drawcord")


@pytest.fixture
def office(tmp_path):
    path = tmp_path / "office.drawcord"
    shutil.copyfile(OFFICE, path)
    return path


def edited(path, patch: Patch) -> None:
    saved = load_project(path)
    save_project(path, replace(saved, project=saved.project.apply(patch)))


def test_the_office_passes_and_the_terminal_fails(capsys):
    status, out, err = run(capsys, "check", OFFICE)
    assert (status, err) == (0, "")
    assert out.splitlines()[-1].startswith("Passes")
    status, out, err = run(capsys, "check", TERMINAL)
    assert (status, err) == (1, "")
    report = check(TERMINAL)
    assert out.splitlines()[-1] == (
        f"Fails: {len(report.failing_runs)} runs over the limit or without a route."
    )


def test_the_sums_are_those_of_the_runs_and_line_up(capsys):
    _, out, _ = run(capsys, "check", TERMINAL)
    lines = out.splitlines()
    table = lines[next(i for i, line in enumerate(lines) if line.startswith("Runs ")) :][:6]
    assert len({len(line) for line in table if "no route" not in line}) == 1
    numbers = {line[:12].strip(): line[12:].split() for line in table[1:]}
    counts = {word: int(values[0]) for word, values in numbers.items()}
    runs = read_project(TERMINAL).design.runs
    assert counts["all"] == len(runs) == sum(counts.values()) - counts["all"]
    assert float(numbers["all"][1]) == pytest.approx(runs.installed_mm.sum() / 1000, abs=0.051)
    assert float(numbers["all"][2]) == pytest.approx(runs.installed_mm.max() / 1000, abs=0.051)
    assert float(numbers["over"][2]) > 90.0


def test_a_run_too_long_fails_until_it_is_shortened_or_waived(capsys, office):
    project = load_project(office).project
    outlet = next(iter(project.outlets.values()))
    port = msgspec.structs.replace(outlet.ports[0], added_mm=60_000, length_reason="round the yard")
    long = msgspec.structs.replace(outlet, ports=(port, *outlet.ports[1:]))
    edited(office, changing("Lengthen", [(outlet, long)]))
    status, out, _ = run(capsys, "check", office)
    assert status == 1
    assert out.splitlines()[-1] == "Fails: 1 run over the limit or without a route."
    (failing,) = [f for f in check(office).findings if f.severity == 0]
    assert port.id in failing.things
    waiver = Waiver(
        id="waiver-00000001", finding=failing.key, reason="fibre converter", by="K. Okonjo"
    )
    edited(office, adding("Waive", [waiver]))
    status, out, _ = run(capsys, "check", office)
    assert status == 0
    assert "Waived (1)" in out


def test_a_waived_note_does_not_answer_for_a_run_that_fails(office):
    (note,) = [f for f in check(office).findings if f.rule == "leg_long"]
    project = load_project(office).project
    outlet = next(o for o in project.outlets.values() if o.id in note.things)
    port = msgspec.structs.replace(outlet.ports[0], added_mm=60_000, length_reason="far")
    long = msgspec.structs.replace(outlet, ports=(port, *outlet.ports[1:]))
    waiver = Waiver(id="waiver-00000001", finding=note.key, reason="hall", by="K. Okonjo")
    edited(office, changing("Lengthen", [(outlet, long)]))
    edited(office, adding("Waive", [waiver]))
    report = check(office)
    assert note.key in {f.key for f in report.waived}
    assert port.id in next(f for f in report.waived if f.key == note.key).things
    assert report.failing_runs == (port.id,)


def test_a_strangers_words_do_not_command_the_terminal(capsys, office):
    project = load_project(office).project
    outlet = next(iter(project.outlets.values()))
    port = msgspec.structs.replace(outlet.ports[0], added_mm=60_000, length_reason="far")
    evil = msgspec.structs.replace(
        outlet, number="\x1b[2J\x9b31m\u202e7\x07", ports=(port, *outlet.ports[1:])
    )
    named = msgspec.structs.replace(project.site, name="\x1b]0;title\x07Office")
    edited(office, changing("Rename", [(outlet, evil), (project.site, named)]))
    _, out, _ = run(capsys, "check", office)
    assert "Office" in out
    assert "Outlet \ufffd[2J" in out
    assert not [sign for sign in out if sign != "\n" and not (sign.isprintable() or sign == " ")]


def test_every_run_is_written_with_parts_that_sum_to_its_length(capsys, office, tmp_path):
    target = tmp_path / "runs.csv"
    status, out, _ = run(capsys, "runs", office, "--csv", target)
    assert status == 0
    rows = list(csv.DictReader(target.read_text(encoding="utf-8").splitlines()))
    assert len(rows) == len(read_project(office).design.runs)
    assert str(len(rows)) in out
    for row in rows:
        parts = [part.rpartition(" ") for part in row["parts"].split("; ")]
        cut = sum(round(float(length) * 1000) for _, _, length in parts)
        assert cut == round(float(row["cut_m"]) * 1000)
        own = sum(
            round(float(length) * 1000)
            for name, _, length in parts
            if not name.startswith(("trim", "pull head"))
        )
        assert own == round(float(row["installed_m"]) * 1000)
    assert "is there already" in refused(capsys, "runs", office, "--csv", target)
    assert run(capsys, "runs", office, "--csv", target, "--replace")[0] == 0


def test_runs_go_to_the_terminal_too(capsys, office):
    status, out, _ = run(capsys, "runs", office, "--csv", "-")
    assert status == 0
    assert len(list(csv.DictReader(io.StringIO(out)))) == len(read_project(office).design.runs)


def test_a_takeoff_is_a_workbook_one_list_or_a_folder(capsys, office, tmp_path):
    assert run(capsys, "takeoff", office, "--out", tmp_path / "t.xlsx")[0] == 0
    workbook = openpyxl.load_workbook(tmp_path / "t.xlsx", read_only=True)
    assert len(workbook.sheetnames) > 5
    workbook.close()
    assert run(capsys, "takeoff", office, "--out", tmp_path / "t.csv")[0] == 0
    status, out, _ = run(capsys, "takeoff", office, "--out", tmp_path / "parts")
    assert status == 0
    written = sorted(p.name for p in (tmp_path / "parts").iterdir())
    assert len(written) == len(out.splitlines()) > 5
    first = out.splitlines()[0].rpartition("Wrote ")[2]
    assert Path(first).read_bytes() == (tmp_path / "t.csv").read_bytes()
    assert "is there already" in refused(capsys, "takeoff", office, "--out", tmp_path / "parts")
    assert run(capsys, "takeoff", office, "--out", tmp_path / "parts", "--replace")[0] == 0


def test_a_folder_never_tells_of_two_takeoffs(capsys, office, tmp_path):
    out = tmp_path / "parts"
    run(capsys, "takeoff", office, "--out", out)
    (out / "own.csv").write_text("the user's own")
    before = (out / "backbone_cable.csv").read_text(encoding="utf-8").splitlines()
    assert len(before) > 1
    edited(office, removing("No backbone", load_project(office).project.backbone_cables.values()))
    assert "is there already" in refused(capsys, "takeoff", office, "--out", out)
    status, _, _ = run(capsys, "takeoff", office, "--out", out, "--replace")
    assert status == 0
    after = (out / "backbone_cable.csv").read_text(encoding="utf-8").splitlines()
    assert after == before[:1]
    assert (out / "own.csv").read_text() == "the user's own"


def test_csv_bears_the_mark_of_utf_8_where_it_is_asked_for(capsys, office, tmp_path):
    asked = (
        ("runs", office, "--csv", tmp_path / "runs.csv"),
        ("takeoff", office, "--out", tmp_path / "bill.csv"),
        ("takeoff", office, "--out", tmp_path / "parts"),
    )
    for words in asked:
        assert run(capsys, *words)[0] == 0
    files = [tmp_path / "runs.csv", tmp_path / "bill.csv", *(tmp_path / "parts").iterdir()]
    plain = {path: path.read_bytes() for path in files}
    for words in asked:
        assert run(capsys, *words, "--replace", "--bom")[0] == 0
    assert all(path.read_bytes() == b"\xef\xbb\xbf" + plain[path] for path in files)


def test_what_is_stopped_half_way_claims_nothing(capsys, office, tmp_path, monkeypatch):
    written = []

    def stopped(path, content):
        if written:
            raise KeyboardInterrupt
        written.append(path.write_bytes(content))

    monkeypatch.setattr(csv_file, "save", stopped)
    status, _, err = run(capsys, "takeoff", office, "--out", tmp_path / "parts")
    assert status == 130
    assert len(list((tmp_path / "parts").iterdir())) == 1
    assert err == "drawcord: stopped before it was done.\n"


def test_a_takeoff_says_first_what_is_wrong(capsys, office, tmp_path):
    plan = next(iter(load_project(office).project.plans.values()))
    edited(
        office,
        changing("Unscale", [(plan, msgspec.structs.replace(plan, scaled_by=ScaledBy.NOT_SCALED))]),
    )
    wrong = warnings_of(read_project(office).design)
    assert "1 plan not scaled" in wrong
    _, out, _ = run(capsys, "takeoff", office, "--out", tmp_path / "t.csv")
    assert out.splitlines() == [wrong, f"Wrote {tmp_path / 't.csv'}"]


def test_a_takeoff_of_a_plan_alone_says_that_nothing_is_to_be_ordered(capsys, tmp_path):
    made, book = tmp_path / "plan.drawcord", tmp_path / "t.xlsx"
    assert run(capsys, "import", sample_path("small-office.dxf"), "--out", made)[0] == 0
    _, out, _ = run(capsys, "takeoff", made, "--out", book)
    said = "Nothing is drawn yet, so there is nothing to order."
    assert out.splitlines() == [said, f"Wrote {book}"]
    first = openpyxl.load_workbook(book).worksheets[0]
    assert any(said in str(cell.value) for row in first["A1:A5"] for cell in row)


def test_a_takeoff_is_not_written_where_a_file_has_the_folders_name(capsys, office, tmp_path):
    (tmp_path / "file").write_bytes(b"kept")
    assert "could not be made" in refused(capsys, "takeoff", office, "--out", tmp_path / "file")
    assert (tmp_path / "file").read_bytes() == b"kept"


def test_reading_commands_leave_the_project_and_its_folder_as_they_are(capsys, office):
    before = office.read_bytes()
    run(capsys, "check", office)
    assert office.read_bytes() == before
    assert [p.name for p in office.parent.iterdir()] == [office.name]


def test_findings_are_folded_to_a_terminal_and_not_when_piped(capsys, office, monkeypatch):
    _, piped, _ = run(capsys, "check", office)
    assert max(map(len, piped.splitlines())) > 100
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True)
    narrow = os.terminal_size((72, 24))
    monkeypatch.setattr(commands.shutil, "get_terminal_size", lambda: narrow)
    _, folded, _ = run(capsys, "check", office)
    assert max(map(len, folded.splitlines())) <= 72
    assert piped.split() == folded.split()


@pytest.mark.skipif(os.name == "nt", reason="its shell has no head")
def test_a_reader_that_has_had_enough_ends_it_quietly():
    done = subprocess.run(
        f'"{sys.executable}" -m app check "{TERMINAL}" | head -1',
        shell=True,
        capture_output=True,
        text=True,
        cwd=CHECKOUT,
        timeout=60,
    )
    assert done.stdout.count("\n") == 1
    assert done.stderr == ""


def test_columns_line_up():
    lines = columns([("a", "1.0"), ("bbb", "100.0")], right=frozenset({1}))
    assert lines == ["a      1.0", "bbb  100.0"]
    assert columns([]) == []


def test_an_empty_project_is_not_said_to_pass(office, capsys):
    outlets = load_project(office).project.outlets.values()
    edited(office, removing("Remove all outlets", outlets))
    status, out, _ = run(capsys, "check", office)
    assert status == 0
    assert out.splitlines()[-1] == "Nothing to check: there is no run."
