"""Where the canvas gets the way of a run and the makers of tools from."""

from __future__ import annotations

from typing import Any

from app.editor.tools.measure import MeasureTool
from app.editor.tools.on_pathway import DropOutTool, KeepApartTool, PullBoxTool
from app.editor.tools.one_click import CandidateTool, DemarcationTool, FrameTool
from app.editor.tools.outdoor_duct import OutdoorDuctTool
from app.editor.tools.outlet import OutletTool
from app.editor.tools.outlet_row import OutletRowTool
from app.editor.tools.pathway import PathwayTool
from app.editor.tools.plan_tools import CalibrateTool, MovePlanTool, TurnPlanTool
from app.editor.tools.quiet import QuietTool
from app.editor.tools.riser import RiserTool
from app.editor.tools.space import SpaceTool
from app.editor.tools.space_fill import FillTool
from app.routing.results import RouteLine
from app.ui.canvas.tool_bench import RESTING, ToolMakers

TOOL_MAKERS: ToolMakers = {
    RESTING: QuietTool,
    "outlet": OutletTool,
    "row": OutletRowTool,
    "fill": FillTool,
    "pathway": PathwayTool,
    "pull_box": PullBoxTool,
    "drop_out": DropOutTool,
    "break": KeepApartTool,
    "riser": RiserTool,
    "outdoor_duct": OutdoorDuctTool,
    "frame": FrameTool,
    "candidate": CandidateTool,
    "demarcation": DemarcationTool,
    "space": SpaceTool,
    "measure": MeasureTool,
    "calibrate": CalibrateTool,
    "move_plan": MovePlanTool,
    "turn_plan": TurnPlanTool,
}


def route_of(design: Any, port_id: str) -> tuple[RouteLine, ...]:
    """The way of a run by its port's id."""
    return ()
