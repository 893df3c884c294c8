"""Where the canvas gets the way of a run and the makers of tools from."""

from __future__ import annotations

from typing import Any

from app.routing.results import RouteLine
from app.ui.canvas.tool_bench import ToolMakers


def route_of(design: Any, port_id: str) -> tuple[RouteLine, ...]:
    """The way of a run by its port's id."""
    return ()


def tool_makers() -> ToolMakers:
    """What makes each tool, by its name."""
    return {}
