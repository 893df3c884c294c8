"""The way of the job says what is done and what is missing."""

from types import SimpleNamespace

from app.checks.finding import Severity
from app.jobs import new_project
from app.model.ids import counting_source
from app.ui.job_steps import Progress, job_steps
from tests.ui.conftest import small_project


def design(**counts: int) -> SimpleNamespace:
    names = ("runs", "required", "required_placed")
    summary = SimpleNamespace(**{n: counts.get(n, 0) for n in names})
    fails = counts.get("fails", 0)
    finding = SimpleNamespace(waived=False, severity=Severity.FAIL)
    return SimpleNamespace(summary=summary, findings=(finding,) * fails)


def test_an_empty_project_has_all_before_it() -> None:
    steps = job_steps(new_project(source=counting_source()), None, takeoff_current=False)
    assert [s.key for s in steps] == [
        "plan",
        "scale",
        "spaces",
        "pathways",
        "outlets",
        "frames",
        "check",
        "takeoff",
    ]
    assert {s.progress for s in steps} == {Progress.OPEN}


def test_failures_and_missing_outlets_are_told() -> None:
    steps = {
        s.key: s
        for s in job_steps(
            small_project(),
            design(runs=6, required=10, required_placed=3, fails=2),
            takeoff_current=False,
        )
    }
    assert steps["outlets"].progress is Progress.BEGUN
    assert steps["outlets"].detail == "7 of 10 missing"
    assert steps["check"].detail == "2 failures"
    assert steps["frames"].progress is Progress.DONE


def test_a_written_takeoff_is_done_until_the_next_edit() -> None:
    for current, progress in ((True, Progress.DONE), (False, Progress.BEGUN)):
        steps = job_steps(small_project(), design(runs=6), takeoff_current=current)
        assert steps[-1].progress is progress
