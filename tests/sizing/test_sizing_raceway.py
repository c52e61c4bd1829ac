"""Raceways: fill, trade size, jam, pull points, expansion and where each may be."""

from dataclasses import replace
from decimal import Decimal

import pytest
from sizing_jobs import (
    TABLES,
    a_circuit,
    codes,
    designed,
    finding_of,
    two_pole,
    with_feeder,
    with_switch_run,
)

from estimator.sizing.bends import even_segments, pull_points
from estimator.sizing.fill import fill_limit_percent, fill_percent, holds
from estimator.sizing.raceway import raceway_findings, smallest_raceway

THHN = TABLES.dimensions["THHN/THWN-2"]


def bends(*degrees):
    return tuple(Decimal(degree) for degree in degrees)


@pytest.mark.parametrize(("count", "percent"), [(1, 53), (2, 31), (3, 40), (4, 40), (60, 40)])
def test_fill_limit_depends_on_the_number_of_conductors(count, percent):
    assert fill_limit_percent(count, False, TABLES) == percent
    assert fill_limit_percent(count, True, TABLES) == 60


def test_fill_is_area_over_area_with_the_equipment_ground():
    bundle = ((THHN["6 AWG"], 3), (THHN["10 AWG"], 1))
    inside = dict(TABLES.raceways["PVC-40"])["3/4"]

    percent = fill_percent(bundle, inside)

    # 3 x 0.254 squared and 0.164 squared over 0.804 squared.
    assert percent.quantize(Decimal("0.01")) == Decimal("34.10")


def test_conductors_of_one_size_are_counted_and_mixed_ones_measured():
    inside = dict(TABLES.raceways["EMT"])["1/2"]

    assert holds(((THHN["12 AWG"], 9),), inside, False, TABLES)
    assert not holds(((THHN["12 AWG"], 10),), inside, False, TABLES)
    assert holds(((THHN["12 AWG"], 5), (THHN["10 AWG"], 2)), inside, False, TABLES)
    assert not holds(((THHN["12 AWG"], 6), (THHN["10 AWG"], 2)), inside, False, TABLES)


def test_count_rounded_up_from_0_8_may_pass_the_limit_and_says_so():
    row = TABLES.dimensions["RHW-2/USE-2"]["10 AWG"]

    choice = smallest_raceway("FMC", ((row, 4),), False, TABLES)

    assert choice.trade_size == "1/2"
    assert choice.by_rounding
    assert Decimal("42") < choice.fill_percent < Decimal("42.2")


@pytest.mark.parametrize(
    ("raceway", "size"),
    [("EMT", "1/2"), ("PVC-40", "1/2"), ("PVC-80", "1/2"), ("FMC", "1/2"), ("LFMC", "1/2"),
     ("LFNC-B", "1/2"), ("RMC", "1/2"), ("IMC", "1/2"), ("ENT", "1/2")],
)  # fmt: skip
def test_every_raceway_is_sized_and_none_below_one_half(raceway, size):
    design = designed(a_circuit(), runs=with_feeder(wiring_method=raceway))

    run = design.runs[0]
    assert run.trade_size == size
    assert run.fill_percent <= run.fill_limit_percent == 40
    assert any(reason.source == "nec_ch9_t1" for reason in run.because)


def test_conductors_that_no_raceway_holds_are_an_error():
    runs = with_feeder(wiring_method="ENT", length_ft=Decimal(1900))

    design = designed(a_circuit(), runs=runs, voltage_drop_target_percent=Decimal("2.5"))

    finding = finding_of(design, "NO_RACEWAY_HOLDS")
    assert finding.severity == "error"
    assert "come larger" in finding.remedy
    assert design.runs[0].trade_size is None


def test_tight_fill_is_noted_with_the_next_size():
    bundle = ((THHN["6 AWG"], 4),)

    choice = smallest_raceway("PVC-40", bundle, False, TABLES)
    (note,) = raceway_findings(choice, "PVC-40", "/runs/0", TABLES)

    assert (choice.trade_size, choice.next_size) == ("3/4", "1")
    assert (note.severity, note.code) == ("note", "FILL_TIGHT")
    assert "Take 1 PVC-40" in note.remedy


@pytest.mark.parametrize(
    ("size", "raceway", "trade_size", "jams"),
    [
        ("8 AWG", "EMT", "1/2", True),
        ("10 AWG", "EMT", "1/2", False),
        ("6 AWG", "EMT", "3/4", False),
    ],
)
def test_three_conductors_that_may_jam_are_noted(size, raceway, trade_size, jams):
    # 0.622 / 0.216 is 2.88; 0.622 / 0.164 is 3.79; 0.824 / 0.254 is 3.24.
    choice = smallest_raceway(raceway, ((THHN[size], 3),), False, TABLES)

    found = [note for note in raceway_findings(choice, raceway, "", TABLES) if "JAM" in note.code]

    assert choice.trade_size == trade_size
    assert bool(found) is jams
    if jams:
        assert "Take 3/4 EMT" in found[0].remedy


