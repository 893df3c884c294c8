"""Loss of an optical link, and what an application allows."""

from app.standards.records import StandardsDataError
from app.standards.rule_set import RuleSet

_M_PER_KM = 1000.0


def link_loss_db(
    *,
    length_m: float,
    loss_db_per_km: float,
    connections_db: tuple[float, ...],
    splices_db: tuple[float, ...] = (),
) -> float:
    """The loss of a link: fibre, every mated pair and every splice."""
    return length_m / _M_PER_KM * loss_db_per_km + sum(connections_db) + sum(splices_db)


def link_loss_limit_db(
    rules: RuleSet,
    *,
    length_m: float,
    fibre: str,
    wavelength_nm: int,
    connections: int,
    splices: int,
) -> float:
    """The most that a link may lose.

    Source: optical.coefficients, optical.connector_pair, optical.splice.
    """
    return link_loss_db(
        length_m=length_m,
        loss_db_per_km=loss_coefficient_db_per_km(rules, fibre=fibre, wavelength_nm=wavelength_nm),
        connections_db=(rules.number("optical.connector_pair"),) * connections,
        splices_db=(rules.number("optical.splice"),) * splices,
    )


def loss_coefficient_db_per_km(rules: RuleSet, *, fibre: str, wavelength_nm: int) -> float:
    """The most that cabled fibre may lose. Source: optical.coefficients."""
    table = rules.table("optical.coefficients")
    rows = zip(
        table.column("fibre"),
        table.column("wavelength_nm"),
        table.numbers("loss_db_per_km"),
        strict=True,
    )
    for row_fibre, row_nm, loss in rows:
        if (row_fibre, row_nm) == (fibre, wavelength_nm):
            return loss
    raise StandardsDataError(f"{table.key}: there is no row for {fibre} at {wavelength_nm} nm")
