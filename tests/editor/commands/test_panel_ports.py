"""Panels and ports for new runs: the order, what is kept, what is not used again."""

from typing import Any

import pytest
from msgspec.structs import replace

from app.design import evaluate
from app.editor.asking import InputProblem
from app.editor.commands.deleting import delete_things
from app.editor.commands.panel_ports import enter_ports, give_ports, take_ports_back
from app.editor.commands.printing import mark_printed
from app.editor.document import Document
from app.model.entities import CableType, Panel, PanelPort, Port
from app.model.project import Patch, Project, adding, changing
from app.model.vocabulary import State
from tests.routing.buildings import Draft, made

FRAME, CABLE = made("frame", "f"), made("cable-type", "c")


def hall(count: int = 3, *, numbers: list[str] | None = None, **frame: Any) -> Draft:
    """Outlets of two ports under a basket, one frame at its end."""
    draft = Draft(levels=(0,))
    draft.pathway("a", 0, [(0, 0, 3_000), (90_000, 0, 3_000)])
    draft.frame("f", 0, 0, 1_000, ladder_height_mm=3_000, **frame)
    for i in range(count):
        number = numbers[i] if numbers else f"{i + 1:03d}"
        draft.outlet(f"{i:02d}x", 0, 1_000 + i * 500, 2_000, ports=2, number=number)
    return draft


def places(project: Project) -> dict[str, list[str]]:
    """By outlet number, where its runs end."""
    return {
        o.number: [
            "" if p.ends_at is None else f"{p.ends_at.panel}{p.ends_at.port:02d}" for p in o.ports
        ]
        for o in project.outlets.values()
    }


def given(project: Project, **more: Any) -> Project:
    return project.apply(give_ports(evaluate(project), **more))


def test_runs_get_ports_by_number_as_people_count_and_cables_their_numbers():
    project = given(hall(3, numbers=["0-10", "0-9", "0-2"]).project())
    assert places(project) == {
        "0-2": ["A01", "A02"],
        "0-9": ["A03", "A04"],
        "0-10": ["A05", "A06"],
    }
    frame = project.frames[FRAME]
    assert frame.panels == (Panel(name="A", port_count=24, cable_type=CABLE),)
    numbers = {p.cable_number for o in project.outlets.values() for p in o.ports}
    assert numbers == {f"F-A{n:02d}" for n in range(1, 7)}
    with pytest.raises(InputProblem, match="has its panel port already"):
        give_ports(evaluate(project))


def test_a_new_panel_follows_a_full_one():
    project = given(hall(13).project())
    assert places(project)["013"] == ["B01", "B02"]
    assert [p.name for p in project.frames[FRAME].panels] == ["A", "B"]


def test_what_has_a_port_keeps_it_and_free_ones_are_filled():
    project = given(hall(3).project())
    outlet = project.outlets[made("outlet", "01x")]
    project = project.apply(take_ports_back(project, [outlet.id]))
    assert [p.cable_number for p in project.outlets[outlet.id].ports] == ["", ""]
    late = replace(
        outlet,
        id="outlet-000000zz",
        number="001a",
        ports=(Port(id="port-000000zz", cable_type=CABLE),),
    )
    project = given(project.apply(adding("Place", [late])))
    assert places(project) == {
        "001": ["A01", "A02"],
        "001a": ["A03"],
        "002": ["A04", "A07"],
        "003": ["A05", "A06"],
    }


def test_kinds_of_cable_do_not_share_a_panel():
    draft = hall(2)
    other = CableType(id=made("cable-type", "s"), name="S", category="6A", shielded=True, od_mm=7.5)
    draft.add(other)
    project = draft.project()
    outlet = project.outlets[made("outlet", "00x")]
    mixed = (outlet.ports[0], replace(outlet.ports[1], cable_type=other.id))
    project = project.apply(changing("Mix", [(outlet, replace(outlet, ports=mixed))]))
    project = given(project)
    panels = {p.name: p.cable_type for p in project.frames[FRAME].panels}
    assert len(panels) == 2
    by_port = {p.id: p for o in project.outlets.values() for p in o.ports}
    for port in by_port.values():
        assert panels[port.ends_at.panel] == port.cable_type


def test_only_the_frame_that_was_named_and_only_new_runs():
    project = hall(2).project()
    with pytest.raises(InputProblem, match="Place a frame first"):
        give_ports(evaluate(project), frame_ids=["frame-99999999"])
    standing = changing(
        "Stand", [(o, replace(o, state=State.EXISTING)) for o in project.outlets.values()]
    )
    with pytest.raises(InputProblem, match="Every new run with a route to frame F"):
        give_ports(evaluate(project.apply(standing)), frame_ids=[FRAME])


