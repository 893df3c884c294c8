"""What a run was told of its way, in words."""

from app.model.entities import Port
from app.model.project import Project
from app.routing.tracing import thing_name


def told_words(project: Project, port: Port) -> str:
    """`passes R2; never B-07`; empty where the run may go any way."""
    said = []
    if port.via:
        said.append("passes " + ", ".join(_mark(project, w) for w in port.via))
    if port.never:
        said.append("never " + ", ".join(_mark(project, w) for w in port.never))
    return "; ".join(said)


def sent_words(project: Project, port: Port) -> str:
    """`sent to frame T2`; empty where the rules say who serves."""
    frame = project.frames.get(port.frame or "")
    return "" if frame is None else f"sent to frame {frame.name}"


def _mark(project: Project, way: str) -> str:
    return str(getattr(project.get(way), "number", "")) or thing_name(project, way)
