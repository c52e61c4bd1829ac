"""A job with every optional field told: sizing considers all of it."""

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from sizing_jobs import TABLES
from sizing_snapshots import job_of, snapshot_cases

from estimator.job import records
from estimator.job.describe import describe_job
from estimator.job.read import read_job_document
from estimator.sizing.design import design_job

FULL = Path(__file__).parents[1] / "job" / "cases" / "job_full.yaml"
CASES = snapshot_cases()
RECORDS = {
    "circuits": records.Circuit,
    "direct_loads": records.DirectLoad,
    "site": records.Site,
    "supply": records.Supply,
    "inlet": records.Inlet,
    "transfer": records.Transfer,
    "load_centre": records.LoadCentre,
    "runs": records.Run,
}
# Another value for each field, and the job in which it changes the design: the one that tells
# every field where it does, else a committed case.
OTHER_VALUES = [
    ("full", "circuits", "name", "Another name"),
    ("full", "circuits", "breaker_a", 40),
    ("full", "circuits", "poles", 2),
    ("full", "circuits", "running_w", Decimal(8000)),
    ("full", "circuits", "starting_w", Decimal(8000)),
    ("full", "circuits", "hours_per_day", Decimal(24)),
    ("full", "circuits", "priority", 1),
    ("cord_in_heat_indoors", "circuits", "continuous", True),
    ("transfer_manual_switch", "circuits", "single_load", True),
    ("full", "circuits", "life_support", False),
    ("full", "circuits", "shared_neutral_with", "Nobody"),
    ("emt", "circuits", "protection", "dual"),
    ("full", "circuits", "conductor_size", "12 AWG"),
    ("emt", "circuits", "conductor_material", "al"),
    ("one_leg", "direct_loads", "name", "Another name"),
    ("full", "direct_loads", "outlet", "L6-20"),
    ("full", "direct_loads", "running_w", Decimal(100)),
    ("full", "direct_loads", "starting_w", Decimal(900)),
    ("full", "direct_loads", "hours_per_day", Decimal(24)),
    ("full", "direct_loads", "priority", 2),
    ("full", "site", "code_edition", "2023"),
    ("full", "site", "indoor_ambient_c", Decimal(45)),
    ("emt", "site", "outdoor_ambient_c", Decimal(56)),
    ("full", "supply", "kind", "generator"),
    ("full", "supply", "portable", False),
    ("full", "supply", "system", "120/240"),
    ("full", "supply", "continuous_w", Decimal(9600)),
    ("full", "supply", "surge_w", Decimal(600)),
    ("emt", "supply", "leg_limit_w", Decimal(4800)),
    ("full", "supply", "outlet", "14-50"),
    ("full", "supply", "neutral", "unknown"),
    ("emt", "supply", "outlet_gfci", True),
    ("full", "supply", "usable_kwh", Decimal(10)),
    ("full", "supply", "efficiency", Decimal("0.9")),
    ("full", "supply", "idle_w", Decimal(0)),
    ("full", "supply", "cycle_life", 3500),
    ("full", "supply", "capacity_after_cycle_life", Decimal("0.8")),
    ("full", "supply", "solar_input_w", Decimal(800)),
    ("full", "supply", "ac_input_w", Decimal(1500)),
    ("full", "supply", "price", Decimal(2450)),
    ("full", "inlet", "configuration", "TT-30"),
    ("full", "inlet", "place", "outdoor"),
    ("full", "inlet", "terminal_temp_c", 60),
    ("full", "transfer", "method", "interlock"),
    ("full", "transfer", "spaces", 2),
    ("full", "transfer", "factory_whip", True),
    ("switch_too_small", "transfer", "whip_length_ft", Decimal("1.5")),
    ("full", "transfer", "switched_neutral", False),
    ("full", "transfer", "rating_a", 225),
    ("full", "transfer", "terminal_temp_c", 60),
    ("full", "transfer", "load_management", False),
    ("full", "load_centre", "role", "service"),
    ("full", "load_centre", "main_a", 100),
    ("full", "load_centre", "bus_a", 100),
    ("transfer_interlock", "load_centre", "free_spaces", 0),
    ("full", "load_centre", "neutral_ground", "bonded"),
    ("full", "load_centre", "gutter_in", Decimal("0.5")),
    ("fmc", "load_centre", "terminal_temp_c", 75),
    ("full", "runs", "from_", "transfer"),
    ("full", "runs", "to", "load_centre"),
    ("full", "runs", "length_ft", Decimal(100)),
    ("full", "runs", "wiring_method", "IMC"),
    ("full", "runs", "insulation", "TW/THW-2"),
    ("full", "runs", "conductor_material", "cu"),
    ("full", "runs", "bends_deg", (Decimal(270),)),
    ("full", "runs", "exposure", "dry"),
    ("full", "runs", "place", "outdoor"),
    ("full", "runs", "sun_exposed", False),
    ("full", "runs", "surface", "brick"),
    ("full", "runs", "ambient_c", Decimal(45)),
    ("pvc_40", "runs", "temperature_change_c", Decimal(11)),
    ("full", "runs", "wall_penetrations", 0),
    ("full", "runs", "depth_in", Decimal(2)),
    ("full", "runs", "finished_wall", False),
]
# What these tell changes no wire: parts, hours and tax credits read them.
READ_BY_OTHER_ROOMS = {
    ("site", "region"),
    ("site", "residence"),
    ("site", "built_before_sale"),
    ("supply", "nameplate_kwh"),
    ("inlet", "exposure"),
    ("inlet", "surface"),
    ("inlet", "mounting"),
    ("transfer", "surface"),
    ("transfer", "mounting"),
    ("load_centre", "surface"),
}


