"""What the quantities rest on: every default that was used, and what is not counted."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from app.design.design import Design
from app.model.entities import WalkedLength
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import (
    Ceiling,
    PanelKind,
    ProvidedBy,
    ScaledBy,
    State,
    Units,
    WayDown,
    WayPart,
)
from app.model.ways_down import way_of
from app.routing.results import Runs
from app.standards import RuleSet
from app.takeoff.cable_lines import PulledRuns
from app.takeoff.frame_lines import NO_PANELS
from app.takeoff.naming import length_words
from app.takeoff.removal_lines import removed_mm
from app.takeoff.states import PULLED, state_of
from app.takeoff.warning_line import unlaid_backbone

MOST_WALKED_TOLD = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """One thing taken for granted; `authority` is empty where it is the user's own."""

    name: str
    value: str
    authority: str
    evidence: str


def assumptions(design: Design, rules: RuleSet, pulled: PulledRuns) -> tuple[Assumption, ...]:
    """The assumptions of a takeoff, what is left out first."""
    project = design.project
    return (
        *_without_route(design, pulled),
        *_not_ended(project, design.runs, pulled),
        *_left_out(project),
        *_not_known(project, design.runs, pulled),
        *_walked(project),
        *_settings(project.settings, rules),
        *_slack(project, rules),
        *_ways(project, rules),
    )


def _without_route(design: Design, pulled: PulledRuns) -> Iterator[Assumption]:
    if pulled.without_route:
        yield _own(
            "Runs without a route",
            f"{len(pulled.without_route):,}; their cable is not counted",
        )
        yield _own(
            "Ordered for them all the same",
            "plates, ways down, jacks, plugs and labels at the outlet, for it is placed",
        )
        yield _own(
            f"Counted by the {len(pulled.routed):,} runs with a route",
            "cable, panels, jacks and labels at the frame, labels on cables, cords, tests",
        )
    unlaid = list(unlaid_backbone(design))
    if unlaid:
        yield _own("Backbone cables without a route", f"{', '.join(unlaid)}; not counted")


def _not_ended(project: Project, runs: Runs, pulled: PulledRuns) -> Iterator[Assumption]:
    """Ports at frames that get no panels, and backbone cables of which too little is known."""
    ended = Counter(runs.frame_of(row) for row in pulled.routed.tolist())
    for frame in project.frames.values():
        if frame.state in NO_PANELS and ended[frame.id]:
            yield _own(
                f"Panels of frame {frame.name}",
                f"none, for it is {frame.state.value.replace('_', ' ')}; "
                f"{ended[frame.id]:,} new runs end there",
            )
    unsaid = [
        c.name for c in project.backbone_cables.values() if c.state is State.NEW and c.strands == 0
    ]
    if unsaid:
        yield _own(
            "Strands or pairs not said",
            f"{', '.join(unsaid)}; their ends, panels and tests are not counted",
        )


def _left_out(project: Project) -> Iterator[Assumption]:
    unscaled = [p.name for p in project.plans.values() if p.scaled_by is ScaledBy.NOT_SCALED]
    if unscaled:
        yield _own("Plans not scaled", ", ".join(unscaled) + "; lengths on them are guesses")
    kept = sum(o.state is State.EXISTING for o in project.outlets.values())
    if kept:
        yield _own("Existing outlets", f"{kept}; not ordered, but counted in fill and panels")
    future = sum(o.state is State.FUTURE for o in project.outlets.values())
    if future:
        yield _own("Future outlets", f"{future}; not ordered")
    others = sum(
        o.provided_by is not ProvidedBy.US and o.state is State.NEW
        for o in project.outlets.values()
    )
    if others:
        yield _own("New outlets by others", f"{others}; listed under who provides them")


def _not_known(project: Project, runs: Runs, pulled: PulledRuns) -> Iterator[Assumption]:
    """What nobody has measured of the cables that lie there."""
    going = set(pulled.removed)
    unmeasured = estimated = 0
    for outlet in project.outlets.values():
        for port in outlet.ports:
            unmeasured += port.id in going and removed_mm(outlet, port, runs) is None
            existing = state_of(outlet, port) is State.EXISTING
            estimated += existing and bool(runs.estimated[runs.row_of[port.id]])
    if unmeasured:
        yield _own("Cables to remove of unknown length", f"{unmeasured:,}; counted without metres")
    if estimated:
        yield _own(
            "Existing cables of unknown length", f"{estimated:,}; in fill as they are routed"
        )


