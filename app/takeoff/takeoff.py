"""The takeoff: everything to order and to do, measured from a design."""

from dataclasses import dataclass

from app.design.design import Design
from app.standards import RuleSet
from app.takeoff.assumptions import Assumption, assumptions
from app.takeoff.backbone_lines import BackboneLine, backbone_lines
from app.takeoff.boxes import BoxLine, box_lines
from app.takeoff.cable_lines import CableLine, cable_lines, pulled_runs
from app.takeoff.frame_lines import count_frames, frame_panels
from app.takeoff.leg_lines import count_legs
from app.takeoff.lines import Line, Section, Tally
from app.takeoff.outlet_lines import (
    count_outlets,
    count_removed_cables,
    count_termination,
    count_work,
    pulled_ports,
)
from app.takeoff.panel_needs import FramePanels
from app.takeoff.pathway_lines import count_fittings, count_pathways, count_risers


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
    ports = pulled_ports(project)
    tally = Tally()
    count_outlets(project, tally)
    count_termination(project, ports, tally)
    count_frames(project, panels, tally)
    count_pathways(project, tally)
    count_fittings(project, tally)
    count_legs(project, runs, design.space_of, tally)
    count_risers(project, tally)
    count_work(project, ports, rules, tally)
    count_removed_cables(project, tally)
    return Takeoff(
        cable=cable_lines(project, runs, pulled.routed),
        boxes=box_lines(project, runs, pulled.routed),
        backbone=backbone_lines(project, design.backbone),
        panels=panels,
        lines=tally.lines(),
        assumptions=assumptions(project, rules, without_route=len(pulled.without_route)),
        without_route=pulled.without_route,
    )
