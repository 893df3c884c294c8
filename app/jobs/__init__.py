"""The jobs of both faces: one function each, with progress and a way to stop.

`new_project`, `open_project`, `begin_project`, `recover_unsaved`, `open_set_aside`, `unfold_plans`,
`save_project`, `import_plans` and `ready_plan`, `check`, `runs_csv`, `take_off`.
"""

from app.jobs.opening import OpenedProject, begin_project, open_project
from app.jobs.plans import ReadyPlan, import_plans, plan_of, ready_plan
from app.jobs.reading import (
    CheckReport,
    ReadProject,
    check,
    read_project,
    runs_csv,
    take_off,
    takeoff_files,
)
from app.jobs.recovering import open_set_aside, recover_unsaved
from app.jobs.saving import FileChanged, save_project
from app.jobs.starting import new_project
from app.jobs.unfolding import UnfoldedProject, unfold_plans

__all__ = [
    "CheckReport",
    "FileChanged",
    "OpenedProject",
    "ReadProject",
    "ReadyPlan",
    "UnfoldedProject",
    "begin_project",
    "check",
    "import_plans",
    "new_project",
    "open_project",
    "open_set_aside",
    "plan_of",
    "read_project",
    "ready_plan",
    "recover_unsaved",
    "runs_csv",
    "save_project",
    "take_off",
    "takeoff_files",
    "unfold_plans",
]