@pytest.mark.parametrize(
    ("low", "high", "jams"),
    [("1", "9", True), ("0.001", "1", True), ("1.001", "9", False), ("0.001", "0.999", False)],
)
def test_the_limits_of_the_jam_ratio_belong_to_it(low, high, jams):
    ratio = Decimal("0.622") / Decimal("0.216")
    limits = replace(
        TABLES.limits, jam_ratio_low=ratio * Decimal(low), jam_ratio_high=ratio * Decimal(high)
    )

    choice = smallest_raceway("EMT", ((THHN["8 AWG"], 3),), False, replace(TABLES, limits=limits))

    assert choice.jam_ratio == (ratio if jams else None)


@pytest.mark.parametrize(
    ("degrees", "points"),
    [
        ((), 0),
        ((360,), 0),
        ((90, 90, 90, 90), 0),
        ((90, 90, 90, 90, 1), 1),
        ((361,), 1),
        ((450,), 1),
        ((720,), 1),
        ((721,), 2),
        ((180, 180, 90, 270, 45), 2),
        ((45,) * 16, 1),
        ((45,) * 17, 2),
    ],
)
def test_pull_points_are_placed_in_order(degrees, points):
    assert pull_points(bends(*degrees), Decimal(360)) == points


@pytest.mark.parametrize(("length", "points"), [("18", 0), ("100", 2), ("0.5", 6)])
def test_segments_sum_to_the_length(length, points):
    segments = even_segments(Decimal(length), points)

    assert len(segments) == points + 1
    assert sum(segments) == Decimal(length)
    assert max(segments) - min(segments) <= Decimal("0.05")


def test_run_with_too_many_bends_gets_a_pull_point():
    design = designed(runs=with_feeder(bends_deg=bends(90, 90, 90, 90, 90)))

    finding = finding_of(design, "PULL_POINT_ADDED")
    assert finding.severity == "note"
    assert "450 degrees in all" in finding.message
    assert "fewer bends" in finding.remedy
    assert design.runs[0].pull_points == 1
    assert design.runs[0].segments_ft == (9, 9)


@pytest.mark.parametrize(
    ("degrees", "code", "text"),
    [
        ((180, 180), None, ""),
        ((181, 90), "BEND_IMPOSSIBLE", "List each bend"),
        ((720,), None, ""),
        ((721,), "BENDS_IMPOSSIBLE", "Correct bends_deg"),
        ((1000,), "BENDS_IMPOSSIBLE", "straighter way"),
        ((90,) * 9, "BENDS_IMPOSSIBLE", "boxes between"),
    ],
)
def test_bends_that_nobody_can_make_are_an_error(degrees, code, text):
    design = designed(runs=with_feeder(bends_deg=bends(*degrees)))

    found = [f for f in design.findings if f.code in ("BEND_IMPOSSIBLE", "BENDS_IMPOSSIBLE")]
    assert [f.code for f in found] == ([code] if code else [])
    for error in found:
        assert (error.severity, error.where) == ("error", "/runs/0/bends_deg")
        assert text in error.remedy
    assert design.runs[0].pull_points == (max(sum(degrees) - 1, 0)) // 360
    assert design.runs[0].conductors


def test_total_of_bends_has_no_limit_in_cable():
    design = designed(runs=with_feeder(wiring_method="NM-B", bends_deg=bends(1000)))

    assert "BENDS_IMPOSSIBLE" not in codes(design)
    assert design.runs[0].pull_points == 0


@pytest.mark.parametrize(
    ("change_c", "sun", "length", "fittings", "change"),
    [
        # 40 F over 15 ft is 0.243 in: no fitting.
        ("22.2222", False, 15, 0, "0.243"),
        ("22.2222", False, 16, 1, "0.260"),
        # 72 F and 30 F for the sun over 90 ft: 3.72 in, one fitting of 4 in.
        ("40", True, 90, 1, "3.723"),
        ("40", True, 100, 2, "4.137"),
        ("0", False, 90, 0, "0.000"),
    ],
)
def test_pvc_gets_expansion_fittings_from_a_quarter_inch(change_c, sun, length, fittings, change):
    runs = with_feeder(
        wiring_method="PVC-40",
        length_ft=Decimal(length),
        temperature_change_c=Decimal(change_c),
        sun_exposed=sun,
        place="outdoor",
    )

    run = designed(a_circuit(), runs=runs).runs[0]

    assert run.expansion_fittings == fittings
    assert run.expansion_change_in == Decimal(change)