def _walked(project: Project) -> Iterator[Assumption]:
    """Lengths that somebody walked or measured: they stand where drawing would say otherwise."""
    units = project.settings.units
    said = [
        *(_walked_text(w.added_mm, w.replaced_mm, w.reason, units) for w in _walked_ways(project)),
        *(
            _walked_text(p.added_mm, p.replaced_mm, p.length_reason, units)
            for o in project.outlets.values()
            for p in o.ports
            if p.added_mm or p.replaced_mm is not None
        ),
        *(
            _walked_text(c.added_mm, c.replaced_mm, c.length_reason, units)
            for c in project.backbone_cables.values()
            if c.added_mm or c.replaced_mm is not None
        ),
    ]
    if said:
        counts = Counter(said)
        listed = [t if n == 1 else f"{n} × {t}" for t, n in counts.most_common(MOST_WALKED_TOLD)]
        more = len(counts) - len(listed)
        rest = f"; and {more:,} more" if more else ""
        name = "1 length as walked" if len(said) == 1 else f"{len(said):,} lengths as walked"
        yield _own(name, "; ".join(listed) + rest)


def _walked_ways(project: Project) -> list[WalkedLength]:
    return sorted(project.walked_lengths.values(), key=lambda w: w.id)


def _walked_text(added_mm: int, replaced_mm: int | None, reason: str, units: Units) -> str:
    said = [f"{'+' if added_mm > 0 else ''}{length_words(added_mm, units)}"] if added_mm else []
    said += [] if replaced_mm is None else [f"{length_words(replaced_mm, units)} measured"]
    return " ".join([", ".join(said), reason.strip() or "without a reason"])


def _own(name: str, value: str) -> Assumption:
    return Assumption(name=name, value=value, authority="this project", evidence="project")


def _settings(settings: Settings, rules: RuleSet) -> Iterator[Assumption]:
    for name, value, unit, key in (
        ("Allowance on horizontals", settings.allowance_permille / 10, "%", "lengths.allowance"),
        ("Cut off at each end", settings.trim_mm, "mm", "lengths.trim"),
        ("Pull head of a run", settings.pull_head_mm, "mm", "lengths.pull_head"),
        ("Mean height of the panels", settings.panel_height_mm, "mm", "lengths.panel_height"),
        ("Dressing in the rack", settings.dressing_mm, "mm", "lengths.dressing"),
        ("Growth of ports", settings.growth_percent, "%", "supply.growth_ports"),
        ("Ports of a panel", settings.panel_ports, "", "supply.panel_ports"),
        ("Ports patched at hand-over", settings.patched_percent, "%", "supply.patched"),
        ("Runs pulled again", settings.repull_percent, "%", "supply.repull"),
        ("Spare boxes for each cable type", settings.spare_boxes, "", "supply.spare_boxes"),
        ("Spacing of hooks on lines", settings.hook_spacing_mm, "mm", "pathways.hook_spacing"),
        (
            "Spacing of hooks on legs",
            settings.hook_spacing_most_mm,
            "mm",
            "pathways.hook_spacing_most",
        ),
        ("Legs with hooks from", settings.leg_hooks_from_mm, "mm", "lengths.leg_hooks_from"),
        ("Supports of trays", settings.tray_support_mm, "mm", "pathways.support_basket"),
        ("Supports of ladders", settings.ladder_support_mm, "mm", "pathways.support_ladder"),
        (
            "Straight length as bought",
            settings.straight_length_mm,
            "mm",
            "pathways.straight_length",
        ),
        ("Conduit length as bought", settings.conduit_length_mm, "mm", "pathways.conduit_length"),
    ):
        yield _of_rule(name, value, unit, key, settings.units, rules)
    for name, key in (
        ("Straps of conduits", "pathways.conduit_strap_spacing"),
        ("Strands of a fibre panel", "supply.panel_strands"),
        ("Pairs of a pair panel", "supply.panel_pairs"),
    ):
        unit = "mm" if key.startswith("pathways") else ""
        value = rules.mm(key) if unit else rules.number(key)
        yield _of_rule(name, value, unit, key, settings.units, rules)
    kinds = {
        PanelKind.LOADED: "loaded: their jacks come with them",
        PanelKind.UNLOADED: "unloaded: one jack a run besides",
        PanelKind.PUNCH_DOWN: "punch-down: no jack at the frame",
    }
    yield _own("Panels", kinds[settings.panel_kind])
    yield _own("Boxes", "cut by length without joining leftovers; no waste percentage on metres")