def full_job():
    """The job that tells every field."""
    document = read_job_document(FULL.read_bytes(), FULL.name)
    return describe_job(document, date(2025, 3, 1)).job


def named_job(name):
    """The full job or a committed case."""
    return full_job() if name == "full" else job_of(CASES[name])


@pytest.mark.parametrize(("name", "part", "field", "value"), OTHER_VALUES)
def test_each_field_changes_the_design(name, part, field, value):
    job = named_job(name)
    told = getattr(job, part)
    first = told[0] if isinstance(told, tuple) else told
    assert getattr(first, field) != value
    changed = replace(first, **{field: value})
    whole = (changed, *told[1:]) if isinstance(told, tuple) else changed

    assert design_job(replace(job, **{part: whole}), TABLES) != design_job(job, TABLES)


@pytest.mark.parametrize(
    ("field", "value"),
    [("cord_length_ft", Decimal(100)), ("voltage_drop_target_percent", Decimal(1))],
)
def test_each_field_of_the_whole_job_changes_the_design(field, value):
    job = full_job()

    assert design_job(replace(job, **{field: value}), TABLES) != design_job(job, TABLES)


def test_no_field_is_left_out_above():
    tried = {(part, field) for _, part, field, _ in OTHER_VALUES}

    known = {(part, field.name) for part, record in RECORDS.items() for field in fields(record)}

    assert tried | READ_BY_OTHER_ROOMS == known
    assert not tried & READ_BY_OTHER_ROOMS


def test_the_full_job_is_designed_to_its_last_part():
    job = full_job()

    design = design_job(job, TABLES)

    assert len(design.circuits) == len(job.circuits) == 2
    assert [run.index for run in design.runs] == [0, 1]
    assert all(run.conductors and run.because for run in design.runs)
    assert design.load_study.lifetime_kwh is not None
    assert design.load_study.cost_per_kwh is not None
    assert None not in (design.load_study.recharge_h.solar, design.load_study.recharge_h.ac)
    assert all(tier.hours is not None for tier in design.load_study.runtime_h)
