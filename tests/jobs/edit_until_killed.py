"""Opens a project and edits it without end; whoever runs this kills it.

`edit_until_killed.py FILE STATE ROUNDS`: a process for each round, one after another. On
standard output it says: `P pid`, `O number hash` once open, `T patch` before a commit,
`A number` once the commit has returned, and `D` when the round's process is gone.
"""

import os
import random
import sys
from pathlib import Path

import msgspec

from app.editor.document import Document
from app.jobs import open_project, save_project
from app.storage.packed import sha256_of
from app.storage.project_json import NO_MARK, encode_project
from tests.properties.random_edits import RandomEdits

SAVED_EVERY = 9


def say(*words: object) -> None:
    os.write(1, (" ".join(map(str, words)) + "\n").encode("utf-8"))


def fingerprint(document: Document) -> str:
    return sha256_of(encode_project(document.project, mark=NO_MARK, written_by=""))


def edit(path: Path, state: Path, round_number: int) -> None:
    say("P", os.getpid())
    opened = open_project(path, state=state)
    document = opened.document()
    hashes = tuple({p.source_sha256 for p in document.project.plans.values()})
    edits = RandomEdits(round_number + 1, plan_hashes=hashes)
    chance = random.Random(round_number)
    number = document.to_save().journal_mark.number
    say("O", number, fingerprint(document))
    while True:
        if document.redo_label and chance.random() < 0.3:
            document.redo()
        elif document.undo_label and chance.random() < 0.15:
            document.undo()
        else:
            patch = edits.patch(document.project)
            say("T", msgspec.json.encode(patch).decode("utf-8"))
            document.commit(patch)
        number += 1
        say("A", number, fingerprint(document))
        if number % SAVED_EVERY == 0:
            file = save_project(document.to_save(), path, was=document.file)
            document.saved(file)


def main() -> None:
    path, state, rounds = Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3])
    for round_number in range(rounds):
        child = os.fork()
        if child == 0:
            try:
                edit(path, state, round_number)
            finally:
                os._exit(1)
        os.waitpid(child, 0)
        say("D")


if __name__ == "__main__":
    main()
