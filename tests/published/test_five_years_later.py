"""A building five years on: some outlets added, one removed, one relocated (`practice`).

24 outlets of two ports, all existing and tested, 48 cables of 7.5 mm in one tray 300 × 60. By
hand: a cable of 7.5 mm has 44.18 mm²; 44 that stay and 8 that come are 52, 2,297 of 18,000 mm²,
12.8 %; while the 4 old ones still lie there they are 56, 13.7 %.
"""

import pytest
from msgspec.structs import replace

from app.design import Design, evaluate, recalculate
from app.editor.asking import Question
from app.editor.commands.moving import move_things
from app.editor.commands.outlets import OutletPlace, place_outlets
from app.editor.commands.relocating import RELOCATE, asked_where_existing
from app.editor.commands.states import set_state
from app.model.entities import (
    Building,
    CableType,
    Entity,
    Floor,
    Frame,
    Outlet,
    OutletKind,
    Panel,
    PanelPort,
    Pathway,
    Port,
    PortTemplate,
)
from app.model.entities import (
    TesterRecord as Measured,
)
from app.model.ids import counting_source
from app.model.project import Patch, Project, changing
from app.model.vocabulary import PathwayKind, State
from app.takeoff.lines import Section, Unit
from app.takeoff.takeoff import take_off

M = 1_000
CABLE, KIND, FLOOR, FRAME, TRAY = (
    "cable-type-00000001",
    "outlet-kind-00000001",
    "floor-00000001",
    "frame-00000001",
    "pathway-00000001",
)
OUTLETS = 24


def existing(number: int, test: Measured | None) -> Outlet:
    """One every 2 m along the tray, 3 m beside it."""
    return Outlet(
        id=f"outlet-{number:08}",
        number=f"{number:03}",
        floor=FLOOR,
        kind=KIND,
        x_mm=(4 + 2 * number) * M,
        y_mm=3 * M,
        state=State.EXISTING,
        ports=tuple(
            Port(id=f"port-{2 * number + k:08}", cable_type=CABLE, test=test) for k in (0, 1)
        ),
    )


def small_building(*, measured: bool = False) -> Project:
    """All existing and tested; `measured`: the tester has told each length, as it is routed."""
    things = [
        Building(id="building-00000001", name="House"),
        Floor(id=FLOOR, building="building-00000001", name="0", level_mm=0),
        CableType(id=CABLE, name="Cat 6A", od_mm=7.5),
        OutletKind(id=KIND, name="Data", ports=(PortTemplate(cable_type=CABLE),) * 2),
        Frame(
            id=FRAME,
            floor=FLOOR,
            name="T1",
            x_mm=0,
            y_mm=2 * M,
            ladder_height_mm=3_000,
            state=State.EXISTING,
        ),
        Pathway(
            id=TRAY,
            floor=FLOOR,
            kind=PathwayKind.TRAY,
            vertices=((0, 0, 3_000), (100 * M, 0, 3_000)),
            width_mm=300,
            depth_mm=60,
            state=State.EXISTING,
        ),
        *(existing(n, Measured(passed=True)) for n in range(1, OUTLETS + 1)),
    ]
    project = Project(things)
    if not measured:
        return project
    runs = evaluate(project).runs
    pairs = []
    for outlet in project.outlets.values():
        ports = tuple(
            replace(
                p,
                test=Measured(passed=True, length_mm=int(runs.installed_mm[runs.row_of[p.id]])),
            )
            for p in outlet.ports
        )
        pairs.append((outlet, replace(outlet, ports=ports)))
    return project.apply(changing("Measure", pairs))


def done(design: Design, patch: Patch) -> Design:
    """The design after a patch: recalculated, and the same as made anew."""
    project = design.project.apply(patch)
    after, _ = recalculate(design, project, patch)
    assert after == evaluate(project)
    return after


def relocate(design: Design, outlet: str, *, dx_mm: int) -> Design:
    plain = move_things(design.project, [outlet], dx_mm=dx_mm, dy_mm=0)
    question = asked_where_existing(plain, design.runs)
    assert isinstance(question, Question)
    (patch,) = [a.patch for a in question.answers if a.label == RELOCATE]
    return done(design, patch)


