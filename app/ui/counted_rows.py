"""The rows that a count at the bottom speaks of, in the table where they stand."""

from collections.abc import Callable

from app.model.vocabulary import WayDown
from app.sheets.table import Row
from app.ui.session import Session
from app.ui.tables.drawer import Drawer

Only = Callable[[str, Row], bool]


def open_counted(key: str, drawer: Drawer, session: Session) -> str | None:
    """Open the table with what the count of this key counts; the table's key."""
    if key == "runs":
        drawer.open_table("runs")
        return "runs"
    if key in ("over", "near", "no_route"):
        word = key.replace("_", " ")
        only = _only(drawer, "runs", "status", lambda v: v == word)
        view = drawer.open_table("runs", only_name=word, only=only)
        if key != "no_route":
            view.sort_by("margin")
        return "runs"
    if key == "unnumbered":
        only = _only(drawer, "outlets", "number", lambda v: not v)
        drawer.open_table("outlets", only_name="without a number", only=only)
        return "outlets"
    if key == "outside":
        only = _outside(session)
        drawer.open_table("outlets", only_name="outside every space", only=only)
        return "outlets"
    if key == "missing":
        only = _only(drawer, "spaces", "missing", lambda v: isinstance(v, int) and v > 0)
        view = drawer.open_table("spaces", only_name="short of outlets", only=only)
        view.sort_by("missing", descending=True)
        return "spaces"
    return None


def _outside(session: Session) -> Only:
    def only(row_id: str, _row: Row) -> bool:
        design, project = session.design, session.project
        outlet = project.outlets.get(row_id)
        if design is None or outlet is None or design.space_of.get(row_id) is not None:
            return False
        way_down = outlet.way_down or project.outlet_kinds[outlet.kind].way_down
        return way_down is not WayDown.OUTDOOR_CONDUIT

    return only


def _only(drawer: Drawer, table: str, column: str, passes: Callable[[object], bool]) -> Only:
    view = drawer.view(table)

    def only(_row_id: str, row: Row) -> bool:
        index = view.model.column_index(column)
        return index is not None and passes(row[index])

    return only
