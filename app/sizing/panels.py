"""Ports with growth, and the panels they need."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelNeed:
    """Panels of one frame for one sort of cable.

    `standing` panels hold what exists; `named` were named when ports were given, and are bought
    in their own sizes; `more` of `panel_ports` are bought beyond them. `places` are the ports of
    all these panels.
    """

    ports: int
    ports_with_growth: int
    panel_ports: int
    standing: int
    named: tuple[int, ...]
    more: int
    places: int

    @property
    def new(self) -> int:
        """Panels to buy."""
        return len(self.named) + self.more

    @property
    def total(self) -> int:
        """Panels there will be."""
        return self.standing + self.new

    @property
    def free_after(self) -> int:
        """Ports left when everything planned is ended."""
        return self.places - self.ports

    @property
    def bought(self) -> dict[int, int]:
        """Panels to buy by their number of ports."""
        sizes = Counter(self.named)
        sizes[self.panel_ports] += self.more
        return {size: count for size, count in sorted(sizes.items()) if count}


def ports_with_growth(*, ports: int, growth_percent: float) -> int:
    """Ports and their growth, rounded up to a whole port. Source: supply.growth_ports."""
    exact = ports * (100 + Decimal(str(growth_percent))) / 100
    return math.ceil(exact)


def panels_for(
    *,
    ports_existing: int,
    ports_after: int,
    growth_percent: float,
    panel_ports: int,
    standing: Sequence[int] = (),
    named: Sequence[int] = (),
) -> PanelNeed:
    """Panels for the ports of one frame and one sort of cable.

    `ports_existing` are ended there today, `ports_after` when the work is done. `standing` are
    the ports of the panels that stand, `named` those of new panels that have their name already;
    where nobody has said which stand, they are taken to be as many as today's ports fill. Growth
    is bought only where the work adds ports. Source: supply.growth_ports, supply.panel_ports.
    """
    wanted = ports_with_growth(ports=ports_after, growth_percent=growth_percent)
    stands = list(standing) or [panel_ports] * -(-ports_existing // panel_ports)
    bought_for = wanted if ports_after > ports_existing else ports_after
    there = sum(stands) + sum(named)
    more = max(0, -(-(bought_for - there) // panel_ports))
    return PanelNeed(
        ports=ports_after,
        ports_with_growth=wanted,
        panel_ports=panel_ports,
        standing=len(stands),
        named=tuple(named),
        more=more,
        places=there + more * panel_ports,
    )


def share_of(*, count: int, percent: float) -> int:
    """A share of a count, rounded up to a whole one: 70 % of 26 is 19."""
    exact = count * Decimal(str(percent)) / 100
    return math.ceil(exact)