def on_full_panels(project: Project) -> Project:
    """The same, its cables on the panels A and B of 24 ports that stand in the frame."""
    frame = project.frames[FRAME]
    panels = tuple(Panel(name=n, cable_type=CABLE, state=State.EXISTING) for n in "AB")
    pairs: list[tuple[Entity, Entity]] = [(frame, replace(frame, panels=panels))]
    places = (PanelPort(frame=FRAME, panel=n, port=k) for n in "AB" for k in range(1, 25))
    for outlet in project.outlets.values():
        ports = tuple(replace(p, ends_at=next(places)) for p in outlet.ports)
        pairs.append((outlet, replace(outlet, ports=ports)))
    return project.apply(changing("Say where they end", pairs))


def worked_on(*, measured: bool, dx_mm: int = 20 * M, building: Project | None = None) -> Design:
    """Three added beside the frame, 024 removed, 023 moved along the tray."""
    design = evaluate(small_building(measured=measured) if building is None else building)
    added = place_outlets(
        design.project,
        [OutletPlace(x_mm=x * M, y_mm=-3 * M) for x in (3, 4, 5)],
        floor_id=FLOOR,
        kind_id=KIND,
        pattern="{nnn}",
        source=counting_source(900),
    )
    design = done(design, added)
    design = done(design, set_state(design.project, ["outlet-00000024"], State.TO_REMOVE))
    return relocate(design, "outlet-00000023", dx_mm=dx_mm)


def pieces(takeoff, section, item):
    return sum(
        line.quantity
        for line in takeoff.section(section)
        if line.item.startswith(item) and line.unit is Unit.PIECE
    )


@pytest.mark.parametrize("measured", [False, True])
def test_eight_new_runs_four_cables_to_remove_and_not_a_metre_of_the_others(measured):
    design = worked_on(measured=measured)
    takeoff = take_off(design)
    assert sum(line.runs for line in takeoff.cable) == 8
    ordered = {port for line in takeoff.cable for port in line.things}
    moved = {p.id for p in design.project.outlets["outlet-00000023"].ports}
    assert moved < ordered
    old = {f"port-{n:08}" for n in range(2, 2 * OUTLETS + 2)}
    assert ordered & old == moved
    assert pieces(takeoff, Section.REMOVAL, "Cable to remove") == 4
    assert pieces(takeoff, Section.REMOVAL, "Outlet to remove") == 1
    assert pieces(takeoff, Section.RELOCATION, "Outlet to relocate") == 1
    assert pieces(takeoff, Section.RELOCATION, "Cable to re-terminate") == 0


def test_the_metres_that_come_out_are_those_that_lie_there():
    before = evaluate(small_building()).runs
    ports = [f"port-{n:08}" for n in (46, 47, 48, 49)]  # of 023 and 024
    lying = sum(int(before.installed_mm[before.row_of[p]]) for p in ports)
    (line,) = [
        line
        for line in take_off(worked_on(measured=False)).section(Section.REMOVAL)
        if line.unit is Unit.LENGTH
    ]
    assert line.quantity == lying


@pytest.mark.parametrize("measured", [False, True])
def test_the_fill_counts_what_stays_and_what_still_lies_there(measured):
    fill = worked_on(measured=measured).fills[TRAY]
    assert fill.inside_mm2 == 18_000
    assert fill.cables == 44 + 8
    assert fill.area_mm2 == pytest.approx(2_297, abs=0.5)
    assert round(100 * fill.ratio, 1) == 12.8
    assert fill.cables_lying == 56
    assert round(100 * fill.ratio_lying, 1) == 13.7


def test_moved_towards_the_frame_the_cables_reach_and_nothing_is_ordered_for_them():
    design = worked_on(measured=True, dx_mm=-2 * M)
    takeoff = take_off(design)
    assert sum(line.runs for line in takeoff.cable) == 6
    assert pieces(takeoff, Section.REMOVAL, "Cable to remove") == 2
    assert pieces(takeoff, Section.RELOCATION, "Cable to re-terminate") == 2
    fill = design.fills[TRAY]
    assert (fill.cables, fill.cables_lying) == (46 + 6, 46 + 6 + 2)


def test_what_a_person_says_of_a_cable_goes_before_its_length():
    design = worked_on(measured=True)
    outlet = design.project.outlets["outlet-00000023"]
    ports = tuple(replace(p, cable_stays=True) for p in outlet.ports)
    design = done(design, changing("Say", [(outlet, replace(outlet, ports=ports))]))
    takeoff = take_off(design)
    assert sum(line.runs for line in takeoff.cable) == 6
    assert pieces(takeoff, Section.RELOCATION, "Cable to re-terminate") == 2


def test_numbers_stay_and_go_on():
    outlets = worked_on(measured=False).project.outlets
    numbers = [o.number for o in outlets.values()]
    assert numbers == [f"{n:03}" for n in range(1, 28)]
