"""Facts of common practice on the whole flow, and that every number says why."""

import json
from decimal import Decimal
from typing import Any

import pytest
from conftest import SAMPLE_DAY, sample_jobs, sample_lists

from estimator import usecases
from estimator.documents.records import FullEstimate
from estimator.documents.result_json import result_document
from estimator.finding import InputRefused
from estimator.job.read import read_job_document
from estimator.published.sources import load_sources
from estimator.usecases import Catalogue

FOUR_FACTS: dict[str, Any] = {
    "circuits": [
        {"name": "Freezer", "breaker_a": 20, "running_w": 180, "starting_w": 1200},
        {"name": "Well pump", "breaker_a": 20, "poles": 2, "running_w": 1000, "starting_w": 3000},
    ],
    "mounting_surface": "concrete_block",
    "run_length_ft": 18,
    "inlet": "L14-30",
}
SIX = [{"name": f"Circuit {n}", "breaker_a": 20, "running_w": 300} for n in range(6)]
SURFACES = (
    "poured_concrete", "concrete_block", "grouted_block", "brick", "stucco_on_block",
    "stucco_on_frame", "wood_siding", "plywood", "stud_drywall", "hollow_drywall",
    "metal_siding", "steel_stud",
)  # fmt: skip
HOLES_MAKE_SILICA_DUST = {
    "poured_concrete", "concrete_block", "grouted_block", "brick", "stucco_on_block",
    "stucco_on_frame",
}  # fmt: skip
MOUNTING_KINDS = {"fastener", "drill_bit", "spacer", "backboard", "mounting_block"}
DUST_BAG = "fine-dust vacuum bag, 1 piece"


def estimate(catalogue: Catalogue, **changes: Any) -> FullEstimate:
    return usecases.estimate_job({**FOUR_FACTS, **changes}, catalogue, today=SAMPLE_DAY)


def parts(full: FullEstimate, kind: str) -> dict[str, Decimal]:
    return {part.description: part.quantity for part in full.take_off.parts if part.kind == kind}


@pytest.mark.parametrize("job", sample_jobs(), ids=lambda path: path.name)
def test_every_part_size_hour_and_credit_line_says_why_with_a_known_source(
    catalogue: Catalogue, job: Any
) -> None:
    document = read_job_document(job.read_bytes(), job.name)

    result = result_document(usecases.estimate_job(document, catalogue, today=SAMPLE_DAY))

    known = load_sources()
    for group in ("parts", "labour", "circuits", "runs"):
        for entry in result["estimate"][group]:
            assert entry["because"], (group, entry)
            assert all(reason["source"] in known for reason in entry["because"])
    for credit in result["credits"]:
        assert credit["because"]
        for line in credit["lines"]:
            assert line["because"], line
            assert all(reason["source"] in known for reason in line["because"])
    for finding in result["estimate"]["findings"]:
        assert finding["remedy"]
        assert finding["source"] in known


@pytest.mark.parametrize("job", sample_jobs(), ids=lambda path: path.name)
def test_totals_can_be_rebuilt_from_the_printed_lines(catalogue: Catalogue, job: Any) -> None:
    document = read_job_document(job.read_bytes(), job.name)

    price = result_document(usecases.estimate_job(document, catalogue, today=SAMPLE_DAY))["price"]

    lines = sum(Decimal(line["amount"]) for line in price["lines"] if line["amount"])
    assert Decimal(price["totals"]["materials"]) == lines
    nets = [Decimal(group["net"]) + Decimal(group["sales_tax"]) for group in price["groups"]]
    assert Decimal(price["totals"]["total"]) == sum(nets)


