"""New projects, and plans laid under their floors."""

from pathlib import Path

import ezdxf
import pytest

from app.drawing.plan_codec import decode_drawing
from app.jobs import import_plans, new_project, ready_plan
from app.jobs.plans import extent_of
from app.jobs.starting import RUN_CABLE
from app.model.ids import counting_source
from app.model.integrity import check_project
from app.model.vocabulary import ScaledBy
from app.plans.imported import PlanImportError
from app.progress import Cancelled, Silent
from app.resource_files import sample_path
from app.standards import load_rules
from app.storage import bounds
from app.storage.packed import unpack_source
from app.storage.project_file import SavedProject, load_project, save_project

OFFICE = sample_path("small-office.dxf")


def plan_file(path: Path, *, at=(0.0, 0.0), size=(20.0, 10.0), units: int = 6) -> Path:
    """A DXF with four walls, in metres (units 6) or whatever the header says."""
    document = ezdxf.new(units=units)
    x, y = at
    w, d = size
    corners = [(x, y), (x + w, y), (x + w, y + d), (x, y + d)]
    document.modelspace().add_lwpolyline(corners, close=True)
    document.saveas(path)
    return path


def test_a_new_project_has_the_cables_and_outlets_of_the_rules_in_their_order(tmp_path):
    rules = load_rules()
    project = new_project(name="Pier", floors=2, floor_height_mm=4_000)
    check_project(project)
    assert project.site.name == "Pier"
    assert [f.level_mm for f in project.floors.values()] == [0, 4_000]
    path = tmp_path / "a.drawcord"
    save_project(path, SavedProject(project=project))
    for read in (project, load_project(path).project):
        kinds = [k.name for k in read.outlet_kinds.values()]
        assert kinds == [k.name for k in rules.outlet_kinds.values()]
        cables = [c.name for c in read.cable_types.values()]
        assert cables == [c.name for c in rules.cable_types.values()]
    run_cable = rules.cable_types[RUN_CABLE].name
    used = {p.cable_type for k in project.outlet_kinds.values() for p in k.ports}
    assert {project.cable_types[c].name for c in used} == {run_cable}


def test_the_same_source_of_ids_gives_the_same_project():
    assert new_project(source=counting_source()) == new_project(source=counting_source())


def test_a_plan_keeps_its_original_and_its_drawing():
    ready = ready_plan(OFFICE)
    assert unpack_source(ready.source) == OFFICE.read_bytes()
    assert decode_drawing(ready.drawing).bounds == ready.imported.drawing.bounds


def test_a_plan_in_a_surveyors_coordinates_is_laid_into_the_sites_zero(tmp_path):
    far = plan_file(tmp_path / "far.dxf", at=(3_512_345.25, 5_401_234.5))
    saved = import_plans([far], unit="m", source=counting_source())
    (plan,) = saved.project.plans.values()
    assert (plan.x_mm, plan.y_mm) == (-3_512_345_250, -5_401_234_500)
    extent = extent_of(plan, ready_plan(far).imported.drawing)
    assert extent == pytest.approx((0, 0, 20_000, 10_000), abs=1)
    path = tmp_path / "a.drawcord"
    save_project(path, saved)
    assert load_project(path).project == saved.project


def test_plans_in_one_set_of_axes_stay_over_each_other_and_others_meet_at_zero(tmp_path):
    ground = plan_file(tmp_path / "0.dxf", at=(100.0, 50.0))
    upper = plan_file(tmp_path / "1.dxf", at=(105.0, 50.0), size=(15.0, 10.0))
    annex = plan_file(tmp_path / "2.dxf", at=(900.0, 900.0))
    saved = import_plans([ground, upper, annex], unit="m", source=counting_source())
    places = [(p.x_mm, p.y_mm) for p in saved.project.plans.values()]
    assert places == [(-100_000, -50_000), (-100_000, -50_000), (-900_000, -900_000)]
    assert [f.level_mm for f in saved.project.floors.values()] == [0, 3_600, 7_200]


def test_a_plan_that_does_not_tell_its_unit_is_said_to_be_unscaled(tmp_path):
    saved = import_plans([plan_file(tmp_path / "0.dxf", units=0)], source=counting_source())
    (plan,) = saved.project.plans.values()
    assert plan.scaled_by is ScaledBy.NOT_SCALED
    assert any("Not scaled" in note for note in saved.notes)


def test_what_is_no_plan_stops_the_import(tmp_path):
    (tmp_path / "letter.dxf").write_text("Dear all,")
    with pytest.raises(PlanImportError):
        import_plans([OFFICE, tmp_path / "letter.dxf"])
    with pytest.raises(PlanImportError):
        import_plans([tmp_path / "none.dxf"])


def test_progress_rises_to_the_end_and_cancel_is_heard():
    class Watch(Silent):
        def __init__(self) -> None:
            self.seen: list[float] = []

        def report(self, fraction: float, words: str) -> None:
            assert words
            self.seen.append(fraction)

    watch = Watch()
    import_plans([OFFICE, OFFICE], progress=watch)
    assert watch.seen == sorted(watch.seen)
    assert watch.seen[0] < 0.1
    assert watch.seen[-1] > 0.9

    class Stop(Silent):
        def check(self) -> None:
            raise Cancelled

    with pytest.raises(Cancelled):
        import_plans([OFFICE], progress=Stop())


def test_a_plan_that_no_project_file_could_keep_is_refused_when_it_is_read(monkeypatch):
    monkeypatch.setattr(bounds, "LARGEST_PLAN_BYTES", 1_000)
    with pytest.raises(PlanImportError, match="more than a project file can keep of one plan"):
        ready_plan(sample_path("small-office.dxf"))
