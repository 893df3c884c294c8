"""Tools on the plan itself: its scale by two points, its place, its turn."""

import math

from app.editor.asking import InputProblem, Outcome, Question
from app.editor.commands.plans import calibrate_plan, move_plan, plans_of
from app.editor.measures import format_angle, format_reading, parse_angle, parse_length
from app.editor.snapping import SnapWish
from app.editor.tools.line_tool import LineTool
from app.editor.tools.overlay import GuideLine, Overlay, Role, Tag
from app.editor.tools.quiet import said
from app.editor.tools.tool import NOTHING_YET, Pointer, ToolContext, ToolResult
from app.geometry.similarity import about, direction_mdeg, normal_mdeg, shift, to_mm
from app.model.entities import Plan
from app.model.project import Patch

TWO = 2
NO_PLAN = "There is no plan under this floor; open one first."


def plan_in_hand(context: ToolContext) -> Plan:
    """The plan that is worked on: as chosen, else the topmost in sight. Raises InputProblem."""
    own = plans_of(context.project, context.floor_id)
    chosen = [p for p in own if p.id == context.draws.plan]
    found = chosen or [p for p in own if p.visible] or own
    if not found:
        raise InputProblem(NO_PLAN)
    return found[-1]


def result_of(outcome: Outcome) -> ToolResult:
    """A patch to be committed, or a question to be asked; the tool is put away."""
    if isinstance(outcome, Question):
        return ToolResult(question=outcome, done=True)
    return ToolResult(patch=outcome, done=True)


class PlanTool(LineTool):
    """Points on a plan; what is drawn on the floor does not catch."""

    def wish(self) -> SnapWish:
        return SnapWish(things=False)

    def plan_name(self) -> str:
        try:
            return plan_in_hand(self.context).name
        except InputProblem as problem:
            return str(problem)

    def press(self, pointer: Pointer) -> ToolResult:
        try:
            plan_in_hand(self.context)
        except InputProblem as problem:
            return said(problem)
        return super().press(pointer)

    def overlay(self) -> Overlay:
        return Overlay(
            lines=self.draft.lines(Role.GUIDE),
            markers=self.draft.markers(),
            tags=self.draft.tags(),
        )


class CalibrateTool(PlanTool):
    """Two points of the plan, then the distance that is true between them."""

    name = "Calibrate"

    def hint(self) -> str:
        points = len(self.draft.points)
        if points == 0:
            return f"Click the first of two points of plan {self.plan_name()} that are known apart"
        if points == 1:
            return "Click the second point; the further away, the better the scale"
        return "Type the true distance between the two points, such as 7.25 m, and press Enter"

    def press(self, pointer: Pointer) -> ToolResult:
        if len(self.draft.points) == TWO:
            return ToolResult(message=self.hint())
        return super().press(pointer)

    def type_text(self, text: str) -> ToolResult:
        if len(self.draft.points) != TWO:
            return ToolResult(message="Click two points first; then type what lies between them.")
        first, second = self.draft.points
        try:
            true_mm = parse_length(text, self.context.project.settings.units)
            plan = plan_in_hand(self.context)
            outcome = calibrate_plan(self.context.project, plan.id, first, second, true_mm=true_mm)
        except InputProblem as problem:
            return said(problem)
        self.cancel()
        return result_of(outcome)

    def finish(self) -> ToolResult:
        return ToolResult(message=self.hint())

    def overlay(self) -> Overlay:
        if len(self.draft.points) < TWO:
            return super().overlay()
        first, second = self.draft.points
        units = self.context.project.settings.units
        reads = format_reading(to_mm(math.dist(first, second)), units)
        middle = ((first[0] + second[0]) / 2, (first[1] + second[1]) / 2)
        return Overlay(
            lines=(GuideLine(role=Role.GUIDE, points=(first, second)),),
            markers=self.draft.markers(),
            tags=(Tag(role=Role.MEASURE, at=middle, text=f"reads {reads}"),),
        )


