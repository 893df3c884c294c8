"""All tools by their short names, in the order of the job."""

from collections.abc import Callable, Mapping

from app.editor.tools.kit import KitTool
from app.editor.tools.measure import MeasureTool
from app.editor.tools.number_line import NumberLineTool
from app.editor.tools.on_pathway import DropOutTool, KeepApartTool, PullBoxTool, SplitTool
from app.editor.tools.one_click import CandidateTool, DemarcationTool, FrameTool
from app.editor.tools.outdoor_duct import OutdoorDuctTool
from app.editor.tools.outlet import OutletTool
from app.editor.tools.outlet_row import OutletRowTool
from app.editor.tools.pathway import PathwayTool
from app.editor.tools.penetration import PenetrationTool
from app.editor.tools.plan_tools import CalibrateTool, MovePlanTool, TurnPlanTool
from app.editor.tools.riser import RiserTool
from app.editor.tools.select import SelectTool
from app.editor.tools.space import SpaceTool
from app.editor.tools.space_fill import FillTool
from app.editor.tools.telling import NeverThereTool, PassHereTool
from app.editor.tools.tool import Tool, ToolContext
from app.editor.tools.walked import WalkedTool
from app.editor.tools.zone import ZoneTool

RESTING = "select"

TOOLS: Mapping[str, Callable[[ToolContext], Tool]] = {
    RESTING: SelectTool,
    "calibrate": CalibrateTool,
    "move_plan": MovePlanTool,
    "turn_plan": TurnPlanTool,
    "space": SpaceTool,
    "zone": ZoneTool,
    "pathway": PathwayTool,
    "split": SplitTool,
    "pull_box": PullBoxTool,
    "drop_out": DropOutTool,
    "break": KeepApartTool,
    "riser": RiserTool,
    "penetration": PenetrationTool,
    "walked": WalkedTool,
    "outdoor_duct": OutdoorDuctTool,
    "outlet": OutletTool,
    "row": OutletRowTool,
    "fill": FillTool,
    "kit": KitTool,
    "frame": FrameTool,
    "candidate": CandidateTool,
    "demarcation": DemarcationTool,
    "number_line": NumberLineTool,
    "pass_here": PassHereTool,
    "never_there": NeverThereTool,
    "measure": MeasureTool,
}
