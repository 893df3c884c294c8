"""Thousands of mutated project files: loaded, or refused in one sentence; never anything else.

`DRAWCORD_FUZZ=5000` runs so many; the suite runs a few hundred.
"""

import os
import sys
import time
import tracemalloc

import pytest

from app.model.integrity import check_project
from app.storage.failures import UnreadableProject
from app.storage.project_file import SavedProject, load_project, save_project
from tests.storage.mutations import mutated
from tests.storage.samples import saved_sample

COUNT = int(os.environ.get("DRAWCORD_FUZZ", "450"))
SLOWEST_S = 5.0
MOST_BYTES = 64 * 2**20
"""What loading any of these small files may take of memory at most."""


def outcome(path) -> SavedProject | str:
    try:
        return load_project(path)
    except UnreadableProject as refusal:
        return str(refusal)


@pytest.mark.skipif(sys.gettrace() is not None, reason="tracing counts as memory and time")
def test_mutated_files_are_loaded_whole_or_refused_in_one_sentence(tmp_path):
    good, path = tmp_path / "good.drawcord", tmp_path / "x.drawcord"
    save_project(good, saved_sample())
    kinds = {"refused": 0, "loaded with notes": 0, "loaded": 0}
    tracemalloc.start()
    try:
        for name, data in mutated(good.read_bytes(), COUNT, seed=COUNT):
            path.write_bytes(data)
            tracemalloc.reset_peak()
            before = tracemalloc.get_traced_memory()[0]
            start = time.monotonic()
            read = outcome(path)
            assert time.monotonic() - start < SLOWEST_S, name
            assert tracemalloc.get_traced_memory()[1] - before < MOST_BYTES, name
            if isinstance(read, str):
                kinds["refused"] += 1
                assert "\n" not in read, name
                assert len(read) < 700, name
                assert read.endswith("."), name
            else:
                kinds["loaded with notes" if read.notes else "loaded"] += 1
                check_project(read.project)
                save_project(tmp_path / "again.drawcord", read)
                assert load_project(tmp_path / "again.drawcord").project == read.project, name
    finally:
        tracemalloc.stop()
    print(kinds)
    assert all(kinds.values()), kinds
