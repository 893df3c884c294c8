"""What the panel adds below the fields: pictures and sentences for frames and pathways."""

from collections.abc import Iterable
from typing import Any

import numpy as np
from PySide6.QtWidgets import QWidget

from app.model.entities import CableType, Frame, OutdoorDuct, Pathway, Riser
from app.model.project import Project
from app.model.settings import Settings
from app.model.vocabulary import PathwayKind, RiserKind
from app.routing.results import Fill, RunStatus
from app.takeoff.panel_needs import FramePanels, panels_of_frame, room_words
from app.ui.lengths import MM_PER_UNIT, SIGN, length
from app.ui.panel.pieces import column, heading, set_role, words
from app.ui.pictures.cross_section import CrossSection, Section
from app.ui.pictures.histogram import Histogram
from app.ui.words import counted


class FrameView(QWidget):
    """Ports, panels and the lengths of a frame's runs."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        box = column(self)
        self._ports = words("", "", self)
        self._entry = words("", "soft", self)
        self._panels = words("", "soft", self)
        self._lengths = words("", "soft", self)
        self._histogram = Histogram(self)
        for widget in (
            heading("What ends here", self),
            self._ports,
            self._panels,
            self._entry,
            heading("Lengths of its runs", self),
            self._histogram,
            self._lengths,
        ):
            box.addWidget(widget)

    def show_frame(self, frame_id: str, project: Project, design: Any) -> None:
        """Count what ends at the frame."""
        self.setVisible(design is not None)
        if design is None:
            return
        runs, units = design.runs, project.settings.units
        index = runs.frame_ids.index(frame_id) if frame_id in runs.frame_ids else None
        routed = runs.status != int(RunStatus.NO_ROUTE)
        rows = (
            np.flatnonzero((runs.frame_index == index) & routed)
            if index is not None
            else np.array([], dtype=np.int64)
        )
        outlets = {runs.outlet_ids[r] for r in rows.tolist()}
        ports, plates = counted(len(rows), "port"), counted(len(outlets), "outlet")
        self._ports.setText(f"{ports} of {plates}.")
        self._entry.setText(entry_words(project, project.frames[frame_id]))
        panels = panels_of_frame(project, runs, frame_id)
        self._panels.setText(panel_words(panels, project.settings))
        lengths = runs.installed_mm[rows]
        limit = int(runs.limit_mm[rows].max()) if len(rows) else 90_000
        self._histogram.show_lengths(
            lengths.tolist(), limit_mm=limit, unit_mm=MM_PER_UNIT[units], unit=SIGN[units]
        )
        if len(rows):
            self._lengths.setText(
                f"Shortest {length(lengths.min(), units)}, mean {length(lengths.mean(), units)}, "
                f"longest {length(lengths.max(), units)}; "
                f"{lengths.sum() / MM_PER_UNIT[units]:,.0f} {SIGN[units]} in all."
            )
        else:
            self._lengths.setText("No run ends here.")
        self._histogram.setVisible(bool(len(rows)))


def entry_words(project: Project, frame: Frame) -> str:
    """Where cable comes into the frame's room, over which ladder, and how to change it."""
    if frame.entry is None:
        how = "Cable comes straight to it; drag from its middle with Alt to set an entry"
    else:
        how = "Cable enters its room at the ring, which can be dragged"
    if frame.ladder_height_mm is None:
        return f"{how}; it drops from the pathway's own height."
    return f"{how}; over the ladder at {length(frame.ladder_height_mm, project.settings.units)}."


def panel_words(panels: Iterable[FramePanels], settings: Settings) -> str:
    """How many panels the ports need, by sort of cable."""
    sentences = []
    for panel in panels:
        need = panel.need
        new = f", {need.new} of them new" if need.new and need.standing else ""
        growth = f" with {settings.growth_percent:g} % growth" if need.new else ", as they stand"
        size = f" of {need.panel_ports}" if need.places == need.total * need.panel_ports else ""
        bare = panel.not_given
        left = f" {counted(bare, 'new run has', 'new runs have')} no port yet." if bare else ""
        sentences.append(
            f"{panel.sort}: {counted(need.total, 'panel')}{size}{new}{growth}; "
            f"{room_words(panel)}.{left}"
        )
    return "\n".join(sentences)


