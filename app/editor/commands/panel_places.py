"""Where a run ends at a frame, typed: `1B-A07` is frame 1B, panel A, port 7."""

import re

from app.editor.asking import InputProblem
from app.model.entities import Frame, PanelPort
from app.model.project import Project

_DIGITS = re.compile(r"[0-9]{1,4}")


def place_typed(project: Project, text: str) -> PanelPort | None:
    """The place that was typed; None for nothing. Raises InputProblem with how it is typed."""
    plain = text.strip()
    if not plain:
        return None
    frames = [f for f in project.frames.values() if f.name and _begins(plain, f.name)]
    for frame in sorted(frames, key=lambda f: (-len(f.name), f.id)):
        found = _on_frame(frame, plain[len(frame.name) :])
        if found is not None:
            return found
    if not frames:
        raise InputProblem(
            f"No frame is called as “{plain}” begins; type frame, panel and port, such as 1B-A07."
        )
    frame = frames[0]
    panels = ", ".join(f"{p.name} ({p.port_count} ports)" for p in frame.panels)
    has = f"its panels are {panels}" if panels else "it has no panels yet; add them first"
    raise InputProblem(f"“{plain}” is no port of frame {frame.name}: {has}.")


def _begins(text: str, name: str) -> bool:
    return text.casefold().startswith(name.casefold())


def _on_frame(frame: Frame, rest: str) -> PanelPort | None:
    """The panel may have digits in its name: every way of parting the two is tried."""
    plain = rest.strip().lstrip("-:./ ")
    for panel in sorted(frame.panels, key=lambda p: -len(p.name)):
        if not _begins(plain, panel.name):
            continue
        port = plain[len(panel.name) :].lstrip("-:./ ")
        if _DIGITS.fullmatch(port) and 1 <= int(port) <= panel.port_count:
            return PanelPort(frame=frame.id, panel=panel.name, port=int(port))
    return None
