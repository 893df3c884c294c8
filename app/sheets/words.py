"""The words of the closed lists as tables print them."""

from enum import Enum

from app.checks.finding import Severity
from app.model.vocabulary import (
    Fixture,
    PathwayKind,
    ProvidedBy,
    RiserKind,
    ScaledBy,
    SpaceUse,
    WayDown,
)
from app.routing.results import RunStatus

STATUS_WORDS = {
    RunStatus.WITHIN: "within",
    RunStatus.NEAR: "near",
    RunStatus.OVER: "over",
    RunStatus.NO_ROUTE: "no route",
}
SEVERITY_WORDS = {Severity.FAIL: "fails", Severity.WARN: "warning", Severity.NOTE: "note"}
SCALED_WORDS = {
    ScaledBy.NOT_SCALED: "not scaled",
    ScaledBy.FILE_HEADER: "unit named in the file",
    ScaledBy.EVIDENCE: "taken from what is drawn",
    ScaledBy.USER_UNIT: "unit set by hand",
    ScaledBy.CALIBRATED: "calibrated on two points",
}

_OWN_WORDS: dict[Enum, str] = {
    ProvidedBy.US: "us",
    Fixture.NONE: "none",
    WayDown.OUTDOOR_CONDUIT: "outdoor conduit",
    PathwayKind.IN_FLOOR_DUCT: "in-floor duct",
    RiserKind.CONDUIT: "vertical conduit",
    SpaceUse.UNKNOWN: "",
    SpaceUse.OPEN_OFFICE: "open-plan office",
    SpaceUse.LOW_VOLTAGE: "LV switch room",
}


def word(value: Enum) -> str:
    """A word of a closed list as people read it: `to remove`, `in-floor duct`."""
    return _OWN_WORDS.get(value, str(value.value).replace("_", " "))
