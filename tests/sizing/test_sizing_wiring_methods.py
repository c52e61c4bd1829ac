"""Where each wiring method may be: weather, sun, earth, heat, damage."""

from decimal import Decimal
from itertools import product
from typing import get_args

import pytest
from sizing_jobs import TABLES, a_circuit, codes, designed, finding_of, with_feeder

from estimator.job.records import WiringMethod
from estimator.published.sources import load_sources
from estimator.sizing.table_rows import Condition
from estimator.sizing.wiring_checks import permitted_instead, place_condition

METHODS = get_args(WiringMethod)
CONDITIONS = get_args(Condition)
PLACES = {
    "dry": {"place": "indoor", "exposure": "dry"},
    "damp": {"place": "indoor", "exposure": "damp"},
    "wet": {"place": "indoor", "exposure": "wet"},
    "outdoor": {"place": "outdoor", "exposure": "wet"},
    "underground": {"place": "underground", "exposure": "wet", "depth_in": Decimal(30)},
}
# Which methods may be where, from the articles and apart from the data file.
NOT_THERE = {
    "dry": set(),
    "damp": {"NM-B"},
    "wet": {"NM-B", "FMC", "MC"},
    "outdoor": {"NM-B", "FMC", "MC", "ENT"},
    "underground": {"NM-B", "FMC", "MC", "ENT", "SER"},
}
PLACE_CODES = {"METHOD_NOT_FOR_WET_PLACE", "METHOD_NOT_UNDERGROUND", "METHOD_NOT_FOR_PLACE"}


def place_errors(design):
    return [
        finding
        for finding in design.findings
        if finding.severity == "error" and finding.code in PLACE_CODES
    ]


def test_every_method_has_a_verdict_for_every_condition():
    assert set(TABLES.permitted_uses) == set(product(METHODS, CONDITIONS))
    assert set(TABLES.wiring_methods) == set(METHODS)
    for row in TABLES.permitted_uses.values():
        assert (row.provided is None) == (row.verdict == "permitted"), row


@pytest.mark.parametrize(("method", "place"), list(product(METHODS, PLACES)))
def test_method_is_refused_exactly_where_its_article_refuses_it(method, place):
    design = designed(a_circuit(), runs=with_feeder(wiring_method=method, **PLACES[place]))

    errors = place_errors(design)

    assert bool(errors) is (method in NOT_THERE[place])
    for error in errors:
        assert error.where == "/runs/0/wiring_method"
        assert method in error.message
        source = load_sources()[error.source]
        assert source.document == "NFPA 70"
        assert TABLES.permitted_uses[method, place].source == error.source
        named = error.remedy.removeprefix("Use one of ").split(", with")[0].split(", ")
        assert set(named) == set(METHODS) - NOT_THERE[place]
    assert design.runs[0].conductors


@pytest.mark.parametrize(
    ("method", "severity", "code"),
    [
        ("ENT", "error", "METHOD_NOT_FOR_SUN"),
        ("NM-B", "error", "METHOD_NOT_FOR_SUN"),
        ("UF-B", "warning", "METHOD_ONLY_IF"),
        ("LFNC-B", "note", "METHOD_ONLY_IF"),
        ("EMT", None, None),
        ("PVC-40", None, None),
        ("SER", None, None),
    ],
)
def test_sun_asks_for_a_marking_or_another_method(method, severity, code):
    runs = with_feeder(wiring_method=method, place="outdoor", exposure="damp", sun_exposed=True)

    design = designed(a_circuit(), runs=runs)

    found = [f for f in design.findings if f.code in ("METHOD_NOT_FOR_SUN", "METHOD_ONLY_IF")]
    assert [(f.severity, f.code) for f in found] == ([(severity, code)] if code else [])
    for finding in found:
        assert "sun" in finding.message or "outdoors" in finding.message or "dry" in finding.message


def test_marking_asked_for_weather_and_sun_is_said_once():
    runs = with_feeder(wiring_method="LFNC-B", place="outdoor", exposure="wet", sun_exposed=True)

    design = designed(a_circuit(), runs=runs)

    assert [f.code for f in design.findings].count("METHOD_ONLY_IF") == 1


@pytest.mark.parametrize(
    ("place", "exposure", "condition"),
    [
        ("indoor", "dry", "dry"),
        ("indoor", "damp", "damp"),
        ("indoor", "wet", "wet"),
        ("outdoor", "damp", "damp"),
        ("outdoor", "dry", "outdoor"),
        ("outdoor", "wet", "outdoor"),
        ("underground", "dry", "underground"),
    ],
)
def test_outdoors_is_wet_unless_told_to_be_damp_only(place, exposure, condition):
    run = with_feeder(place=place, exposure=exposure)[0]

    assert place_condition(run) == condition


@pytest.mark.parametrize(("method", "hottest"), [("PVC-40", 50), ("PVC-80", 50), ("ENT", 50)])
def test_plastic_conduit_ends_at_50_c(method, hottest):
    for ambient, refused in ((hottest, False), (Decimal("50.1"), True)):
        runs = with_feeder(wiring_method=method, ambient_c=Decimal(ambient))

        design = designed(a_circuit(), runs=runs)

        assert ("METHOD_TOO_HOT" in codes(design)) is refused
        if refused:
            error = finding_of(design, "METHOD_TOO_HOT")
            assert (error.severity, error.where) == ("error", "/runs/0/ambient_c")
            assert "EMT, IMC, RMC" in error.remedy
            assert "PVC-80" not in error.remedy
            assert "cooler way" in error.remedy


