"""Design: all that follows from a project, never stored."""

from collections.abc import Mapping
from dataclasses import dataclass

from app.checks.finding import Finding
from app.model.project import Project
from app.routing.results import BackboneRoute, Fill, Load, Runs


@dataclass(frozen=True, slots=True)
class Summary:
    """The counts that are always in sight. Runs count ports; `over` and the like only those
    that may fail a check; `over_outlets` counts plates with at least one such run."""

    runs: int = 0
    within: int = 0
    near: int = 0
    over: int = 0
    no_route: int = 0
    over_outlets: int = 0
    near_outlets: int = 0
    no_route_outlets: int = 0
    installed_mm: int = 0
    longest_mm: int = 0
    unnumbered: int = 0
    outside_spaces: int = 0
    required: int = 0
    required_placed: int = 0


@dataclass(frozen=True, slots=True)
class DesignChange:
    """What a change touched, by id; with `everything` the sets say nothing."""

    everything: bool = False
    ports: frozenset[str] = frozenset()
    outlets: frozenset[str] = frozenset()
    pathways: frozenset[str] = frozenset()
    """Pathways, risers and outdoor ducts whose fill changed."""
    frames: frozenset[str] = frozenset()
    backbone: frozenset[str] = frozenset()
    findings: bool = False


@dataclass(frozen=True, eq=False)
class Design:
    """The project and everything derived from it.

    `space_of`: outlet id to the id of its space, None outside all. `loads`, `fills`: by the id of a
    pathway, riser or outdoor duct. `backbone`: by the id of a backbone cable.
    """

    project: Project
    space_of: Mapping[str, str | None]
    runs: Runs
    loads: Mapping[str, Load]
    fills: Mapping[str, Fill]
    backbone: Mapping[str, BackboneRoute]
    findings: tuple[Finding, ...]
    summary: Summary

    __hash__ = None  # type: ignore[assignment]
