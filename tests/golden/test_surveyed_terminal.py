"""What the terminal carries beside its design: the client's list, old outlets, walls, kits."""

from collections import Counter

import pytest

from app.design import Design, evaluate
from app.editor.commands.kits import stamp_kit
from app.editor.commands.states import set_state
from app.jobs.restore_points import compared
from app.model.rooms import Match, rooms_of_lines
from app.model.vocabulary import Crossed, State
from app.resource_files import sample_path
from app.sheets.differences import counted_words
from app.siting.which_floor import which_floor
from app.storage.project_file import SavedProject, load_project


@pytest.fixture(scope="module")
def saved() -> SavedProject:
    return load_project(sample_path("ferry-terminal.drawcord"))


@pytest.fixture(scope="module")
def design(saved: SavedProject) -> Design:
    return evaluate(saved.project)


def test_the_list_differs_from_the_plan_as_told(design: Design) -> None:
    project, rooms = design.project, rooms_of_lines(design.project)
    matches = Counter(room.match for room in rooms.values())
    assert matches[Match.HAND] == 1
    (lost,) = [i for i, room in rooms.items() if room.match is Match.NO_ROOM]
    assert project.room_lines[lost].name == "Bicycle store"
    listed = {room.space for room in rooms.values()}
    outdoors = {s.id for s in project.spaces.values() if s.number.endswith(".Q")}
    (unlisted,) = project.spaces.keys() - listed - outdoors
    assert project.spaces[unlisted].name == "Archive"
    # 322 outlets stand in rooms; the list asks for one more data outlet and one camera.
    assert (design.summary.required, design.summary.required_placed) == (324, 322)


def test_old_outlets_are_there_and_go_and_one_moves(design: Design) -> None:
    states = Counter(o.state for o in design.project.outlets.values())
    assert states == {State.NEW: 325, State.EXISTING: 1, State.TO_RELOCATE: 1, State.TO_REMOVE: 3}


def test_the_reserved_frame_takes_its_tenant_and_nobody_else(design: Design) -> None:
    # practice, worked by hand: border control has 31 ports and customs 22.
    project, runs = design.project, design.runs
    (frame,) = [f for f in project.frames.values() if f.reserved_tenant]
    assert frame.id not in {runs.frame_of(row) for row in range(len(runs))}
    after = evaluate(project.apply(set_state(project, [frame.id], State.NEW)))
    moved = [k for k in range(len(runs)) if after.runs.frame_of(k) != runs.frame_of(k)]
    assert len(moved) == 31 + 22
    assert {after.runs.frame_of(k) for k in moved} == {frame.id}
    rooms = {design.space_of[runs.outlet_ids[k]] for k in moved}
    assert {project.spaces[r].number for r in rooms if r} == {"0.16", "0.17"}
    assert (after.summary.over_outlets, after.summary.over) == (12, 23)


def test_rated_walls_are_passed_on_every_floor_and_one_is_open(design: Design) -> None:
    rated = [p for p in design.project.penetrations.values() if p.rating == "EI 60"]
    assert Counter(p.floor for p in rated).most_common() == [(f, 3) for f in design.project.floors]
    assert sorted({p.x_mm for p in rated}) == [43_500, 87_000, 101_500]
    assert sum(not p.barrier for p in rated) == 1
    open_walls = [f for f in design.findings if f.rule == "penetration_without_barrier"]
    assert len(open_walls) == 1
    slabs = [p for p in design.project.penetrations.values() if p.crossed is Crossed.FLOOR]
    assert len(slabs) == 4
    assert all(p.barrier and p.photograph for p in slabs)


def test_its_kits_can_be_stamped(design: Design) -> None:
    project = design.project
    held = {k.name: len(k.things) for k in project.kits.values()}
    assert held == {"Door": 3, "Desk of four": 4, "Gate lounge": 8, "Ticket desks": 6}
    floor = next(iter(project.floors))
    for kit in list(project.kits):
        patch = stamp_kit(project, kit, floor_id=floor, at=(60_000, 10_000))
        project = project.apply(patch)
    assert len(evaluate(project).runs) == len(design.runs) + 1 + 4 * 2 + 16 + 16


def test_the_labels_of_one_frame_are_printed(design: Design) -> None:
    ports = [p for o in design.project.outlets.values() for p in o.ports]
    frozen = [p for p in ports if p.printed]
    assert len(frozen) > 90
    names = {design.project.frames[p.ends_at.frame].name for p in frozen if p.ends_at}
    assert names == {"0A"}


def test_nothing_differs_since_it_was_sent(saved: SavedProject, design: Design) -> None:
    (point,) = saved.project.restore_points.values()
    found = compared(design, point, saved.plan_sources)
    assert counted_words(found) == "Nothing is different."
    assert (point.over, point.runs) == (design.summary.over, design.summary.runs)


def test_a_frame_at_which_old_cables_end_can_be_thought_away(design: Design) -> None:
    answers = {a.name: a for a in which_floor(design)}
    without = answers["0A"].without_it
    assert without is not None
    assert without.runs > 0
