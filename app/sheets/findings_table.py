"""The findings: what a check has to say, where, and on whose authority."""

from collections.abc import Iterable

from app.checks.finding import Finding
from app.design.design import Design
from app.sheets.table import Column, Row, Table
from app.sheets.words import SEVERITY_WORDS

KEY = "findings"
COLUMNS: tuple[Column, ...] = (
    Column("severity", "Weight", width=9),
    Column("text", "Finding", width=90),
    Column("floor", "Floor", width=10),
    Column("clause", "Authority", width=30),
    Column("evidence", "Evidence", width=11),
    Column("rule", "Rule", width=22),
    Column("waived", "Waived", width=30),
)


def findings_table(design: Design) -> Table:
    """All findings in their order; each row's things are those it speaks of."""
    findings: tuple[Finding, ...] = design.findings
    return Table(
        key=KEY,
        title="Findings",
        columns=COLUMNS,
        ids=tuple(f.key for f in findings),
        rows=tuple(finding_rows(design, findings)),
        things=tuple(f.things for f in findings),
        units=design.project.settings.units,
    )


def finding_row(design: Design, key: str) -> Row | None:
    """The row of one finding, None where there is none of this key."""
    for finding in design.findings:
        if finding.key == key:
            return finding_rows(design, [finding])[0]
    return None


def finding_rows(design: Design, findings: Iterable[Finding]) -> list[Row]:
    """The rows of these findings; a waived one says by whom and why."""
    floors = design.project.floors
    waivers = {w.finding: w for w in design.project.waivers.values()}
    found: list[Row] = []
    for f in findings:
        waiver = waivers.get(f.key) if f.waived else None
        found.append(
            (
                SEVERITY_WORDS[f.severity],
                f.text,
                "" if f.floor is None else floors[f.floor].name,
                f.clause,
                f.evidence,
                f.rule.replace("_", " "),
                "" if waiver is None else f"{waiver.by}: {waiver.reason}",
            )
        )
    return found
