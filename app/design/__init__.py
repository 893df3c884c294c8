"""All that follows from a Project, and how it is recalculated."""

from app.design.asking import (
    Run,
    backbone_parts,
    backbone_route,
    parts_of,
    route_of,
    run_of,
)
from app.design.design import Design, DesignChange, Summary
from app.design.evaluate import evaluate
from app.design.reasons import reason_of
from app.design.recalculate import recalculate

__all__ = [
    "Design",
    "DesignChange",
    "Run",
    "Summary",
    "backbone_parts",
    "backbone_route",
    "evaluate",
    "parts_of",
    "reason_of",
    "recalculate",
    "route_of",
    "run_of",
]
