"""Opening, saving and importing, with the questions that go with them.

Long work runs off the window's thread; whatever fails is said in one sentence, and what was
open stays open.
"""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from msgspec.structs import replace
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFileDialog, QWidget

from app.editor.asking import InputProblem
from app.editor.commands.floors import add_floor
from app.editor.commands.plans import import_plan
from app.editor.document import Document
from app.exports.saving import ExportFailed
from app.jobs import (
    FileChanged,
    ReadyPlan,
    UnfoldedProject,
    begin_project,
    new_project,
    open_project,
    open_set_aside,
    plan_of,
    ready_plan,
    recover_unsaved,
    save_project,
    unfold_plans,
)
from app.jobs.plans import extent_of
from app.model.entities import Plan
from app.model.project import Patch, PatchRefused, Project
from app.model.vocabulary import ScaledBy
from app.plans.imported import PlanImportError
from app.progress import Cancelled, Progress
from app.resource_files import sample_path
from app.standards import RuleSet
from app.storage.failures import SaveFailed, UnreadableProject, in_words
from app.storage.lock import Locked
from app.storage.project_file import SavedProject, load_project
from app.storage.recovery import (
    FoundJournal,
    abandoned_journals,
    drop_if_empty,
    journals_set_aside,
    put_away,
    unsaved_projects,
)
from app.storage.state_folder import state_folder
from app.ui import recent
from app.ui.dialogs.asking import choose as choose
from app.ui.dialogs.asking import say as say
from app.ui.dialogs.import_plan import ImportChoice, ImportPlanDialog
from app.ui.session import Session
from app.ui.worker import run_with_progress

PROJECT_SUFFIX = ".drawcord"
PROJECT_FILES = "Drawcord projects (*.drawcord)"
PLAN_FILES = "Plans (*.dxf *.DXF)"
TOLD = (UnreadableProject, SaveFailed, PlanImportError, ExportFailed, InputProblem, PatchRefused)
"""What a person can do something about; anything else is a fault of the program."""


def told(parent: QWidget | None, work: Callable[[], Any]) -> Any:
    """Do work; say in words what failed. None where it failed or was stopped."""
    try:
        return work()
    except Cancelled:
        return None
    except TOLD as problem:
        say(parent, str(problem))
        return None


def say_soon(parent: QWidget, notes: Sequence[str]) -> None:
    """Say what opening has found, once the window is drawn; nothing where there is nothing."""
    QTimer.singleShot(0, lambda: tell_notes(parent, notes))


def tell_notes(parent: QWidget | None, notes: Sequence[str]) -> None:
    """Say what was found on the way; nothing where there is nothing."""
    if notes:
        say(parent, "\n\n".join(notes), title="Worth knowing")


# --- opening --------------------------------------------------------------------------------


def session_of(found: UnfoldedProject, rules: RuleSet) -> Session:
    """The session of an opened project, in the window's thread."""
    document = found.opened.document(rules=rules)
    return Session(document, rules=rules, drawings=dict(found.drawings))


def open_file(
    parent: QWidget | None, path: Path, rules: RuleSet, *, leaving: Document | None = None
) -> UnfoldedProject | None:
    """Open a project; where somebody else has it, ask what to do.

    `leaving` is the document that goes once this one is open; it may have the same file.
    """
    lent = None if leaving is None else leaving.lock_of(path)

    def work(*, by_force: bool = False) -> Any:
        return run_with_progress(
            parent,
            f"Opening {path.name}",
            lambda p: unfold_plans(
                open_project(path, by_force=by_force, lent=lent, rules=rules, progress=p),
                progress=p,
            ),
        )

    try:
        found = told(parent, work)
    except Locked as locked:
        answer = choose(
            parent,
            f"{locked} Two people who save over each other lose work.",
            ["Open a copy", "Open it all the same"],
        )
        if answer is None:
            return None
        if answer == 0:
            return open_as_new(parent, path, rules)
        found = told(parent, lambda: work(by_force=True))
    if found is not None:
        recent.remember(path)
    return found


def open_as_new(parent: QWidget | None, path: Path, rules: RuleSet) -> UnfoldedProject | None:
    """Open what is in a file as a project that has no file yet."""

    def work(progress: Progress) -> UnfoldedProject:
        saved = load_project(path, progress=progress)
        return unfold_plans(begin_project(saved, rules=rules, progress=progress), progress=progress)

    title = f"Opening {path.name}"
    return told(parent, lambda: run_with_progress(parent, title, work))


