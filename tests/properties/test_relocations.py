"""Relocations in random order: recalculated they are what they are anew, old cables included."""

import random

import pytest

from app.design import evaluate, recalculate
from app.editor.asking import Question
from app.editor.commands.moving import move_things
from app.editor.commands.relocating import asked_where_existing
from app.editor.commands.states import set_state
from app.model.project import Patch
from app.model.vocabulary import State
from tests.published.test_five_years_later import TRAY, M, small_building

STEPS = 25


def edit(chance: random.Random, design) -> Patch | None:
    """Relocate, correct, put back, finish, mark or just move one outlet or a few."""
    project = design.project
    ids = chance.sample(list(project.outlets), chance.randint(1, 3))
    if chance.random() < 0.35:
        outcome = set_state(project, ids, chance.choice(list(State)), runs=design.runs)
    else:
        by = chance.randint(-30, 30) * M
        plain = move_things(project, ids, dx_mm=by, dy_mm=chance.randint(-2, 2) * M)
        outcome = asked_where_existing(plain, design.runs)
    if isinstance(outcome, Question):
        return chance.choice(outcome.answers).patch
    return outcome


@pytest.mark.parametrize("seed", range(6))
def test_recalculated_relocations_are_those_made_anew(seed):
    chance = random.Random(seed)
    design = evaluate(small_building(measured=seed % 2 == 0))
    old_cables = 0
    done: list[Patch] = []
    for _ in range(STEPS):
        back = done and chance.random() < 0.2
        patch = done.pop().inverse() if back else edit(chance, design)
        if patch is None or not patch.changes:
            continue
        if not back:
            done.append(patch)
        project = design.project.apply(patch)
        design, _ = recalculate(design, project, patch)
        anew = evaluate(project)
        assert design == anew, patch.label
        assert sorted(design.old_cables.ports) == sorted(anew.old_cables.ports)
        old_cables += len(anew.old_cables.ports)
        fill = design.fills[TRAY]
        assert fill.cables_lying >= fill.cables
    assert old_cables > 0
