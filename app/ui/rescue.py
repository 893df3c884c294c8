"""Ways back and ways out: the saved file, edits set aside, and a journal that cannot be kept."""

from typing import TYPE_CHECKING

from app.standards import RuleSet
from app.storage.recovery import FoundJournal
from app.ui import project_files
from app.ui.dialogs.dialog import show
from app.ui.dialogs.set_aside import SetAsideDialog

if TYPE_CHECKING:
    from app.ui.window import MainWindow


class Rescue:
    """What a window offers where edits are to be left, found again or kept safe."""

    def __init__(self, window: "MainWindow", rules: RuleSet) -> None:
        self._window = window
        self._rules = rules

    def go_back(self) -> None:
        """Let go of everything since the file was saved last, and open it again."""
        window = self._window
        document = None if window.workspace is None else window.workspace.session.document
        path = None if document is None else document.path
        if document is None or path is None:
            sentence = "This project was never saved; there is no file to go back to."
            project_files.say(window, sentence)
        elif document.is_saved:
            sentence = f"{path.name} holds everything that was done."
            project_files.say(window, sentence, title="Drawcord")
        elif project_files.may_go_back(window, document, path):
            window.open_file(path)

    def tell_trouble(self) -> None:
        """Why edits are not safe from a crash, and the way out."""
        window = self._window
        reason = None
        if window.workspace is not None:
            reason = window.workspace.session.document.journal_problem
        if reason is not None and project_files.wants_save_as(window, reason):
            window.save_as()
            if window.workspace is not None:
                window.workspace.refresh_counts()

    def show_set_aside(self) -> None:
        """What was set aside, to be opened."""
        dialog = SetAsideDialog(project_files.left_aside(), self._window)
        dialog.open_asked.connect(self.open_set_aside)
        dialog.away_asked.connect(self._put_away)
        show(dialog)
        self._window.fill_file_menus()

    def open_set_aside(self, journal: FoundJournal) -> None:
        """Open edits that were set aside as a project of its own."""
        window = self._window
        if window.may_drop():
            window.show_opened(project_files.open_aside(window, journal, self._rules))

    def _put_away(self, journal: FoundJournal) -> None:
        project_files.put_aside_away(self._window, journal)