def test_panels_that_stand_are_filled_only_where_it_is_known_what_ends_on_them():
    panel = Panel(name="A", port_count=24, cable_type=CABLE, state=State.EXISTING)
    project = hall(2, panels=(panel,)).project()
    first = project.outlets[made("outlet", "00x")]
    old = replace(first, state=State.EXISTING)
    project = project.apply(changing("Stand", [(first, old)]))
    assert places(given(project))["002"] == ["B01", "B02"]
    known = tuple(
        replace(p, ends_at=PanelPort(frame=FRAME, panel="A", port=n))
        for n, p in enumerate(old.ports, 3)
    )
    project = project.apply(changing("Say", [(old, replace(old, ports=known))]))
    assert places(given(project))["002"] == ["A01", "A02"]


def test_existing_runs_are_entered_on_the_panels_that_stand():
    panels = tuple(
        Panel(name=n, port_count=c, cable_type=CABLE, state=s)
        for n, c, s in (("A", 2, State.EXISTING), ("N", 24, State.NEW), ("B", 2, State.EXISTING))
    )
    project = hall(3, numbers=["10", "9", "8"], panels=panels).project()
    ids = tuple(project.outlets)
    with pytest.raises(InputProblem, match="Select outlets with existing runs"):
        enter_ports(evaluate(project), ids)
    old = [(o, replace(o, state=State.EXISTING)) for o in project.outlets.values()]
    project = project.apply(changing("Stand", old))
    with pytest.raises(InputProblem, match=r"4 free ports .* and 6 existing runs to enter"):
        enter_ports(evaluate(project), ids)
    project = project.apply(enter_ports(evaluate(project), ids[:2]))
    assert places(project) == {"9": ["A01", "A02"], "10": ["B01", "B02"], "8": ["", ""]}
    assert {p.cable_number for o in project.outlets.values() for p in o.ports} == {""}


def test_a_wrong_pattern_and_frames_of_one_name_are_refused():
    project = hall(1).project()
    settings = project.settings
    wrong = project.apply(
        changing("Set", [(settings, replace(settings, cable_pattern="{frame}-{port}"))])
    )
    with pytest.raises(InputProblem, match="several cables one number"):
        give_ports(evaluate(wrong))
    twin = replace(project.frames[FRAME], id="frame-000000zz")
    with pytest.raises(InputProblem, match="Two frames are called F"):
        give_ports(evaluate(project.apply(adding("Place", [twin]))))


def test_cables_by_their_outlet_keep_their_number_wherever_they_end():
    draft = hall(2)
    draft.things[0] = replace(draft.things[0], cable_pattern="{outlet}{p}")
    project = given(draft.project())
    assert [p.cable_number for p in project.outlets[made("outlet", "01x")].ports] == [
        "002a",
        "002b",
    ]
    back = project.apply(take_ports_back(project, [made("outlet", "01x")]))
    assert [p.cable_number for p in back.outlets[made("outlet", "01x")].ports] == ["002a", "002b"]


def _removed(draft: Draft, *, printed: bool) -> tuple[Document, str]:
    document = Document(draft.project())
    document.commit(give_ports(document.design, retired=document.retired_numbers))
    gone = made("outlet", "00x")
    if printed:
        document.commit(mark_printed(document.project, [gone]))
    document.commit(delete_things(document.project, [gone]))
    model = document.project.outlets[made("outlet", "01x")]
    port = Port(id="port-000000zz", cable_type=CABLE)
    late = replace(model, id="outlet-000000zz", number="009", ports=(port,))
    document.commit(adding("Place", [late]))
    patch = give_ports(document.design, retired=document.retired_numbers)
    assert isinstance(patch, Patch)
    document.commit(patch)
    return document, places(document.project)["009"][0]


@pytest.mark.parametrize("printed", [False, True])
def test_the_place_that_a_removed_cable_was_numbered_by_stays_empty(printed):
    _, place = _removed(hall(2), printed=printed)
    assert place == "A05"


@pytest.mark.parametrize(("printed", "place"), [(False, "A01"), (True, "A05")])
def test_a_port_is_used_again_only_where_nothing_was_printed(printed, place):
    draft = hall(2)
    draft.things[0] = replace(draft.things[0], cable_pattern="{outlet}{p}")
    assert _removed(draft, printed=printed)[1] == place
