"""`NAME.drawcord`: a project, its history and its plans in one zip archive.

`project.json` holds the tables, `history.jsonl` every patch, `plans/HASH.source` the originals
of plans (packed by zlib), `plans/HASH.drawing` their flattened drawings, opaque here, and
`states/HASH.state` the states that restore points name, packed in the same way.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from app import __version__
from app.model.entities import Plan, RestorePoint
from app.model.project import Project
from app.progress import Progress, Silent
from app.storage import bounds
from app.storage.archive import (
    ArchiveReader,
    DamagedEntry,
    Entry,
    TooLarge,
    open_archive,
    write_archive,
)
from app.storage.failures import SaveFailed, UnreadableProject, in_words
from app.storage.history import Compacted, HistoryEntry, compacted, read_lines
from app.storage.packed import PackedSource, sha256_of
from app.storage.project_json import (
    NO_MARK,
    JournalMark,
    LaterSchema,
    NoProject,
    ReadDocument,
    decode_project,
    encode_project,
)
from app.storage.retired import RetiredByTag, RetiredNumbers
from app.storage.safe_write import write_whole
from app.storage.schema import MIGRATIONS, SCHEMA, Migration

SUFFIX = ".drawcord"
PROJECT_NAME, HISTORY_NAME = "project.json", "history.jsonl"

_KEPT_NAME = re.compile(r"(plans|states)/([0-9a-f]{64})\.(source|drawing|state)")

_reading = contextmanager(open_archive)


@dataclass(frozen=True, slots=True, kw_only=True)
class SavedProject:
    """What a project file holds.

    `history` are the lines of all patches, oldest first; `plan_sources` and `plan_drawings` are
    by hash, the states of restore points among the first; `retired` are the numbers of removed
    things. `notes` say, after loading, what of the file was damaged and left out.
    """

    project: Project
    history: Sequence[bytes] = ()
    plan_sources: Mapping[str, PackedSource] = field(default_factory=dict)
    plan_drawings: Mapping[str, bytes] = field(default_factory=dict)
    journal_mark: JournalMark = NO_MARK
    retired: RetiredByTag = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def save_project(
    path: Path, saved: SavedProject, *, progress: Progress | None = None
) -> SavedProject:
    """Put the project in the file, whole or not at all; only plans in use are kept.

    Gives what was written: the same, but for a history that is too large, whose oldest lines
    are left out, which its `notes` tell. The same project gives the same bytes, and every file
    that is written can be read. Raises SaveFailed, and Cancelled; then the file that stood
    there before is untouched.
    """
    watch = Silent() if progress is None else progress
    watch.report(0.0, "Writing the project")
    history = compacted(saved.history, most_bytes=bounds.LARGEST_HISTORY_BYTES)
    notes = (_left_out(history),) if history.left_out else ()
    written = replace(saved, history=history.lines, notes=notes)
    try:
        entries = _entries(written)
        watch.check()
        write_whole(path, lambda file: write_archive(file, entries))
    except TooLarge as problem:
        raise SaveFailed(
            f"“{path.name}” was not saved, since it could not be opened again: {problem}. "
            "The file is as it was; take out what is not needed and save again."
        ) from None
    except OSError as error:
        raise SaveFailed(
            f"“{path.name}” could not be saved in {path.parent}: "
            f"{in_words(error, folder=path.parent)}. Nothing is lost; save it in another place."
        ) from error
    watch.report(1.0, "Saved")
    return written


def load_project(
    path: Path,
    *,
    progress: Progress | None = None,
    migrations: Mapping[int, Migration] = MIGRATIONS,
    schema: int = SCHEMA,
) -> SavedProject:
    """Read a project file, trusting nothing in it.

    A damaged history or plan is left out and told in `notes`. Raises UnreadableProject where
    the project itself cannot be had, and Cancelled.
    """
    watch = Silent() if progress is None else progress
    try:
        with _reading(path) as archive:
            return _load(archive, path.name, watch, migrations, schema)
    except FileNotFoundError:
        raise UnreadableProject(f"There is no file “{path}”; check its name and folder.") from None
    except IsADirectoryError:
        raise UnreadableProject(f"“{path}” is a folder; name a project file in it.") from None
    except OSError as error:
        raise UnreadableProject(
            f"“{path}” cannot be read: {in_words(error)}. Copy it to this machine and try again."
        ) from None


def _entries(saved: SavedProject) -> list[Entry]:
    of_plans, states = _hashes_of_plans(saved.project), _hashes_of_states(saved.project)
    sources = sorted(of_plans & set(saved.plan_sources))
    drawings = sorted(of_plans & set(saved.plan_drawings))
    kept_states = sorted(states & set(saved.plan_sources))
    document = encode_project(
        saved.project, mark=saved.journal_mark, written_by=__version__, retired=saved.retired
    )
    history = b"".join(line + b"\n" for line in saved.history)
    _check_readable(document, saved, sources, drawings)
    _check_states(saved, kept_states)
    return [
        Entry(PROJECT_NAME, document, True),
        Entry(HISTORY_NAME, history, True),
        *(Entry(f"plans/{h}.source", saved.plan_sources[h].data, False) for h in sources),
        *(Entry(f"plans/{h}.drawing", saved.plan_drawings[h], False) for h in drawings),
        *(Entry(f"states/{h}.state", saved.plan_sources[h].data, False) for h in kept_states),
    ]


def named_hashes(project: Project) -> frozenset[str]:
    """The hashes of everything that a project names and that is kept beside its tables."""
    return frozenset(_hashes_of_plans(project) | _hashes_of_states(project))


def _hashes_of_plans(project: Project) -> set[str]:
    """Those of the plans that are there, and of those that restore points come back to."""
    named = {h for p in project.plans.values() for h in _hashes(p)}
    return named.union(*(p.plan_hashes for p in project.restore_points.values()))


def _hashes_of_states(project: Project) -> set[str]:
    return {p.state_sha256 for p in project.restore_points.values()}


def _left_out(history: Compacted) -> str:
    edits = "edit" if history.left_out == 1 else "edits"
    return (
        f"The history had grown too large: its oldest {history.left_out:,} {edits}, up to "
        f"{history.until}, were left out of the file. The project is whole."
    )


def _check_readable(
    document: bytes, saved: SavedProject, sources: Sequence[str], drawings: Sequence[str]
) -> None:
    """Hold what is to be written to what reading will hold it to. Raises TooLarge."""
    _check_size("the list of its things takes", len(document), bounds.LARGEST_PROJECT_BYTES)
    try:
        decode_project(document)
    except NoProject as problem:
        raise TooLarge(_one_line(problem)) from None
    points = saved.project.restore_points.values()
    name_of = {h: f"of “{p.name}”" for p in points for h in p.plan_hashes}
    name_of |= {h: p.name for p in saved.project.plans.values() for h in _hashes(p)}
    sizes = [(name_of[h], len(saved.plan_sources[h].data)) for h in sources]
    sizes += [(name_of[h], len(saved.plan_drawings[h])) for h in drawings]
    for name, size in sizes:
        _check_size(f"the plan “{name}” takes", size, bounds.LARGEST_PLAN_BYTES)
    _check_size("its plans together take", sum(s for _, s in sizes), bounds.LARGEST_TOGETHER_BYTES)


def _check_states(saved: SavedProject, states: Sequence[str]) -> None:
    name_of = {p.state_sha256: p.name for p in saved.project.restore_points.values()}
    for sha256 in states:
        size = len(saved.plan_sources[sha256].data)
        what_takes = f"the restore point “{name_of[sha256]}” takes"
        _check_size(what_takes, size, bounds.LARGEST_STATE_BYTES)
    together = sum(len(saved.plan_sources[sha256].data) for sha256 in states)
    _check_size("its restore points together take", together, bounds.LARGEST_STATES_BYTES)


def _check_size(what_takes: str, size: int, most: int) -> None:
    if size > most:
        raise TooLarge(f"{what_takes} {size:,} bytes, and {most:,} are the most")


def _hashes(plan: Plan) -> tuple[str, str]:
    return plan.source_sha256, plan.drawing_sha256


def _load(
    archive: ArchiveReader,
    name: str,
    watch: Progress,
    migrations: Mapping[int, Migration],
    schema: int,
) -> SavedProject:
    watch.report(0.0, "Reading the project")
    read = _read_project(archive, name, migrations, schema)
    watch.check()
    watch.report(0.3, "Reading the history")
    notes: list[str] = []
    retired = RetiredNumbers(read.retired)

    def each(entry: HistoryEntry) -> None:
        if read.retired is None:
            retired.follow(entry.kind, entry.patch)

    history = _read_history(archive, notes, read.schema, migrations, schema, each)
    watch.check()
    watch.report(0.6, "Reading the plans")
    sources, drawings = _read_kept(archive, read.project, notes, watch.check)
    return SavedProject(
        project=read.project,
        history=history,
        plan_sources=sources,
        plan_drawings=drawings,
        journal_mark=read.mark,
        retired=retired.by_tag(),
        notes=tuple(notes),
    )


def _read_project(
    archive: ArchiveReader, name: str, migrations: Mapping[int, Migration], schema: int
) -> ReadDocument:
    try:
        data = archive.read(PROJECT_NAME, most_bytes=bounds.LARGEST_PROJECT_BYTES)
        return decode_project(data, migrations=migrations, schema=schema)
    except KeyError:
        raise UnreadableProject(
            f"“{name}” is a zip archive, but not a Drawcord project: it has no {PROJECT_NAME}."
        ) from None
    except LaterSchema as later:
        raise UnreadableProject(
            f"“{name}” was saved by a later Drawcord ({later.written_by}, schema {later.schema}; "
            f"this one, {__version__}, reads up to {schema}); update Drawcord to open it."
        ) from None
    except (DamagedEntry, NoProject) as problem:
        raise UnreadableProject(
            f"“{name}” is damaged, {PROJECT_NAME} in it cannot be used: {_one_line(problem)}; "
            "open a backup or ask its sender for another copy."
        ) from None


def _read_history(
    archive: ArchiveReader,
    notes: list[str],
    written_in: int,
    migrations: Mapping[int, Migration],
    schema: int,
    each: Callable[[HistoryEntry], None],
) -> tuple[bytes, ...]:
    if HISTORY_NAME not in archive.names:
        return ()
    try:
        data = archive.read(HISTORY_NAME, most_bytes=bounds.LARGEST_HISTORY_BYTES)
    except DamagedEntry as problem:
        notes.append(f"The history could not be read: {_one_line(problem)}. The project is whole.")
        return ()
    lines, lost = read_lines(data, written_in, migrations, schema, each=each)
    if lost:
        notes.append(
            f"{lost} of {lost + len(lines)} lines of the history could not be read and were left "
            "out. The project is whole."
        )
    return lines


def _read_kept(
    archive: ArchiveReader, project: Project, notes: list[str], check: Callable[[], None]
) -> tuple[dict[str, PackedSource], dict[str, bytes]]:
    """The originals, states and drawings that are sound; the rest is said by its names."""
    sources: dict[str, PackedSource] = {}
    drawings: dict[str, bytes] = {}
    states: set[str] = set()
    left = {"plans": bounds.LARGEST_TOGETHER_BYTES, "states": bounds.LARGEST_STATES_BYTES}
    largest = {"plans": bounds.LARGEST_PLAN_BYTES, "states": bounds.LARGEST_STATE_BYTES}
    for name in archive.names:
        match = _KEPT_NAME.fullmatch(name)
        if match is None:
            continue
        check()
        folder, sha256, sort = match.groups()
        try:
            data = archive.read(name, most_bytes=min(largest[folder], left[folder]))
        except DamagedEntry:
            continue
        left[folder] -= len(data)
        if sort != "drawing":
            sources[sha256] = PackedSource(sha256, data)
            if sort == "state":
                states.add(sha256)
        elif sha256_of(data) == sha256:
            drawings[sha256] = data
    notes += _lost(project, sources, drawings, states)
    return sources, drawings


def _lost(
    project: Project,
    sources: Mapping[str, PackedSource],
    drawings: Mapping[str, bytes],
    states: set[str],
) -> Iterator[str]:
    for plan in project.plans.values():
        if plan.drawing_sha256 not in drawings:
            yield _lost_plan("drawing", plan)
        if plan.source_sha256 not in sources:
            yield _lost_plan("original file", plan)
    for point in project.restore_points.values():
        if point.state_sha256 not in states:
            yield _lost_state(point)


def _lost_state(point: RestorePoint) -> str:
    return (
        f"The state kept for the restore point “{' '.join(point.name.split())}” is missing or "
        "damaged; it cannot be returned to. The project is whole."
    )


def _lost_plan(sort: str, plan: Plan) -> str:
    name = " ".join(f"“{plan.name}” ({plan.source_name})".split())
    return (
        f"The {sort} of the plan {name} is missing or damaged; "
        "import the plan again. What was placed on it is whole."
    )


def _one_line(problem: Exception) -> str:
    return " ".join(str(problem).split())[:300]
