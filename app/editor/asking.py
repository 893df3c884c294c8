"""How an edit speaks back: one sentence that refuses, or a question only the user can decide."""

from typing import TypeAlias

import msgspec

from app.model.project import Patch


class InputProblem(Exception):
    """What was asked for cannot be done; the message says what is wrong and what to do."""


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """One way to answer a question: a verb on a button, and what it does (None: nothing)."""

    label: str
    patch: Patch | None = None


class Question(msgspec.Struct, frozen=True, kw_only=True):
    """Something only the user can decide; the first answer is the usual one.

    Whoever closes it without answering changes nothing.
    """

    text: str
    answers: tuple[Answer, ...]


Outcome: TypeAlias = Patch | Question
"""What a command gives that may have to ask first."""
