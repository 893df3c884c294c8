"""Badly damaged text files: the sound entities are kept, the others dropped and counted."""

from __future__ import annotations

import io

import ezdxf
import pytest

from app.plans.read_plan import read_plan
from app.plans.salvage import salvaged


@pytest.fixture(scope="module")
def hundred_lines() -> list[bytes]:
    """The lines of a file with a hundred lines of 5 m, 0.1 m apart."""
    doc = ezdxf.new("R2010", units=4)
    for number in range(100):
        doc.modelspace().add_line((number * 100, 0), (number * 100, 5_000), {"layer": "A"})
    stream = io.StringIO()
    doc.write(stream)
    return doc.encode(stream.getvalue()).split(b"\n")


def starts(lines: list[bytes]) -> list[int]:
    """The rows where the LINE entities begin."""
    return [n for n in range(0, len(lines) - 1, 2) if lines[n + 1].strip() == b"LINE"]


def test_a_sound_file_passes_unchanged(hundred_lines: list[bytes]) -> None:
    sound, dropped = salvaged(b"\n".join(hundred_lines))
    assert dropped == 0
    assert [line.strip() for line in sound.split(b"\n")] == [line.strip() for line in hundred_lines]


@pytest.mark.parametrize("damage", ["lost line", "bad number", "bad code", "two lines as one"])
def test_only_the_damaged_are_lost(damage: str, hundred_lines: list[bytes]) -> None:
    lines = list(hundred_lines)
    # From the back, so that rows before stay where they are.
    for row in reversed(starts(lines)[10:60:10]):
        place = next(n for n in range(row, row + 60) if lines[n].strip() == b"20")
        if damage == "lost line":
            del lines[place + 1]
        elif damage == "bad number":
            lines[place + 1] = b"0.0q7"
        elif damage == "bad code":
            lines[place] = b"2x0"
        else:
            lines[place : place + 2] = [lines[place] + lines[place + 1]]
    sound, dropped = salvaged(b"\n".join(lines))
    assert dropped == 5
    assert len(read_plan(sound).drawing.layer("A").segments) == 95
    # The library alone may mend a number; none is moved to a guessed place.
    plan = read_plan(b"\n".join(lines))
    left = plan.drawing.layer("A").segments
    assert 95 <= len(left) <= 100
    assert (left[:, 1] == 0).all()
    assert (left[:, 3] == 5_000).all()
    codes = {note.code: note.count for note in plan.report}
    assert "recovered" in codes
    assert codes.get("entities-dropped", 0) == 100 - len(left)


def test_a_bad_header_variable_is_dropped_alone(hundred_lines: list[bytes]) -> None:
    lines = list(hundred_lines)
    row = next(n for n in range(len(lines)) if lines[n].strip() == b"$EXTMIN")
    lines[row + 2] = b"everywhere"
    plan = read_plan(b"\n".join(lines))
    assert len(plan.drawing.layer("A").segments) == 100
    assert plan.proposals[0].unit == "mm"
