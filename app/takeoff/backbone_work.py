"""What is done to new backbone cables: labels, and a test of all that ends."""

from collections.abc import Sequence

from app.model.entities import BackboneCable, CableType
from app.model.project import Project
from app.model.vocabulary import Medium
from app.standards import RuleSet
from app.takeoff.backbone_ends import is_link
from app.takeoff.backbone_lines import BackboneLine
from app.takeoff.lines import Section, Tally
from app.takeoff.panel_needs import panel_sort


def count_backbone_work(
    project: Project, backbone: Sequence[BackboneLine], rules: RuleSet, tally: Tally
) -> None:
    """Labels and tests of the backbone cables that are laid; where strands or pairs are not said,
    no tests.

    Source: supply.labels_per_cable.
    """
    labels = rules.count("supply.labels_per_cable")
    for line in backbone:
        cable = project.backbone_cables[line.cable]
        item, tests, basis = _tests(cable, project.cable_types[cable.cable_type], rules)
        for what, count, how in (
            ("Label on a backbone cable", labels * cable.count, f"{labels} a cable"),
            (item, tests, f"{basis} of the backbone"),
        ):
            tally.add(
                Section.WORK,
                what,
                count,
                things=[cable.id],
                provided_by=cable.provided_by,
                basis=how,
            )


def _tests(cable: BackboneCable, sort: CableType, rules: RuleSet) -> tuple[str, int, str]:
    """What is tested of the cables of one entry, how often, and how that is counted."""
    name, conductors = panel_sort(sort), cable.count * cable.strands
    if sort.medium is Medium.FIBRE:
        return f"Test of a strand, {name}", conductors, "one a strand"
    if sort.medium is Medium.COAX:
        return f"Test of a coaxial cable, {name}", cable.count, "one a cable"
    if is_link(cable, rules):
        tested = cable.count if cable.strands else 0
        return f"Test of a link, {name}", tested, "one a link"
    return f"Test of a pair, {name}", conductors, "one a pair"
