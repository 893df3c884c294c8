"""The takeoff: everything to order and to do, measured from a design."""

from dataclasses import dataclass

from app.design.design import Design
from app.standards import RuleSet
from app.takeoff.assumptions import Assumption, assumptions
from app.takeoff.backbone_ends import count_backbone_ends
from app.takeoff.backbone_lines import BackboneLine, backbone_lines
from app.takeoff.backbone_work import count_backbone_work
from app.takeoff.boxes import BoxLine, box_lines
from app.takeoff.cable_lines import CableLine, cable_lines, pulled_runs
from app.takeoff.frame_lines import count_frames, frame_panels
from app.takeoff.leg_lines import count_legs
from app.takeoff.lines import Line, Section, Tally
from app.takeoff.opening_lines import count_penetrations
from app.takeoff.outlet_lines import (
    cabled_ports,
    count_ends_at_frames,
    count_ends_at_outlets,
    count_labels_at_outlets,
    count_outlets,
    count_work,
    pulled_ports,
)
from app.takeoff.panel_needs import FramePanels
from app.takeoff.pathway_lines import count_fittings, count_pathways
from app.takeoff.relocation_lines import count_relocations
from app.takeoff.removal_lines import count_removals
from app.takeoff.riser_lines import count_risers, rises_of
from app.takeoff.way_lines import count_ways, new_ways


@dataclass(frozen=True, kw_only=True)
class Takeoff:
    """Measured quantities. `without_route` are ports to be pulled whose cable is not known."""

    cable: tuple[CableLine, ...]
    boxes: tuple[BoxLine, ...]
    backbone: tuple[BackboneLine, ...]
    panels: tuple[FramePanels, ...]
    lines: tuple[Line, ...]
    assumptions: tuple[Assumption, ...]
    without_route: tuple[str, ...]

    def section(self, section: Section) -> tuple[Line, ...]:
        """The lines of one part."""
        return tuple(line for line in self.lines if line.section is section)


def take_off(design: Design, *, rules: RuleSet | None = None) -> Takeoff:
    """Everything new in a design, by who provides it; what stands is not ordered.

    `rules`: other than the design's own.
    """
    project, runs = design.project, design.runs
    rules = design.rules if rules is None else rules
    pulled = pulled_runs(project, runs)
    panels = frame_panels(project, runs)
    backbone = backbone_lines(project, design.backbone)
    tally = Tally()
    _count(design, rules, panels, backbone, tally)
    return Takeoff(
        cable=cable_lines(project, runs, pulled.routed),
        boxes=box_lines(project, runs, pulled.routed),
        backbone=backbone,
        panels=panels,
        lines=tally.lines(),
        assumptions=assumptions(design, rules, pulled),
        without_route=pulled.without_route,
    )


def _count(
    design: Design,
    rules: RuleSet,
    panels: tuple[FramePanels, ...],
    backbone: tuple[BackboneLine, ...],
    tally: Tally,
) -> None:
    project, runs = design.project, design.runs
    pulled = pulled_ports(project, runs)
    cabled = cabled_ports(pulled, runs)
    ways = new_ways(design, rules)
    count_outlets(project, tally)
    count_ends_at_outlets(project, pulled, tally)
    count_ends_at_frames(project, cabled, tally)
    count_frames(project, panels, tally)
    count_backbone_ends(project, backbone, rules, tally)
    count_pathways(project, rules, tally)
    count_fittings(project, tally)
    count_ways(project, ways, rules, tally)
    count_legs(project, ways, rules, tally)
    count_risers(project, rises_of(design), rules, tally)
    count_penetrations(project, tally)
    count_labels_at_outlets(pulled, rules, tally)
    count_work(project, cabled, rules, tally)
    count_backbone_work(project, backbone, rules, tally)
    count_relocations(project, runs, tally)
    count_removals(design, tally)
