"""The program is killed in the middle of the work, started again, and nothing is lost."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from app.resource_files import sample_path
from app.ui.project_files import left_unsaved
from tests.journeys.conftest import Person

WORK = """
import sys, time
from pathlib import Path
from msgspec.structs import replace
from PySide6.QtCore import QSettings, QTimer
from app.model.project import changing
from app.standards import load_rules
from app.ui.main import application
from app.ui.window import MainWindow

app = application()
window = MainWindow(load_rules())
window.show()
if sys.argv[1] == "unsaved":
    window.open_sample("small-office.drawcord")
else:
    window.open_path(Path(sys.argv[1]))

def edit():
    session = window.workspace.session
    outlet = next(iter(session.project.outlets.values()))
    session.commit(changing("Move", [(outlet, replace(outlet, x_mm=outlet.x_mm + 10))]))
    print(session.document.revision, flush=True)

timer = QTimer()
timer.timeout.connect(edit)
timer.start(5)
app.exec()
"""


def killed_at_work(argument: str, environment: dict[str, str]) -> int:
    """Start the window, let it edit, kill it; how many edits it had finished."""
    process = subprocess.Popen(
        [sys.executable, "-c", WORK, argument],
        stdout=subprocess.PIPE,
        text=True,
        env=environment,
    )
    assert process.stdout is not None
    done = 0
    deadline = time.monotonic() + 60
    while done < 25 and time.monotonic() < deadline:
        done = int(process.stdout.readline() or done)
    process.kill()
    rest, _ = process.communicate()
    return max([done, *(int(line) for line in rest.split() if line.isdigit())])


@pytest.fixture
def environment(person: Person, tmp_path: Path) -> dict[str, str]:
    root = str(Path(__file__).resolve().parents[2])
    return {
        **os.environ,
        "PYTHONPATH": root,
        "HOME": str(tmp_path),
        "XDG_CONFIG_HOME": str(tmp_path / "config"),
    }


@pytest.mark.slow
def test_edits_of_a_saved_project_come_back(
    person: Person, environment: dict[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "office.drawcord"
    path.write_bytes(sample_path("small-office.drawcord").read_bytes())
    edits = killed_at_work(str(path), environment)
    assert edits >= 25
    said: list[str] = []
    monkeypatch.setattr("app.ui.project_files.say", lambda _p, sentence, **_: said.append(sentence))
    person.window.open_path(path)
    person.settle(100)
    session = person.workspace.session
    assert len(session.document.undo_label or "") > 0
    assert any("recovered" in s for s in said)
    assert person.window.isWindowModified()
    count = 0
    while session.document.undo_label is not None:
        session.undo()
        count += 1
    assert count in (edits, edits + 1)


@pytest.mark.slow
def test_a_project_that_never_had_a_file_is_offered(
    person: Person, environment: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr("app.ui.project_files.say", lambda _p, sentence, **_: said.append(sentence))
    edits = killed_at_work("unsaved", environment)
    (left,) = left_unsaved()
    person.window.recover(left)
    person.settle(100)
    session = person.workspace.session
    count = 0
    while session.document.undo_label is not None:
        session.undo()
        count += 1
    assert count in (edits, edits + 1)


@pytest.mark.skipif(os.name == "nt", reason="there are no such signals on Windows")
def test_an_interrupt_in_the_terminal_closes_the_window(environment: dict[str, str]) -> None:
    process = subprocess.Popen(
        [sys.executable, "-m", "app", str(sample_path("small-office.drawcord"))],
        stderr=subprocess.PIPE,
        text=True,
        env={**environment, "QT_QPA_PLATFORM": "offscreen"},
    )
    time.sleep(4)
    assert process.poll() is None
    process.send_signal(signal.SIGINT)
    _, errors = process.communicate(timeout=20)
    assert process.returncode in (0, 130)  # 130: stopped in good order before the window stood
    assert "Traceback" not in errors
