"""Ports with growth, and the panels they need."""

import math
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelNeed:
    """Panels of one frame for one sort of cable.

    `standing` panels hold what exists; `new` are added. `free_after` ports stay free.
    """

    ports: int
    ports_with_growth: int
    panel_ports: int
    standing: int
    total: int

    @property
    def new(self) -> int:
        """Panels to buy."""
        return self.total - self.standing

    @property
    def free_after(self) -> int:
        """Ports left when everything planned is ended."""
        return self.total * self.panel_ports - self.ports


def ports_with_growth(*, ports: int, growth_percent: float) -> int:
    """Ports and their growth, rounded up to a whole port. Source: supply.growth_ports."""
    exact = ports * (100 + Decimal(str(growth_percent))) / 100
    return math.ceil(exact)


def panels_for(
    *, ports_existing: int, ports_after: int, growth_percent: float, panel_ports: int
) -> PanelNeed:
    """Panels for the ports of one frame and one sort of cable.

    `ports_existing` are ended there today, `ports_after` when the work is done. The panels that
    stand are taken to be as many as today's ports fill; growth is bought only where the work
    adds ports. Source: supply.growth_ports, supply.panel_ports.
    """
    wanted = ports_with_growth(ports=ports_after, growth_percent=growth_percent)
    standing = -(-ports_existing // panel_ports)
    bought_for = wanted if ports_after > ports_existing else ports_after
    return PanelNeed(
        ports=ports_after,
        ports_with_growth=wanted,
        panel_ports=panel_ports,
        standing=standing,
        total=max(standing, -(-bought_for // panel_ports)),
    )


def share_of(*, count: int, percent: float) -> int:
    """A share of a count, rounded up to a whole one: 70 % of 26 is 19."""
    exact = count * Decimal(str(percent)) / 100
    return math.ceil(exact)
