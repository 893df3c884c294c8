"""Power classes, optical loss, separation and room sizes against printed values."""

import pytest

from app.standards import StandardsDataError, load_rules
from app.standards.optical import link_loss_db, link_loss_limit_db
from app.standards.power import (
    device_watts,
    loop_ohm,
    power_at_device_w,
    power_class_number,
    source_watts,
    voltage_at_device_v,
)
from app.standards.rooms import (
    equipment_room_area_m2,
    outlets_wanted,
    room_area_by_outlets_m2,
    room_size_m,
    rooms_needed,
)
from app.standards.separation import separation_mm

RULES = load_rules()


@pytest.mark.parametrize(
    ("power_class", "source_w", "device_w"),
    [
        (0, 15.4, 12.95),
        (1, 4, 3.84),
        (2, 7, 6.49),
        (3, 15.4, 12.95),
        (4, 30, 25.5),
        (5, 45, 40),
        (6, 60, 51),
        (7, 75, 62),
        (8, 90, 71.3),
    ],
)
def test_power_classes_follow_from_source_and_cable(power_class, source_w, device_w):
    # IEEE 802.3 cl. 33 and 145 (TRENDnet TC-NTP1 manual p. 7). The device's share follows from
    # voltage and loop (method: studylib 18277218); printed figures round by up to 0.1 W.
    assert source_watts(RULES, power_class=power_class) == source_w
    assert device_watts(RULES, power_class=power_class) == device_w
    arrives = power_at_device_w(
        source_w=source_w,
        source_v=power_class_number(RULES, power_class=power_class, column="source_v"),
        loop_ohm=power_class_number(RULES, power_class=power_class, column="loop_ohm"),
    )
    assert arrives == pytest.approx(device_w, abs=0.1)


@pytest.mark.parametrize(("power_class", "least_v"), [(3, 37.0), (4, 42.5), (6, 42.5), (8, 41.1)])
def test_voltage_at_the_device_is_the_least_that_the_standard_allows(power_class, least_v):
    # TRENDnet TC-NTP1 manual p. 7: 37, 42.5, 42.5, 41.1 V.
    found = voltage_at_device_v(
        source_w=source_watts(RULES, power_class=power_class),
        source_v=power_class_number(RULES, power_class=power_class, column="source_v"),
        loop_ohm=power_class_number(RULES, power_class=power_class, column="loop_ohm"),
    )
    assert found == pytest.approx(least_v, abs=0.1)


def test_the_loop_that_power_sees():
    # A channel of 25 ohm (Fluke Networks, Skinny 28 AWG) is 12.5 ohm to two-pair and 6.25 ohm
    # to four-pair power (studylib 18277218 for 12.5).
    conductor = RULES.number("power.dc_loop_channel") / 2
    two = loop_ohm(length_m=100, ohm_per_100_m=conductor, pairs=2)
    four = loop_ohm(length_m=100, ohm_per_100_m=conductor, pairs=4)
    assert two == RULES.number("power.loop_two_pairs")
    assert four == 6.25


def test_an_unknown_class_is_refused():
    with pytest.raises(StandardsDataError, match="no power class 9"):
        device_watts(RULES, power_class=9)


@pytest.mark.parametrize(("end_db", "expected_db"), [(0.75, 5.55), (0.30, 4.65)])
def test_loss_of_an_optical_link(end_db, expected_db):
    # Viavi SmartClass OLTS-85 manual p. 44: 842 m, 3.5 dB/km, two inner pairs, one splice.
    found = link_loss_db(
        length_m=842,
        loss_db_per_km=3.5,
        connections_db=(end_db, end_db, 0.45, 0.45),
        splices_db=(0.2,),
    )
    assert found == pytest.approx(expected_db, abs=0.005)


def test_the_limit_of_an_optical_link_takes_the_standard_maxima():
    # TIA-568.3-D maxima: 3.5 dB/km (FOA text), 0.75 dB a pair (FOA text), splice 0.3 (memory).
    found = link_loss_limit_db(
        RULES, length_m=1000, fibre="OM2", wavelength_nm=850, connections=2, splices=1
    )
    assert found == pytest.approx(3.5 + 1.5 + 0.3)
    with pytest.raises(StandardsDataError, match="OM9 at 850"):
        link_loss_limit_db(
            RULES, length_m=1, fibre="OM9", wavelength_nm=850, connections=0, splices=0
        )


def test_fibre_channel_budget_falls_with_rate_and_rises_with_fibre():
    # IBM LinuxONE, SX multimode link specifications: spot cells and the order of the table.
    reach = RULES.table("optical.fibre_channel_reach")
    loss = RULES.table("optical.fibre_channel_loss")
    assert reach.rows[3] == ("8G", 21, 50, 150, 190)
    assert loss.rows[3] == ("8G", 1.58, 1.68, 2.04, 2.19)
    for table in (reach, loss):
        for column in ("OM1", "OM2", "OM3", "OM4"):
            cells = [c for c in table.column(column) if c is not None]
            assert cells == sorted(cells, reverse=True)


