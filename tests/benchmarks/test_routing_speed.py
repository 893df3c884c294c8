"""Routing everything, and one moved outlet, held against references in the same run."""

import statistics
import time
from collections.abc import Callable

import msgspec
import pytest

from app.design import evaluate, parts_of, recalculate
from app.design.workings import work
from app.model.entities import Space
from app.model.project import Project, changing
from app.routing.results import PartSort
from tests.benchmarks.all_in_one import least_costs
from tests.benchmarks.large_building import large_building

BOUND_MM = 150_000
"""What no run of use costs; the reference does not search farther."""
ROUNDS = 3
PANELS_MM = 1_800
MOVES = 200


def least_seconds(job: Callable[[], object], rounds: int = ROUNDS) -> float:
    """The least processor time of several rounds: others on the machine only add to it."""
    taken = []
    for _ in range(rounds):
        start = time.process_time()
        job()
        taken.append(time.process_time() - start)
    return min(taken)


@pytest.mark.benchmark
@pytest.mark.slow
@pytest.mark.parametrize(
    ("floors", "outlets", "frames", "most"), [(10, 5_000, 25, 1.0), (20, 50_000, 250, 1.5)]
)
def test_routing_costs_no_more_than_the_all_in_one_graph(floors, outlets, frames, most):
    project = large_building(floors=floors, outlets=outlets, frames=frames)
    own = least_seconds(lambda: work(project))
    reference = least_seconds(lambda: least_costs(project, limit=BOUND_MM))
    ratio = own / reference
    print(f"\n{outlets:,} outlets: {own:.3f} s, all in one {reference:.3f} s, ratio {ratio:.2f}")
    assert ratio <= most


def test_the_reference_and_the_router_agree():
    """Without spaces, for the reference knows neither shafts nor a frame's own room."""
    whole = large_building(floors=3, outlets=600, frames=6)
    project = Project(e for e in whole.entities() if not isinstance(e, Space))
    costs = least_costs(project)
    design = evaluate(project)
    runs, weight = design.runs, project.settings.leg_weight
    column = {o: k for k, o in enumerate(project.outlets)}
    row = {f: k for k, f in enumerate(project.frames)}
    for port, outlet in zip(runs.port_ids, runs.outlet_ids, strict=True):
        frame = runs.frame_of(runs.row_of[port])
        assert frame is not None
        cost = 0
        for part in parts_of(design, port):
            if part.sort in (PartSort.HORIZONTAL, PartSort.VERTICAL):
                cost += part.length_mm * (weight if part.thing in (outlet, frame) else 1)
        dressing = project.settings.dressing_mm
        least = costs[row[frame], column[outlet]]
        assert cost - weight * (PANELS_MM + dressing) == least


@pytest.mark.benchmark
@pytest.mark.slow
def test_time_per_outlet_does_not_grow_with_the_floors():
    per_outlet = {}
    for floors in (5, 50):
        project = large_building(floors=floors, outlets=500 * floors, frames=5 * floors // 2)
        own = least_seconds(lambda p=project: work(p), rounds=5)
        per_outlet[floors] = own / len(project.outlets) * 1e6
    growth = per_outlet[50] / per_outlet[5]
    print(f"\nper outlet: {per_outlet[5]:.1f} µs, {per_outlet[50]:.1f} µs, growth {growth:.2f}")
    assert growth <= 1.3


@pytest.mark.benchmark
@pytest.mark.slow
def test_one_moved_outlet_costs_a_small_share_of_evaluating():
    project = large_building(floors=10, outlets=5_000, frames=25, ports=2)
    design = evaluate(project)
    whole = least_seconds(lambda: evaluate(project))
    ids, taken = list(project.outlets), []
    for number in range(MOVES):
        project, seconds, design = moved(project, design, ids[number * 37 % len(ids)], number)
        taken.append(seconds)
    assert design == evaluate(project)
    own = statistics.median(taken)
    print(f"\none moved: {own * 1e3:.2f} ms, everything {whole * 1e3:.0f} ms")
    assert own <= whole / 40


def moved(project: Project, design, outlet_id: str, number: int):
    outlet = project.outlets[outlet_id]
    step = 300 if number % 2 else -200
    patch = changing("Move", [(outlet, msgspec.structs.replace(outlet, x_mm=outlet.x_mm + step))])
    after = project.apply(patch)
    start = time.process_time()
    design, _ = recalculate(design, after, patch)
    seconds = time.process_time() - start
    return after, seconds, design
