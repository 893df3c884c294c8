"""Cable types and outlet kinds as the rules describe them, made into things of a project."""

from app.model.entities import CableType, OutletKind, PortTemplate
from app.model.ids import Source, new_id
from app.model.project import Project
from app.model.vocabulary import Fixture, Medium, Termination, WayDown
from app.standards import RuleSet


def cable_type_of(rules: RuleSet, name: str, *, cable_id: str) -> CableType:
    """The cable type that the rules call `name`."""
    defaults = rules.cable_types[name]
    box = rules.box_sizes[defaults.box]
    return CableType(
        id=cable_id,
        name=defaults.name,
        medium=Medium(defaults.medium),
        category=defaults.category,
        shielded=defaults.shielded,
        od_mm=defaults.od_mm,
        weight_g_per_m=defaults.weight_g_per_m,
        limit_mm=defaults.limit_mm,
        limit_source=defaults.limit_key,
        frame_slack_mm=defaults.frame_slack_mm,
        box_mm=box.holds_mm,
        box_usable_mm=box.usable_mm,
    )


def outlet_kind_of(rules: RuleSet, name: str, *, kind_id: str, cable_type: str) -> OutletKind:
    """The outlet kind that the rules call `name`, all ports of one cable type."""
    defaults = rules.outlet_kinds[name]
    first = PortTemplate(
        service=defaults.service,
        cable_type=cable_type,
        power_class=defaults.power_class,
        termination=Termination(defaults.termination),
    )
    rest = PortTemplate(
        service=defaults.service,
        cable_type=cable_type,
        power_class=defaults.power_class_rest,
        termination=Termination(defaults.termination),
    )
    return OutletKind(
        id=kind_id,
        name=defaults.name,
        symbol=defaults.symbol,
        height_mm=defaults.height_mm,
        way_down=WayDown(defaults.way_down),
        ports=(first, *(rest for _ in range(defaults.ports - 1))),
        slack_mm=defaults.slack_mm,
        limit_mm=defaults.limit_mm,
        limit_source=defaults.limit_key,
        fixture=Fixture(defaults.fixture),
    )


def find_or_make_kind(
    project: Project, rules: RuleSet, name: str, *, cable_type: str, source: Source
) -> OutletKind:
    """The project's kind of that name in the rules, else its own kind of the same make, or a
    new one that is not in it yet.
    """
    kind_id = new_id("outlet-kind", project.outlet_kinds, source)
    meant = outlet_kind_of(rules, name, kind_id=kind_id, cable_type=cable_type)
    standing = tuple(project.outlet_kinds.values())
    called = next((kind for kind in standing if kind.name == meant.name), None)
    alike = next((kind for kind in standing if _make(kind) == _make(meant)), None)
    return called or alike or meant


def _make(kind: OutletKind) -> tuple[object, ...]:
    """What makes two kinds the same thing under two names."""
    return kind.symbol, kind.way_down, kind.fixture, tuple(p.service for p in kind.ports)
