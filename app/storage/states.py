"""The state of a restore point: a project's tables, without its restore points, packed."""

from __future__ import annotations

from app import __version__
from app.model.entities import RestorePoint
from app.model.project import Project
from app.storage import bounds
from app.storage.failures import UnreadableProject
from app.storage.packed import DamagedBytes, PackedSource, pack_source, unpack_source
from app.storage.project_json import NO_MARK, LaterSchema, NoProject, decode_project, encode_project


class UnreadableState(UnreadableProject):
    """A restore point's state that cannot be had; the message is a clause that says why."""


def without_points(project: Project) -> Project:
    """The project without its restore points: what one of them keeps."""
    return Project(e for e in project.entities() if not isinstance(e, RestorePoint))


def pack_state(project: Project) -> PackedSource:
    """The state of a project as it is kept for a restore point."""
    text = encode_project(without_points(project), mark=NO_MARK, written_by=__version__)
    return pack_source(text)


def unpack_state(packed: PackedSource) -> Project:
    """The project that was kept, trusting nothing in it. Raises UnreadableState."""
    try:
        text = unpack_source(packed, most_bytes=bounds.LARGEST_PROJECT_BYTES)
        return without_points(decode_project(text).project)
    except (DamagedBytes, NoProject) as problem:
        raise UnreadableState(" ".join(str(problem).split())[:300]) from None
    except LaterSchema as later:
        raise UnreadableState(f"a later Drawcord ({later.written_by}) made it") from None
