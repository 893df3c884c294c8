"""Killed with −9 in the middle of edits, saves and recoveries, again and again."""

import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from app.jobs import open_project
from app.storage.project_file import load_project, save_project
from tests.jobs.edit_until_killed import fingerprint
from tests.storage.samples import saved_sample

ROUNDS = 50
CHECKOUT = Path(__file__).resolve().parents[2]

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are forked")


class Story:
    """What was said by the processes so far: which states there were, and what was promised."""

    def __init__(self, first: str) -> None:
        self.states = {0: first}
        self.acknowledged = self.opened = 0
        self.kills_while_editing = 0

    def hear(self, line: str) -> None:
        """Hold one line against what was promised before."""
        sort, *words = line.split(" ", 2)
        if sort == "O":
            number, state = int(words[0]), words[1]
            assert number >= self.acknowledged, "a committed edit was lost"
            # The last commit may have been written and not yet acknowledged.
            assert number <= self.acknowledged + 1
            if number in self.states:
                assert state == self.states[number], "the edits came back as something else"
            self.acknowledged, self.opened = number, number
            self.states[number] = state
        elif sort == "A":
            self.acknowledged = int(words[0])
            self.states[self.acknowledged] = words[1]


def one_round(said, story: Story, chance: random.Random) -> None:
    """Kill the process of one round at a random moment; hear all that it said until then."""
    first = said.readline()
    assert first.startswith("P "), "a round's process did not begin"
    pid = int(first.split()[1])
    early = chance.random() < 0.2
    lines = [] if early else [said.readline()]
    time.sleep(chance.uniform(0.0, 0.1 if early else 0.25))
    os.kill(pid, signal.SIGKILL)
    while not lines or not lines[-1].startswith("D"):
        lines.append(said.readline())
        assert lines[-1], "the rounds ended early"
    for line in lines[:-1]:
        if line.endswith("\n"):
            story.hear(line.rstrip("\n"))
    story.kills_while_editing += story.acknowledged > story.opened


def test_no_committed_edit_is_lost_in_fifty_kills(tmp_path):
    path, state = tmp_path / "a.drawcord", tmp_path / "state"
    saved = saved_sample(edits=0)
    save_project(path, saved)
    document = open_project(path, state=state).document()
    story = Story(fingerprint(document))
    document.close()
    chance = random.Random(20261125)
    command = [sys.executable, "-m", "tests.jobs.edit_until_killed", path, state, str(ROUNDS)]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, encoding="utf-8", cwd=CHECKOUT
    ) as process:
        assert process.stdout is not None
        for _ in range(ROUNDS):
            one_round(process.stdout, story, chance)
    opened = open_project(path, state=state)
    document = opened.document()
    number = document.to_save().journal_mark.number
    story.hear(f"O {number} {fingerprint(document)}")
    print(f"{number} edits, {story.kills_while_editing} of {ROUNDS} kills after one in the round")
    assert number > ROUNDS
    assert story.kills_while_editing > ROUNDS // 2
    assert not (state / "set-aside").exists()
    history = document.to_save().history
    assert len(history) == number
    file = load_project(path)
    assert file.notes == ()
    document.close()
