"""Ways of many kilometres, as a plan at a wrong scale gives them, are told as long as they are."""

from app.design import evaluate, parts_of
from app.routing.results import ONLY_CUT, RunStatus
from tests.routing.buildings import Draft, made

PORT = made("port", "o1")


def there_and_back(times: int) -> Draft:
    """Two baskets' lengths of 9 km, so many times, 50 m apart, and a frame at the far end."""
    line = [(0, 0, 3_000)]
    for turn in range(times):
        y = 100_000 * turn
        line += [(9_000_000, y, 3_000), (9_000_000, y + 50_000, 3_000), (0, y + 50_000, 3_000)]
        line += [(0, y + 100_000, 3_000)] if turn < times - 1 else []
    draft = Draft(levels=(0,), allowance_permille=0).pathway("a", 0, line)
    end = line[-1]
    return draft.frame("f", 0, 0, end[1] + 1_000, ladder_height_mm=3_000).outlet("o", 0, 0, -100)


def test_eighteen_kilometres_are_no_short_run():
    # By hand: 18,050 m of basket, legs of 0.10 and 1.00 m, 2.55 m up, 1.80 m down, 0.80 m in
    # the rack, slack 3.30 m.
    design = evaluate(there_and_back(1).project())
    assert design.runs.installed_mm.tolist() == [18_059_550]
    assert design.runs.status.tolist() == [RunStatus.OVER]
    parts = parts_of(design, PORT)
    assert sum(p.length_mm for p in parts if p.sort not in ONLY_CUT) == 18_059_550


def test_what_is_longer_than_any_building_is_no_route():
    design = evaluate(there_and_back(4).project())
    assert design.runs.status.tolist() == [RunStatus.NO_ROUTE]
