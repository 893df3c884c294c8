"""Which floor? on the invented terminal, whose answers were first worked out by a small model
apart from the program: an eastern extension without a frame or a riser of its own."""

import pytest

from app.design import Design, evaluate
from app.model.entities import Building, Candidate, Floor, Pathway, Riser
from app.model.ids import counting_source, new_id
from app.model.project import Project, adding
from app.model.vocabulary import PathwayKind, Serves
from app.progress import Cancelled, Silent
from app.resource_files import sample_path
from app.siting.which_floor import outcome, patch_with, which_floor
from app.storage.project_file import load_project
from tests.routing.buildings import Draft, made


@pytest.fixture(scope="module")
def terminal() -> Design:
    return evaluate(load_project(sample_path("ferry-terminal.drawcord")).project)


@pytest.fixture(scope="module")
def answers(terminal):
    return {a.name: a for a in which_floor(terminal)}


def over(result) -> tuple[int, int]:
    return result.over_outlets, result.over_runs


def with_places(
    project: Project, *names: str, riser_at_mm: tuple[int, int] | None = None
) -> Design:
    """The terminal with frames at marked places, and a riser with a stub on each floor."""
    for name in names:
        place = next(c for c in project.candidates.values() if c.name == name)
        project = project.apply(patch_with(project, place))
    if riser_at_mm is not None:
        project = project.apply(adding("Core", riser_with_stubs(project, *riser_at_mm)))
    return evaluate(project)


def riser_with_stubs(project: Project, x_mm: int, y_mm: int) -> list[Riser | Pathway]:
    floors = sorted(project.floors.values(), key=lambda f: f.level_mm)
    spines = {p.floor: p for p in project.pathways.values() if p.number.startswith("S")}
    source = counting_source(9_000_000)
    stubs = [
        Pathway(
            id=new_id("pathway", project, source),
            floor=floor.id,
            kind=PathwayKind.BASKET,
            vertices=(
                (x_mm, spines[floor.id].vertices[0][1], spines[floor.id].vertices[0][2]),
                (x_mm, y_mm, spines[floor.id].vertices[0][2]),
            ),
            width_mm=300.0,
            depth_mm=60.0,
        )
        for floor in floors
    ]
    riser = Riser(
        id=new_id("riser", project, source),
        number="R3",
        lower_floor=floors[0].id,
        upper_floor=floors[-1].id,
        lower=(x_mm, y_mm),
        upper=(x_mm, y_mm),
    )
    return [*stubs, riser]


def test_every_frame_and_marked_place_is_tried_from_the_lowest_floor_up(answers):
    assert list(answers) == ["0A", "C0", "1B", "M", "C1", "C2"]


def test_as_found_twelve_outlets_are_over(terminal):
    assert over(outcome(terminal)) == (12, 23)


@pytest.mark.parametrize(("place", "stays"), [("C0", (5, 8)), ("C1", (12, 23)), ("C2", (7, 15))])
def test_one_more_frame_cures_what_the_small_model_says(answers, place, stays):
    assert over(answers[place].with_it) == stays
    assert over(answers[place].without_it) == (12, 23)


def test_frames_on_both_floors_cure_everything(terminal):
    assert over(outcome(with_places(terminal.project, "C0", "C2"))) == (0, 0)


def test_a_new_riser_alone_cures_less_than_with_a_frame(terminal):
    alone = outcome(with_places(terminal.project, riser_at_mm=(126_000, 17_500)))
    assert over(alone) == (8, 15)
    both = outcome(with_places(terminal.project, "C1", riser_at_mm=(126_000, 17_500)))
    assert over(both) == (0, 0)
    assert both.longest_mm == pytest.approx(72_500, abs=1_500)


def test_a_place_that_cures_nothing_says_why(answers):
    assert answers["C1"].sentence == (
        "Cures nothing: the runs over the limit are on floors 0 and 2 and reach floor 1 only by "
        "R2, 35.0 m from C1; no riser stands nearer to it."
    )


def test_a_place_that_cures_some_says_what_stays(answers):
    assert answers["C0"].sentence == ("Cures 15 of 23 runs; 5 outlets stay over, all on floor 2.")
    assert "operator" in answers["C1"].reason_against


def test_a_frame_that_stands_says_what_would_be_without_it(answers):
    assert answers["1B"].stands
    assert answers["1B"].without_it.over_runs == 234
    assert answers["1B"].sentence == "Without it 211 runs more would be over the limit."
    assert answers["0A"].sentence == "Without it: nothing more over the limit, 1.3 km more cable."


def test_a_floor_with_neither_says_so():
    building = Building(id="building-00000001", name="B")
    floor = Floor(id="floor-00000001", building=building.id, name="G", level_mm=0)
    (answer,) = which_floor(evaluate(Project([building, floor])))
    assert answer.thing is None
    assert answer.sentence == "No frame stands on floor G, and no place is marked on it."


def test_little_cable_is_told_in_metres():
    # By hand: one run to a frame 30 m farther off, 31.5 m with the allowance of 5 %.
    draft = Draft(levels=(0,)).pathway("a", 0, [(0, 0, 3_000), (40_000, 0, 3_000)])
    draft.frame("f", 0, 10_000, 0).frame("g", 0, 40_000, 0).frame("h", 0, 40_000, 500)
    draft.outlet("o", 0, 5_000, 0)
    said = {a.name: a.sentence for a in which_floor(evaluate(draft.project()))}
    assert said["F"] == "Without it: nothing more over the limit, 32 m more cable."
    assert said["H"] == "Without it: nothing more over the limit, and as much cable."


def test_a_place_is_tried_with_its_own_ladder_height(terminal):
    place = next(iter(terminal.project.candidates.values()))
    assert isinstance(place, Candidate)
    (change,) = patch_with(terminal.project, place).changes
    assert (change.after.x_mm, change.after.y_mm) == (place.x_mm, place.y_mm)


def test_it_can_be_stopped(terminal):
    class Stopping(Silent):
        def check(self) -> None:
            raise Cancelled

    with pytest.raises(Cancelled):
        which_floor(terminal, progress=Stopping())


def test_a_riser_that_does_not_come_to_the_place_s_floor_is_not_said_to():
    # The riser joins floors 0 and 1; the marked place is on floor 2, where nothing leads.
    draft = Draft(levels=(0, 4_000, 8_000), serves=Serves.ANY)
    draft.pathway("a", 0, [(0, 0, 3_000), (95_000, 0, 3_000)]).riser("r", 0, 1, (0, 0))
    draft.pathway("b", 1, [(0, 0, 3_000), (9_000, 0, 3_000)]).frame("f", 1, 9_000, 500)
    draft.outlet("o", 0, 95_000, 500).add(
        Candidate(id=made("candidate", "c"), floor=made("floor", "2"), name="C", x_mm=0, y_mm=0)
    )
    said = {a.name: a.sentence for a in which_floor(evaluate(draft.project()))}
    assert said["C"] == (
        "Cures nothing: the runs over the limit are on floor 0, and no riser joins them to C."
    )