class FillView(QWidget):
    """How full a pathway, riser or duct is, and how much room is left."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        box = column(self)
        self._said = words("", "", self)
        self._section = CrossSection(self)
        self._caption = words("", "soft", self)
        self._left = words("", "", self)
        for widget in (
            heading("Cables in it", self),
            self._said,
            self._section,
            self._caption,
            self._left,
        ):
            box.addWidget(widget)

    def show_fill(
        self, thing: Pathway | Riser | OutdoorDuct, project: Project, design: Any
    ) -> None:
        """Show the fullest place."""
        fill = None if design is None else design.fills.get(thing.id)
        self.setVisible(fill is not None)
        if fill is None:
            return
        self._said.setText(fill_sentence(fill))
        over = fill.ratio is not None and fill.ratio > fill.limit_ratio
        planned = fill.ratio is not None and fill.ratio > fill.planned_ratio
        set_role(self._said, "fail" if over else "warn" if planned else "")
        section = section_of(thing, fill, project)
        self._section.setVisible(section is not None)
        self._caption.setVisible(section is not None)
        self._section.show_section(section)
        if section is not None:
            self._caption.setText(caption_of(section))
        self._left.setText(places_sentence(fill))


def fill_sentence(fill: Fill) -> str:
    """Cables and fill at the fullest place."""
    if fill.ratio is None:
        return f"{counted(fill.cables, 'cable')} at most; its size is not known."
    text = f"{counted(fill.cables, 'cable')} at the fullest place: {fill.ratio:.0%} full"
    if fill.ratio > fill.limit_ratio:
        return f"{text}, over the {fill.limit_ratio:.0%} it may take."
    if fill.ratio > fill.planned_ratio:
        return (
            f"{text}, above the planned {fill.planned_ratio:.0%}; {fill.limit_ratio:.0%} is full."
        )
    return f"{text}; {fill.limit_ratio:.0%} is full."


def places_sentence(fill: Fill) -> str:
    """Spare places in words."""
    if fill.places_left is None:
        return "Give its size, and the room left can be told."
    coming = fill.cables_future - fill.cables
    later = f" {counted(coming, 'future cable')} more will come." if coming > 0 else ""
    gone = f" {lying_sentence(fill)}" if fill.cables_lying > fill.cables else ""
    if fill.places_left <= 0:
        return f"No room for another cable.{later}{gone}"
    return f"Room for {fill.places_left:,} more of this cable.{later}{gone}"


def lying_sentence(fill: Fill) -> str:
    """What lies there after the work, and while the old cables are not out yet."""
    after, lying = (
        "" if ratio is None else f", {ratio * 100:.1f} %"
        for ratio in (fill.ratio, fill.ratio_lying)
    )
    return (
        f"After the work {counted(fill.cables, 'cable')}{after}; "
        f"while the old ones still lie there {fill.cables_lying:,}{lying}."
    )


def caption_of(section: Section) -> str:
    """What the picture shows."""
    if section.outline == "trough":
        size = f"{section.width_mm:g} × {section.depth_mm:g} mm inside"
        line = "; dashed: planned fill" if section.planned_ratio else ""
        return f"Cut across, {size}{line}."
    if section.count > 1:
        return f"One of {section.count}, {section.width_mm:g} mm bore."
    return f"Cut across, {section.width_mm:g} mm."


def section_of(thing: Any, fill: Fill, project: Project) -> Section | None:
    """The picture of a pathway's inside; None where its size is not known."""
    if fill.inside_mm2 is None or fill.ratio is None:
        return None
    od = _mean_od(fill, project)
    count = getattr(thing, "count", 1)
    kind = getattr(thing, "kind", RiserKind.CONDUIT)
    if kind is PathwayKind.HOOKS:
        across = float(np.sqrt(fill.inside_mm2 * 4 / np.pi))
        outline, wide, deep = "hook", across, across
    elif (
        getattr(thing, "width_mm", None)
        and thing.depth_mm
        and kind
        not in (
            PathwayKind.CONDUIT,
            RiserKind.SLEEVES,
            RiserKind.CONDUIT,
        )
    ):
        outline, wide, deep = "trough", thing.width_mm, thing.depth_mm
    elif thing.bore_mm:
        outline, wide, deep = "round", thing.bore_mm, thing.bore_mm
    else:
        return None
    return Section(
        outline=outline,  # type: ignore[arg-type]
        width_mm=wide,
        depth_mm=deep,
        cables=fill.cables,
        od_mm=od,
        ratio=fill.ratio,
        limit_ratio=fill.limit_ratio,
        planned_ratio=fill.planned_ratio,
        count=count if outline == "round" else 1,
    )


def _mean_od(fill: Fill, project: Project) -> float:
    if fill.cables:
        return float(np.sqrt(fill.area_mm2 / fill.cables * 4 / np.pi))
    types: list[CableType] = list(project.cable_types.values())
    return types[0].od_mm if types else 7.5
