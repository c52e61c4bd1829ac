"""Jobs for the sizing tests, built by hand so that each test changes only what it is about."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.finding import Finding
from estimator.job.describe import describe_job
from estimator.job.records import (
    Circuit,
    DirectLoad,
    Inlet,
    Job,
    LoadCentre,
    Run,
    Site,
    Supply,
    Transfer,
)
from estimator.sizing.design import design_job
from estimator.sizing.records import Design
from estimator.sizing.tables import load_sizing_tables

TABLES = load_sizing_tables()

SITE = Site("US-OH", "2023", Decimal(30), Decimal(30), "main_home", False)
SUPPLY = Supply(
    kind="power_station",
    portable=True,
    system="120/240",
    continuous_w=Decimal(7200),
    surge_w=Decimal(12000),
    leg_limit_w=None,
    outlet="L14-30",
    neutral="floating",
    outlet_gfci=False,
    usable_kwh=None,
    nameplate_kwh=None,
    efficiency=Decimal("0.9"),
    idle_w=Decimal(0),
    cycle_life=None,
    capacity_after_cycle_life=Decimal("0.8"),
    solar_input_w=None,
    ac_input_w=None,
    price=None,
)
INLET = Inlet("L14-30", "outdoor", "wet", "brick", "surface", 60)
TRANSFER = Transfer(
    method="manual_switch",
    spaces=None,
    factory_whip=True,
    whip_length_ft=Decimal("1.5"),
    switched_neutral=False,
    surface="concrete_block",
    mounting="surface",
    rating_a=30,
    terminal_temp_c=60,
    load_management=False,
)
LOAD_CENTRE = LoadCentre("service", 200, 200, 2, "bonded", Decimal(4), "concrete_block", 60)
FEEDER = Run(
    from_="inlet",
    to="transfer",
    length_ft=Decimal(18),
    wiring_method="EMT",
    insulation="THHN/THWN-2",
    conductor_material="cu",
    bends_deg=(Decimal(90), Decimal(90)),
    exposure="dry",
    place="indoor",
    sun_exposed=False,
    surface="concrete_block",
    ambient_c=Decimal(30),
    temperature_change_c=Decimal(20),
    wall_penetrations=1,
    depth_in=None,
    finished_wall=False,
)
WHIP = replace(
    FEEDER,
    from_="transfer",
    to="load_centre",
    length_ft=Decimal("1.5"),
    wiring_method="FMC",
    bends_deg=(),
    wall_penetrations=0,
)
# Terms, labour, claim and the like change nothing in this room: they are what the door fills in.
JOB = replace(
    describe_job(
        {
            "circuits": [{"name": "Any", "breaker_a": 15, "running_w": 100}],
            "mounting_surface": "concrete_block",
            "run_length_ft": 18,
            "inlet": "L14-30",
        },
        date(2025, 10, 1),
    ).job,
    name="Test job",
    circuits=(),
    direct_loads=(),
    site=SITE,
    supply=SUPPLY,
    cord_length_ft=Decimal(20),
    inlet=INLET,
    transfer=TRANSFER,
    load_centre=LOAD_CENTRE,
    runs=(FEEDER, WHIP),
    voltage_drop_target_percent=Decimal(3),
)


def a_circuit(name="Lights", watts=100, **changes) -> Circuit:
    """A one-pole 15 A circuit without any peculiarity."""
    circuit = Circuit(
        name=name,
        breaker_a=15,
        poles=1,
        running_w=Decimal(watts),
        starting_w=Decimal(watts),
        hours_per_day=Decimal(24),
        priority=2,
        continuous=False,
        single_load=False,
        life_support=False,
        shared_neutral_with=None,
        protection="standard",
        conductor_size="12 AWG",
        conductor_material="cu",
    )
    return replace(circuit, **changes)


def two_pole(name="Well pump", watts=1000, **changes) -> Circuit:
    """A two-pole 20 A circuit with one fixed load."""
    settings = {"breaker_a": 20, "poles": 2, "single_load": True, **changes}
    return a_circuit(name, watts, **settings)


def a_direct_load(name="Network gear", watts=30, **changes) -> DirectLoad:
    """A load on a 120 V outlet of the supply itself."""
    load = DirectLoad(name, "5-15", Decimal(watts), Decimal(watts), Decimal(24), 1)
    return replace(load, **changes)


def a_job(*circuits: Circuit, **changes) -> Job:
    """The plain job with these circuits (six of 15 and 20 A when none are named)."""
    if not circuits:
        circuits = tuple(
            a_circuit(f"Circuit {n}", 100 * n, breaker_a=15 if n % 2 else 20) for n in range(1, 7)
        )
    for part in ("site", "supply", "inlet", "transfer", "load_centre"):
        if isinstance(changes.get(part), dict):
            changes[part] = replace(getattr(JOB, part), **changes[part])
    return replace(JOB, circuits=circuits, **changes)


def with_feeder(**changes) -> tuple[Run, ...]:
    """The two runs, the feeder changed."""
    return replace(FEEDER, **changes), WHIP


def with_switch_run(**changes) -> tuple[Run, ...]:
    """The two runs, the one to the load centre changed."""
    return FEEDER, replace(WHIP, **changes)


def designed(*circuits: Circuit, **changes) -> Design:
    """The design of ``a_job``."""
    return design_job(a_job(*circuits, **changes), TABLES)


def codes(design: Design) -> set[str]:
    """Codes of all findings."""
    return {finding.code for finding in design.findings}


def finding_of(design: Design, code: str) -> Finding:
    """The first finding with a code."""
    return next(finding for finding in design.findings if finding.code == code)