class MovePlanTool(PlanTool):
    """A point of the plan, then where it belongs."""

    name = "Move plan"

    def hint(self) -> str:
        if not self.draft:
            return f"Click a point of plan {self.plan_name()}"
        return "Click where that point belongs, or type 7.25 east"

    def wish(self) -> SnapWish:
        return SnapWish(things=False) if not self.draft else SnapWish()

    def added(self) -> ToolResult:
        if len(self.draft.points) < TWO:
            return NOTHING_YET
        outcome = self._outcome(self.draft.points[0], self.draft.points[1])
        self.cancel()
        return result_of(outcome)

    def finish(self) -> ToolResult:
        raise InputProblem("Click where that point belongs.")

    def _outcome(self, a: tuple[int, int], b: tuple[int, int]) -> Outcome:
        plan = plan_in_hand(self.context)
        return move_plan(self.context.project, plan.id, shift(b[0] - a[0], b[1] - a[1]))

    def preview_patch(self) -> Patch | None:
        """Only the plan, moved; whether things go with it is asked afterwards."""
        line = self.draft.line()
        if len(line) < TWO or self.draft.elsewhere is not None:
            return None
        return _plan_alone(self._guarded(line))

    def _guarded(self, line: tuple[tuple[int, int], ...]) -> Outcome | None:
        try:
            return self._outcome(line[0], line[-1])
        except InputProblem:
            return None


class TurnPlanTool(PlanTool):
    """A centre, a point beside it, and where that point belongs; or a centre and an angle."""

    name = "Turn plan"

    def hint(self) -> str:
        points = len(self.draft.points)
        if points == 0:
            return f"Click the point of plan {self.plan_name()} that stays where it is"
        if points == 1:
            return "Click a point that shows a direction of the plan, or type an angle such as 30°"
        return "Click where that direction belongs, or type an angle such as 30°"

    def wish(self) -> SnapWish:
        return SnapWish(things=len(self.draft.points) == TWO)

    def added(self) -> ToolResult:
        if len(self.draft.points) <= TWO:
            return NOTHING_YET
        turn = self._turn(tuple(self.draft.points))
        return self._turned(turn)

    def _turn(self, points: tuple[tuple[int, int], ...]) -> int:
        centre, a, b = points[:3]
        before = direction_mdeg(a[0] - centre[0], a[1] - centre[1])
        return normal_mdeg(direction_mdeg(b[0] - centre[0], b[1] - centre[1]) - before)

    def _turned(self, turn_mdeg: int) -> ToolResult:
        plan = plan_in_hand(self.context)
        by = about(self.draft.points[0], turn_mdeg=turn_mdeg)
        outcome = move_plan(self.context.project, plan.id, by, verb="Turn")
        self.cancel()
        return result_of(outcome)

    def type_text(self, text: str) -> ToolResult:
        if not self.draft:
            return ToolResult(message="Click the point that stays where it is first.")
        try:
            return self._turned(parse_angle(text))
        except InputProblem as problem:
            return said(problem)

    def finish(self) -> ToolResult:
        raise InputProblem("Click where that direction belongs, or type an angle.")

    def preview_patch(self) -> Patch | None:
        line = self.draft.line()
        if len(line) <= TWO or self.draft.elsewhere is not None:
            return None
        try:
            plan = plan_in_hand(self.context)
            by = about(line[0], turn_mdeg=self._turn(line))
            return _plan_alone(move_plan(self.context.project, plan.id, by, verb="Turn"))
        except InputProblem:
            return None

    def overlay(self) -> Overlay:
        line = self.draft.line()
        shown = super().overlay()
        if len(line) <= TWO:
            return shown
        text = f"turns by {format_angle(round(self._turn(line) / 10) * 10)}"
        tag = Tag(role=Role.MEASURE, at=line[-1], text=text)
        rays = tuple(GuideLine(role=Role.GUIDE, points=(line[0], p)) for p in line[1:3])
        return Overlay(lines=rays, markers=shown.markers, tags=(tag,))


def _plan_alone(outcome: Outcome | None) -> Patch | None:
    """Of a question, the answer that moves the plan and nothing else."""
    if isinstance(outcome, Question):
        patches = [a.patch for a in outcome.answers if a.patch is not None]
        return min(patches, key=lambda p: len(p.changes))
    return outcome
