"""The command line: what it makes, and how it says no."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from app import __version__
from app.__main__ import main
from app.drawing.plan_codec import decode_drawing
from app.jobs import import_plans
from app.model.vocabulary import ScaledBy, Units
from app.resource_files import sample_path
from app.storage.lock import take_lock
from app.storage.project_file import load_project, save_project
from app.storage.schema import SCHEMA
from tests.storage.samples import changed_zip, saved_sample

CHECKOUT = Path(__file__).resolve().parents[2]
OFFICE = sample_path("small-office.dxf")
FLOORS = tuple(sample_path(f"ferry-terminal-floor-{n}.dxf") for n in range(3))


def run(capsys, *words: object) -> tuple[int, str, str]:
    try:
        status = main([str(w) for w in words])
    except SystemExit as ended:
        status = ended.code
    out, err = capsys.readouterr()
    return status, out, err


def refused(capsys, *words: object) -> str:
    """What is said when a command is refused: one line, status 2, nothing else."""
    status, out, err = run(capsys, *words)
    assert status == 2
    assert out == ""
    assert err.startswith("drawcord")
    assert err.count("\n") == 1
    assert err.endswith("\n")
    return err


def test_version_and_help(capsys):
    assert run(capsys, "--version") == (0, f"Drawcord {__version__}\n", "")
    status, out, _ = run(capsys, "--help")
    assert status == 0
    for command in ("import", "check", "runs", "takeoff"):
        assert command in out


def test_plans_become_floors_one_over_another_in_true_scale(capsys, tmp_path):
    out = tmp_path / "terminal.drawcord"
    status, printed, notes = run(
        capsys, "import", *FLOORS, "--out", out, "--floor-height", "5.4", "--name", "Terminal"
    )
    assert status == 0
    assert [line.split() for line in printed.splitlines()[1:]] == [
        ["Floor", "Level,", "m", "Plan"],
        ["0", "0.00", FLOORS[0].name],
        ["1", "5.40", FLOORS[1].name],
        ["2", "10.80", FLOORS[2].name],
    ]
    assert "millimetre" in notes
    loaded = load_project(out)
    assert loaded.notes == ()
    project = loaded.project
    assert project.site.name == "Terminal"
    assert [f.level_mm for f in project.floors.values()] == [0, 5_400, 10_800]
    plans = sorted(project.plans.values(), key=lambda p: p.source_name)
    assert {p.scaled_by for p in plans} == {ScaledBy.FILE_HEADER}
    assert {p.mm_per_unit for p in plans} == {1.0}
    assert len({(p.x_mm, p.y_mm) for p in plans}) == 1, "drawn in one set of axes"
    assert len(loaded.plan_sources) == len(loaded.plan_drawings) == 3
    assert [p.name for p in tmp_path.iterdir()] == [out.name]


def test_the_unit_that_is_told_overrules_the_file(capsys, tmp_path):
    status, printed, notes = run(
        capsys, "import", OFFICE, "--out", tmp_path / "a", "--unit", "in", "--trust-unit"
    )
    assert status == 0
    assert "of 1 plan:" in printed
    assert "One unit is one inch, as told, though the file's header says millimetres." in notes
    assert "would be" not in notes
    project = load_project(tmp_path / "a.drawcord").project
    (plan,) = project.plans.values()
    assert (plan.mm_per_unit, plan.scaled_by) == (25.4, ScaledBy.USER_UNIT)
    assert project.settings.units is Units.US


def test_a_unit_that_makes_a_plan_of_no_size_is_refused_with_the_size(capsys, tmp_path):
    """The office is 30 × 20 m or so in millimetres: a thousand times that in metres."""
    project = import_plans([OFFICE])
    (plan,) = project.project.plans.values()
    drawing = decode_drawing(project.plan_drawings[plan.drawing_sha256])
    x0, y0, x1, y1 = drawing.bounds
    words = refused(capsys, "import", OFFICE, "--out", tmp_path / "a", "--unit", "m")
    size = re.search(r"would be ([\d,]+) × ([\d,]+) m;", words)
    said = [int(number.replace(",", "")) for number in size.groups()]
    assert said == [pytest.approx(x1 - x0, abs=0.5), pytest.approx(y1 - y0, abs=0.5)]
    assert list(tmp_path.iterdir()) == []
    status, _, notes = run(capsys, "import", OFFICE, "--out", tmp_path / "b", "--unit", "mm")
    assert status == 0
    assert "though" not in notes


def test_what_is_decided_is_not_said_to_be_possible(capsys, tmp_path):
    _, _, notes = run(capsys, "import", *FLOORS, OFFICE, "--out", tmp_path / "a")
    assert "would" not in notes
    assert not re.search(r"\de[+-]?\d", notes), notes


def test_what_is_there_already_is_replaced_only_when_told_so(capsys, tmp_path):
    out = tmp_path / "a.drawcord"
    save_project(out, saved_sample())
    before = out.read_bytes()
    assert "is there already" in refused(capsys, "import", OFFICE, "--out", out)
    assert out.read_bytes() == before
    status, _, _ = run(capsys, "import", OFFICE, "--out", out, "--replace")
    assert status == 0
    assert len(load_project(out).project.plans) == 1


def test_what_somebody_has_open_is_not_replaced(capsys, tmp_path):
    out = tmp_path / "a.drawcord"
    save_project(out, saved_sample())
    before = out.read_bytes()
    lock = take_lock(out)
    assert "is open already" in refused(capsys, "import", OFFICE, "--out", out, "--replace")
    assert out.read_bytes() == before
    lock.release()


def test_an_input_is_never_overwritten(capsys, tmp_path):
    plan = tmp_path / "a.drawcord"
    shutil.copyfile(OFFICE, plan)
    words = refused(capsys, "import", plan, "--out", plan, "--replace")
    assert "is what is read" in words
    project = tmp_path / "p.csv"
    save_project(project, saved_sample())
    assert "is what is read" in refused(capsys, "runs", project, "--csv", project, "--replace")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["check", "none.drawcord"], "There is no file"),
        (["check", "."], "is a folder"),
        (["check", "empty"], "is empty"),
        (["check", "text"], "is not a Drawcord project"),
        (["check", OFFICE], "is not a Drawcord project"),
        (["check", "cut"], "is cut off"),
        (["check", "later"], "later Drawcord"),
        (["check", "damaged"], "is damaged"),
        (["runs", "none.drawcord", "--csv", "x.csv"], "There is no file"),
        (["takeoff", "none.drawcord", "--out", "x.xlsx"], "There is no file"),
        (["takeoff", "good", "--out", "x.pdf"], "no kind of file"),
        (["takeoff", "good", "--out", "no/where"], "There is no folder"),
        (["runs", "good", "--csv", "no/where.csv"], "There is no folder"),
        (["runs", "good", "--csv", "."], "is a folder"),
        (["runs", "good", "--csv", "runs.txt"], "let it end in .csv"),
        (["runs", "good", "--csv", "runs"], "let it end in .csv"),
        (["import", OFFICE, "--out", "x", "--unit", "m"], "the file's header says millimetres"),
        (["import", OFFICE, "--out", "x", "--unit", "m"], "Add --trust-unit"),
        (["import", OFFICE, "--out", "x", "--name", "n" * 201], "at most 200 letters"),
        (["import", "none.dxf", "--out", "x"], "none.dxf"),
        (["import", "text", "--out", "x"], "text"),
        (["import", "empty", "--out", "x"], "empty"),
        (["import", "good", "--out", "x"], "good"),
        (["import", OFFICE, "--out", "x.zip"], "let it end in .drawcord"),
        (["import", OFFICE, "--out", "no/where"], "There is no folder"),
        (["import", OFFICE], "--out"),
        (["import", OFFICE, "--out", "x", "--unit", "furlong"], "furlong"),
        (["import", OFFICE, "--out", "x", "--floor-height", "tall"], "no number of metres"),
        (["import", OFFICE, "--out", "x", "--floor-height", "0"], "not possible"),
        (["import", OFFICE, "--out", "x", "--floor-height", "nan"], "not possible"),
        (["check"], "P.drawcord"),
        (["check", "good", "--fast"], "--fast"),
        (["--frobnicate"], "--frobnicate"),
        (["none.drawcord"], "there is no file"),
        (["."], "is a folder"),
        (["good", "good"], "good"),
    ],
    ids=lambda value: " ".join(map(str, value))[-40:] if isinstance(value, list) else "",
)
def test_what_cannot_be_done_is_said_in_one_line(capsys, tmp_path, monkeypatch, words, said):
    monkeypatch.chdir(tmp_path)
    save_project(Path("good"), saved_sample())
    good = Path("good").read_bytes()
    Path("empty").write_bytes(b"")
    Path("text").write_bytes(b"Dear all,\n")
    Path("cut").write_bytes(good[: len(good) // 2])
    head = b'{"format":"drawcord-project","schema":%d,"written_by":"9.0","mark":{}}' % (SCHEMA + 1)
    Path("later").write_bytes(changed_zip(good, {"project.json": head}))
    Path("damaged").write_bytes(changed_zip(good, {"project.json": b"{"}))
    before = sorted(p.name for p in tmp_path.iterdir())
    assert said in refused(capsys, *words)
    assert sorted(p.name for p in tmp_path.iterdir()) == before


def test_a_folder_that_may_not_be_written_is_said(capsys, tmp_path, monkeypatch):
    system_open = Path.open

    def denied(self, mode="r", *args, **kwargs):
        if "w" in mode:
            raise PermissionError(13, "Permission denied")
        return system_open(self, mode, *args, **kwargs)

    monkeypatch.setattr(Path, "open", denied)
    words = refused(capsys, "import", OFFICE, "--out", tmp_path / "x.drawcord")
    assert "you may not write there" in words


@pytest.mark.skipif(not Path("/proc/self").exists(), reason="a folder that takes no files")
def test_a_folder_that_takes_no_files_is_said_truly(capsys, tmp_path):
    good = tmp_path / "good"
    save_project(good, saved_sample())
    for words in (
        ["runs", good, "--csv", "/proc/x.csv"],
        ["takeoff", good, "--out", "/proc/x.xlsx"],
        ["import", OFFICE, "--out", "/proc/x.drawcord"],
    ):
        assert "nothing can be written there" in refused(capsys, *words)
    assert "could not be made" in refused(capsys, "takeoff", good, "--out", "/proc/folder")


def test_without_a_display_the_window_says_so(capsys, monkeypatch):
    if sys.platform in ("win32", "darwin"):
        pytest.skip("these always have one")
    for variable in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"):
        monkeypatch.delenv(variable, raising=False)
    assert "no display" in refused(capsys)


def test_a_fault_of_the_program_is_told_apart_from_a_failing_check(capsys, monkeypatch):
    def broken(*_args, **_kwargs):
        raise ZeroDivisionError

    monkeypatch.setattr("app.jobs.check", broken)
    status, _, err = run(capsys, "check", "x")
    assert status not in (0, 1, 2)
    assert "fault of the program" in err


def process(*words: object, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "app", *map(str, words)],
        capture_output=True,
        cwd=CHECKOUT,
        env={**os.environ, **environment},
        timeout=60,
        check=False,
    )


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437", "utf-8"])
def test_every_terminal_encoding_will_do(tmp_path, encoding):
    done = process("check", tmp_path / "kein Gebäude 港", PYTHONIOENCODING=encoding)
    assert done.returncode == 2
    text = done.stderr.decode(encoding)
    assert "Traceback" not in text
    assert "There is no file" in text
    assert ('"' in text) == (encoding in ("ascii", "cp437"))


def test_no_command_loads_the_window():
    code = (
        "import sys; from app.__main__ import main; main(['check', 'none']);"
        "sys.exit(any(m.startswith('PySide6') for m in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=CHECKOUT, capture_output=True)
    assert done.returncode == 0
