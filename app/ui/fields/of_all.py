"""The fields and words that many things share."""

from typing import Any

from app.editor.measures import format_length
from app.model.project import Project
from app.model.vocabulary import ProvidedBy, State
from app.ui.fields.spec import Field, Sort, all_of


def yes_no(yes: str, no: str, none: str) -> Any:
    return lambda _project: [(None, none), (True, yes), (False, no)]


def says(text: str) -> Any:
    return lambda _project, _thing: text


def from_settings(name: str, before: str = "as set: ") -> Any:
    def say(project: Project, _thing: Any) -> str:
        return before + format_length(getattr(project.settings, name), project.settings.units)

    return say


NUMBER = Field(key="number", label="Number", sort=Sort.TEXT, tip="As it will be labelled on site")
NAME = Field(key="name", label="Name", sort=Sort.TEXT)
NOTE = Field(key="note", label="Note", sort=Sort.NOTE)
STATE = Field(
    key="state",
    label="State",
    sort=Sort.CHOICE,
    options=all_of(State),
    tip="Takeoff and pulls take the new; fill and panels count existing and new",
)
PHASE = Field(key="phase", label="Phase", sort=Sort.COUNT, most=99, unit="phase")
PROVIDED = Field(key="provided_by", label="Provided", sort=Sort.CHOICE, options=all_of(ProvidedBy))
TURN = Field(key="rotation_mdeg", label="Turned", sort=Sort.ANGLE, tip="Anticlockwise, in degrees")
STANDING = (STATE, PHASE, PROVIDED, NOTE)
