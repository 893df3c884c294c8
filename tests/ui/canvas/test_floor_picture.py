"""The picture of a floor follows patches: it is always the one that would be read anew."""

from types import SimpleNamespace
from typing import Any

import msgspec
import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from app.model.entities import Outlet
from app.model.project import Patch, Project, adding, changing, removing
from app.model.vocabulary import WayDown
from app.ui.canvas.floor_picture import FloorPicture
from app.ui.canvas.outlet_rows import AS_KIND, WAYS
from tests.ui.canvas.building import GROUND, UPPER, outlet, small_office


class StatusDesign:
    """A design that knows a status for every port, made from its id."""

    def __init__(self, project: Project) -> None:
        ports = [(p.id, o.id) for o in project.outlets.values() for p in o.ports]
        self.runs = SimpleNamespace(
            row_of={p: i for i, (p, _) in enumerate(ports)},
            outlet_ids=tuple(o for _, o in ports),
            status=np.array([sum(map(ord, p)) % 4 for p, _ in ports], dtype=np.int8),
            counted=np.array([sum(map(ord, p)) % 3 == 0 for p, _ in ports], dtype=bool),
            estimated=np.array([sum(map(ord, p)) % 5 == 0 for p, _ in ports], dtype=bool),
        )
        self.fills: dict[str, Any] = {}


def same(one: FloorPicture, other: FloorPicture) -> bool:
    def rows(picture: FloorPicture) -> dict[str, tuple[Any, ...]]:
        out = picture.outlets
        return {
            i: (
                out.numbers[r],
                tuple(out.xy_mm[r]),
                out.turn_deg[r],
                out.looks[out.look[r]],
                out.status[r],
                out.way[r],
            )
            for i, r in out.row_of.items()
        }

    return (
        rows(one) == rows(other)
        and one.spaces == other.spaces
        and one.pathways == other.pathways
        and one.ducts == other.ducts
        and one.places == other.places
    )


edits = st.lists(
    st.tuples(
        st.sampled_from(["add", "remove", "move", "way", "other floor", "riser", "space"]),
        st.integers(0, 10_000),
    ),
    min_size=1,
    max_size=25,
)


def patch_of(project: Project, sort: str, seed: int) -> Patch | None:
    outlets = list(project.outlets.values())
    chosen: Outlet | None = outlets[seed % len(outlets)] if outlets else None
    match sort:
        case "add":
            new = outlet(5_000 + seed, seed, seed * 2, floor=(GROUND, UPPER)[seed % 2])
            return None if new.id in project else adding("add", [new])
        case "remove":
            return None if chosen is None else removing("remove", [chosen])
        case "move" if chosen is not None:
            moved = msgspec.structs.replace(
                chosen, x_mm=seed, number=str(seed), rotation_mdeg=90_000
            )
            return changing("move", [(chosen, moved)])
        case "way" if chosen is not None:
            way = (None, *WayDown)[seed % (len(WayDown) + 1)]
            return changing("way", [(chosen, msgspec.structs.replace(chosen, way_down=way))])
        case "other floor" if chosen is not None:
            there = UPPER if chosen.floor == GROUND else GROUND
            return changing("lift", [(chosen, msgspec.structs.replace(chosen, floor=there))])
        case "riser":
            riser = next(iter(project.risers.values()))
            moved_riser = msgspec.structs.replace(riser, lower=(seed, 0))
            return changing("riser", [(riser, moved_riser)])
        case "space":
            space = next(iter(project.spaces.values()))
            return changing("name", [(space, msgspec.structs.replace(space, name=str(seed)))])
    return None


@settings(deadline=None, max_examples=60)
@given(edits)
def test_following_is_reading_anew(sorts: list[tuple[str, int]]) -> None:
    project = small_office()
    pictures = [FloorPicture(project, StatusDesign(project), f) for f in (GROUND, UPPER)]
    patches = []
    for sort, seed in sorts:
        patch = patch_of(project, sort, seed)
        if patch is not None:
            patches.append(patch)
            project = followed(project, patch, pictures)
    if patches:
        project = followed(project, patches[-1].inverse(), pictures)
    for picture in pictures:
        assert same(picture, FloorPicture(project, StatusDesign(project), picture.floor_id))


def followed(project: Project, patch: Patch, pictures: list[FloorPicture]) -> Project:
    after = project.apply(patch)
    touched = frozenset(i for i in patch.ids if i.startswith("outlet-"))
    change = SimpleNamespace(everything=False, outlets=touched, pathways=frozenset())
    for picture in pictures:
        picture.follow(after, StatusDesign(after), patch, change)
    return after


def test_a_riser_stands_on_every_floor_that_it_passes() -> None:
    project = small_office()
    for floor in (GROUND, UPPER):
        assert "riser-00000001" in FloorPicture(project, None, floor).places


def test_the_box_holds_everything() -> None:
    box = FloorPicture(small_office(), None, GROUND).box()
    assert box == (0.0, 0.0, 26_500.0, 8_600.0)


def test_only_a_way_down_that_is_not_the_kinds_is_told() -> None:
    project = small_office()
    first = next(iter(project.outlets.values()))
    kind = project.outlet_kinds[first.kind]
    other = next(w for w in WayDown if w is not kind.way_down)
    for own, told in ((None, None), (kind.way_down, None), (other, other)):
        given = msgspec.structs.replace(first, way_down=own)
        after = project.apply(changing("way", [(first, given)]))
        rows = FloorPicture(after, None, first.floor).outlets
        index = int(rows.way[rows.row_of[first.id]])
        assert index == AS_KIND if told is None else WAYS[index] is told
    # What the kind is changed to, its outlets need no sign for.
    after = project.apply(
        changing("way", [(first, msgspec.structs.replace(first, way_down=other))])
    )
    picture = FloorPicture(after, None, first.floor)
    patch = changing("kind", [(kind, msgspec.structs.replace(kind, way_down=other))])
    picture.follow(after.apply(patch), None, patch, None)
    assert (picture.outlets.way == AS_KIND).all()
