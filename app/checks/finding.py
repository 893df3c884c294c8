"""What a check has to say, and the authority it says it on."""

from dataclasses import dataclass
from enum import IntEnum

from app.standards import RuleSet, StandardsDataError, StandardValue


class Severity(IntEnum):
    """FAIL is what the exit status counts: a run over its limit, or without a route."""

    FAIL = 0
    WARN = 1
    NOTE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Authority:
    """On whose word a finding stands: the clause as printed, and how sure it is."""

    clause: str
    evidence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing a check has to say.

    `key` is `rule:thing` and stays the same as long as the matter does; a waiver names it.
    `things` are the ids it speaks of, the one it hangs on first. `floor` is a floor's id.
    `excess` says how bad it is among those of its rule, in whatever unit the rule measures.
    """

    key: str
    rule: str
    severity: Severity
    text: str
    things: tuple[str, ...]
    floor: str | None
    clause: str = ""
    evidence: str = ""
    waived: bool = False
    excess: float = 0.0


PROJECT = Authority(clause="setting of this project", evidence="project")
PLAIN = Authority(clause="", evidence="practice")
"""For matters of plain sense, which no standard needs to say."""


def known_value(rules: RuleSet, key: str) -> StandardValue | None:
    """The value of a key that a project names, None where the rule set has no such key."""
    try:
        return rules.value(key)
    except StandardsDataError:
        return None


def authority(rules: RuleSet, key: str) -> Authority:
    """The authority of one value of the rule set."""
    value = rules.value(key)
    evidence = "house" if value.overridden_by is not None else value.evidence
    return Authority(clause=value.authority, evidence=evidence)


def authority_of_setting(rules: RuleSet, key: str, *, ruled: float, set_to: float) -> Authority:
    """The rule's authority while the project keeps its value, else the project's own."""
    return authority(rules, key) if ruled == set_to else PROJECT


def finding(
    *,
    rule: str,
    severity: Severity,
    text: str,
    things: tuple[str, ...],
    floor: str | None,
    authority: Authority = PLAIN,
    excess: float = 0.0,
) -> Finding:
    """A finding whose key hangs on the first of its things."""
    return Finding(
        key=f"{rule}:{things[0]}",
        rule=rule,
        severity=severity,
        text=text,
        things=things,
        floor=floor,
        clause=authority.clause,
        evidence=authority.evidence,
        excess=excess,
    )


def in_order(finding: Finding) -> tuple[int, str, float, str]:
    """The order of findings: gravest first, then by rule, the worst of each first, then by key."""
    return finding.severity, finding.rule, -finding.excess, finding.key
