"""What a commit costs of its own, recalculation apart, held against its unavoidable parts."""

import os
import statistics
import time

import msgspec
import pytest

from app.editor import document as document_module
from app.jobs import begin_project, new_project
from app.model.entities import Outlet, Port
from app.model.ids import counting_source
from app.model.project import Patch, adding, changing
from app.storage.project_file import SavedProject

OUTLETS, COMMITS = 5_000, 300
MOST_TIMES = 8.0


def building(outlets: int):
    source = counting_source()
    project = new_project(source=source)
    floor, kind, cable = (
        next(iter(t)) for t in (project.floors, project.outlet_kinds, project.cable_types)
    )
    made = [
        Outlet(
            id=f"outlet-{source()}",
            floor=floor,
            kind=kind,
            x_mm=10 * n,
            y_mm=n,
            number=str(n),
            ports=tuple(Port(id=f"port-{source()}", cable_type=cable) for _ in range(2)),
        )
        for n in range(outlets)
    ]
    return project.apply(adding("Add", made)), [o.id for o in made]


def milliseconds(work, count: int) -> list[float]:
    taken = []
    for number in range(count):
        start = time.perf_counter()
        work(number)
        taken.append((time.perf_counter() - start) * 1_000)
    return taken


@pytest.mark.benchmark
def test_a_commit_costs_little_more_than_its_line_and_one_copy_of_the_table(tmp_path, monkeypatch):
    """Reference: encode the line, decode it typed, copy the table of outlets, write the line."""

    def nothing_follows(*_args: object, **_names: object) -> object:
        return "nothing"

    monkeypatch.setattr(document_module, "recalculate", lambda d, _project, _patch: (d, None))
    monkeypatch.setattr("app.jobs.opening.evaluate", nothing_follows)
    project, ids = building(OUTLETS)
    document = begin_project(SavedProject(project=project), state=tmp_path).document()

    def move(number: int) -> Patch:
        outlet = document.project.outlets[ids[number * 7 % OUTLETS]]
        return changing("Move", [(outlet, msgspec.structs.replace(outlet, x_mm=outlet.x_mm + 5))])

    patches = [move(n) for n in range(COMMITS)]
    table = dict(document.project.outlets)
    handle = os.open(tmp_path / "line", os.O_CREAT | os.O_WRONLY)

    def reference(number: int) -> None:
        line = msgspec.json.encode(patches[number])
        msgspec.json.decode(line, type=Patch)
        dict(table)
        os.write(handle, line)

    least = statistics.median(milliseconds(reference, COMMITS))
    own = milliseconds(lambda n: document.commit(patches[n]), COMMITS)
    os.close(handle)
    document.close()
    median = statistics.median(own)
    worst = sorted(own)[COMMITS * 95 // 100]
    print(
        f"commit of one outlet in {OUTLETS}: median {median:.3f} ms, 95th {worst:.3f} ms; "
        f"reference {least:.3f} ms; ratio {median / least:.2f}"
    )
    assert median / least < MOST_TIMES
