"""What a way down is made of: gangs of a back box, length of a stub, pull points of a conduit."""

from app.standards import RuleSet

DOUBLE = 2
QUARTER_TURN_DEG = 90


def gangs_of_box(*, ports: int, single_gang_ports: int) -> int:
    """How many gangs a back box has: one, or two for more ports than a single one takes.

    Source: ways.single_gang_ports.
    """
    return 1 if ports <= single_gang_ports else DOUBLE


def stub_length_mm(
    *,
    outlet_mm: int,
    pathway_mm: int | None,
    ceiling_mm: int | None,
    hard: bool,
    over_ceiling_mm: int,
    least_mm: int,
) -> int:
    """How long the conduit is that rises from a back box; 0 where there is none.

    It ends over an accessible ceiling, never above the pathway; above a hard ceiling, and
    where there is none, it goes on to the height of the pathway. Heights are above the finished
    floor; `pathway_mm` None: no route, `ceiling_mm` None: no ceiling.
    Source: ways.stub_over_ceiling, ways.stub_least.
    """
    tops = [] if pathway_mm is None else [pathway_mm]
    if ceiling_mm is not None and not (hard and tops):
        tops.append(ceiling_mm + over_ceiling_mm)
    length_mm = min(tops, default=outlet_mm) - outlet_mm
    return length_mm if length_mm >= max(least_mm, 1) else 0


def pull_points(*, length_mm: int, bends: int, rules: RuleSet) -> int:
    """Pull boxes within a conduit of this length with so many bends of 90°.

    Source: pathways.conduit_section, pathways.conduit_bends.
    """
    by_length = -(-length_mm // rules.mm("pathways.conduit_section"))
    by_bends = -(-bends * QUARTER_TURN_DEG // rules.count("pathways.conduit_bends"))
    return max(by_length, by_bends, 1) - 1
