"""A number that has stood on something is not given to another thing when that is gone."""

import pytest

from app.editor.commands.copying import copy_things
from app.editor.commands.deleting import delete_things
from app.editor.commands.floors import copy_floor
from app.editor.commands.records import add_backbone_cable, apply_candidate
from app.editor.commands.renumbering import renumber
from app.editor.tools.tool import Key
from app.editor.wording import mark_of
from app.model.project import Patch
from tests.editor.scripted import Script
from tests.editor.small_building import (
    CABLE,
    GROUND,
    MAIN,
    OUTLET_1,
    OUTLET_2,
    OUTLET_3,
    PLACE,
    SECOND,
)

GESTURES = {
    "outlet": [(9_000, 8_000)],
    "frame": [(9_000, 8_000)],
    "candidate": [(9_000, 8_000)],
    "demarcation": [(9_000, 8_000)],
    "pathway": [(9_000, 8_000), (13_000, 8_000)],
    "outdoor_duct": [(-4_000, 7_000), (-1_000, 7_000)],
    "row": [(9_000, 8_000), (9_500, 8_000)],
    "riser": [(9_000, 8_000)],
    "pull_box": [(6_000, 2_000)],
    "split": [(6_000, 2_000)],
    "fill": [(13_000, 9_000)],
}


def _drawn(s: Script, tool: str) -> set[str]:
    """The numbers that come of a gesture."""
    before = {e.id for e in s.project.entities()}
    s.take(tool)
    for at in GESTURES[tool]:
        s.click(*at, alt=True)
    if len(GESTURES[tool]) > 1:
        s.key(Key.ENTER)
    made = [e for e in s.project.entities() if e.id not in before]
    return {mark_of(e) for e in made if mark_of(e) and not e.id.startswith("outlet-kind")}


def _remove(s: Script, numbers: set[str]) -> None:
    ids = [e.id for e in s.project.entities() if e.id not in s.first and mark_of(e) in numbers]
    s.document.commit(delete_things(s.project, ids))


@pytest.mark.parametrize("tool", GESTURES)
def test_drawing_counts_on_beyond_what_was_removed(tool):
    s = Script()
    gone = _drawn(s, tool)
    assert gone
    _remove(s, gone)
    assert gone.isdisjoint(_drawn(s, tool))


def test_an_undone_removal_leaves_no_gap():
    s = Script()
    [number] = _drawn(s, "outlet")
    _remove(s, {number})
    s.document.undo()
    s.document.undo()
    assert _drawn(s, "outlet") == {number}


def _names(patch: Patch) -> set[str]:
    made = [c.after for c in patch.changes if c.before is None]
    return {mark_of(t) for t in made if t is not None and mark_of(t)}


def test_commands_without_a_pointer_take_the_removed_numbers_too():
    s = Script()
    retired = s.document.retired_numbers

    def twice(command):
        """Made once and removed, then made again."""
        s.document.commit(command())
        made = [e.id for e in s.project.entities() if e.id not in s.first]
        first = {mark_of(e) for e in s.project.entities() if e.id in made}
        s.document.commit(delete_things(s.project, made))
        second = command()
        return first, _names(second)

    first, second = twice(lambda: copy_things(s.project, [OUTLET_1], dx_mm=500, retired=retired))
    assert first.isdisjoint(second)
    first, second = twice(
        lambda: add_backbone_cable(s.project, MAIN, SECOND, cable_type=CABLE, retired=retired)
    )
    assert first.isdisjoint(second)
    s.document.commit(apply_candidate(s.project, PLACE, retired=retired))
    [frame] = [f for f in s.project.frames.values() if f.id not in s.first]
    name = mark_of(frame)
    s.document.commit(delete_things(s.project, [frame.id]))
    again = copy_things(s.project, [SECOND], floor_id=GROUND, retired=retired)
    assert name not in _names(again)
    s.document.commit(copy_floor(s.project, GROUND, "9", retired=retired))
    pathways = [p for p in s.project.pathways.values() if p.id not in s.first]
    s.document.commit(delete_things(s.project, [p.id for p in pathways]))
    once_more = copy_floor(s.project, GROUND, "10", retired=retired)
    assert {mark_of(p) for p in pathways}.isdisjoint(_names(once_more))


def test_renumbering_passes_over_removed_numbers():
    s = Script()
    s.document.commit(delete_things(s.project, [OUTLET_2]))
    patch = renumber(
        s.project, [OUTLET_1, OUTLET_3], "{floor}-{nn}", retired=s.document.retired_numbers
    )
    numbers = {mark_of(c.after) for c in patch.changes if c.after is not None}
    assert "0-02" not in numbers
