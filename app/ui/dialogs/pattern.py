"""One pattern of numbers, with what it gives next shown while it is typed."""

from collections.abc import Callable

from PySide6.QtWidgets import QLabel, QLineEdit, QWidget

from app.editor.commands.patterns import COUNTS, OUTLET_WORDS
from app.ui.dialogs.dialog import Dialog
from app.ui.panel.pieces import words


def words_told() -> str:
    """The words of a pattern and what they say."""
    told = "; ".join("{" + word + "} " + says for word, says in OUTLET_WORDS.items())
    return f"{told}; {{nn}} {COUNTS}. What stands before the counter counts by itself."


class PatternDialog(Dialog):
    """Asks for a pattern; an empty one is that of the settings."""

    def __init__(
        self,
        title: str,
        sentence: str,
        verb: str,
        sample: Callable[[str], str],
        parent: QWidget | None = None,
        *,
        text: str = "",
    ) -> None:
        super().__init__(title, sentence, parent, wide=40)
        self._sample = sample
        self.line = QLineEdit(text, self)
        self.line.setAccessibleName("Pattern of numbers")
        self._told = QLabel(self)
        self._told.setWordWrap(True)
        self.column.addWidget(self.line)
        self.column.addWidget(self._told)
        self.column.addWidget(words(words_told(), "soft", self))
        self.column.addStretch(1)
        self.line.textEdited.connect(self._tell)
        self._tell(text)
        self.finish(verb)

    @property
    def pattern(self) -> str:
        return self.line.text().strip()

    @property
    def told(self) -> str:
        """What is said of the pattern."""
        return self._told.text()

    def _tell(self, text: str) -> None:
        self._told.setText(self._sample(text.strip()))
