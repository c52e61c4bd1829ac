"""Impossible and unsafe descriptions: an error with rule and way out, and the rest designed."""

from dataclasses import replace
from decimal import Decimal

import pytest
from sizing_jobs import (
    FEEDER,
    TABLES,
    WHIP,
    a_circuit,
    a_direct_load,
    a_job,
    codes,
    designed,
    finding_of,
    two_pole,
)

from estimator.published.sources import load_sources
from estimator.sizing.design import design_job

STRAIGHT = (replace(FEEDER, to="load_centre"),)
ONE_LEG = {"system": "120", "outlet": "L5-30"}
PAIR = (a_circuit("Left", 100, shared_neutral_with="Right"), a_circuit("Right", 200))
SUBPANEL = {"method": "subpanel", "rating_a": 60}
AUTOMATIC = {"method": "automatic_switch", "rating_a": 200}
INTERLOCK = {"method": "interlock"}
MANY = [a_circuit(f"C{n}", 10) for n in range(21)]

IMPOSSIBLE = [
    ("TWO_POLE_ON_120_V", [two_pole()], {"supply": ONE_LEG}, "120/240 V supply"),
    ("SHARED_NEUTRAL_ON_120_V", PAIR, {"supply": ONE_LEG}, "Leave both circuits out"),
    (
        "TRANSFER_RATED_BELOW_INLET",
        [a_circuit()],
        {"inlet": {"configuration": "14-50"}, "transfer": {"rating_a": 30}},
        "transfer equipment of 50 A or more",
    ),
    ("INLET_WITHOUT_NEUTRAL", [a_circuit()], {"inlet": {"configuration": "L6-30"}}, "L14-30"),
    ("INLET_WITHOUT_GROUND", [a_circuit()], {"inlet": {"configuration": "10-30"}}, "ground"),
    ("OUTLET_WITHOUT_NEUTRAL", [a_circuit()], {"supply": {"outlet": "6-50"}}, "has a neutral"),
    ("OUTLET_WITHOUT_GROUND", [a_circuit()], {"supply": {"outlet": "10-30"}}, "ground"),
    ("OUTLET_OVER_INLET", [a_circuit()], {"supply": {"outlet": "14-50"}}, "outlet of 30 A or less"),
    ("OUTLET_NOT_OF_SUPPLY", [a_circuit()], {"supply": {"system": "120"}}, "supply.system"),
    ("ADAPTER_CORD", [two_pole()], {"supply": ONE_LEG}, "no 240 V circuit"),
    ("ADAPTER_CORD", PAIR, {"supply": ONE_LEG}, "no shared neutral"),
    (
        "INTERLOCK_ON_120_V",
        [a_circuit()],
        {"supply": ONE_LEG, "transfer": INTERLOCK, "runs": STRAIGHT},
        "manual_switch",
    ),
    (
        "INTERLOCK_SPACES_TOO_FEW",
        [a_circuit()],
        {"transfer": INTERLOCK, "runs": STRAIGHT, "load_centre": {"free_spaces": 0}},
        "Move breakers",
    ),
    (
        "BACKFED_BREAKER_OVER_INLET",
        [a_circuit()],
        {"transfer": {**INTERLOCK, "rating_a": 60}, "runs": STRAIGHT},
        "breaker of 30 A",
    ),
    (
        "BACKFED_BREAKER_OVER_BUS",
        [a_circuit()],
        {"transfer": INTERLOCK, "runs": STRAIGHT, "load_centre": {"bus_a": 20, "main_a": 20}},
        "20 A or less",
    ),
    ("MAIN_OVER_BUS", [a_circuit()], {"load_centre": {"main_a": 225}}, "200 A or less"),
    (
        "SUBPANEL_BONDED",
        [a_circuit()],
        {"load_centre": {"role": "subpanel", "neutral_ground": "bonded"}},
        "separate its bars",
    ),
    ("NEUTRAL_BONDED_TWICE", [a_circuit()], {"supply": {"neutral": "bonded"}}, "Never open"),
    ("NEUTRAL_NOT_BONDED", [a_circuit()], {"transfer": {"switched_neutral": True}}, "bonded"),
    ("TRANSFER_SPACES_TOO_FEW", MANY[:5], {"transfer": {"spaces": 4}}, "made are"),
    ("TRANSFER_TOO_MANY_CIRCUITS", MANY, {}, "transfer subpanel"),
    ("TRANSFER_SPACES_TOO_FEW", MANY[:9], {"transfer": {**SUBPANEL, "spaces": 8}}, "12 x 100 A"),
    ("TRANSFER_TOO_MANY_CIRCUITS", MANY, {"transfer": SUBPANEL}, "automatic_switch"),
    ("TRANSFER_RATING_NOT_MADE", [a_circuit()], {"transfer": {"rating_a": 60}}, "50 A or less"),
    (
        "TRANSFER_RATING_NOT_MADE",
        [a_circuit()],
        {"transfer": {**SUBPANEL, "rating_a": 150}},
        "125 A or less",
    ),
    ("RATING_NOT_STANDARD", [a_circuit()], {"transfer": {**SUBPANEL, "rating_a": 55}}, "50 A or"),
    (
        "FEEDER_BREAKER_OVER_BUS",
        [a_circuit()],
        {"transfer": {**SUBPANEL, "rating_a": 225}},
        "200 A or less",
    ),
    (
        "FEEDER_BREAKER_SPACES",
        [a_circuit()],
        {"transfer": SUBPANEL, "load_centre": {"free_spaces": 0}},
        "Move one more circuit",
    ),
    (
        "SUBPANEL_RUN_IN_CABLE",
        [a_circuit()],
        {"transfer": SUBPANEL, "runs": (FEEDER, replace(WHIP, wiring_method="NM-B"))},
        "EMT",
    ),
    (
        "AUTOMATIC_SWITCH_BELOW_MAIN",
        [a_circuit()],
        {"transfer": {**AUTOMATIC, "rating_a": 100}},
        "a main of 100 A",
    ),
    (
        "AUTOMATIC_RUN_IN_CABLE",
        [a_circuit()],
        {
            "transfer": AUTOMATIC,
            "runs": (FEEDER, replace(WHIP, wiring_method="SER")),
            "load_centre": {"role": "subpanel", "neutral_ground": "separate"},
        },
        "Use a raceway",
    ),
    (
        "SUPPLY_OVERLOADED",
        [two_pole(watts=8000)],
        {"transfer": AUTOMATIC},
        "Add load management",
    ),
    (
        "SUPPLY_SURGE_TOO_LOW",
        [two_pole(watts=3000, starting_w=Decimal(20000))],
        {"transfer": AUTOMATIC},
        "Add load management",
    ),
    ("LEG_OVERLOADED", [a_circuit(watts=5000)], {"transfer": AUTOMATIC}, "Add load management"),
    ("CIRCUIT_OVER_TRANSFER", [two_pole(breaker_a=60)], {}, "60 A or more"),
    (
        "SHARED_NEUTRAL_UNCLEAR",
        [a_circuit("A", 100, shared_neutral_with="Nobody")],
        {},
        "exactly two one-pole circuits",
    ),
    ("INLET_NOT_OUTDOORS", [a_circuit()], {"inlet": {"place": "indoor"}}, "outside wall"),
    (
        "DIRECT_LOAD_OVER_OUTLET",
        [a_circuit()],
        {"direct_loads": (a_direct_load("Heater", 1801),)},
        "an outlet of 16 A or more",
    ),
    (
        "DIRECT_LOAD_NEEDS_240_V",
        [a_circuit()],
        {"supply": ONE_LEG, "direct_loads": (a_direct_load("Car", 100, outlet="14-50"),)},
        "120/240 V supply",
    ),
    (
        "SWITCH_RUN_IN_CABLE",
        [a_circuit()],
        {
            "runs": (FEEDER, replace(WHIP, wiring_method="NM-B")),
            "transfer": {"factory_whip": False},
        },
        "factory whip or a raceway",
    ),
    ("RUN_MISSING", [a_circuit()], {"runs": ()}, "Add a run"),
]


