"""The wheel carries everything: it opens the sample with no checkout near."""

import os
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def installed_python(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A Python with the built wheel; other libraries are lent by the running environment."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "build", "--wheel", "--outdir", str(folder), str(ROOT)]
    done = subprocess.run(build, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, done.stdout + done.stderr
    (wheel,) = folder.glob("*.whl")
    place = folder / "env"
    venv.create(place, with_pip=True)
    python = place / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    install = [str(python), "-m", "pip", "install", "--no-deps", "--quiet", str(wheel)]
    subprocess.run(install, check=True, timeout=300, capture_output=True)
    where = "import sysconfig; print(sysconfig.get_path('purelib'))"
    own = subprocess.run([str(python), "-c", where], check=True, capture_output=True, text=True)
    lent = Path(own.stdout.strip()) / "lent.pth"
    lent.write_text(sysconfig.get_path("purelib") + "\n")
    return python


def run(python: Path, folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    environment.update(QT_QPA_PLATFORM="offscreen", DRAWCORD_STATE=str(folder / "state"))
    return subprocess.run(
        [str(python), *words],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def sample_of(python: Path, folder: Path) -> str:
    words = (
        "from app.resource_files import sample_path; print(sample_path('ferry-terminal.drawcord'))"
    )
    return run(python, folder, "-c", words).stdout.strip()


def test_sample_is_inside_the_wheel(installed_python: Path, tmp_path: Path) -> None:
    sample = sample_of(installed_python, tmp_path)
    assert Path(sample).is_file()
    assert not Path(sample).is_relative_to(ROOT)


def test_wheel_checks_the_sample(installed_python: Path, tmp_path: Path) -> None:
    done = run(
        installed_python, tmp_path, "-m", "app", "check", sample_of(installed_python, tmp_path)
    )
    assert done.returncode == 1, done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    assert "over" in done.stdout


def test_wheel_opens_the_sample_in_the_window(installed_python: Path, tmp_path: Path) -> None:
    words = (
        "import os, threading, app.ui.main as m;"
        "threading.Timer(5, lambda: os._exit(7)).start();"
        "m.run(None, sample='ferry-terminal.drawcord')"
    )
    done = run(installed_python, tmp_path, "-c", words)
    assert done.returncode == 7, done.stdout + done.stderr
