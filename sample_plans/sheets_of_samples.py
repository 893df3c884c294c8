"""The architect's sheets of the sample buildings."""

import architect
import small_office as office
import terminal_building as terminal


def terminal_sheet(floor: int) -> architect.Sheet:
    """One floor of the terminal."""
    storey = terminal.STOREYS[floor]
    groups = (terminal.ROOMS, terminal.CLOSETS, terminal.CORE_ROOMS, terminal.SHAFTS)
    rooms = [r for group in groups for r in group if r.floor == floor]
    west = 29.0 if floor == len(terminal.STOREYS) - 1 else 0.0
    bays = [i * terminal.BAY_M for i in range(21)]
    entrances = {
        0: ((40.0, "s"), (61.0, "s"), (105.0, "s"), (58.0, "n"), (101.0, "n"), (134.0, "n")),
        1: ((65.25, "n"), (130.0, "n")),
    }
    return architect.Sheet(
        title=f"FERRY TERMINAL, FLOOR {storey.name}: {storey.title}",
        outside=(west, 0.0, terminal.LENGTH_M, terminal.DEPTH_M),
        rooms=rooms,
        grid=architect.Grid([x for x in bays if x >= west], terminal.ROWS_M),
        corridor_y=(14.0, 16.5),
        entrances=entrances.get(floor, ()),
        furniture=tuple(_terminal_furniture(floor)),
    )


def _terminal_furniture(floor: int) -> list[tuple[str, float, float]]:
    made: list[tuple[str, float, float]] = []
    if floor == 0:
        made += [("DESK", 32.0 + 7.25 * i, 11.0) for i in range(6)]
        made += [("BELT", 48.0 + 8.5 * i, 26.0) for i in range(3)]
    elif floor == 1:
        made += [("DESK", 17.0 + 6.3 * i, 9.0) for i in range(8)]
        made += [("SEATS", 91.0 + 5.0 * i, y) for i in range(7) for y in (3.0, 9.5)]
        made += [("SEATS", 47.0 + 5.0 * i, 20.0) for i in range(7)]
    else:
        made += [("DESK", 44.6 + 3.6 * i, y) for i in range(9) for y in (18.2, 23.2, 28.2)]
        made += [("DESK", 125.6 + 4.0 * i, y) for i in range(3) for y in (19.2, 23.2)]
    return made


def office_sheet() -> architect.Sheet:
    """The small office."""
    return architect.Sheet(
        title="SMALL OFFICE, GROUND FLOOR",
        outside=(0.0, 0.0, office.WIDTH_M, office.DEPTH_M),
        rooms=office.ROOMS,
        grid=architect.Grid(office.GRID_X, office.GRID_Y),
        corridor_y=(7.0, 9.0),
        entrances=((3.0, "s"),),
        furniture=tuple(("DESK", 0.8 + 3.0 * i, 14.2) for i in range(6)),
    )
