"""The program's entry: `drawcord` and `python -m app`. It knows both faces.

Nothing of the window is loaded for a command, so that those work where Qt cannot.
"""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path

from app.cli.parsing import REFUSED, command_parser, window_parser
from app.cli.terminal import accept_every_letter

BUG, STOPPED = 70, 130
SAMPLE = "ferry-terminal.drawcord"


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line asks; the status the process ends with."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    accept_every_letter()
    try:
        return _run(words)
    except KeyboardInterrupt:
        print("drawcord: stopped before it was done.", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # Whoever read the output has read enough.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return STOPPED
    except Exception:
        traceback.print_exc()
        print("drawcord: this is a fault of the program itself; please report it.", file=sys.stderr)
        return BUG


def _run(words: list[str]) -> int:
    from app.cli.commands import COMMANDS, run_command

    if words and (words[0] in COMMANDS or (words[0].startswith("-") and words != ["--sample"])):
        status = run_command(command_parser().parse_args(words))
        sys.stdout.flush()
        return status
    asked = window_parser().parse_args(words)
    return _open_window(asked.file, sample=asked.sample)


def _open_window(file: Path | None, *, sample: bool = False) -> int:
    problem = _no_window_because(file)
    if problem is not None:
        print(f"drawcord: {problem}", file=sys.stderr)
        return REFUSED
    from app.ui.main import run

    return run(file, sample=SAMPLE if sample else None)


def _no_window_because(file: Path | None) -> str | None:
    """Why the window cannot be opened, as one sentence; None where it can."""
    if file is not None and not file.exists():
        return f"there is no file “{file}”; check its name and folder."
    if file is not None and file.is_dir():
        return f"“{file}” is a folder; name a project or a plan in it."
    is_plain_unix = sys.platform not in ("win32", "darwin")
    if is_plain_unix and not any(
        os.environ.get(v) for v in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    ):
        return "there is no display; the commands of “drawcord --help” work without one."
    return None


if __name__ == "__main__":
    sys.exit(main())
