"""What runs were told: to pass here, never there, and at which frame they end."""

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QInputDialog, QWidget

from app.editor.commands.telling import any_way, end_at
from app.model.entities import Outlet
from app.model.project import Project
from app.routing.told_words import told_words
from app.ui.panel.pieces import column, heading, link, words
from app.ui.session import Session

BY_RULES = "nearest by the rules"


class TellingView(QWidget):
    """Words, and a verb for each thing that can be told all selected runs."""

    tool_asked = Signal(str)

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        box = column(self)
        self._said = words("", "", self)
        box.addWidget(heading("Way of its runs", self))
        box.addWidget(self._said)
        self.links = {}
        for key, text, tip in (
            ("pass_here", "Pass here …", "Click on what these runs are to pass"),
            ("never_there", "Never there …", "Click on what these runs are never to pass"),
            ("any_way", "Any way", "Forget what these runs were told"),
            ("end_at", "End these ports at …", "Send them to another frame than their room's"),
        ):
            button = link(text, self)
            button.setToolTip(tip)
            button.setObjectName(key)
            self.links[key] = button
            box.addWidget(button)
        self.links["pass_here"].clicked.connect(self._pass_here)
        self.links["never_there"].clicked.connect(self._never_there)
        self.links["any_way"].clicked.connect(self._any_way)
        self.links["end_at"].clicked.connect(self._end_at)

    def show_outlets(self, outlets: list[Outlet], project: Project) -> None:
        """Say what the runs of these outlets were told."""
        ports = [p for o in outlets for p in o.ports]
        told = dict.fromkeys(told_words(project, p) for p in ports)
        said = [t[:1].upper() + t[1:] + "." for t in told if t]
        free = "" in told
        if not said:
            text = "They may go any way."
        else:
            text = " ".join(said) + (" Others may go any way." if free else "")
        fixed = {p.frame for p in ports if p.frame is not None}
        names = sorted(project.frames[f].name for f in fixed if f in project.frames)
        if names:
            text += f" Sent to frame {', '.join(names)} by hand."
        self._said.setText(text)
        self.links["any_way"].setEnabled(bool(said))

    def _pass_here(self) -> None:
        self.tool_asked.emit("pass_here")

    def _never_there(self) -> None:
        self.tool_asked.emit("never_there")

    def _any_way(self) -> None:
        let_go_any_way(self._session)

    def _end_at(self) -> None:
        ask_end_at(self._session, self)


def let_go_any_way(session: Session) -> None:
    """Let all selected runs go any way again."""
    session.do(lambda: any_way(session.project, session.selection.ids))


def ask_end_at(session: Session, parent: QWidget) -> None:
    """Ask for the frame that all selected runs are to end at."""
    frames: list[Any] = sorted(session.project.frames.values(), key=lambda f: (f.name, f.id))
    floors = session.project.floors
    names = [f"{f.name}, floor {floors[f.floor].name}" for f in frames]
    chosen, done = QInputDialog.getItem(
        parent, "End these ports at", "Frame", [BY_RULES, *names], 0, editable=False
    )
    if done:
        at = [BY_RULES, *names].index(chosen)
        frame_id = None if at == 0 else frames[at - 1].id
        session.do(lambda: end_at(session.project, session.selection.ids, frame_id))


def ask_reason(parent: QWidget, before: str) -> str | None:
    """Why a length was added or is known; None where it is taken back."""
    reason, done = QInputDialog.getText(
        parent,
        "Why is it so long?",
        "What was walked or measured, in a few words: it is printed beside the length",
        text=before,
    )
    return reason.strip() if done and reason.strip() else None
