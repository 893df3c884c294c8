"""Lists made in tests: of rows, or read from the small golden file."""

from pathlib import Path

from app.editor.room_lists.account import Account, HowRead, account_of
from app.editor.room_lists.made_out import make_out
from app.model.project import Project
from app.storage.list_rows import ListFile, ListRow, clean
from app.storage.lists import read_list
from tests.editor.small_building import RULES

QUAY_HOUSE = Path(__file__).with_name("quay_house.csv")


def of_rows(*rows: list[str], name: str = "rooms.csv") -> ListFile:
    return ListFile(
        source_name=name,
        rows=tuple(ListRow(n, tuple(map(clean, cells))) for n, cells in enumerate(rows, start=1)),
    )


def account(project: Project, read: ListFile, how: HowRead | None = None) -> Account:
    """The account of a list read by its headings alone."""
    made = make_out(project, read, {})
    return account_of(project, RULES, read, made.how if how is None else how)


def quay_house() -> ListFile:
    return read_list(QUAY_HOUSE)