def test_four_facts_give_a_full_estimate_and_list_every_default(catalogue: Catalogue) -> None:
    full = estimate(catalogue)

    fields = {assumption.field for assumption in full.assumptions}
    assert {
        "/site/code_edition", "/site/indoor_ambient_c", "/site/outdoor_ambient_c",
        "/supply/kind", "/supply/continuous_w", "/supply/neutral", "/cord_length_ft",
        "/transfer/method", "/transfer/factory_whip", "/load_centre/role", "/runs",
        "/labour/hourly_rate", "/terms/sales_tax_percent", "/credit_claim/completed_on",
    } <= fields or len(fields) > 40  # fmt: skip
    assert full.take_off.parts
    assert full.take_off.labour
    assert full.price.total > 0
    assert full.credits


def test_a_30_a_inlet_is_wired_in_10_awg_copper_two_hots_neutral_and_ground(
    catalogue: Catalogue,
) -> None:
    """Common practice, no source; NFPA 70 Table 310.16 at 60 C gives the same."""
    feeder = estimate(catalogue).design.runs[0]

    roles = [
        (one.role, one.size, one.material) for one in feeder.conductors for _ in range(one.count)
    ]
    assert sorted(roles) == sorted(
        [("ungrounded", "10 AWG", "cu")] * 2
        + [("neutral", "10 AWG", "cu"), ("equipment_ground", "10 AWG", "cu")]
    )


def test_a_six_circuit_switch_has_twelve_switched_conductors_neutral_and_ground(
    catalogue: Catalogue,
) -> None:
    """Common practice, no source: a red and a black for each circuit, one white, one green."""
    whip = estimate(catalogue, circuits=SIX).design.runs[1]

    by_colour = dict.fromkeys(("red", "black", "white", "green"), 0)
    for one in whip.conductors:
        by_colour[one.colour] += one.count
    assert by_colour == {"red": 6, "black": 6, "white": 1, "green": 1}


def test_masonry_takes_quarter_inch_concrete_screws_in_3_16_holes_by_hammer_drill(
    catalogue: Catalogue,
) -> None:
    """Public dealer and how-to pages on masonry screws."""
    full = estimate(catalogue, mounting_surface="poured_concrete")

    screws = [
        dict(part.attributes)
        for part in full.take_off.parts
        if part.kind == "fastener" and "/transfer" in part.asked_by
    ]
    assert screws
    assert {screw["fastener"] for screw in screws} == {"concrete screw"}
    assert {screw["diameter"] for screw in screws} == {"1/4"}
    bits = [dict(part.attributes) for part in full.take_off.parts if part.kind == "drill_bit"]
    assert any(bit["diameter"] == "3/16" and "carbide" in bit["bit"] for bit in bits)


def test_an_insulating_bushing_stands_at_each_end_of_each_cut_conduit(
    catalogue: Catalogue,
) -> None:
    """Common practice, no source: an insulating insert wherever a conduit was cut."""
    full = estimate(catalogue)

    bushings = sum(parts(full, "insulating_bushing").values())
    segments = len(full.design.runs[0].segments_ft)
    assert bushings == 2 * segments


def test_loads_plugged_straight_into_the_supply_use_no_circuit(catalogue: Catalogue) -> None:
    """Common practice, no source."""
    direct = [{"name": "Network gear", "outlet": "5-15", "running_w": 30}]

    without, with_it = estimate(catalogue), estimate(catalogue, direct_loads=direct)

    assert with_it.design.circuits == without.design.circuits
    assert with_it.take_off.parts == without.take_off.parts
    gained = with_it.design.load_study.running_w - without.design.load_study.running_w
    assert gained == 30


def test_a_well_pump_goes_on_two_poles_and_both_legs(catalogue: Catalogue) -> None:
    """Common practice, no source."""
    pump = estimate(catalogue).design.circuits[1]

    assert pump.poles == 2
    assert pump.leg == "L1+L2"
    assert "-" in pump.position


