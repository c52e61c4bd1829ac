"""One invented estimate, written out by hand: what the documents are tried on."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

from documents_job import make_job

from estimator.basis import because
from estimator.catalogue.records import Bought, Item, PriceList, Purchase, PurchasePlan
from estimator.credits.records import CreditAnswer, CreditLine, FormLine, Outcome
from estimator.documents.records import FullEstimate
from estimator.finding import Assumption, Fault, Finding
from estimator.job.records import Job
from estimator.money import ZERO
from estimator.pricing.price import price_estimate
from estimator.sizing.records import (
    CircuitDesign,
    CordDesign,
    Design,
    LegLoad,
    LoadStudy,
    Recharge,
    RunConductor,
    RunDesign,
    TierRuntime,
    TransferDesign,
)
from estimator.takeoff.records import LabourTask, Part, TakeOff

COMPUTED_ON = date(2025, 10, 2)


def make_part(
    kind: str,
    description: str,
    quantity: str,
    unit: str,
    cost_code: str,
    cuts: tuple[str, ...] = (),
) -> Part:
    return Part(
        kind=kind,
        attributes=(("size", "as described"),),
        description=description,
        quantity=Decimal(quantity),
        unit="ft" if unit == "ft" else "ea",
        cuts_ft=tuple(Decimal(cut) for cut in cuts),
        cost_code=cost_code,
        asked_by=("/runs/0",),
        because=(
            because(
                f"{description} is asked for by the run",
                "own_convention",
                quantity=Decimal(quantity),
            ),
            because("Counted from the pieces", "arithmetic"),
        ),
    )


def make_item(number: str, part: Part, pack: str, unit_price: str, supplier: str) -> Item:
    return Item(
        supplier=supplier,
        number=number,
        description=part.description,
        kind=part.kind,
        attributes=part.attributes,
        unit=part.unit,
        pack=Decimal(pack),
        unit_price=Decimal(unit_price),
        printed_price=Decimal(unit_price),
        price_basis="each",
        currency="USD",
        row=2,
    )


PARTS = (
    make_part(
        "transfer_switch",
        "6-circuit 30 A manual switch, factory whip",
        "1",
        "ea",
        "transfer_switch",
    ),
    make_part(
        "power_inlet_box", "L14-30 power inlet box, type 3R enclosure", "1", "ea", "inlet_box"
    ),
    make_part(
        "conductor",
        "10 AWG THHN/THWN-2 cu conductor, black",
        "46",
        "ft",
        "wiring_interconnect",
        ("23", "23"),
    ),
    make_part("raceway", "3/4 EMT conduit", "18", "ft", "wiring_interconnect", ("10", "8")),
    make_part("fastener", "concrete screw 1/4 x 1-3/4 in", "28", "ea", "anchors_mounting"),
    make_part("sign", "Label: source of standby power", "1", "ea", "wiring_interconnect"),
    make_part(
        "twist_on_connector",
        "twist-on wire connector for 2-3 12 AWG",
        "12",
        "ea",
        "wiring_interconnect",
    ),
    make_part(
        "conductor",
        "10 AWG THHN/THWN-2 cu conductor, white",
        "48",
        "ft",
        "wiring_interconnect",
        ("16", "16", "16"),
    ),
)
ITEMS = (
    ("SW-6", 0, "1", "289.9900", "Invented Supply East"),
    ("IN-30", 1, "1", "57.4000", "Invented Supply East"),
    ("W10-25", 2, "25", "0.6125", "Invented Supply West"),
    ("C34-10", 3, "10", "0.8935", "Invented Supply West"),
    ("S14-25", 4, "25", "0.2155", "Invented Supply West"),
    ("S14-1", 4, "1", "0.3600", "Invented Supply East"),
    ("T-100", 6, "100", "0.1375", "Invented Supply East"),
    ("W10W-25", 7, "25", "0.6125", "Invented Supply West"),
)
PACKS = {
    "SW-6": 1,
    "IN-30": 1,
    "W10-25": 2,
    "C34-10": 2,
    "S14-25": 1,
    "S14-1": 3,
    "T-100": 1,
    "W10W-25": 3,
}


def make_purchase() -> PurchasePlan:
    purchases = []
    for position, part in enumerate(PARTS):
        bought = tuple(
            (
                Bought(make_item(number, part, pack, price, supplier), packs, packs * Decimal(pack))
                for number, at, pack, price, supplier in ITEMS
                if at == position and (packs := PACKS[number])
            )
        )
        covered = sum((one.quantity for one in bought), Decimal(0))
        leftover = covered - part.quantity if bought else Decimal(0)
        match = "exact" if bought else "unpriced"
        purchases.append(
            Purchase(part=part, match=match, bought=bought, leftover=leftover, optimal=True)
        )
    return PurchasePlan(purchases=tuple(purchases), optimal=True)


LABOUR = tuple(
    (
        LabourTask(
            code=code,
            task=task,
            quantity=Decimal(quantity),
            unit=unit,
            hours_low=Decimal(hours) * Decimal("0.8"),
            hours=Decimal(hours),
            hours_high=Decimal(hours) * Decimal("1.5"),
            because=(
                because("Hours by the labour table", "own_labour_table", unit_hours=Decimal(hours)),
            ),
        )
        for code, task, quantity, unit, hours in (
            ("switch", "Mount and connect the transfer switch", "1", "ea", "2.75"),
            ("inlet", "Mount and connect the inlet", "1", "ea", "1.1"),
            ("raceway", "Run 3/4 EMT on masonry", "18", "ft", "1.345"),
            ("anchor", "Drill and set masonry screws", "22", "ea", "0.88"),
        )
    )
)


def make_design(job: Job) -> Design:
    reason = (because("Ampacity from the 60 C column", "nec_310_16", ampacity_a=30),)
    conductors = (
        RunConductor(
            role="ungrounded",
            size="10 AWG",
            material="cu",
            insulation="THHN/THWN-2",
            colour="black",
            count=1,
            length_ft=Decimal(18),
            serves="inlet",
        ),
        RunConductor(
            role="ungrounded",
            size="10 AWG",
            material="cu",
            insulation="THHN/THWN-2",
            colour="red",
            count=1,
            length_ft=Decimal(18),
            serves="inlet",
        ),
        RunConductor(
            role="neutral",
            size="10 AWG",
            material="cu",
            insulation="THHN/THWN-2",
            colour="white",
            count=1,
            length_ft=Decimal(18),
            serves="inlet",
        ),
        RunConductor(
            role="equipment_ground",
            size="10 AWG",
            material="cu",
            insulation="THHN/THWN-2",
            colour="green",
            count=1,
            length_ft=Decimal(18),
            serves="all",
        ),
    )
    first = RunDesign(
        index=0,
        from_="inlet",
        to="transfer",
        wiring_method="EMT",
        length_ft=Decimal(18),
        trade_size="3/4",
        fill_percent=Decimal("15.8"),
        fill_limit_percent=Decimal(40),
        bends_deg=(Decimal(90), Decimal(90)),
        pull_points=0,
        segments_ft=(Decimal(18),),
        nipple=False,
        factory_whip=False,
        current_carrying=2,
        overcurrent_a=30,
        ampacity_a=Decimal(30),
        enough_without_drop="10 AWG",
        voltage_drop_percent=Decimal("0.61"),
        voltage_drop_at_load_percent=Decimal("0.4"),
        voltage_drop_one_leg_percent=Decimal("0.8"),
        conductors=conductors,
        place="outdoor",
        exposure="wet",
        sun_exposed=False,
        surface="concrete_block",
        insulation="THHN/THWN-2",
        wall_penetrations=1,
        finished_wall=False,
        expansion_fittings=0,
        expansion_change_in=None,
        because=reason,
    )
    whip = replace(
        first,
        index=1,
        from_="transfer",
        to="load_centre",
        wiring_method="FMC",
        length_ft=Decimal("1.5"),
        trade_size=None,
        fill_percent=None,
        fill_limit_percent=None,
        factory_whip=True,
        conductors=(),
    )
    study = LoadStudy(
        running_w=Decimal(1660),
        starting_peak_w=Decimal(3660),
        fits=True,
        legs=(
            ("L1", LegLoad(Decimal(830), Decimal("6.92"))),
            ("L2", LegLoad(Decimal(800), Decimal("6.67"))),
        ),
        leave_off=(),
        runtime_h=(TierRuntime(priority=1, average_w=Decimal(569), hours=Decimal("7.7")),),
        recharge_h=Recharge(Decimal("3.4"), Decimal("3.64")),
        lifetime_kwh=Decimal(14280),
        cost_per_kwh=Decimal("0.17"),
        because=(because("Running watts added up", "arithmetic", running_w=Decimal(1660)),),
    )
    return Design(
        load_study=study,
        transfer=TransferDesign(
            method="manual_switch",
            rating_a=30,
            spaces=6,
            spaces_needed=5,
            spaces_used=5,
            because=(because("One space a pole", "arithmetic"),),
        ),
        circuits=tuple(
            (
                CircuitDesign(
                    name=one.name,
                    leg="L1+L2" if one.poles == 2 else "L1",
                    breaker_a=one.breaker_a,
                    poles=one.poles,
                    conductor_size="12 AWG",
                    position=str(number),
                    because=reason,
                )
                for number, one in enumerate(job.circuits, start=1)
            )
        ),
        runs=(first, whip),
        cord=CordDesign(
            plug="L14-30P",
            connector="L14-30R",
            length_ft=Decimal(20),
            conductor_size="10 AWG",
            conductors=4,
            ampacity_a=Decimal(30),
            ambient_c=Decimal(30),
            heat_ampacity_a=Decimal(30),
            enough_without_drop="10 AWG",
            voltage_drop_percent=Decimal("0.7"),
            voltage_drop_at_load_percent=Decimal("0.4"),
            total_drop_percent=Decimal("1.9"),
            because=reason,
        ),
        findings=(),
    )


def make_credit() -> CreditAnswer:
    reason = (because("The power station must be installed to count", "usc_25d_d6b"),)
    lines = (
        CreditLine(
            cost="Portable power station, 5.4 kWh",
            code="storage_portable",
            amount=Decimal("2450.00"),
            status="uncertain",
            reason_code="portable_unit",
            authority="26 USC 25D(d)(6)",
            because=reason,
            in_base=True,
        ),
        CreditLine(
            cost="Transfer switch",
            code="transfer_switch",
            amount=Decimal("359.99"),
            status="uncertain",
            reason_code="follows_claim",
            authority="26 USC 25D(e)(1)",
            because=reason,
            in_base=True,
        ),
        CreditLine(
            cost="Tools",
            code="tools",
            amount=Decimal("40.00"),
            status="not_eligible",
            reason_code="not_installed",
            authority="26 USC 25D(a)",
            because=reason,
            in_base=False,
        ),
    )
    stands = Outcome(Decimal("2809.99"), Decimal("843.00"), Decimal("843.00"), None)
    return CreditAnswer(
        programme="Residential clean energy credit",
        jurisdiction="US",
        tax_year=2025,
        status="uncertain",
        reason_codes=("portable_unit",),
        lines=lines,
        base=ZERO,
        rate=Decimal("0.30"),
        tentative=ZERO,
        amount=ZERO,
        amount_if_uncertain=Decimal("843.00"),
        carryforward=None,
        form_lines=(FormLine("Form 5695", "5a", "Qualified battery storage costs", "0", "2810"),),
        evidence=("Receipts with dates", "Nameplate photograph"),
        questions=("Is the unit fixed in place?",),
        because=(because("30 percent through 2025", "usc_25d_g", rate=Decimal("0.30")),),
        caution="Not tax advice.",
        if_allowed=stands,
        if_everything=stands,
    )


def make_estimate(job: Job | None = None, purchase: PurchasePlan | None = None) -> FullEstimate:
    """The whole estimate; one part is unpriced unless another purchase is given."""
    job = job or make_job()
    purchase = purchase or make_purchase()
    taken = TakeOff(tuple(one.part for one in purchase.purchases), LABOUR, ())
    price = price_estimate(job, taken, purchase)
    return FullEstimate(
        job=job,
        computed_on=COMPUTED_ON,
        assumptions=(
            Assumption("/site/region", "US", "The job did not say", "common_practice"),
            Assumption("/cord_length_ft", "20", "A usual length", "own_convention"),
        ),
        findings=(
            Finding(
                "error",
                "LEG_OVERLOAD",
                "Leg L1 carries too much.",
                "/circuits/0",
                "nec_capacity_manual",
                "Move a circuit to the other leg.",
            ),
            Finding(
                "note",
                "PERMIT",
                "A permit is usual.",
                "",
                "local_electrical_law",
                "Ask the permit office.",
            ),
            *price.findings,
        ),
        design=make_design(job),
        take_off=taken,
        purchase=purchase,
        price=price,
        credits=(make_credit(),),
        price_lists=(
            PriceList(
                name="east.csv",
                supplier="Invented Supply East",
                digest="ab" * 32,
                items=(),
                rows_read=12,
                rejected=(Fault("row 4, column price", "The price 'call' is not a number."),),
                rows_rejected=1,
            ),
        ),
    )


def make_complete_purchase(**unit_prices: str) -> PurchasePlan:
    """The purchase without the unpriced part; items take other prices by number (C34_10)."""
    plan = make_purchase()
    purchases = []
    for one in plan.purchases:
        bought = tuple(
            replace(
                each,
                item=replace(
                    each.item,
                    unit_price=Decimal(
                        unit_prices.get(
                            each.item.number.replace("-", "_"), str(each.item.unit_price)
                        )
                    ),
                ),
            )
            for each in one.bought
        )
        if bought:
            purchases.append(replace(one, bought=bought))
    return PurchasePlan(tuple(purchases), True)
