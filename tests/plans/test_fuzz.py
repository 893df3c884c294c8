"""Damaged drawings open or are refused; none crashes, hangs or eats the memory.

`DRAWCORD_FUZZ` sets how many (default eight hundred); `DRAWCORD_FUZZ_FOLDER` a folder with more
drawings to damage, `DRAWCORD_FUZZ_FROM` the first seed.
"""

from __future__ import annotations

import os
import queue
import subprocess
import sys
import threading
from collections import Counter
from pathlib import Path

import pytest

REPOSITORY = Path(__file__).resolve().parents[2]
SECONDS_PER_DRAWING = 30.0
MOST_MB = 1_500.0
WORKERS = 2


def watch(first: int, count: int, results: list[str]) -> None:
    """Run a worker; a drawing that takes too long ends it, and is a result like others."""
    command = [sys.executable, "-m", "tests.plans.fuzz_worker", str(first), str(count)]
    folder = os.environ.get("DRAWCORD_FUZZ_FOLDER")
    if folder:
        command.append(folder)
    with subprocess.Popen(
        command, cwd=REPOSITORY, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
        encoding="utf-8", errors="replace",
    ) as worker:  # fmt: skip
        lines: queue.Queue[str | None] = queue.Queue()

        def pump() -> None:
            assert worker.stdout is not None
            for line in worker.stdout:
                lines.put(line)
            lines.put(None)

        threading.Thread(target=pump, daemon=True).start()
        last = "nothing"
        while True:
            try:
                line = lines.get(timeout=SECONDS_PER_DRAWING)
            except queue.Empty:
                results.append(f"HANG after {last}")
                worker.kill()
                return
            if line is None:
                break
            last = line.strip()
            results.append(last)
        if worker.wait() != 0:
            results.append(f"CRASH with {worker.returncode} after {last}")


@pytest.mark.slow
def test_damaged_drawings_never_crash_hang_or_grow() -> None:
    count = int(os.environ.get("DRAWCORD_FUZZ", "800"))
    start = int(os.environ.get("DRAWCORD_FUZZ_FROM", "0"))
    share = -(-count // WORKERS)
    results: list[list[str]] = [[] for _ in range(WORKERS)]
    threads = [
        threading.Thread(target=watch, args=(start + number * share, share, results[number]))
        for number in range(WORKERS)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    lines = [line for part in results for line in part]
    bad = [line for line in lines if not line.startswith(("begin", "end", "memory"))]
    bad += [line for line in lines if line.startswith("end") and "BUG" in line]
    assert not bad, "\n".join(bad[:10])
    outcomes = Counter(line.split()[-1] for line in lines if line.startswith("end"))
    print(dict(outcomes))
    assert sum(outcomes.values()) == share * WORKERS
    # Both kinds occur, else the damage is too mild or too rough to say anything.
    assert min(outcomes["opened"], outcomes["refused"]) > count / 50
    memory = [float(line.split()[1]) for line in lines if line.startswith("memory")]
    assert len(memory) == WORKERS
    assert max(memory) < MOST_MB