@pytest.mark.parametrize("surface", SURFACES)
def test_another_wall_changes_anchors_bits_and_hours_and_nothing_else(
    catalogue: Catalogue, surface: str
) -> None:
    block, other = estimate(catalogue), estimate(catalogue, mounting_surface=surface)

    def rest(full: FullEstimate) -> list[tuple[str, Decimal]]:
        return [
            (part.description, part.quantity)
            for part in full.take_off.parts
            if part.kind not in MOUNTING_KINDS and part.description != DUST_BAG
        ]

    assert rest(other) == rest(block)
    assert (DUST_BAG in parts(other, "consumable")) == (surface in HOLES_MAKE_SILICA_DUST)
    assert other.design.load_study == block.design.load_study
    assert [run.conductors for run in other.design.runs] == [
        run.conductors for run in block.design.runs
    ]


def test_twice_the_run_takes_wire_conduit_couplings_straps_and_hours_in_proportion(
    catalogue: Catalogue,
) -> None:
    short = estimate(catalogue, run_length_ft=20)
    long = estimate(catalogue, run_length_ft=40)

    assert parts(long, "raceway") == {
        name: 2 * feet for name, feet in parts(short, "raceway").items()
    }
    assert sum(parts(short, "raceway_coupling").values()) < sum(
        parts(long, "raceway_coupling").values()
    )
    assert sum(parts(long, "raceway_strap").values()) > sum(parts(short, "raceway_strap").values())
    wire_short = sum(parts(short, "conductor").values())
    wire_long = sum(parts(long, "conductor").values())
    assert Decimal("1.6") < wire_long / wire_short < 2
    assert long.take_off.hours > short.take_off.hours
    unchanged = {"transfer_switch", "power_inlet_box", "cord_set", "raceway_connector", "sign"}
    for kind in unchanged:
        assert parts(long, kind) == parts(short, kind)


def test_a_120_v_supply_that_meets_a_two_pole_circuit_is_an_error(catalogue: Catalogue) -> None:
    """NFPA 70 Article 100, multiwire branch circuit; 210.4."""
    full = estimate(catalogue, supply={"system": "120", "continuous_w": 3000, "outlet": "L5-30"})

    errors = {finding.code for finding in full.findings if finding.severity == "error"}
    assert "TWO_POLE_ON_120_V" in errors
    assert full.price.lines


@pytest.mark.parametrize(
    ("day", "status"), [("2025-11-20", "uncertain"), ("2026-02-01", "not_eligible")]
)
def test_a_portable_unit_is_uncertain_in_2025_and_nothing_from_2026(
    catalogue: Catalogue, day: str, status: str
) -> None:
    """26 USC 25D(h) as amended by P.L. 119-21 sec. 70506; (d)(6)(A) silent on portable units."""
    supply = {"continuous_w": 5000, "usable_kwh": 5, "nameplate_kwh": 5.2, "price": "2400.00"}

    full = estimate(catalogue, supply=supply, credit_claim={"completed_on": day})

    (answer,) = full.credits
    assert answer.status == status
    assert answer.amount == 0
    if status == "uncertain":
        assert answer.amount_if_uncertain >= Decimal("720.00")
    else:
        assert answer.amount_if_uncertain == 0
        assert any(reason.source == "pl_119_21_70506" for reason in answer.because)


@pytest.mark.parametrize(
    ("table", "where"),
    [
        (
            b"code,task,unit,low_h,typical_h,high_h\npermit,apply,job,-1,1,2\n",
            "row 2, column low_h",
        ),
        (b"\xff\xfe", ""),
    ],
)
def test_a_refused_labour_table_is_named_once_with_its_place(table: bytes, where: str) -> None:
    job = ("job.json", json.dumps(FOUR_FACTS).encode())
    one = sample_lists()[0]
    with pytest.raises(InputRefused) as refused:
        usecases.estimate_files(
            job,
            [(one.name, one.read_bytes())],
            today=SAMPLE_DAY,
            labour=("mine.csv", table),
        )

    (fault,) = refused.value.faults
    assert fault.where == ", ".join(filter(None, ("mine.csv", where)))
    assert fault.message
