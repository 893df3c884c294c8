"""Why this frame: lengths to every frame that may serve, against fixing the port to each."""

from msgspec.structs import replace

from app.design import evaluate
from app.design.alternatives import frames_for, why_this_frame
from app.jobs import read_project
from app.model.project import changing
from app.resource_files import sample_path
from app.routing.results import RunStatus


def test_each_length_is_that_of_the_port_fixed_to_the_frame() -> None:
    design = read_project(sample_path("ferry-terminal.drawcord")).design
    project, runs = design.project, design.runs
    for row in range(0, len(runs), 79):
        port_id, outlet = runs.port_ids[row], project.outlets[runs.outlet_ids[row]]
        found = frames_for(design, port_id)
        assert sum(a.taken for a in found) == (runs.frame_of(row) is not None)
        for one in found:
            ports = tuple(
                replace(p, frame=one.frame_id) if p.id == port_id else p for p in outlet.ports
            )
            patch = changing("Fix", [(outlet, replace(outlet, ports=ports))])
            fixed = evaluate(project.apply(patch)).runs
            at = fixed.row_of[port_id]
            if one.installed_mm is None:
                assert fixed.status[at] == RunStatus.NO_ROUTE
            else:
                assert fixed.installed_mm[at] == one.installed_mm
            if one.taken:
                assert runs.installed_mm[row] == one.installed_mm


def test_a_told_run_has_the_lengths_of_the_ways_that_it_may_go() -> None:
    project = read_project(sample_path("ferry-terminal.drawcord")).design.project
    riser = next(r for r in project.risers.values() if r.number == "R2")
    outlet = next(o for o in project.outlets.values() if o.number == "0-036")
    first, *others = outlet.ports
    told = replace(outlet, ports=(replace(first, never=(riser.id,)), *others))
    design = evaluate(project.apply(changing("Never", [(outlet, told)])))
    runs, found = design.runs, frames_for(design, first.id)
    (taken,) = (a for a in found if a.taken)
    assert taken.installed_mm == runs.installed_mm[runs.row_of[first.id]]
    for one in found:
        port = replace(told.ports[0], frame=one.frame_id)
        fixed = replace(told, ports=(port, *others))
        patch = changing("Fix", [(told, fixed)])
        at = evaluate(design.project.apply(patch)).runs
        row = at.row_of[first.id]
        if one.installed_mm is None:
            assert at.status[row] == RunStatus.NO_ROUTE
        else:
            assert at.installed_mm[row] == one.installed_mm
    assert why_this_frame(design, first.id).startswith("Told its way")


def test_the_reason_is_told() -> None:
    design = read_project(sample_path("ferry-terminal.drawcord")).design
    runs = design.runs
    told = {why_this_frame(design, p) for p in runs.port_ids}
    assert any("served whole" in t for t in told)
    assert any("nearest" in t for t in told)
    for port_id in runs.port_ids:
        routed = runs.frame_of(runs.row_of[port_id]) is not None
        assert bool(why_this_frame(design, port_id)) == routed
