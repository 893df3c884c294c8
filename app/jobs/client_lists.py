"""Clients' lists read into a project file, and its rooms told against them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from app.design import Design
from app.editor.asking import InputProblem
from app.editor.commands.client_list import News, ReadIn, likely_list, list_named, read_in
from app.editor.commands.likely_rooms import misspelt_rooms
from app.editor.document import Document
from app.editor.room_lists.account import Account, account_of
from app.editor.room_lists.headings import FIELDS, remembered_columns
from app.editor.room_lists.made_out import MadeOut, make_out
from app.exports.csv_file import csv_bytes
from app.exports.saving import save
from app.exports.takeoff_workbook import title_block
from app.exports.workbook import workbook_bytes
from app.jobs.editing import edit_file
from app.model.project import Patch, Project
from app.progress import Progress
from app.sheets.spaces_table import spaces_table
from app.standards import RuleSet, load_rules
from app.storage.list_rows import ListFile
from app.storage.lists import read_list


class NotARevision(InputProblem):
    """A list does not match the one that it would take the place of."""


@dataclass(frozen=True, kw_only=True)
class TakenList:
    """A list that was read into a project file: how it was made out, and what it changed."""

    read: ListFile
    made: MadeOut
    account: Account
    news: News
    is_new: bool
    name: str
    kinds: Mapping[str, str]
    """The names of the kinds of outlet that columns count, by id."""
    misspelt: tuple[str, ...] = ()
    """A sentence for every line whose number no space has and some space nearly has."""

    def meaning(self, column: int) -> str:
        """What a column is read as, in words; empty where it is left out."""
        means = self.made.how.columns[column]
        return FIELDS.get(means) or self.kinds.get(means, "")


def take_list(
    project: Project,
    rules: RuleSet,
    read: ListFile,
    *,
    name: str = "",
    habits: Mapping[str, str] | None = None,
    whatever: bool = False,
    today: date | None = None,
) -> tuple[ReadIn, MadeOut, Account]:
    """Make a list out as it was last time, else as its headings say, and take it in.

    Without a `name` it is taken for a revision of the list of its file's name, else of the only
    one. Raises InputProblem, and NotARevision where it does not match that list, unless it is to
    be taken `whatever` it is.
    """
    before = list_named(project, name) if name else likely_list(project, read.source_name)
    name = name or Path(read.source_name).stem
    remembered = dict(habits or {})
    if before is not None:
        remembered |= remembered_columns(before.columns)
    made = make_out(project, read, remembered)
    account = account_of(project, rules, read, made.how)
    taken = read_in(
        project,
        account,
        name=name if before is None else before.name,
        source_name=read.source_name,
        anew=None if before is None else before.id,
        today=today,
    )
    if taken.misfit and before is not None and not whatever:
        raise NotARevision(
            f"“{read.source_name}” is not taken as a revision of the list “{before.name}”: "
            f"{taken.misfit}"
        )
    return taken, made, account


def take_list_in_file(
    path: Path,
    list_path: Path,
    *,
    name: str = "",
    whatever: bool = False,
    today: date | None = None,
    state: Path | None = None,
    progress: Progress | None = None,
) -> tuple[TakenList, tuple[str, ...]]:
    """Read a list into a project file and save it; gives what is to be said besides.

    Raises UnreadableList, InputProblem, UnreadableProject, Locked and SaveFailed; then the file is
    as it was.
    """
    read = read_list(list_path)
    found: list[TakenList] = []

    def patch_of(document: Document) -> Patch:
        project, rules = document.project, load_rules()
        taken, made, account = take_list(
            project, rules, read, name=name, whatever=whatever, today=today
        )
        after = project.apply(taken.patch)
        found.append(
            TakenList(
                read=read,
                made=made,
                account=account,
                news=taken.news,
                is_new=taken.client_list not in project.client_lists,
                name=after.client_lists[taken.client_list].name,
                kinds={k.id: k.name for k in project.outlet_kinds.values()},
                misspelt=tuple(misspelt_rooms(after, taken.client_list)),
            )
        )
        return taken.patch

    notes = edit_file(path, patch_of, state=state, progress=progress)
    return found[0], notes


def write_rooms(design: Design, path: Path, *, bom: bool = False) -> None:
    """Write the rooms with the result: a workbook where the path ends in .xlsx, else CSV.

    Raises ExportFailed.
    """
    table = spaces_table(design)
    if path.suffix.lower() == ".xlsx":
        save(path, workbook_bytes([table], title_block(design, "Rooms")))
    else:
        save(path, csv_bytes(table, bom=bom))
