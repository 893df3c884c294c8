"""Make the project's own environment, with nothing but a plain Python at hand."""

import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ENVIRONMENT = ROOT / ".venv"
OLDEST = (3, 11)
QT_ON_DEBIAN = (
    "libegl1",
    "libgl1",
    "libxkbcommon0",
    "libdbus-1-3",
    "libfontconfig1",
    "libglib2.0-0",
)
QT_WINDOW_ON_DEBIAN = (
    "libxcb-cursor0",
    "libxkbcommon-x11-0",
    "libxcb-icccm4",
    "libxcb-keysyms1",
    "libxcb-image0",
    "libxcb-render-util0",
    "libxcb-shape0",
)


def has_display() -> bool:
    """Whether a window can be shown here."""
    if sys.platform != "linux":
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def python_of_environment() -> Path:
    folder, name = ("Scripts", "python.exe") if os.name == "nt" else ("bin", "python")
    return ENVIRONMENT / folder / name


def prepare(extra: str = "", *, window: bool = False) -> Path:
    """Create `.venv`, install the project into it, and return its Python.

    `extra` is an optional dependency set of pyproject.toml, as `test`. `window` says that a
    window will be shown, for which Qt needs more of the system than for drawing in memory.
    """
    if sys.version_info < OLDEST:
        raise SystemExit("Drawcord needs Python 3.11 or later; this is " + sys.version.split()[0])
    python = python_of_environment()
    wanted = hashlib.sha256((ROOT / "pyproject.toml").read_bytes() + extra.encode()).hexdigest()
    stamp = ENVIRONMENT / f"installed{'-' + extra if extra else ''}.txt"
    if not (python.exists() and stamp.exists() and stamp.read_text() == wanted):
        if not _succeeds([str(python), "-m", "pip", "--version"]):
            # There is none yet, it was left half made, or its Python has gone.
            print("Making the environment in .venv …", flush=True)
            _make_environment()
        _install(python, extra)
        stamp.write_text(wanted)
    _check_qt(python, window=window)
    return python


def _succeeds(command: list[str]) -> bool:
    try:
        return subprocess.run(command, capture_output=True, check=False).returncode == 0
    except OSError:
        return False


def _make_environment() -> None:
    command = [sys.executable, "-m", "venv", str(ENVIRONMENT)]
    if subprocess.run(command, check=False).returncode == 0:
        return
    # What stands there may be of a Python that has gone; else the module for it is missing.
    shutil.rmtree(ENVIRONMENT, ignore_errors=True)
    if _succeeds(command):
        return
    shutil.rmtree(ENVIRONMENT, ignore_errors=True)
    if _install_with_apt(("python3-venv",)) and _succeeds(command):
        return
    raise SystemExit("Python's venv module is missing. On Debian: apt-get install python3-venv")


def _install(python: Path, extra: str) -> None:
    print("Installing what Drawcord needs (some minutes the first time) …", flush=True)
    target = f"{ROOT}[{extra}]" if extra else str(ROOT)
    command = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    if subprocess.run([*command, "--editable", target], check=False).returncode:
        raise SystemExit("The installation failed; pip's own words stand above.")


def _check_qt(python: Path, *, window: bool) -> None:
    # Qt loads what a window needs only when the application is made.
    words = "from PySide6.QtWidgets import QApplication"
    probe = [str(python), "-c", f"{words}; QApplication([])" if window else words]
    if _succeeds(probe):
        return
    packages = QT_ON_DEBIAN + (QT_WINDOW_ON_DEBIAN if window else ())
    if _install_with_apt(packages) and _succeeds(probe):
        return
    said = subprocess.run(probe, capture_output=True, text=True, check=False).stderr.strip()
    raise SystemExit(
        f"{said}\n\nQt cannot start. If it lacks libraries of the system, on Debian: "
        "apt-get install " + " ".join(packages)
    )


def _install_with_apt(packages: tuple[str, ...]) -> bool:
    """Install Debian packages where that needs nobody's leave."""
    if sys.platform != "linux" or os.geteuid() != 0 or shutil.which("apt-get") is None:
        return False
    quiet = {"stdout": subprocess.DEVNULL, "check": False}
    subprocess.run(["apt-get", "update"], **quiet)
    install = ["apt-get", "install", "--yes", "--no-install-recommends", *packages]
    return subprocess.run(install, **quiet).returncode == 0
