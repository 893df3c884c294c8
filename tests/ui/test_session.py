"""The session: changes that reach far are worked out off the window's thread."""

import threading

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.design import evaluate
from app.editor.document import Document, Preview
from app.model.project import Patch, changing
from app.ui import session as sessions
from app.ui.session import Session


@pytest.fixture
def threads(session: Session, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The threads in which previews were made."""
    made: list[int] = []
    plain = Document.preview

    def preview(document: Document, patch: Patch) -> Preview:
        made.append(threading.get_ident())
        return plain(document, patch)

    monkeypatch.setattr(Document, "preview", preview)
    monkeypatch.setattr(sessions, "MANY_OUTLETS", 2)
    return made


def more_allowance(session: Session) -> Patch:
    settings = session.project.settings
    after = replace(settings, allowance_permille=settings.allowance_permille + 10)
    return changing("Allow more", [(settings, after)])


def test_settings_of_a_large_project_are_worked_out_elsewhere(
    session: Session, threads: list[int], qtbot: QtBot
) -> None:
    assert session.commit(more_allowance(session))
    assert len(threads) == 1
    assert threads[0] != threading.get_ident()
    anew = evaluate(session.project, rules=session.rules)
    assert session.design.summary == anew.summary
    assert (session.design.runs.installed_mm == anew.runs.installed_mm).all()


def test_an_edit_of_one_outlet_is_made_at_once(
    session: Session, threads: list[int], qtbot: QtBot
) -> None:
    outlet = next(iter(session.project.outlets.values()))
    assert session.commit(changing("Move", [(outlet, replace(outlet, x_mm=outlet.x_mm + 10))]))
    assert threads == []


def test_what_was_foreseen_of_another_project_is_not_taken(session: Session) -> None:
    document = session.document
    patch = more_allowance(session)
    foreseen = document.preview(patch)
    outlet = next(iter(session.project.outlets.values()))
    moved = replace(outlet, x_mm=outlet.x_mm + 1_000)
    assert session.commit(changing("Move", [(outlet, moved)]))
    document.commit(patch, foreseen=foreseen)
    assert session.project.outlets[outlet.id] == moved
    anew = evaluate(session.project, rules=session.rules)
    assert (session.design.runs.installed_mm == anew.runs.installed_mm).all()
