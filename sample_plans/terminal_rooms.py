"""What the client asks for in the terminal: a room schedule as a client would send it.

It differs from what is drawn as such lists do: one room asks for one outlet more than is placed,
one number is mistyped, one room is drawn nowhere, and one that is drawn is not in the list.
"""

import csv
import io
from collections import Counter

import terminal_building as building
from outlet_kinds import KINDS
from terminal_outlets import outlets

FILE_NAME = "ferry-terminal-rooms.csv"
ASKS_ONE_MORE = ("1.01", "data")
MISTYPED = {"2.04": "2.O4"}
NOT_DRAWN = ("0.21", "Bicycle store", "0", "Store", "38", {"camera": 1})
NOT_LISTED = ("2.09",)
USES = {
    "entrance": "Entrance facility",
    "toilet": "Toilets",
    "store": "Store",
    "service_desk": "Service desk",
    "hall": "Hall",
    "kitchen": "Kitchen",
    "corridor": "Corridor",
    "plant": "Plant",
    "low_voltage": "Low voltage",
    "workshop": "Workshop",
    "office": "Office",
    "security": "Security",
    "open_office": "Open office",
    "waiting": "Waiting",
    "equipment": "Equipment room",
    "telecom": "Telecom",
    "shop": "Shop",
    "meeting": "Meeting room",
    "stair": "Stair",
    "lift_shaft": "Lift shaft",
    "services_shaft": "Services shaft",
    "void": "Void",
}


def rooms_csv() -> str:
    """The whole schedule."""
    every = (*building.ROOMS, *building.CORE_ROOMS, *building.CLOSETS, *building.SHAFTS)
    rooms = sorted(every, key=lambda r: r.number)
    asked: dict[str, Counter[str]] = {room.number: Counter() for room in rooms}
    for place in outlets():
        if place.room:
            asked[place.room][place.kind] += 1
    number, kind = ASKS_ONE_MORE
    asked[number][kind] += 1
    kinds = [k for k in KINDS if any(k in counts for counts in asked.values())]
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n").writerow
    write(["Ferry terminal, room schedule of the client (invented)"])
    write([])
    write(["Room", "Name", "Floor", "Use", "Area m²", *(KINDS[k].name for k in kinds), "Remarks"])
    for room in rooms:
        if room.number not in NOT_LISTED:
            area = (room.x1 - room.x0) * (room.y1 - room.y0)
            counts = [asked[room.number][k] or "" for k in kinds]
            shown = MISTYPED.get(room.number, room.number)
            write([shown, room.name, room.floor, USES[room.use], f"{area:.0f}", *counts, ""])
    *words, wanted = NOT_DRAWN
    remark = "in the yard, to be agreed"
    write([*words, *(wanted.get(k, "") for k in kinds), remark])
    return out.getvalue()
