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


def prepare(extra: str = "") -> Path:
    """Create `.venv`, install the project into it, and return its Python.

    `extra` is an optional dependency set of pyproject.toml, as `test`.
    """
    if sys.version_info < OLDEST:
        raise SystemExit("Drawcord needs Python 3.11 or later; this is " + sys.version.split()[0])
    python = python_of_environment()
    if not python.exists():
        print("Making the environment in .venv …", flush=True)
        _make_environment()
    _install(python, extra)
    _check_qt(python)
    return python


def _make_environment() -> None:
    command = [sys.executable, "-m", "venv", str(ENVIRONMENT)]
    if subprocess.run(command, check=False).returncode == 0:
        return
    shutil.rmtree(ENVIRONMENT, ignore_errors=True)
    if (
        _install_with_apt(("python3-venv",))
        and subprocess.run(command, check=False).returncode == 0
    ):
        return
    raise SystemExit("Python's venv module is missing. On Debian: apt-get install python3-venv")


def _install(python: Path, extra: str) -> None:
    wanted = hashlib.sha256((ROOT / "pyproject.toml").read_bytes() + extra.encode()).hexdigest()
    stamp = ENVIRONMENT / f"installed{'-' + extra if extra else ''}.txt"
    if stamp.exists() and stamp.read_text() == wanted:
        return
    print("Installing what Drawcord needs (some minutes the first time) …", flush=True)
    target = f"{ROOT}[{extra}]" if extra else str(ROOT)
    command = [str(python), "-m", "pip", "install", "--quiet", "--disable-pip-version-check"]
    if subprocess.run([*command, "--editable", target], check=False).returncode:
        raise SystemExit("The installation failed; pip's own words stand above.")
    stamp.write_text(wanted)


def _check_qt(python: Path) -> None:
    probe = [str(python), "-c", "import PySide6.QtWidgets"]
    if subprocess.run(probe, capture_output=True, check=False).returncode == 0:
        return
    packages = QT_ON_DEBIAN + (QT_WINDOW_ON_DEBIAN if has_display() else ())
    if _install_with_apt(packages):
        return
    raise SystemExit(
        "Qt lacks libraries of the system. On Debian: apt-get install " + " ".join(packages)
    )


def _install_with_apt(packages: tuple[str, ...]) -> bool:
    """Install Debian packages where that needs nobody's leave."""
    if sys.platform != "linux" or os.geteuid() != 0 or shutil.which("apt-get") is None:
        return False
    quiet = {"stdout": subprocess.DEVNULL, "check": False}
    subprocess.run(["apt-get", "update"], **quiet)
    install = ["apt-get", "install", "--yes", "--no-install-recommends", *packages]
    return subprocess.run(install, **quiet).returncode == 0
