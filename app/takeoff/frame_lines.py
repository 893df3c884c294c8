"""Panels and racks of the frames."""

from app.model.project import Project
from app.model.vocabulary import PanelKind, State
from app.routing.results import Runs
from app.takeoff.lines import Section, Tally
from app.takeoff.panel_needs import FramePanels, panels_of_frame

PANELS = {
    PanelKind.LOADED: "Panel, loaded",
    PanelKind.UNLOADED: "Panel, unloaded",
    PanelKind.PUNCH_DOWN: "Panel, punch-down",
}

NO_PANELS = frozenset({State.TO_REMOVE, State.FUTURE})
"""No panel is bought for a frame that goes, or that does not come yet."""


def frame_panels(project: Project, runs: Runs) -> tuple[FramePanels, ...]:
    """The panels of every frame that will stand, in the project's order of frames."""
    return tuple(
        panels
        for frame in project.frames.values()
        if frame.state not in NO_PANELS
        for panels in panels_of_frame(project, runs, frame.id)
    )


def count_frames(project: Project, panels: tuple[FramePanels, ...], tally: Tally) -> None:
    """New panels for each frame and sort of cable, and the racks of new frames.

    Source: supply.panel_ports, supply.growth_ports.
    """
    name = PANELS[project.settings.panel_kind]
    for panel in panels:
        need, frame = panel.need, project.frames[panel.frame]
        for size, count in need.bought.items():
            tally.add(
                Section.FRAMES,
                f"{name}, {size} ports, {panel.sort}",
                count,
                things=[frame.id],
                provided_by=frame.provided_by,
                frame=frame.id,
                basis=f"{need.ports} ports, with growth {need.ports_with_growth}; "
                f"{need.standing} standing",
            )
    for frame in project.frames.values():
        if frame.state is State.NEW:
            tally.add(
                Section.FRAMES,
                "Rack",
                frame.racks,
                things=[frame.id],
                provided_by=frame.provided_by,
                frame=frame.id,
            )
