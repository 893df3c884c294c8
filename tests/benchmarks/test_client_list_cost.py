"""What a client's list of 2,000 rooms costs beside 5,000 outlets, held against one evaluation."""

import time
from collections.abc import Callable

import pytest
from msgspec.structs import replace

from app.design import evaluate
from app.editor.commands.client_list import read_in
from app.editor.commands.likely_rooms import likely_rooms, misspelt_rooms
from app.editor.commands.placing_from_list import left_in
from app.editor.room_lists.account import account_of
from app.editor.room_lists.made_out import make_out
from app.model.project import changing
from app.model.rooms import asked_for
from app.sheets.spaces_table import spaces_table
from app.standards import load_rules
from app.storage.list_rows import ListFile, ListRow
from tests.benchmarks.large_building import large_building

OUTLETS, ROOMS, ROUNDS = 5_000, 2_000, 3


def least_s(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def a_list(kind: str) -> ListFile:
    """Rooms with numbers of the building as far as they go, one in ten misspelt."""
    rows = [("Room", "Name", "Use", "Area", kind)]
    for n in range(ROOMS):
        number = f"R{n}" if n % 10 else f"R{n}x"
        rows.append((number, f"Room {n}", "ofice" if n % 7 == 0 else "office", "12,5", str(n % 9)))
    return ListFile(
        source_name="rooms.csv",
        rows=tuple(ListRow(line, cells) for line, cells in enumerate(rows, start=1)),
    )


@pytest.mark.benchmark
def test_a_list_of_two_thousand_rooms_costs_less_than_one_evaluation():
    """Reference: `evaluate` of the same project without a list, in the same run."""
    project = large_building(floors=5, outlets=OUTLETS, frames=10, ports=2)
    numbered = [(s, replace(s, number=f"R{n}")) for n, s in enumerate(project.spaces.values())]
    project = project.apply(changing("", numbered))
    rules, kind = load_rules(), next(iter(project.outlet_kinds.values()))
    read = a_list(kind.name)
    evaluation = least_s(lambda: evaluate(project))
    made = make_out(project, read, {})
    account = account_of(project, rules, read, made.how)
    taken = read_in(project, account, name="rooms")
    after = project.apply(taken.patch)
    design = evaluate(after)
    space = next(iter(after.spaces.values()))
    alone = next(line for line in after.room_lines.values() if line.number.endswith("x"))
    costs = {
        "account for every line": least_s(lambda: account_of(project, rules, read, made.how)),
        "read in": least_s(lambda: read_in(project, account, name="rooms")),
        "read anew": least_s(lambda: read_in(after, account, name="r", anew=taken.client_list)),
        "match with the rooms": least_s(lambda: asked_for(after)),
        "what is left in a room": least_s(lambda: left_in(after, space)),
        "misspelt rooms": least_s(lambda: misspelt_rooms(after, taken.client_list)),
        "likely rooms of a line": least_s(lambda: likely_rooms(after, alone.id)),
        "table of the rooms": least_s(lambda: spaces_table(design)),
    }
    parts = ("account for every line", "read in", "match with the rooms")
    costs["all of reading in"] = sum(costs[part] for part in parts)
    told = ", ".join(f"{name} {s * 1_000:.0f} ms" for name, s in costs.items())
    print(f"evaluate {evaluation * 1_000:.0f} ms; {told}")
    assert len(after.room_lines) == ROOMS
    assert len(asked_for(after).by_space) > len(project.spaces) / 2
    dear = {name: s / evaluation for name, s in costs.items() if s > evaluation}
    assert not dear
