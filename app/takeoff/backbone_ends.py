"""What new backbone cables end on: connectors, and panels at their frames and hand-overs."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from app.model.entities import BackboneCable, CableType, Demarcation, Frame
from app.model.project import Project
from app.model.vocabulary import Medium, PanelKind, ProvidedBy
from app.standards import RuleSet
from app.takeoff.backbone_lines import BackboneLine
from app.takeoff.frame_lines import NO_PANELS, PANELS
from app.takeoff.lines import Section, Tally
from app.takeoff.outlet_lines import end_name
from app.takeoff.panel_needs import panel_sort


@dataclass(frozen=True, slots=True)
class _End:
    """One end of the cables of one entry; what is there is brought by whose place it is."""

    cable: BackboneCable
    sort: CableType
    at: Frame | Demarcation

    @property
    def brought_by(self) -> ProvidedBy:
        return self.cable.provided_by if isinstance(self.at, Frame) else self.at.provided_by

    @property
    def frame(self) -> str | None:
        return self.at.id if isinstance(self.at, Frame) else None

    @property
    def floor(self) -> str | None:
        return None if isinstance(self.at, Frame) else self.at.floor

    @property
    def conductors(self) -> int:
        """Strands or pairs of all cables of the entry."""
        return self.cable.count * self.cable.strands


def count_backbone_ends(
    project: Project, backbone: Sequence[BackboneLine], rules: RuleSet, tally: Tally
) -> None:
    """Connectors and panels of the backbone cables that are laid; cables whose strands or pairs
    are not said end on nothing here.

    Source: supply.panel_strands, supply.panel_pairs, supply.backbone_link_pairs.
    """
    groups: dict[tuple[str, str, int, ProvidedBy], list[_End]] = {}
    for end in _ends(project, backbone):
        _count_connectors(end, tally)
        if isinstance(end.at, Frame) and end.at.state in NO_PANELS:
            continue
        panel = _panel(project, end, rules)
        if panel is not None:
            groups.setdefault((end.at.id, *panel, end.brought_by), []).append(end)
    for (_, item, size, by), ends in groups.items():
        _count_panels(item, size, by, ends, rules, tally)
    if project.settings.panel_kind is PanelKind.UNLOADED:
        _count_jacks(project, backbone, rules, tally)


def _ends(project: Project, backbone: Iterable[BackboneLine]) -> Iterator[_End]:
    for line in backbone:
        cable = project.backbone_cables[line.cable]
        if cable.strands == 0:
            continue
        for end_id in (cable.from_id, cable.to_id):
            at = project.get(end_id)
            assert isinstance(at, Frame | Demarcation)
            yield _End(cable, project.cable_types[cable.cable_type], at)


def _count_connectors(end: _End, tally: Tally) -> None:
    if end.sort.medium is Medium.BALANCED:
        return
    each = end.conductors if end.sort.medium is Medium.FIBRE else end.cable.count
    tally.add(
        Section.TERMINATION,
        f"{end_name(end.sort)}, backbone",
        each,
        things=[end.cable.id],
        provided_by=end.brought_by,
        frame=end.frame,
        floor=end.floor,
        basis=f"one a {'strand' if end.sort.medium is Medium.FIBRE else 'cable'} and end",
    )


def _panel(project: Project, end: _End, rules: RuleSet) -> tuple[str, int] | None:
    """The panel a cable ends on and what one takes: strands, pairs, or cables; None for coax."""
    if end.sort.medium is Medium.FIBRE:
        size = rules.count("supply.panel_strands")
        return f"Panel for fibre, {size} strands", size
    if end.sort.medium is not Medium.BALANCED:
        return None
    if is_link(end.cable, rules):
        size = project.settings.panel_ports
        kind = PANELS[project.settings.panel_kind]
        return f"{kind}, {size} ports, {panel_sort(end.sort)}", size
    size = rules.count("supply.panel_pairs")
    return f"Panel for pairs, {size} pairs", size


def is_link(cable: BackboneCable, rules: RuleSet) -> bool:
    """Whether a copper cable is a link of its own, ended on one port like a run."""
    return cable.strands <= rules.count("supply.backbone_link_pairs")


def _count_panels(
    item: str, size: int, by: ProvidedBy, ends: Sequence[_End], rules: RuleSet, tally: Tally
) -> None:
    first = ends[0]
    if first.sort.medium is Medium.BALANCED and is_link(first.cable, rules):
        ended, word = sum(end.cable.count for end in ends), "backbone links"
    else:
        ended = sum(end.conductors for end in ends)
        word = "strands" if first.sort.medium is Medium.FIBRE else "pairs"
    tally.add(
        Section.FRAMES,
        item,
        -(-ended // size),
        things=[end.cable.id for end in ends],
        provided_by=by,
        frame=first.frame,
        floor=first.floor,
        basis=f"{ended} {word} of the backbone",
    )


def _count_jacks(
    project: Project, backbone: Sequence[BackboneLine], rules: RuleSet, tally: Tally
) -> None:
    for end in _ends(project, backbone):
        if end.sort.medium is Medium.BALANCED and is_link(end.cable, rules):
            tally.add(
                Section.TERMINATION,
                f"{end_name(end.sort)}, at the {'hand-over' if end.frame is None else 'frame'}",
                end.cable.count,
                things=[end.cable.id],
                provided_by=end.brought_by,
                frame=end.frame,
                floor=end.floor,
                basis="unloaded panels: one a backbone link",
            )
