"""Jobs and designs written out by hand: what the take-off is tried on."""

import csv
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.basis import because
from estimator.job.records import (
    Circuit,
    ComparisonTerms,
    CreditClaim,
    Inlet,
    Job,
    LabourTerms,
    LoadCentre,
    PanelUpgrade,
    Site,
    Supply,
    Terms,
    Transfer,
)
from estimator.sizing.records import (
    CircuitDesign,
    CordDesign,
    Design,
    LoadStudy,
    PullBox,
    Recharge,
    RunConductor,
    RunDesign,
    TransferDesign,
)
from estimator.takeoff.records import Part, TakeOff
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off

ZERO = Decimal(0)
WHY = (because("Written by hand for a test", "own_convention"),)
SURFACES = (
    "poured_concrete", "concrete_block", "grouted_block", "brick", "stucco_on_block",
    "stucco_on_frame", "wood_siding", "plywood", "stud_drywall", "hollow_drywall",
    "metal_siding", "steel_stud",
)  # fmt: skip


def make_circuit(name: str, **changes: Any) -> Circuit:
    plain = Circuit(
        name=name,
        breaker_a=20,
        poles=1,
        running_w=Decimal(300),
        starting_w=Decimal(300),
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
    return replace(plain, **changes)


def make_circuits(count: int) -> tuple[Circuit, ...]:
    return tuple(make_circuit(f"Circuit {number}") for number in range(1, count + 1))


def make_job(**changes: Any) -> Job:
    """A six-circuit job on poured concrete. Keys of changes are fields of Job, or
    "inlet_...", "transfer_..." and "labour_..." for the fields of these."""
    surface = changes.pop("surface", "poured_concrete")
    job = Job(
        name="By hand",
        circuits=make_circuits(6),
        direct_loads=(),
        site=Site("US-OH", "2023", Decimal(25), Decimal(38), "main_home", False),
        supply=Supply(
            "power_station", True, "120/240", Decimal(5000), Decimal(8000), None, "L14-30",
            "floating", False, None, None, Decimal("0.9"), ZERO, None, Decimal("0.8"), None,
            None, None,
        ),
        cord_length_ft=Decimal(20),
        inlet=Inlet("L14-30", "outdoor", "wet", surface, "surface", 60),
        transfer=Transfer(
            "manual_switch", None, True, Decimal("1.5"), False, surface, "surface", 30, 60, False
        ),
        load_centre=LoadCentre("service", 200, 200, None, "bonded", Decimal(4), surface, 60),
        runs=(),
        voltage_drop_target_percent=Decimal(3),
        labour=LabourTerms(
            1, Decimal(95), None, ZERO, "contractor", (), Decimal(2), None
        ),
        terms=Terms(
            "USD", None, None, ZERO, ZERO, ZERO, ("materials",), None, ZERO, ZERO, 30,
            "purchase", date(2025, 10, 1),
        ),
        credit_claim=CreditClaim(
            None, None, None, None, False, ZERO, None, ZERO, ZERO, ZERO, ZERO,
            PanelUpgrade(ZERO, 0, ()),
        ),
        comparison=ComparisonTerms(None, Decimal("2.5"), (), ()),
        stock=(),
    )  # fmt: skip
    for prefix in ("inlet", "transfer", "labour"):
        own = {
            key.removeprefix(f"{prefix}_"): changes.pop(key)
            for key in tuple(changes)
            if key.startswith(f"{prefix}_")
        }
        job = replace(job, **{prefix: replace(getattr(job, prefix), **own)})
    return replace(job, **changes)


def make_wires(
    size: str = "10 AWG", length_ft: str = "18", insulation: str = "THHN/THWN-2"
) -> tuple[RunConductor, ...]:
    """The feeder of an inlet: two hots, neutral, ground."""
    return tuple(
        RunConductor(role, size, "cu", insulation, colour, 1, Decimal(length_ft), "inlet")
        for role, colour in (
            ("ungrounded", "black"), ("ungrounded", "red"), ("neutral", "white"),
            ("equipment_ground", "green"),
        )
    )  # fmt: skip


def long_box(inches: str) -> PullBox:
    """What the design asks of a box that 4 AWG and larger are pulled through straight."""
    return PullBox(Decimal(inches), None, None, None, WHY)


def roomy_box(cubic_inches: str) -> PullBox:
    """What the design asks of a box that smaller wires pass through."""
    return PullBox(None, None, Decimal(cubic_inches), None, WHY)


def make_run(length_ft: str = "18", **changes: Any) -> RunDesign:
    """A run of 3/4 EMT from the inlet to the switch, outdoors, through one wall."""
    length = Decimal(length_ft)
    run = RunDesign(
        index=0,
        from_="inlet",
        to="transfer",
        wiring_method="EMT",
        length_ft=length,
        trade_size="3/4",
        fill_percent=Decimal(16),
        fill_limit_percent=Decimal(40),
        bends_deg=(),
        pull_points=0,
        segments_ft=(length,),
        nipple=False,
        factory_whip=False,
        current_carrying=2,
        overcurrent_a=30,
        ampacity_a=Decimal(30),
        enough_without_drop="10 AWG",
        voltage_drop_percent=Decimal(1),
        voltage_drop_at_load_percent=None,
        voltage_drop_one_leg_percent=None,
        conductors=make_wires("10 AWG", length_ft),
        place="outdoor",
        exposure="wet",
        sun_exposed=False,
        surface="poured_concrete",
        insulation="THHN/THWN-2",
        wall_penetrations=1,
        finished_wall=False,
        expansion_fittings=0,
        expansion_change_in=None,
        because=WHY,
    )
    if "segments_ft" in changes:
        changes.setdefault("pull_points", len(changes["segments_ft"]) - 1)
    return replace(run, **changes)


def make_cable_run(
    method: str,
    length_ft: str = "20",
    *,
    size: str = "10 AWG",
    ground: str = "10 AWG",
    **changes: Any,
) -> RunDesign:
    """A run of cable with two hots, neutral and ground, indoors and dry, through no wall."""
    wires = (
        *make_wires(size, length_ft, method)[:3],
        replace(make_wires(ground, length_ft, method)[3], colour="bare"),
    )
    defaults: dict[str, Any] = {
        "wiring_method": method, "trade_size": None, "place": "indoor", "exposure": "dry",
        "wall_penetrations": 0, "conductors": wires,
    }  # fmt: skip
    return make_run(length_ft, **{**defaults, **changes})


def make_switch_run(circuits: tuple[Circuit, ...], **changes: Any) -> RunDesign:
    """The run from the switch to the load centre: two conductors a pole, neutral, ground."""
    hots = tuple(
        RunConductor(
            "ungrounded", "12 AWG", "cu", "THHN/THWN-2", colour, circuit.poles,
            Decimal("1.5"), circuit.name,
        )
        for circuit in circuits
        for colour in ("black", "red")
    )  # fmt: skip
    common = tuple(
        RunConductor(role, "10 AWG", "cu", "THHN/THWN-2", colour, 1, Decimal("1.5"), "all")
        for role, colour in (("neutral", "white"), ("equipment_ground", "green"))
    )
    defaults: dict[str, Any] = {
        "index": 1, "from_": "transfer", "to": "load_centre", "wiring_method": "FMC",
        "trade_size": "1", "place": "indoor", "exposure": "dry", "wall_penetrations": 0,
        "conductors": (*hots, *common), "nipple": True,
    }  # fmt: skip
    return make_run(changes.pop("length_ft", "1.5"), **{**defaults, **changes})


def make_whip(circuits: tuple[Circuit, ...], **changes: Any) -> RunDesign:
    """The run from the switch to the load centre as the whip that comes with the switch."""
    return make_switch_run(circuits, **{"factory_whip": True, "trade_size": None, **changes})


def make_design(job: Job, *runs: RunDesign, **changes: Any) -> Design:
    """A design of the job with these runs; without any the usual two."""
    poles = sum(circuit.poles for circuit in job.circuits)
    spaces = 6 if poles <= 6 else 10
    design = Design(
        load_study=LoadStudy(ZERO, ZERO, True, (), (), (), Recharge(None, None), None, None, WHY),
        transfer=TransferDesign(job.transfer.method, 30, spaces, poles, poles, WHY),
        circuits=tuple(
            CircuitDesign(
                circuit.name, "L1", circuit.breaker_a, circuit.poles, "12 AWG", str(place), WHY
            )
            for place, circuit in enumerate(job.circuits, start=1)
        ),
        runs=runs or (make_run(), make_whip(job.circuits)),
        cord=CordDesign(
            plug="L14-30P",
            connector="L14-30R",
            length_ft=job.cord_length_ft,
            conductor_size="10 AWG",
            conductors=4,
            ampacity_a=Decimal(30),
            ambient_c=Decimal(30),
            heat_ampacity_a=Decimal(30),
            enough_without_drop="10 AWG",
            voltage_drop_percent=Decimal(1),
            voltage_drop_at_load_percent=Decimal(1),
            total_drop_percent=Decimal(2),
            because=WHY,
        ),
        findings=(),
    )
    return replace(design, **changes)


def taken(job: Job | None = None, *runs: RunDesign, **design: Any) -> TakeOff:
    """The take-off of a job (the usual one without) with these runs."""
    job = job or make_job()
    return take_off(job, make_design(job, *runs, **design), load_take_off_tables())


def on_surface(surface: str, *runs: RunDesign, **changes: Any) -> TakeOff:
    """The take-off of the same job with every wall of one kind."""
    job = make_job(surface=surface, **changes)
    runs = runs or (make_run(), make_whip(job.circuits))
    return taken(job, *(replace(run, surface=surface) for run in runs))


def parts_of(result: TakeOff, kind: str) -> tuple[Part, ...]:
    return tuple(part for part in result.parts if part.kind == kind)


def count(result: TakeOff, kind: str, **attributes: str) -> Decimal:
    """Quantity of all parts of a kind with these attributes."""
    return sum(
        (
            part.quantity
            for part in parts_of(result, kind)
            if attributes.items() <= dict(part.attributes).items()
        ),
        ZERO,
    )


def hours_of(result: TakeOff, code: str) -> Decimal:
    return sum((task.hours for task in result.labour if task.code == code), ZERO)


def codes(result: TakeOff) -> set[str]:
    return {finding.code for finding in result.findings}


def read_cases(name: str) -> list[dict[str, str]]:
    """Rows of a case file beside the tests."""
    text = (Path(__file__).parent / "cases" / name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))
