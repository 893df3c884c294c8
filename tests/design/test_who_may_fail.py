"""Which runs may fail a check: all but those with a passed test, spare, future or going."""

import pytest
from msgspec.structs import replace

from app.design import evaluate
from app.model import entities
from app.model.entities import Port
from app.model.project import Project, changing
from app.model.vocabulary import State
from app.routing.results import RunStatus
from tests.design.test_stories import PORT, one_cable

PASSED = entities.TesterRecord(passed=True, date="2021-04-01")


def too_long(state: State, **of_the_port: object) -> Project:
    """The one cable of 60.95 m, in a house where 60 m is the limit."""
    project = one_cable().project()
    (cable,) = project.cable_types.values()
    (outlet,) = project.outlets.values()
    ports: tuple[Port, ...] = tuple(replace(p, **of_the_port) for p in outlet.ports)
    return project.apply(
        changing(
            "",
            [
                (cable, replace(cable, limit_mm=60_000)),
                (outlet, replace(outlet, state=state, ports=ports)),
            ],
        )
    )


@pytest.mark.parametrize(
    ("state", "of_the_port", "fails"),
    [
        (State.NEW, {}, True),
        (State.NEW, {"test": PASSED}, True),
        (State.NEW, {"spare": True}, False),
        (State.EXISTING, {}, True),
        (State.EXISTING, {"test": entities.TesterRecord(passed=False)}, True),
        (State.EXISTING, {"test": PASSED}, False),
        (State.EXISTING, {"spare": True}, False),
        (State.FUTURE, {}, False),
        (State.TO_REMOVE, {}, False),
    ],
)
def test_who_may_fail(state: State, of_the_port: dict[str, object], fails: bool) -> None:
    design = evaluate(too_long(state, **of_the_port))
    row = design.runs.row_of[PORT]
    assert RunStatus(int(design.runs.status[row])) is RunStatus.OVER
    assert bool(design.runs.counted[row]) is fails
    assert (design.summary.over > 0) is fails