def open_sample(parent: QWidget | None, name: str, rules: RuleSet) -> UnfoldedProject | None:
    """Open a sample project; it is saved elsewhere, never over the sample."""
    return open_as_new(parent, sample_path(name), rules)


def begin_empty(parent: QWidget | None, rules: RuleSet) -> UnfoldedProject | None:
    """A new project with one floor."""
    saved = SavedProject(project=new_project(rules=rules))
    return told(parent, lambda: unfold_plans(begin_project(saved, rules=rules)))


def left_unsaved() -> tuple[FoundJournal, ...]:
    """Projects without a file that a crash has left behind."""
    found = [j for j in abandoned_journals(state_folder()) if not drop_if_empty(j)]
    return unsaved_projects(found)


def left_aside() -> tuple[FoundJournal, ...]:
    """Edits that did not fit and were set aside, which can still be read."""
    return journals_set_aside(state_folder())


def open_aside(
    parent: QWidget | None, journal: FoundJournal, rules: RuleSet
) -> UnfoldedProject | None:
    """Open edits that were set aside as a project of its own."""

    def work(progress: Progress) -> UnfoldedProject:
        return unfold_plans(
            open_set_aside(journal, rules=rules, progress=progress), progress=progress
        )

    title = "Opening the edits that were set aside"
    return told(parent, lambda: run_with_progress(parent, title, work))


def put_aside_away(parent: QWidget | None, journal: FoundJournal) -> None:
    """Offer a journal no more; it is kept."""
    try:
        put_away(state_folder(), journal)
    except OSError as error:
        say(parent, f"It could not be put away, because {in_words(error)}.")


def recover(
    parent: QWidget | None, journal: FoundJournal, rules: RuleSet
) -> UnfoldedProject | None:
    """Open a project that never had a file, from what the crash left."""

    def work(progress: Progress) -> UnfoldedProject:
        return unfold_plans(
            recover_unsaved(journal, rules=rules, progress=progress), progress=progress
        )

    title = "Recovering the unsaved project"
    return told(parent, lambda: run_with_progress(parent, title, work))


# --- saving ---------------------------------------------------------------------------------


def save(parent: QWidget | None, document: Document, path: Path | None = None) -> bool:
    """Save to the document's file or to `path`; False where nothing was written."""
    target = path or document.path
    if target is None:
        return save_as(parent, document)
    return _write(parent, document, target, overwrite=False)


def save_as(parent: QWidget | None, document: Document) -> bool:
    """Ask for a name and save there."""
    suggestion = document.path or Path(f"{document.project.site.name or 'project'}{PROJECT_SUFFIX}")
    name, _ = QFileDialog.getSaveFileName(
        parent, "Save the project", str(suggestion), PROJECT_FILES
    )
    if not name:
        return False
    path = Path(name)
    if path.suffix.lower() != PROJECT_SUFFIX:
        path = path.with_name(path.name + PROJECT_SUFFIX)
    return _write(parent, document, path, overwrite=False)


def _write(parent: QWidget | None, document: Document, path: Path, *, overwrite: bool) -> bool:
    saved = document.to_save()

    def work() -> Any:
        return run_with_progress(
            parent,
            f"Saving {path.name}",
            lambda p: save_project(saved, path, was=document.file, overwrite=overwrite, progress=p),
        )

    try:
        file = work()
    except FileChanged as changed:
        verbs = ["Save under another name", "Replace theirs"]
        answer = choose(parent, str(changed), verbs)
        if answer is None:
            return False
        if answer == 0:
            return save_as(parent, document)
        return _write(parent, document, path, overwrite=True)
    except Cancelled:
        return False
    except SaveFailed as failed:
        if choose(parent, str(failed), ["Save under another name"]) is None:
            return False
        return save_as(parent, document)
    document.saved(file)
    recent.remember(path)
    tell_notes(parent, file.saved.notes)
    return True


def may_close(parent: QWidget | None, document: Document) -> bool:
    """Ask about unsaved edits; True where the document may go."""
    if document.is_saved or (document.file is None and document.undo_label is None):
        return True
    name = document.path.name if document.path else "This project"
    last = f" The last edit: “{document.undo_label}”." if document.undo_label else ""
    answer = choose(
        parent, f"{name} has edits that are not saved.{last}", ["Save", "Discard the edits"]
    )
    if answer is None:
        return False
    return save(parent, document) if answer == 0 else True