@pytest.mark.parametrize(
    ("code", "circuits", "changes", "remedy"), IMPOSSIBLE, ids=lambda value: str(value)[:40]
)
def test_error_names_rule_and_remedy_and_the_rest_is_designed(code, circuits, changes, remedy):
    design = designed(*circuits, **changes)

    finding = finding_of(design, code)
    assert finding.severity == "error"
    assert remedy in finding.remedy
    assert finding.where.startswith("/")
    source = load_sources()[finding.source]
    assert source.document.startswith("NFPA 70")
    assert len(design.circuits) == len(circuits)
    assert len(design.runs) == len(changes.get("runs", (FEEDER, WHIP)))
    assert design.load_study.running_w > 0
    assert design.cord.conductor_size


@pytest.mark.parametrize("amps", [100, 200])
def test_inlet_of_100_a_needs_a_disconnect(amps):
    big = replace(TABLES.configurations["14-50"], configuration="large", amps=amps)
    tables = replace(TABLES, configurations={**TABLES.configurations, "large": big})
    job = a_job(a_circuit(), inlet={"configuration": "large"}, transfer={"rating_a": amps})

    design = design_job(job, tables)

    finding = finding_of(design, "INLET_NEEDS_DISCONNECT")
    assert finding.severity == "error"
    assert "itself rated as a disconnect" in finding.remedy


