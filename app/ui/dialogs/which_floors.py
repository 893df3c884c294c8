"""Which floor, or which floors, something is to go to."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QWidget

from app.model.project import Project, floors_from_below
from app.ui.dialogs.dialog import Dialog
from app.ui.words import floor_word

FLOOR_ID = Qt.ItemDataRole.UserRole


def floors_but(project: Project, here: str | None) -> list[tuple[str, str]]:
    """Ids and names of all floors but one, from the top; with the building where several are."""
    several = len(project.buildings) > 1
    found = []
    for building in project.buildings.values():
        for floor in reversed(floors_from_below(project, building.id)):
            if floor.id != here:
                name = floor_word(floor.name)
                found.append((floor.id, f"{name} of {building.name}" if several else name))
    return found


class FloorsDialog(Dialog):
    """One floor of a list, or several that are ticked."""

    def __init__(
        self,
        title: str,
        sentence: str,
        floors: list[tuple[str, str]],
        parent: QWidget | None,
        *,
        several: bool,
    ) -> None:
        super().__init__(title, sentence, parent, wide=28, high=26)
        self._several = several
        self.floors = QListWidget(self)
        self.floors.setAccessibleName("Floors")
        for floor_id, name in floors:
            item = QListWidgetItem(name)
            item.setData(FLOOR_ID, floor_id)
            if several:
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
                item.setCheckState(Qt.CheckState.Unchecked)
            self.floors.addItem(item)
        self.floors.setCurrentRow(0)
        if several and len(floors) == 1:
            self.floors.item(0).setCheckState(Qt.CheckState.Checked)
        self.floors.itemChanged.connect(lambda _: self._tell())
        self.floors.itemDoubleClicked.connect(lambda _: None if several else self.accept())
        self.column.addWidget(self.floors, 1)
        self._verb = self.finish(title)
        self._tell()

    def chosen(self) -> tuple[str, ...]:
        """The ids of the chosen floors."""
        items = [self.floors.item(row) for row in range(self.floors.count())]
        if self._several:
            items = [i for i in items if i.checkState() is Qt.CheckState.Checked]
        else:
            items = [i for i in items if i.isSelected()]
        return tuple(str(i.data(FLOOR_ID)) for i in items)

    def _tell(self) -> None:
        if self._verb is not None:
            self._verb.setEnabled(bool(self.chosen()))