@pytest.mark.parametrize("changes", [{"wiring_method": "EMT"}, {"place": "underground"}])
def test_no_expansion_in_metal_or_underground(changes):
    run = designed(runs=with_feeder(**{"wiring_method": "PVC-80", **changes})).runs[0]

    assert run.expansion_fittings == 0
    assert run.expansion_change_in is None


@pytest.mark.parametrize(
    ("changes", "code", "text"),
    [
        ({"wiring_method": "NM-B", "exposure": "damp"}, "METHOD_NOT_FOR_WET_PLACE", "wet-rated"),
        ({"wiring_method": "NM-B", "place": "outdoor"}, "METHOD_NOT_FOR_WET_PLACE", "PVC-80"),
        ({"wiring_method": "FMC", "exposure": "wet"}, "METHOD_NOT_FOR_WET_PLACE", "LFMC"),
        (
            {"wiring_method": "ENT", "place": "outdoor", "sun_exposed": True},
            "METHOD_NOT_FOR_SUN",
            "EMT, IMC, RMC, PVC-40",
        ),
        ({"wiring_method": "PVC-40", "ambient_c": Decimal(51)}, "METHOD_TOO_HOT", "EMT, IMC"),
        ({"wiring_method": "PVC-80", "ambient_c": Decimal(51)}, "METHOD_TOO_HOT", "cooler way"),
        ({"wiring_method": "ENT", "ambient_c": Decimal(51)}, "METHOD_TOO_HOT", "cooler way"),
        ({"wiring_method": "NM-B", "place": "underground"}, "METHOD_NOT_UNDERGROUND", "UF-B"),
        ({"wiring_method": "MC", "exposure": "wet"}, "METHOD_NOT_FOR_WET_PLACE", "PVC-80"),
    ],
)
def test_method_in_the_wrong_place_is_an_error_that_says_what_may_be(changes, code, text):
    design = designed(runs=with_feeder(**changes))

    finding = finding_of(design, code)
    assert finding.severity == "error"
    assert text in finding.remedy
    assert design.runs[0].conductors


@pytest.mark.parametrize(
    "changes",
    [
        {"wiring_method": "NM-B"},
        {"wiring_method": "FMC", "exposure": "damp"},
        {"wiring_method": "LFMC", "exposure": "wet", "place": "outdoor", "sun_exposed": True},
        {"wiring_method": "LFNC-B", "exposure": "wet"},
        {"wiring_method": "PVC-80", "ambient_c": Decimal(50), "place": "outdoor"},
        {"wiring_method": "EMT", "exposure": "wet", "place": "outdoor", "sun_exposed": True},
        {"wiring_method": "RMC", "exposure": "wet", "ambient_c": Decimal(60)},
    ],
)
def test_method_in_its_place_gives_no_error(changes):
    design = designed(a_circuit(), runs=with_feeder(**changes))

    assert not [finding for finding in design.findings if finding.severity == "error"]


@pytest.mark.parametrize(("length", "warned"), [("6", False), ("6.1", True)])
def test_circuits_lengthened_over_six_feet_need_afci(length, warned):
    design = designed(
        a_circuit("Bedroom"),
        two_pole("Pump"),
        runs=with_switch_run(length_ft=Decimal(length)),
        transfer={"factory_whip": False},
    )

    assert ("AFCI_EXTENSION" in codes(design)) is warned
    if warned:
        finding = finding_of(design, "AFCI_EXTENSION")
        assert finding.severity == "warning"
        assert "within 6 ft" in finding.remedy
        assert "Bedroom" in finding.remedy
        assert "Pump" not in finding.remedy


def test_circuits_with_afci_already_are_not_warned_about():
    design = designed(
        a_circuit(protection="afci"),
        runs=with_switch_run(length_ft=Decimal(20)),
        transfer={"factory_whip": False},
    )

    assert "AFCI_EXTENSION" not in codes(design)


@pytest.mark.parametrize(("gutter", "crowded"), [("1.49", True), ("1.50", False), ("4", False)])
def test_wiring_space_of_the_load_centre_is_filled_to_75_percent_with_splices(gutter, crowded):
    # 6 x 14, 12 x 12 and 2 x 10 AWG take 0.26 in2, six splices of 0.55 in 1.4255 in2; together
    # 1.6855 in2 of the 1.6875 in2 that are 75 % of 1.50 in squared.
    circuits = [a_circuit(f"C{n}", breaker_a=15 + 5 * (n % 2)) for n in range(6)]

    design = designed(*circuits, load_centre={"gutter_in": Decimal(gutter)})

    assert ("LOAD_CENTRE_CROWDED" in codes(design)) is crowded
    if crowded:
        assert "junction box" in finding_of(design, "LOAD_CENTRE_CROWDED").remedy