def test_a_method_is_named_up_to_its_hottest_place():
    run = with_feeder(place="indoor", exposure="dry", ambient_c=Decimal(50))[0]

    assert {"PVC-40", "PVC-80", "ENT"} <= set(permitted_instead(run, TABLES))


def test_no_method_left_is_said():
    run = with_feeder(place="underground", ambient_c=Decimal(60))[0]

    named = permitted_instead(run, TABLES)

    assert "RMC" in named
    assert not set(named) & {"PVC-40", "PVC-80", "ENT", "NM-B", "SER", "MC"}


@pytest.mark.parametrize(("place", "noted"), [("indoor", False), ("outdoor", True)])
@pytest.mark.parametrize("method", ["PVC-40", "UF-B", "SER", "LFMC", "LFNC-B"])
def test_exposed_outdoors_is_noted_where_it_may_be_struck(method, place, noted):
    design = designed(a_circuit(), runs=with_feeder(wiring_method=method, place=place))

    assert ("MAY_BE_STRUCK" in codes(design)) is noted
    if noted:
        note = finding_of(design, "MAY_BE_STRUCK")
        assert note.severity == "note"
        assert "PVC-80, RMC or IMC" in note.remedy


@pytest.mark.parametrize("method", ["PVC-80", "RMC", "IMC", "EMT"])
def test_hard_methods_are_not_noted_for_damage(method):
    design = designed(a_circuit(), runs=with_feeder(wiring_method=method, place="outdoor"))

    assert "MAY_BE_STRUCK" not in codes(design)


@pytest.mark.parametrize(("length", "noted"), [("6", False), ("6.1", True)])
def test_long_liquidtight_nonmetallic_is_secured(length, noted):
    runs = with_feeder(wiring_method="LFNC-B", length_ft=Decimal(length))

    design = designed(a_circuit(), runs=runs)

    assert ("LIQUIDTIGHT_SECURED" in codes(design)) is noted
    if noted:
        assert "every 3 ft" in finding_of(design, "LIQUIDTIGHT_SECURED").remedy
    assert "LIQUIDTIGHT_SECURED" not in codes(
        designed(a_circuit(), runs=with_feeder(wiring_method="LFMC", length_ft=Decimal(50)))
    )


def reasons_of(design, source):
    return [reason for reason in design.runs[0].because if reason.source == source]


@pytest.mark.parametrize(("edition", "clearance"), [("2020", "0.875"), ("2023", "0.75")])
def test_sun_without_a_roof_adds_no_heat_and_says_so(edition, clearance):
    runs = with_feeder(place="outdoor", exposure="wet", sun_exposed=True, ambient_c=Decimal(38))
    shade = with_feeder(place="outdoor", exposure="wet", ambient_c=Decimal(38))

    sunny = designed(a_circuit(), runs=runs, site={"code_edition": edition})
    shady = designed(a_circuit(), runs=shade, site={"code_edition": edition})

    (reason,) = reasons_of(sunny, "nec_ambient_correction_rooftop")
    assert ("closer_than_in", clearance) in reason.figures
    assert "roof" in reason.text
    assert sunny.runs[0].conductors == shady.runs[0].conductors
    assert reasons_of(shady, "nec_ambient_correction_rooftop") == []


@pytest.mark.parametrize(
    ("place", "exposure", "said"),
    [("indoor", "dry", False), ("indoor", "wet", True), ("outdoor", "wet", True),
     ("underground", "wet", True)],
)  # fmt: skip
def test_wet_inside_names_the_wet_rated_insulation(place, exposure, said):
    runs = with_feeder(wiring_method="PVC-80", place=place, exposure=exposure)

    reasons = reasons_of(designed(a_circuit(), runs=runs), "nec_raceway_outdoor_wet")

    assert bool(reasons) is said
    if said:
        assert ("insulation", "THHN/THWN-2") in reasons[0].figures


@pytest.mark.parametrize(
    ("method", "source", "figure"),
    [
        ("EMT", "nec_ch9_t2", ("one_shot_in", "4")),
        ("NM-B", "nec_334_24", ("bend_radius_diameters", "5")),
        ("UF-B", "nec_340_24", ("bend_radius_diameters", "5")),
        ("SER", "nec_338_24", ("bend_radius_diameters", "5")),
        ("MC", "nec_330_24", ("bend_radius_diameters", "7")),
    ],
)
def test_least_bend_stands_with_the_run(method, source, figure):
    design = designed(a_circuit(), runs=with_feeder(wiring_method=method))

    (reason,) = reasons_of(design, source)

    assert figure in reason.figures


def test_straight_run_has_no_bend_radius():
    design = designed(a_circuit(), runs=with_feeder(bends_deg=()))

    assert reasons_of(design, "nec_ch9_t2") == []
