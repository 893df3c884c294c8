"""A backbone cable in the panel: its route's length, part by part."""

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app import design as designs
from app.model.project import Project
from app.routing.results import RunStatus
from app.ui.lengths import length, round_length
from app.ui.panel.pieces import column, heading, set_role, words
from app.ui.panel.run_view import lines_of, stretches, verdict
from app.ui.pictures.length_bar import LengthBar
from app.ui.pictures.parts_column import PartsColumn


class BackboneView(QWidget):
    """Length, limit and parts."""

    asked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        box = column(self)
        self._headline = words("", "title", self)
        self._verdict = words("", "", self)
        self._bar = LengthBar(self)
        self._parts = PartsColumn(self)
        self._parts.asked.connect(self.asked)
        for widget in (
            heading("Route", self),
            self._headline,
            self._verdict,
            self._bar,
            self._parts,
        ):
            box.addWidget(widget)

    def show_cable(self, cable_id: str, project: Project, design: Any) -> None:
        """Show the route of one of its cables."""
        route = None if design is None else design.backbone.get(cable_id)
        self.setVisible(route is not None)
        if route is None:
            return
        units, status = project.settings.units, RunStatus(route.status)
        routed = status is not RunStatus.NO_ROUTE
        self._bar.setVisible(routed)
        self._parts.setVisible(routed)
        if not routed:
            self._headline.setText("No route")
            self._verdict.setText("No pathways join its two ends.")
            set_role(self._verdict, "fail")
            return
        self._headline.setText(length(route.installed_mm, units))
        self._verdict.setText(
            verdict(status, route.installed_mm, route.limit_mm, units, counted=True)
        )
        set_role(self._verdict, {RunStatus.OVER: "fail", RunStatus.NEAR: "warn"}.get(status, ""))
        parts = designs.backbone_parts(design, cable_id)
        self._bar.show_length(
            stretches(parts),
            limit_mm=route.limit_mm,
            limit_text=round_length(route.limit_mm, units),
        )
        self._parts.show_lines(lines_of(parts, units))
