"""The canvas: paints a floor, and turns pointer and keys into calls of the active tool."""

from app.ui.canvas.view import CanvasView

__all__ = ["CanvasView"]
