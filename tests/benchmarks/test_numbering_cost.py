"""What numbering 5,000 outlets costs, held against one full evaluation of the same building."""

import time
from collections.abc import Callable

import pytest

from app.design import evaluate
from app.editor.commands.numbering import numbered
from app.editor.commands.panel_ports import give_ports
from app.editor.commands.pasted_numbers import pasted_numbers
from app.editor.commands.printing import mark_printed
from app.editor.commands.renumbering import renumber
from tests.benchmarks.large_building import large_building

OUTLETS, ROUNDS = 5_000, 3


def least_s(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


@pytest.mark.benchmark
def test_a_command_over_all_outlets_costs_less_than_one_evaluation():
    """Reference: `evaluate` of the same project, in the same run."""
    bare = large_building(floors=5, outlets=OUTLETS, frames=10, ports=2)
    ids = tuple(bare.outlets)
    project = bare.apply(renumber(bare, ids, "{floor}-{room}-{nnn}"))
    design = evaluate(project)
    lines = "\n".join(f"{o.number}\tX{i}" for i, o in enumerate(project.outlets.values()))
    evaluation = least_s(lambda: evaluate(project))
    outlets = tuple(project.outlets.values())
    costs = {
        "renumber": least_s(lambda: renumber(project, ids, "{floor}-{nnnn}")),
        "renumber by room": least_s(lambda: renumber(project, ids, "{floor}-{room}-{nnn}")),
        "number when placed": least_s(lambda: numbered(project, outlets, "{floor}-{room}-{nnn}")),
        "give ports": least_s(lambda: give_ports(design)),
        "mark as printed": least_s(lambda: mark_printed(project)),
        "from a list": least_s(lambda: pasted_numbers(project, lines, in_order=ids)),
    }
    told = ", ".join(f"{name} {s * 1_000:.0f} ms" for name, s in costs.items())
    print(f"evaluate {evaluation * 1_000:.0f} ms; {told}")
    assert len(give_ports(design).changes) > OUTLETS * 0.9
    dear = {name: s / evaluation for name, s in costs.items() if s > evaluation}
    assert not dear
