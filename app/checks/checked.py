"""All findings, kept by group and thing, so that an edit asks again only for what it touched."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from app.checks.every_check import (
    Facts,
    arranged,
    check_backbones,
    check_ducts,
    check_floor_legs,
    check_floor_outlets,
    check_floor_pathways,
    check_frames,
    check_numbers,
    check_outlets,
    check_pathways,
    check_penetrations,
    check_plans,
    check_risers,
    check_runs,
    check_spaces,
)
from app.checks.finding import Finding
from app.model.entities import Waiver
from app.model.project import Project

Ids = frozenset[str]
NONE: Ids = frozenset()


@dataclass(frozen=True, kw_only=True)
class Touched:
    """What has to be looked at again, by id; ids that are gone are forgotten.

    * `outlets`: moved, changed, added or removed, or with a run of another length, route,
      frame or status, or another space, or their kind, floor or cable type changed.
    * `leg_floors`: floors where an outlet with a leg longer than advised came, went or changed.
    * `outlet_floors`: floors where an outlet came, went, got a number, a panel port, another
      way down, height or space.
    * `pathway_floors`: floors where a pathway, pull box, break or space changed.
    * `pathways`, `risers`, `ducts`: changed themselves, or their fill; pathways also where a
      pull box on them changed.
    * `frames`: changed, or their ports or area. `spaces`: changed, or what stands in them.
    * `penetrations`: changed, or the cables that pass them.
    * `plans`, `cables`: changed, or the route of a backbone cable.
    * `numbers`: any number or name of an outlet, cable, frame, pathway or riser changed, or
      where a run ends.

    Where the settings, the rules, a floor, a frame's name, an outlet kind or a cable type
    changed, check all.
    """

    outlets: Ids = NONE
    leg_floors: Ids = NONE
    outlet_floors: Ids = NONE
    pathway_floors: Ids = NONE
    pathways: Ids = NONE
    risers: Ids = NONE
    ducts: Ids = NONE
    frames: Ids = NONE
    spaces: Ids = NONE
    plans: Ids = NONE
    cables: Ids = NONE
    penetrations: Ids = NONE
    numbers: bool = False


Kept = Mapping[str, tuple[Finding, ...]]
"""Findings by the id of the thing they hang on."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Checked:
    """Every finding in its order, and where it came from."""

    findings: tuple[Finding, ...]
    groups: Mapping[str, Kept] = field(repr=False)
    waivers: Mapping[str, Waiver] = field(repr=False)


def check_everything(facts: Facts) -> tuple[Finding, ...]:
    """All findings, waived ones marked, gravest first."""
    return check_all(facts).findings


def check_all(facts: Facts) -> Checked:
    """Run every check over everything."""
    groups = {
        name: _by_thing(group, group.check(facts, group.ids(facts.project)))
        for name, group in GROUPS.items()
    }
    return _whole(facts, groups)


def check_again(before: Checked, facts: Facts, touched: Touched) -> Checked:
    """The findings after an edit: what it touched said again, the rest kept.

    Equal to `check_all` as long as `touched` names what it should.
    """
    groups = {
        name: _group_again(group, before.groups[name], facts, _touched_ids(name, touched))
        for name, group in GROUPS.items()
    }
    same = all(groups[name] is before.groups[name] for name in groups)
    if same and facts.project.waivers is before.waivers:
        return before
    return _whole(facts, groups)


def _group_again(group: "_Group", before: Kept, facts: Facts, ids: Ids) -> Kept:
    """A group's findings with those of some ids said again; the same object if none differs."""
    if not ids:
        return before
    there = group.ids(facts.project)
    said = _by_thing(group, group.check(facts, [i for i in ids if i in there]))
    if said == {i: before[i] for i in ids if i in before}:
        return before
    return {k: v for k, v in before.items() if k not in ids} | said


def _touched_ids(name: str, touched: Touched) -> Ids:
    if name == "numbers":
        return _PROJECT if touched.numbers else NONE
    ids: Ids = getattr(touched, "outlets" if name == "runs" else name)
    return ids


def _whole(facts: Facts, groups: Mapping[str, Kept]) -> Checked:
    found = (f for kept in groups.values() for findings in kept.values() for f in findings)
    return Checked(
        findings=arranged(found, facts.project.waivers.values()),
        groups=MappingProxyType(dict(groups)),
        waivers=facts.project.waivers,
    )


def _by_thing(group: "_Group", found: Iterable[Finding]) -> dict[str, tuple[Finding, ...]]:
    gathered: dict[str, list[Finding]] = {}
    for finding in found:
        gathered.setdefault(group.hangs_on(finding), []).append(finding)
    return {thing: tuple(findings) for thing, findings in gathered.items()}


@dataclass(frozen=True, slots=True)
class _Group:
    check: Callable[[Facts, Iterable[str]], list[Finding]]
    ids: Callable[[Project], Iterable[str]]
    hangs_on: Callable[[Finding], str] = lambda finding: finding.things[0]


_PROJECT = frozenset({"site"})


def _floor_of(finding: Finding) -> str:
    return finding.floor or ""


def _runs(facts: Facts, outlet_ids: Iterable[str]) -> list[Finding]:
    whole = outlet_ids is facts.project.outlets
    return check_runs(facts, None if whole else outlet_ids)


GROUPS: Mapping[str, _Group] = {
    "runs": _Group(_runs, lambda p: p.outlets),
    "outlets": _Group(check_outlets, lambda p: p.outlets),
    "leg_floors": _Group(check_floor_legs, lambda p: p.floors, _floor_of),
    "outlet_floors": _Group(check_floor_outlets, lambda p: p.floors, _floor_of),
    "pathway_floors": _Group(check_floor_pathways, lambda p: p.floors, _floor_of),
    "pathways": _Group(check_pathways, lambda p: p.pathways),
    "risers": _Group(check_risers, lambda p: p.risers),
    "ducts": _Group(check_ducts, lambda p: p.outdoor_ducts),
    "penetrations": _Group(check_penetrations, lambda p: p.penetrations),
    "frames": _Group(check_frames, lambda p: p.frames),
    "spaces": _Group(check_spaces, lambda p: p.spaces),
    "plans": _Group(check_plans, lambda p: p.plans),
    "cables": _Group(check_backbones, lambda p: p.backbone_cables),
    "numbers": _Group(lambda facts, _: check_numbers(facts), lambda _: _PROJECT, lambda _: "site"),
}
"""By the name of the field of `Touched` that asks for them; `runs` go with `outlets`."""