def may_go_back(parent: QWidget | None, document: Document, path: Path) -> bool:
    """Whether the edits since the last save may go."""
    last = f" The last edit: “{document.undo_label}”." if document.undo_label else ""
    sentence = f"All edits since {path.name} was saved go, and cannot come back.{last}"
    return choose(parent, sentence, ["Go back to the saved file"]) is not None


def wants_save_as(parent: QWidget | None, reason: str) -> bool:
    """Say why edits are not safe from a crash; whether the project is to be saved elsewhere."""
    sentence = (
        f"What you do now is lost if the program ends before you save, because {reason}. "
        "Save often, or save in a folder with room that can be written to; then edits are "
        "kept safe again if the cause is gone."
    )
    return choose(parent, sentence, ["Save as …"]) is not None


# --- plans ----------------------------------------------------------------------------------


def ask_for_plans(parent: QWidget | None) -> list[Path]:
    """Ask for plan files."""
    names, _ = QFileDialog.getOpenFileNames(parent, "Import plans", "", PLAN_FILES)
    return [Path(n) for n in names]


def read_plan_file(parent: QWidget | None, path: Path) -> ReadyPlan | None:
    """Read a plan off the window's thread; what is wrong with it is said."""
    title = f"Reading {path.name}"
    return told(
        parent,
        lambda: run_with_progress(parent, title, lambda p: ready_plan(path, progress=p)),
    )


def import_into(
    parent: QWidget | None, session: Session, path: Path, *, floor_id: str | None
) -> str | None:
    """Read a plan, ask what it is, and lay it under a floor; the floor's id, or None."""
    ready = read_plan_file(parent, path)
    if ready is None:
        return None
    dialog = ImportPlanDialog(ready.imported, session.project, floor_id=floor_id, parent=parent)
    try:
        if dialog.exec() != ImportPlanDialog.DialogCode.Accepted:
            return None
        return lay(session, ready, dialog.choice())
    finally:
        dialog.deleteLater()


def import_all(
    parent: QWidget | None, session: Session, paths: Sequence[Path], *, floor_id: str | None
) -> str | None:
    """Import plans one after the other; the floor of the last that was laid, or None."""
    imported = None
    for path in paths:
        imported = import_into(parent, session, path, floor_id=floor_id) or imported
    return imported


def lay(session: Session, ready: ReadyPlan, choice: ImportChoice) -> str | None:
    """Put a plan that was read under the chosen floor, in one edit."""
    session.add_drawing(ready.drawing_sha256, ready.imported.drawing)
    session.document.plans.add(ready.source, ready.drawing)
    try:
        patch, floor_id = _laying(session.project, session, ready, choice)
    except InputProblem as problem:
        session.refuse(str(problem))
        return None
    return floor_id if session.commit(patch) else None


def _laying(
    project: Project, session: Session, ready: ReadyPlan, choice: ImportChoice
) -> tuple[Patch, str]:
    made: Patch | None = None
    floor_id = choice.floor_id
    if floor_id is None:
        building = next(iter(project.buildings))
        made = add_floor(project, building, choice.new_floor_name, level_mm=choice.new_level_mm)
        floor_id = made.changes[0].id
        project = project.apply(made)
    plan = _plan(project, session, ready, choice, floor_id)
    patch = import_plan(project, plan)
    return (patch if made is None else made.squash(patch, patch.label)), floor_id


def _plan(
    project: Project, session: Session, ready: ReadyPlan, choice: ImportChoice, floor_id: str
) -> Plan:
    beside = next(iter(project.plans.values()), None)
    extent = None
    drawing = None if beside is None else session.drawings(beside.drawing_sha256)
    if beside is not None and drawing is not None and not beside.rotation_mdeg:
        extent = extent_of(beside, drawing)
    likely = ready.imported.proposals[0] if ready.imported.proposals else None
    chosen = choice.proposal
    unit = chosen.unit if chosen is not None and chosen != likely else None
    plan = plan_of(
        ready,
        floor=floor_id,
        plan_id="plan-00000000",
        unit=unit,
        beside=beside,
        beside_extent=extent,
    )
    plan = replace(plan, name=choice.name[:200])
    if chosen is None:
        return replace(
            plan,
            scaled_by=ScaledBy.NOT_SCALED,
            scale_note="Not scaled yet: calibrate it by a known distance.",
        )
    if plan.scaled_by is ScaledBy.NOT_SCALED:
        # The user has looked at the proposal and taken it.
        note = f"Unit of the file taken as {chosen.unit}"
        return replace(plan, scaled_by=ScaledBy.USER_UNIT, scale_note=note)
    return plan