def test_inlet_of_50_a_needs_none():
    design = designed(a_circuit(), inlet={"configuration": "14-50"}, transfer={"rating_a": 50})

    assert "INLET_NEEDS_DISCONNECT" not in codes(design)


def test_outlet_above_every_cord_is_an_error():
    big = replace(TABLES.configurations["14-50"], configuration="huge", amps=400)
    tables = replace(TABLES, configurations={**TABLES.configurations, "huge": big})
    job = a_job(a_circuit(), supply={"outlet": "huge"})

    finding = finding_of(design_job(job, tables), "CORD_BELOW_OUTLET")

    assert finding.severity == "error"
    assert "lower rating" in finding.remedy


@pytest.mark.parametrize(("watts", "found"), [(1800, False), (1801, True)])
def test_direct_load_may_take_what_its_outlet_gives(watts, found):
    design = designed(a_circuit(), direct_loads=(a_direct_load(watts=watts),))

    assert ("DIRECT_LOAD_OVER_OUTLET" in codes(design)) is found


@pytest.mark.parametrize(("watts", "found"), [(900, False), (901, True)])
def test_direct_loads_on_one_outlet_are_added(watts, found):
    loads = (a_direct_load("A", 900), a_direct_load("B", watts))

    design = designed(a_circuit(), direct_loads=loads)

    assert ("DIRECT_LOADS_OVER_OUTLET" in codes(design)) is found
    if found:
        finding = finding_of(design, "DIRECT_LOADS_OVER_OUTLET")
        assert finding.severity == "warning"
        assert "A, B together take 15.1 A" in finding.message


def test_240_v_direct_load_is_measured_at_240_v():
    fitting = designed(a_circuit(), direct_loads=(a_direct_load("Car", 12000, outlet="14-50"),))
    over = designed(a_circuit(), direct_loads=(a_direct_load("Car", 12001, outlet="14-50"),))

    assert "DIRECT_LOAD_OVER_OUTLET" not in codes(fitting)
    assert "50.1 A, more than the 50 A" in finding_of(over, "DIRECT_LOAD_OVER_OUTLET").message


def test_direct_load_on_the_form_of_the_cord_is_warned_about():
    design = designed(a_circuit(), direct_loads=(a_direct_load("Car", 900, outlet="L14-30"),))

    finding = finding_of(design, "DIRECT_LOAD_ON_CORD_OUTLET")
    assert (finding.severity, finding.where) == ("warning", "/direct_loads/0/outlet")