def _of_rule(
    name: str, value: float, unit: str, key: str, units: Units, rules: RuleSet
) -> Assumption:
    ruled = rules.value(key)
    rule_value = rules.mm(key) if unit == "mm" else rules.number(key)
    text = length_words(value, units) if unit == "mm" else f"{value:g} {unit}".strip()
    if rule_value != value:
        rule_text = (
            length_words(rule_value, units) if unit == "mm" else f"{rule_value:g} {unit}".strip()
        )
        return _own(name, f"{text} (usual: {rule_text})")
    return Assumption(name=name, value=text, authority=ruled.authority, evidence=ruled.evidence)


WAY_WORDS = {
    WayPart.BACK_BOX: "Back box",
    WayPart.STUB: "Stub conduit",
    WayPart.RACEWAY: "Surface raceway of a drop",
    WayPart.MOUNTING_BOX: "Surface box behind a faceplate",
    WayPart.POLE: "Service pole",
    WayPart.FLOOR_BOX: "Floor box",
    WayPart.POKE_THROUGH_FITTING: "Poke-through fitting",
    WayPart.CORED_HOLE: "Cored hole",
    WayPart.CONDUIT: "Outdoor conduit",
}


def _ways(project: Project, rules: RuleSet) -> Iterator[Assumption]:
    """Who provides the parts of the ways down that new outlets have, and how they are sized."""
    settings = project.settings
    kinds = project.outlet_kinds
    new = [o for o in project.outlets.values() if o.state in PULLED]
    used = {way_of(o, kinds[o.kind]) for o in new}
    usual = rules.table("ways.parts")
    for rule in settings.ways:
        if rule.way not in used:
            continue
        by = rule.provided_by
        name = f"{WAY_WORDS[rule.part]}, {rule.way.value.replace('_', ' ')}"
        value = "by whoever provides the outlet" if by is None else f"by {by.value}"
        if (rule.way.value, rule.part.value, by or "outlet") in usual.rows:
            cited = usual.citation
            yield Assumption(name=name, value=value, authority=cited.text, evidence=cited.evidence)
        else:
            yield _own(name, value)
    if WayDown.WALL_CAVITY in used:
        over, least = settings.stub_over_ceiling_mm, settings.stub_least_mm
        for name, amount, unit, key in (
            ("Stubs end over the ceiling", over, "mm", "ways.stub_over_ceiling"),
            ("Stubs left out below", least, "mm", "ways.stub_least"),
            ("Ports of a single gang", settings.single_gang_ports, "", "ways.single_gang_ports"),
        ):
            yield _of_rule(name, amount, unit, key, settings.units, rules)
    if any(s.ceiling is Ceiling.HARD for s in project.spaces.values()):
        yield _own(
            "Legs above a hard ceiling", "in conduit, by the ceiling of the outlet's own space"
        )


def _slack(project: Project, rules: RuleSet) -> Iterator[Assumption]:
    """Slack of the cable types and outlet kinds in use."""
    units = project.settings.units
    types = {p.cable_type for o in project.outlets.values() for p in o.ports}
    for cable in project.cable_types.values():
        if cable.id in types:
            yield _own(
                f"Slack at the frame, {cable.name}", length_words(cable.frame_slack_mm, units)
            )
            yield _own(
                f"Box of {cable.name}",
                f"{length_words(cable.box_mm, units)}, planned with "
                f"{length_words(cable.box_usable_mm, units)}",
            )
    kinds = {o.kind for o in project.outlets.values()}
    for kind in project.outlet_kinds.values():
        if kind.id in kinds:
            yield _own(f"Slack at the outlet, {kind.name}", length_words(kind.slack_mm, units))
