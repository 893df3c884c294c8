import pytest
from msgspec.structs import replace

from app.editor.asking import InputProblem, Question
from app.editor.commands.deleting import delete_things
from app.model.entities import ClientList, Kit, OldPlace, Panel, Requirement, RoomLine
from app.model.integrity import check_patch, check_project
from app.model.project import Patch, Project, adding, changing
from tests.editor.small_building import (
    BACKBONE,
    BOX,
    BREAK,
    CABLE,
    CEILING,
    CONDUIT,
    DATA,
    DROP_OUT,
    DUCT,
    GROUND,
    HALL,
    HOOKS,
    MAIN,
    OUTLET_1,
    OUTLET_3,
    PLAN,
    RISER,
    SECOND,
    TRAY,
    UPPER,
    WAIVER,
    building,
)


def _done(project: Project, patch: Patch | None) -> Project:
    assert isinstance(patch, Patch)
    after = project.apply(patch)
    check_project(after)
    assert after.apply(patch.inverse()) == project
    return after


def test_boxes_drop_outs_and_keep_aparts_go_with_their_pathway():
    project = building()
    patch = delete_things(project, [HOOKS])
    after = _done(project, patch)
    assert patch.label == "Delete hook line H-01 with 1 drop-out and 1 keep-apart"
    assert DROP_OUT not in after
    assert BREAK not in after
    assert BOX in after
    assert BOX not in _done(project, delete_things(project, [CONDUIT, TRAY]))


def test_a_frame_takes_its_backbone_along_and_sets_ports_free():
    project = building()
    after = _done(project, delete_things(project, [MAIN]))
    assert BACKBONE not in after
    assert all(p.frame is None for p in after.outlets[OUTLET_1].ports)
    assert all(p.frame == SECOND for p in after.outlets[OUTLET_3].ports)
    both = _done(project, delete_things(project, [MAIN, OUTLET_1]))
    assert OUTLET_1 not in both


def test_a_waiver_goes_with_the_thing_it_speaks_of():
    project = building()
    patch = delete_things(project, [OUTLET_1])
    assert patch.label == "Delete outlet 0-01"
    assert WAIVER not in _done(project, patch)


def test_a_floor_with_things_on_it_asks_first():
    project = building()
    outcome = delete_things(project, [GROUND])
    assert isinstance(outcome, Question)
    assert outcome.text.startswith("Floor 0 holds ")
    after = _done(project, outcome.answers[0].patch)
    assert not after.outlets
    assert not after.pathways
    assert PLAN not in after
    assert RISER not in after
    assert DUCT not in after
    assert list(after.floors) == [UPPER]
    assert SECOND in after


def test_a_building_goes_with_its_floors():
    project = building()
    outcome = delete_things(project, ["building-00000001"])
    assert isinstance(outcome, Question)
    after = _done(project, outcome.answers[0].patch)
    assert not after.floors
    assert not after.frames


def test_kinds_and_cables_in_use_are_refused_in_words():
    project = building()
    with pytest.raises(InputProblem, match="used by 2 outlet kinds and 6 ports and 1 backbone"):
        delete_things(project, [CABLE])
    with pytest.raises(InputProblem, match="used by 3 outlets"):
        delete_things(project, [DATA])
    _done(project, delete_things(project, [CEILING]))


@pytest.mark.parametrize("ids", [[], ["outlet-99999999"], ["settings"], [OUTLET_1, "site"]])
def test_what_cannot_be_deleted_is_refused(ids: list[str]):
    with pytest.raises(InputProblem, match="Select something"):
        delete_things(building(), ids)


def with_a_list():
    project = building()
    entry = ClientList(id="client-list-00000001", name="Rooms", columns=())
    line = RoomLine(
        id="room-line-00000001",
        client_list=entry.id,
        line=2,
        number="9",
        required=(Requirement(kind=CEILING, count=1),),
        space=HALL,
    )
    unused = replace(project.outlet_kinds[CEILING], id="outlet-kind-00000009", name="Spare")
    return project.apply(adding("", [entry, line, unused]))


def test_lines_of_clients_lists_let_go_of_a_space_that_is_deleted():
    project = with_a_list()
    patch = delete_things(project, [HALL])
    after = project.apply(patch)
    check_patch(after, patch)
    assert after.room_lines["room-line-00000001"].space is None
    assert after.apply(patch.inverse()) == project


def test_a_list_goes_with_its_lines_and_holds_the_kinds_that_it_counts():
    project = with_a_list()
    patch = delete_things(project, ["client-list-00000001"])
    assert patch.label == "Delete client's list Rooms with listed room 9"
    assert not project.apply(patch).room_lines
    with pytest.raises(InputProblem, match="1 client's list"):
        delete_things(project, [CEILING])
    assert delete_things(project, ["outlet-kind-00000009"]).ids == ("outlet-kind-00000009",)


def test_what_a_kit_or_a_panel_uses_is_refused_in_words():
    project = building()
    outlet, frame = project.outlets[OUTLET_1], project.frames[SECOND]
    kind = replace(project.outlet_kinds[DATA], id="outlet-kind-00000009", name="Door")
    cable = replace(project.cable_types[CABLE], id="cable-type-00000009", name="Old")
    kit = Kit(
        id="kit-00000001", name="Door", things=(replace(outlet, kind=kind.id, floor="floor"),)
    )
    panels = (Panel(name="A", cable_type=cable.id),)
    project = project.apply(adding("", [kind, cable, kit]))
    project = project.apply(changing("", [(frame, replace(frame, panels=panels))]))
    with pytest.raises(InputProblem, match="Outlet kind Door is used by 1 kit"):
        delete_things(project, [kind.id])
    with pytest.raises(InputProblem, match="Cable type Old is used by 1 panel"):
        delete_things(project, [cable.id])


def test_a_relocated_outlet_forgets_the_old_place_on_a_floor_that_goes():
    project = building()
    outlet = project.outlets[OUTLET_1]
    here = GROUND if outlet.floor == GROUND else UPPER
    other = UPPER if here == GROUND else GROUND
    moved = replace(outlet, was_at=OldPlace(floor=other, x_mm=0, y_mm=0))
    project = project.apply(changing("", [(outlet, moved)]))
    outcome = delete_things(project, [other])
    assert isinstance(outcome, Question)
    after = _done(project, outcome.answers[0].patch)
    assert after.outlets[OUTLET_1].was_at is None