@pytest.mark.parametrize(
    ("supply", "expected"),
    [
        ({"kind": "generator", "continuous_w": Decimal(15000)}, set()),
        ({"kind": "generator", "continuous_w": Decimal(15001)}, {"GENERATOR_DISCONNECT"}),
        (
            {"kind": "generator", "portable": False},
            {"GENERATOR_DISCONNECT", "GENERATOR_SHUTDOWN", "SERVICE_SIGN"},
        ),
        ({"kind": "battery", "portable": False}, {"FIXED_STORAGE", "SERVICE_SIGN"}),
        ({"kind": "battery", "portable": True}, set()),
    ],
)
def test_supply_that_is_large_or_fixed_has_rules_of_its_own(supply, expected):
    watched = {"GENERATOR_DISCONNECT", "GENERATOR_SHUTDOWN", "SERVICE_SIGN", "FIXED_STORAGE"}

    design = designed(a_circuit(), supply={"surge_w": None, **supply})

    assert codes(design) & watched == expected


@pytest.mark.parametrize(
    ("kind", "outlet", "watts", "found"),
    [
        ("generator", "5-20", 7200, True),
        ("generator", "5-20", 15000, True),
        ("generator", "L5-30", 7200, False),
        ("generator", "5-20", 15001, False),
        ("power_station", "5-20", 7200, False),
    ],
)
def test_small_outlets_of_a_generator_need_ground_fault_protection(kind, outlet, watts, found):
    design = designed(
        a_circuit(),
        direct_loads=(a_direct_load(outlet=outlet),),
        supply={"kind": kind, "continuous_w": Decimal(watts), "surge_w": None},
    )

    assert ("GENERATOR_OUTLETS_GFCI" in codes(design)) is found


@pytest.mark.parametrize(
    ("switched", "text"), [(False, "neutral floats"), (True, "neutral is bonded")]
)
def test_sign_at_the_inlet_says_which_supply_it_is_for(switched, text):
    design = designed(
        a_circuit(),
        transfer={"switched_neutral": switched},
        supply={"neutral": "bonded" if switched else "floating"},
    )

    finding = finding_of(design, "INLET_SIGN")
    assert text in finding.message
    assert finding.source == "nec_signs_inlet"


def test_service_with_separate_bars_is_warned_about():
    design = designed(a_circuit(), load_centre={"neutral_ground": "separate"})

    assert finding_of(design, "SERVICE_NOT_BONDED").severity == "warning"


@pytest.mark.parametrize(
    ("outlet", "inlet", "code", "severity"),
    [
        ("14-30", "L14-30", "CORD_ENDS_DIFFER", "note"),
        ("SS2-50", "CS6375", "CORD_ENDS_DIFFER", "note"),
        ("L14-30", "L5-30", "ADAPTER_CORD", "warning"),
        ("L14-30", "L14-30", None, None),
    ],
)
def test_ends_of_the_cord_mate_or_are_told(outlet, inlet, code, severity):
    design = designed(
        a_circuit(),
        supply={"outlet": outlet},
        inlet={"configuration": inlet},
        transfer={"rating_a": 50},
    )

    found = [
        (f.code, f.severity)
        for f in design.findings
        if f.code in ("CORD_ENDS_DIFFER", "ADAPTER_CORD")
    ]
    assert found == ([(code, severity)] if code else [])


@pytest.mark.parametrize(
    ("peak", "found"), [(6480, False), (6481, True), (7200, True), (7201, False)]
)
def test_starting_peak_near_the_surge_rating_is_warned_about(peak, found):
    design = designed(
        two_pole(watts=1000, starting_w=Decimal(peak)),
        supply={"continuous_w": Decimal(7200), "surge_w": Decimal(7200)},
    )

    assert ("STARTING_PEAK_MARGINAL" in codes(design)) is found
