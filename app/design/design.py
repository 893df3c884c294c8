"""Design: all that follows from a project, never stored."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from app.checks.checked import Checked
from app.checks.finding import Finding
from app.design.old_cables import OldCables
from app.design.workings import Workings
from app.model.project import Project
from app.model.rooms import Required
from app.routing.loads import Traffic
from app.routing.results import BackboneRoute, Fill, Load, Runs
from app.sizing.pathway_fill import FillRules
from app.standards import RuleSet


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
    penetrations: frozenset[str] = frozenset()
    """Penetrations that other cables pass."""
    findings: bool = False


@dataclass(frozen=True, kw_only=True)
class Design:
    """The project and everything derived from it.

    `space_of`: outlet id to the id of its space, None outside all. `loads` and `fills`: by the
    id of a pathway, riser or outdoor duct. `backbone`: by the id of a backbone cable. The rest
    is what a recalculation starts from; two designs are equal when their results are.
    """

    project: Project
    space_of: Mapping[str, str | None]
    runs: Runs
    loads: Mapping[str, Load]
    fills: Mapping[str, Fill]
    passing: Mapping[str, Fill]
    """By the id of a penetration: how full it is of the cables that pass it."""
    backbone: Mapping[str, BackboneRoute]
    findings: tuple[Finding, ...]
    summary: Summary
    rules: RuleSet = field(compare=False, repr=False)
    workings: Workings = field(compare=False, repr=False)
    old_cables: OldCables = field(compare=False, repr=False)
    traffic: Traffic = field(compare=False, repr=False)
    checked: Checked = field(compare=False, repr=False)
    placed: Mapping[str, Mapping[str, int]] = field(compare=False, repr=False)
    required: Required = field(repr=False)
    """By space and kind: what the client's list, else the space itself, asks for."""
    ports_at: Mapping[str, int] = field(compare=False, repr=False)
    areas_m2: Mapping[str, float] = field(compare=False, repr=False)
    fill_rules: FillRules = field(compare=False, repr=False)

    __hash__ = None  # type: ignore[assignment]
