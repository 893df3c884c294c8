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

from app.design import Design, evaluate
from app.resource_files import sample_path
from app.sheets.takeoff_tables import takeoff_tables
from app.storage.project_file import load_project
from app.takeoff.takeoff import take_off

PLATES = {"faceplate": "Faceplate", "surface_box": "Surface box", "floor_box": "Floor box"}
WAYS = {"service_pole": "Service pole", "outdoor_conduit": "Outdoor conduit to an outlet"}
SUPPORTS_MM = {"basket": 1_500, "ladder": 2_000, "conduit": 3_000}


class Counted:
    """One sample: its tables as JSON has them, its design, and its bill by item."""

    def __init__(self, name: str) -> None:
        path = sample_path(f"{name}.drawcord")
        with zipfile.ZipFile(path) as archive:
            self.tables = json.loads(archive.read("project.json"))["tables"]
        self.design: Design = evaluate(load_project(path).project)
        tables = takeoff_tables(self.design, take_off(self.design))
        self.bill: Counter[str] = Counter()
        for row in tables[0].rows:
            self.bill[str(row[1])] += row[2] or 0  # type: ignore[operator]
        self.kinds = {kind["id"]: kind for kind in self.tables["outlet-kind"]}

    def has_route(self, port: dict) -> bool:  # type: ignore[type-arg]
        runs = self.design.runs
        return bool(runs.frame_index[runs.row_of[port["id"]]] >= 0)

    def leg_mm(self, outlet: dict) -> int:  # type: ignore[type-arg]
        runs = self.design.runs
        return max(int(runs.leg_mm[runs.row_of[p["id"]]]) for p in outlet["ports"])

    def billed(self, beginning: str) -> Counter[str]:
        return Counter({k: n for k, n in self.bill.items() if k.startswith(beginning) and n})


@pytest.fixture(scope="module", params=["ferry-terminal", "small-office"])
def sample(request: pytest.FixtureRequest) -> Counted:
    return Counted(request.param)


def ceiling(share: float) -> int:
    return math.ceil(share - 1e-9)


def test_plates_and_ways_down(sample: Counted) -> None:
    plates: Counter[str] = Counter()
    ways: Counter[str] = Counter()
    for outlet in sample.tables["outlet"]:
        kind, ports = sample.kinds[outlet["kind"]], len(outlet["ports"])
        if any(p["termination"] == "jack" for p in outlet["ports"]):
            plates[f"{PLATES[kind['fixture']]} for {ports} port{'s' * (ports > 1)}"] += 1
        ways[WAYS.get(outlet["way_down"] or kind["way_down"], "")] += 1
    for plate in PLATES.values():
        assert sample.billed(plate) == Counter(
            {k: n for k, n in plates.items() if k.startswith(plate)}
        )
    for way in WAYS.values():
        assert sample.bill[way] == ways[way]


def test_what_ends_and_tests_the_runs(sample: Counted) -> None:
    ports = [p for o in sample.tables["outlet"] for p in o["ports"]]
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
    for outlet in sample.tables["outlet"]:
        symbol = sample.kinds[outlet["kind"]]["symbol"]
        for port in filter(sample.has_route, outlet["ports"]):
            at_frame[sample.design.runs.frame_of(sample.design.runs.row_of[port["id"]])] += 1
            if port["termination"] == "jack":
                cords[{"access_point": "2 m", "camera": "1 m"}.get(symbol, "3 m")] += 1
    panels = sum(ceiling(ceiling(n * 1.25) / 24) for n in at_frame.values())
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
    for outlet in sample.tables["outlet"]:
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
