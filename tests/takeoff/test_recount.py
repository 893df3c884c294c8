"""The samples' takeoffs counted again from the bare JSON of their files, by arithmetic alone.

Only the lengths of runs and legs are taken from the program; all rules are practice: hooks and
supports one each begun spacing (and one at the end of a line), whole lengths for each straight,
panels for ports with 25 % growth, cords for 70 % of the ports.
"""

import json
import math
import zipfile
from collections import Counter
from itertools import pairwise

import pytest

from app.design import Design, evaluate, route_of
from app.resource_files import sample_path
from app.sheets.takeoff_tables import takeoff_tables
from app.storage.project_file import load_project
from app.takeoff.takeoff import take_off

PLATES = {"faceplate": "Faceplate", "surface_box": "Surface box", "floor_box": "Floor box"}
WORKED_AT = ("new", "to_relocate")
SUPPORTS_MM = {"basket": 1_500, "ladder": 2_000, "conduit": 3_000}


class Counted:
    """One sample: its tables as JSON has them, its design, and its bill by item."""

    def __init__(self, name: str) -> None:
        path = sample_path(f"{name}.drawcord")
        with zipfile.ZipFile(path) as archive:
            self.tables = json.loads(archive.read("project.json"))["tables"]
        self.design: Design = evaluate(load_project(path).project)
        self.takeoff = take_off(self.design)
        tables = takeoff_tables(self.design, self.takeoff)
        self.bill: Counter[str] = Counter()
        for row in tables[0].rows:
            self.bill[str(row[1])] += row[2] or 0  # type: ignore[operator]
        self.kinds = {kind["id"]: kind for kind in self.tables["outlet-kind"]}

    def outlets(self, *states: str) -> list[dict]:  # type: ignore[type-arg]
        """Those in these states: a plate is bought for what is new; work is done at what is
        new or relocated; at what stays or goes there is nothing to order."""
        return [o for o in self.tables["outlet"] if o["state"] in states]

    def has_route(self, port: dict) -> bool:  # type: ignore[type-arg]
        runs = self.design.runs
        return bool(runs.frame_index[runs.row_of[port["id"]]] >= 0)

    def leg_mm(self, outlet: dict) -> int:  # type: ignore[type-arg]
        runs = self.design.runs
        return max(int(runs.leg_mm[runs.row_of[p["id"]]]) for p in outlet["ports"])

    def metres(self, beginning: str) -> int:
        """The millimetres of the measures that begin so."""
        return sum(
            line.quantity
            for line in self.takeoff.lines
            if line.item.startswith(beginning) and not line.billed
        )

    def billed(self, beginning: str) -> Counter[str]:
        return Counter({k: n for k, n in self.bill.items() if k.startswith(beginning) and n})


@pytest.fixture(scope="module", params=["ferry-terminal", "small-office"])
def sample(request: pytest.FixtureRequest) -> Counted:
    return Counted(request.param)


def ceiling(share: float) -> int:
    return math.ceil(share - 1e-9)


def test_plates(sample: Counted) -> None:
    plates: Counter[str] = Counter()
    for outlet in sample.outlets("new"):
        kind, ports = sample.kinds[outlet["kind"]], len(outlet["ports"])
        if any(p["termination"] == "jack" for p in outlet["ports"]):
            plates[f"{PLATES[kind['fixture']]} for {ports} port{'s' * (ports > 1)}"] += 1
    for plate in PLATES.values():
        assert sample.billed(f"{plate} for") == Counter(
            {k: n for k, n in plates.items() if k.startswith(plate)}
        )


def test_ways_down(sample: Counted) -> None:
    """Boxes behind plates and single devices in the wall, a stub to 0.15 m over the ceiling (to
    the pathway where it is hard or there is none) unless shorter than 0.30 m, poles to the
    ceiling, conduit outdoors."""
    spaces = {s["id"]: s for s in sample.tables["space"]}
    levels = {f["id"]: f["level_mm"] for f in sample.tables["floor"]}
    boxes, stubs_mm, poles, outdoors_mm = Counter[str](), 0, 0, 0
    for outlet in sample.outlets(*WORKED_AT):
        kind = sample.kinds[outlet["kind"]]
        way = outlet["way_down"] or kind["way_down"]
        heights = (outlet["height_mm"], kind["height_mm"])
        plate_mm = next((h for h in heights if h is not None), None)
        routed = [p["id"] for p in outlet["ports"] if sample.has_route(p)]
        points = route_of(sample.design, routed[0])[0].points if routed else None
        # The second point is that above or below the plate.
        above_mm = points[1][2] - levels[outlet["floor"]] if points else None
        if way == "service_pole":
            poles += 1
        elif way == "outdoor_conduit" and above_mm is not None:
            outdoors_mm += abs(above_mm - plate_mm) + sample.leg_mm(outlet)
        elif way == "wall_cavity" and kind["fixture"] in ("faceplate", "none"):
            boxes["single" if len(outlet["ports"]) <= 2 else "double"] += 1
            space = spaces.get(sample.design.space_of[outlet["id"]])
            stubs_mm += stub_mm(space, plate_mm, above_mm)
    assert sample.bill["Back box, single gang"] == boxes["single"]
    assert sample.bill["Back box, double gang"] == boxes["double"]
    assert sum(sample.billed("Service pole").values()) == poles
    assert sample.metres("Stub conduit") == stubs_mm
    assert sample.metres("Outdoor conduit") == outdoors_mm


