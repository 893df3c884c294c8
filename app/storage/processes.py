"""Whether a process of this machine still runs, and a word that tells it from a later one."""

from __future__ import annotations

import ctypes
import os
import sys
from pathlib import Path

_QUERY_LIMITED, _STILL_ACTIVE, _ACCESS_DENIED = 0x1000, 259, 5


def process_lives(process: int) -> bool:
    """Whether a process with this number runs; True where that cannot be known."""
    if process <= 0:
        return False
    if sys.platform == "win32":
        return _lives_on_windows(process)
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except OverflowError:
        return False
    except PermissionError:
        return True
    return True


def started(process: int) -> str:
    """A word that differs between two processes with the same number; "" where unknown."""
    try:
        text = Path(f"/proc/{process}/stat").read_text(encoding="ascii", errors="replace")
        boot = Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
    except OSError:
        return ""
    after_name = text.rpartition(")")[2].split()
    start_field = 19  # the 22nd of all, the 20th after the name
    return f"{boot}:{after_name[start_field]}" if len(after_name) > start_field else ""


if sys.platform == "win32":

    def _lives_on_windows(process: int) -> bool:
        kernel = ctypes.WinDLL("kernel32", use_last_error=True)
        handle = kernel.OpenProcess(_QUERY_LIMITED, False, process)
        if not handle:
            return ctypes.get_last_error() == _ACCESS_DENIED
        code = ctypes.c_ulong()
        known = kernel.GetExitCodeProcess(handle, ctypes.byref(code))
        kernel.CloseHandle(handle)
        return not known or code.value == _STILL_ACTIVE
