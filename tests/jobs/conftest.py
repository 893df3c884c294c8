"""A small project file and a state folder for the tests of the jobs."""

from pathlib import Path

import pytest

from app.model.project import Project
from app.storage.project_file import SavedProject, save_project
from tests.jobs.hall import HALL


@pytest.fixture
def state(tmp_path) -> Path:
    return tmp_path / "state"


@pytest.fixture
def path(tmp_path) -> Path:
    made = tmp_path / "work" / "a.drawcord"
    made.parent.mkdir()
    save_project(made, SavedProject(project=Project([HALL])))
    return made