def stub_mm(space: dict | None, plate_mm: int, above_mm: int | None) -> int:  # type: ignore[type-arg]
    tops = [] if above_mm is None else [above_mm]
    kind = "accessible" if space is None else space["ceiling"]
    ceiling_mm = 2_700 if space is None else space["ceiling_height_mm"]
    if kind == "accessible" or (kind == "hard" and above_mm is None):
        tops.append(ceiling_mm + 150)
    long_mm = min(tops, default=plate_mm) - plate_mm
    return long_mm if long_mm >= 300 else 0


def test_what_ends_and_tests_the_runs(sample: Counted) -> None:
    ports = [p for o in sample.outlets(*WORKED_AT) for p in o["ports"]]
    routed = [p for p in ports if sample.has_route(p)]
    jacks = sum(p["termination"] == "jack" for p in ports)
    sort = "Cat 6A unshielded"
    assert sample.bill[f"Jack, {sort}, at the outlet"] == jacks
    assert sample.bill[f"Field plug, {sort}"] == len(ports) - jacks
    assert sample.bill[f"Jack, {sort}, at the frame"] == len(routed)
    assert sample.bill[f"Test of a link, {sort}"] == len(routed)
    assert sample.bill["Label on a cable"] == 2 * len(routed)
    at_frame: Counter[str | None] = Counter()
    cords: Counter[str] = Counter()
    for outlet in sample.outlets(*WORKED_AT):
        symbol = sample.kinds[outlet["kind"]]["symbol"]
        for port in filter(sample.has_route, outlet["ports"]):
            at_frame[sample.design.runs.frame_of(sample.design.runs.row_of[port["id"]])] += 1
            if port["termination"] == "jack":
                cords[{"access_point": "2 m", "camera": "1 m"}.get(symbol, "3 m")] += 1
    for outlet in sample.outlets("existing"):
        for port in filter(sample.has_route, outlet["ports"]):
            at_frame[sample.design.runs.frame_of(sample.design.runs.row_of[port["id"]])] += 1
    standing = sum(p["state"] == "existing" for f in sample.tables["frame"] for p in f["panels"])
    panels = sum(ceiling(ceiling(n * 1.25) / 24) for n in at_frame.values()) - standing
    assert sample.bill[f"Panel, unloaded, 24 ports, {sort}"] == panels
    assert sample.bill[f"Cord at the frame, 2 m, {sort}"] == ceiling(0.7 * len(routed))
    assert sample.billed("Cord at the outlet") == Counter(
        {f"Cord at the outlet, {m}, {sort}": ceiling(0.7 * n) for m, n in cords.items()}
    )


def test_pathways_and_what_holds_them(sample: Counted) -> None:
    counted: Counter[str] = Counter()
    for line in sample.tables["pathway"]:
        kind, points = line["kind"], line["vertices"]
        pieces = [math.dist(a, b) for a, b in pairwise(points)]
        if kind == "hooks":
            counted["Hook on a line"] += ceiling(sum(pieces) / 1_200) + 1
            continue
        length_mm = 3_050 if kind == "conduit" else 3_000
        # Every vertex of the samples' lines is a corner.
        counted[f"{kind} bought"] += line["count"] * sum(ceiling(p / length_mm) for p in pieces)
        held = ceiling(sum(pieces) / SUPPORTS_MM[kind]) + 1
        counted[f"{kind} held"] += held * (line["count"] if kind == "conduit" else 1)
    for kind in SUPPORTS_MM:
        own = {k: n for k, n in sample.billed(kind.capitalize()).items() if " of a leg" not in k}
        bought = sum(n for k, n in own.items() if ", length of" in k)
        held = sum(n for k, n in own.items() if k.endswith((", support", ", strap")))
        assert (bought, held) == (counted[f"{kind} bought"], counted[f"{kind} held"])
    assert sum(sample.billed("Hook, opening").values()) == counted["Hook on a line"]


def test_what_carries_the_legs(sample: Counted) -> None:
    hard = {s["id"] for s in sample.tables["space"] if s["ceiling"] == "hard"}
    hooks, straps = 0, 0
    for outlet in sample.outlets(*WORKED_AT):
        way = outlet["way_down"] or sample.kinds[outlet["kind"]]["way_down"]
        leg_mm = sample.leg_mm(outlet)
        if leg_mm == 0 or way in {"raised_floor", "outdoor_conduit"}:
            continue
        if sample.design.space_of[outlet["id"]] in hard:
            straps += ceiling(leg_mm / 3_000) + 1
        elif leg_mm > 1_500:
            hooks += ceiling(leg_mm / 1_500)
    assert sample.bill["Hook on a leg"] == hooks
    of_legs = {k: n for k, n in sample.billed("Conduit").items() if " of a leg, strap" in k}
    assert sum(of_legs.values()) == straps