# Elboken 2017 p. 528, printed rows for 1-3, 4-6 … circuits. Row b open prints 400 as its last
# cell where S × P gives 450: taken as a slip of the page and left out.
SEPARATION_ROWS = [
    ("b", "none", (20, 40, 60, 80, 100, 200, 300, 400, 500, 600)),
    ("b", "open_metal", (15, 30, 45, 60, 75, 150, 225, 300, 375)),
    ("c", "open_metal", (8, 15, 23, 30, 38, 76, 114, 152, 190, 228)),
    ("d", "none", (2, 4, 6, 8, 10, 20)),
    ("d", "open_metal", (2, 3, 5, 6, 8, 16, 24, 32, 40, 48)),
    ("d", "solid", (0, 0, 0, 0, 0, 0, 0, 0, 0, 0)),
]
CIRCUITS = (3, 6, 9, 12, 15, 30, 45, 60, 75, 76)


@pytest.mark.parametrize(("cable_class", "containment", "printed"), SEPARATION_ROWS)
def test_separation_from_power(cable_class, containment, printed):
    for circuits, expected in zip(CIRCUITS, printed, strict=False):
        found = separation_mm(
            RULES, cable_class=cable_class, containment=containment, circuits=circuits
        )
        assert found == expected


def test_separation_of_the_edition_of_2000():
    # EN 50174-2:2000 (pdfmaal 246609; scribd 501746516).
    table = RULES.table("separation.by_screen_2000")
    assert [row[2:] for row in table.rows] == [
        (200, 100, 50),
        (50, 20, 5),
        (30, 10, 2),
        (0, 0, 0),
    ]


@pytest.mark.parametrize(
    ("area_m2", "size_m"),
    [
        (100, (3.0, 2.2)),
        (500, (3.0, 2.2)),
        (501, (3.0, 2.8)),
        (800, (3.0, 2.8)),
        (1000, (3.0, 3.4)),
        (1001, None),
    ],
)
def test_room_by_area_served(area_m2, size_m):
    # EIA/TIA-569 Table 7.2-1 (MIL-HDBK-1012/3, sheet 30052; Black Box guide p. 24).
    assert room_size_m(RULES, area_served_m2=area_m2) == size_m


@pytest.mark.parametrize(("area_m2", "rooms"), [(10, 1), (1000, 1), (1001, 2), (2500, 3)])
def test_rooms_by_area(area_m2, rooms):
    # MIL-HDBK-1012/3, sheet 30052: usable area / 1000 m², rounded up.
    assert rooms_needed(RULES, area_served_m2=area_m2) == rooms


def test_equipment_room_by_work_areas():
    # cablingfiberoptic.blogspot 2011/08 (150, 400, 800, 1200 ft²); metric from memory.
    assert [equipment_room_area_m2(RULES, work_areas=n) for n in (100, 101, 400, 1200)] == [
        14,
        37,
        37,
        111,
    ]
    assert equipment_room_area_m2(RULES, work_areas=1201) is None
    table = RULES.table("frames.equipment_room_size")
    for feet, metres in zip(table.numbers("area_ft2"), table.numbers("area_m2"), strict=True):
        assert feet * 0.3048**2 == pytest.approx(metres, abs=0.5)


def test_room_by_outlets():
    # TIA-569-C: memory.
    assert room_area_by_outlets_m2(RULES, outlets=201) == 36


def test_work_areas_of_ten_thousand_square_feet():
    # MIL-HDBK-1012/3, sheet 30026: 10 000 ft² / 100 = 100; 10 m² is the metric of 100 ft².
    assert outlets_wanted(RULES, use="open_office", area_m2=1000) == 100


@pytest.mark.parametrize(
    ("use", "area_m2", "outlets"),
    [
        # practice: rounded up, at least one in a room that is not excluded
        ("open_office", 114.0, 12),
        ("open_office", 1.0, 1),
        ("office", 12.0, 2),
        ("office", 31.0, 4),
        ("reception", 500.0, 2),
        ("lift_shaft", 6.0, 0),
        ("toilet", 20.0, 0),
    ],
)
def test_outlets_of_a_space(use, area_m2, outlets):
    assert outlets_wanted(RULES, use=use, area_m2=area_m2) == outlets


def test_termination_field_colours():
    # TIA-606 (brainscape ch. 11).
    table = RULES.table("administration.termination_fields")
    colours = dict(zip(table.column("field"), table.column("colour"), strict=True))
    assert colours["demarcation point"] == "orange"
    assert colours["horizontal"] == "blue"
    assert colours["first-level backbone"] == "white"
