"""The set-up of a fresh machine: what is made, mended and asked of the system."""

import importlib.util
import os
import subprocess
from pathlib import Path
from types import ModuleType

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
QT = "from PySide6.QtWidgets import QApplication"


class Machine:
    """A machine that has some things, and lacks others until they are installed."""

    def __init__(self, lacks: set[str]) -> None:
        self.lacks = lacks
        self.asked: list[list[str]] = []

    def run(self, command: list[str], **_: object) -> subprocess.CompletedProcess[str]:
        self.asked.append(command)
        words = " ".join(command)
        if "-m venv" in words:
            python = Path(command[-1]) / "bin" / "python"
            python.parent.mkdir(parents=True, exist_ok=True)
            python.touch()
            self.lacks.discard("pip")
        if "apt-get install" in words:
            self.lacks.discard("a window")
        failing = (
            ("-m pip" in words and ("pip" in self.lacks or not Path(command[0]).exists()))
            or ("a window" in self.lacks and "QApplication([])" in words)
            or ("Qt" in self.lacks and QT in words)
        )
        return subprocess.CompletedProcess(command, int(failing), "", "xcb: not loaded")

    def did(self, words: str) -> bool:
        return any(words in " ".join(command) for command in self.asked)


@pytest.fixture
def environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    spec = importlib.util.spec_from_file_location("ci_environment", CHECKOUT / ".ci/environment.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(module, "ENVIRONMENT", tmp_path / ".venv")
    python = tmp_path / ".venv" / "bin" / "python"
    monkeypatch.setattr(module, "python_of_environment", lambda: python)
    return module


def machine(
    environment: ModuleType, monkeypatch: pytest.MonkeyPatch, *, lacks: str = "", apt: bool = False
) -> Machine:
    made = Machine({lacks} if lacks else set())
    monkeypatch.setattr(environment.subprocess, "run", made.run)
    monkeypatch.setattr(
        environment,
        "_install_with_apt",
        lambda packages: apt and made.run(["apt-get", "install", *packages]).returncode == 0,
    )
    return made


def test_a_half_made_environment_is_made_anew(environment, monkeypatch):
    environment.python_of_environment().parent.mkdir(parents=True)
    environment.python_of_environment().touch()
    there = machine(environment, monkeypatch, lacks="pip")
    environment.prepare()
    assert there.did("-m venv")
    assert there.did("pip install")


def test_what_is_installed_is_not_installed_again(environment, monkeypatch):
    there = machine(environment, monkeypatch, lacks="pip")
    python = environment.prepare("test")
    there.asked.clear()
    assert environment.prepare("test") == python
    assert not there.did("pip")
    environment.prepare()
    assert there.did("pip install")


def test_a_window_is_tried_before_it_is_wanted(environment, monkeypatch):
    there = machine(environment, monkeypatch, lacks="a window")
    with pytest.raises(SystemExit, match=r"xcb: not loaded[\s\S]*libxcb-cursor0"):
        environment.prepare(window=True)
    environment.prepare()
    assert not there.did("apt-get")


def test_qt_is_tried_again_once_its_libraries_are_installed(environment, monkeypatch):
    there = machine(environment, monkeypatch, lacks="a window", apt=True)
    environment.prepare(window=True)
    assert there.did("libxcb-cursor0")
    machine(environment, monkeypatch, lacks="Qt", apt=True)
    with pytest.raises(SystemExit, match="Qt cannot start"):
        environment.prepare()


def test_the_readme_names_the_packages_that_are_installed(environment):
    readme = (CHECKOUT / "README.md").read_text(encoding="utf-8")
    for packages in (environment.QT_ON_DEBIAN, environment.QT_WINDOW_ON_DEBIAN):
        assert f"`{' '.join(packages)}`" in readme


@pytest.mark.skipif(os.name == "nt", reason="a shell script")
def test_what_ci_calls_is_the_readmes_command():
    run = CHECKOUT / ".ci/run"
    assert os.access(run, os.X_OK)
    command = run.read_text(encoding="utf-8").splitlines()[-1].removeprefix("exec ")
    assert f"    {command}\n" in (CHECKOUT / "README.md").read_text(encoding="utf-8")
