"""Where the neutral is bonded to ground, what trips when that is twice, and the signs for it."""

from estimator.finding import Finding
from estimator.job.records import Job
from estimator.sizing.tables import SizingTables


def check_neutral(job: Job, tables: SizingTables) -> tuple[Finding, ...]:
    """Findings on bonding, ground-fault protection at the supply, and signs."""
    return (
        *_bond(job),
        *_supply_gfci(job),
        *_panel_bond(job),
        *_generator_gfci(job, tables),
        _inlet_sign(job),
        *_service_sign(job),
    )


def _bond(job: Job) -> list[Finding]:
    neutral, switched = job.supply.neutral, job.transfer.switched_neutral
    if neutral == "unknown":
        return [
            Finding(
                "warning",
                "NEUTRAL_BOND_UNKNOWN",
                "It is not known whether the supply's neutral is bonded to its frame.",
                "/supply/neutral",
                "nec_generator_marking",
                "Read the marking or the manual, or measure between neutral and ground with the "
                "supply unplugged, and set supply.neutral to bonded or floating.",
            )
        ]
    if neutral == "bonded" and not switched:
        return [
            Finding(
                "error",
                "NEUTRAL_BONDED_TWICE",
                "The supply bonds its neutral to ground and so does the house; with an unswitched "
                "neutral part of the neutral current flows in the ground wire and a GFCI at the "
                "supply trips.",
                "/transfer/switched_neutral",
                "nec_bonded_source_conflict",
                "Use transfer equipment that switches the neutral, or a supply with a floating "
                "neutral. Never open the bond of a listed supply yourself.",
            )
        ]
    if neutral == "floating" and switched:
        return [
            Finding(
                "error",
                "NEUTRAL_NOT_BONDED",
                "With a switched neutral the supply stands alone and needs its own bond, but its "
                "neutral floats: breakers may not open on a fault, and a gas furnace may not "
                "sense its flame.",
                "/transfer/switched_neutral",
                "nec_portable_neutral_bond",
                "Use transfer equipment that leaves the neutral unswitched, or a supply whose "
                "neutral is bonded.",
            )
        ]
    if switched:
        return []
    return [
        Finding(
            "note",
            "NEUTRAL_BONDED_BY_HOUSE",
            "The supply's neutral floats and the house's bond grounds it, which flame sensing "
            "furnaces need.",
            "/supply/neutral",
            "nec_separately_derived",
            "Use no bonding plug on the supply while it feeds the house; it would be a second "
            "bond.",
        )
    ]


def _supply_gfci(job: Job) -> list[Finding]:
    if not job.supply.outlet_gfci or job.transfer.switched_neutral:
        return []
    floating = job.supply.neutral == "floating"
    return [
        Finding(
            "warning",
            "GFCI_OUTLET_TRIPS",
            "The supply's outlet has a GFCI, which "
            + ("may trip" if floating else "usually trips")
            + " when the house bonds the neutral behind it.",
            "/supply/outlet_gfci",
            "nec_bonded_source_conflict",
            "Use transfer equipment that switches the neutral together with a supply that is "
            "bonded, or an outlet of the supply without GFCI. Do not defeat the protection.",
        )
    ]


def _panel_bond(job: Job) -> list[Finding]:
    centre = job.load_centre
    if centre.role == "subpanel" and centre.neutral_ground == "bonded":
        return [
            Finding(
                "error",
                "SUBPANEL_BONDED",
                "The load centre is a subpanel but its neutral and ground are bonded: neutral "
                "current flows in the ground wires of the house.",
                "/load_centre/neutral_ground",
                "nec_subpanel_neutral",
                "Remove the bond in the subpanel and separate its bars; or set role to service "
                "if this is the first disconnect.",
            )
        ]
    if centre.role == "service" and centre.neutral_ground == "separate":
        return [
            Finding(
                "warning",
                "SERVICE_NOT_BONDED",
                "The load centre is the service but its neutral and ground are said to be "
                "separate; without a bond there breakers may not open on a ground fault.",
                "/load_centre/neutral_ground",
                "nec_subpanel_neutral",
                "Look for the main bonding jumper; if it is in an earlier disconnect, set "
                "load_centre.role to subpanel.",
            )
        ]
    return []


def _generator_gfci(job: Job, tables: SizingTables) -> list[Finding]:
    supply = job.supply
    if supply.kind != "generator" or not supply.portable:
        return []
    if supply.continuous_w is not None and supply.continuous_w > tables.limits.generator_large_w:
        return []
    used = sorted(
        {
            load.outlet
            for load in job.direct_loads
            if tables.configurations[load.outlet].system == "120"
            and tables.configurations[load.outlet].amps <= tables.limits.gfci_outlet_max_a
        }
    )
    if not used:
        return []
    return [
        Finding(
            "note",
            "GENERATOR_OUTLETS_GFCI",
            f"The generator's {', '.join(used)} outlets need ground-fault protection of their own.",
            "/direct_loads",
            "nec_portable_gfci",
            "Use a generator whose 15 A and 20 A outlets have it, or plug in through a portable "
            "GFCI.",
        )
    ]


def _inlet_sign(job: Job) -> Finding:
    if job.transfer.switched_neutral:
        text = "separately derived system only, that is, only for a supply whose neutral is bonded"
    else:
        text = "non-separately derived system only, that is, only for a supply whose neutral floats"
    return Finding(
        "note",
        "INLET_SIGN",
        f"The inlet needs a warning sign: for connection of a {text}.",
        "/inlet",
        "nec_signs_inlet",
        "Put the sign beside the inlet and say there to switch the supply off before plugging in.",
    )


def _service_sign(job: Job) -> list[Finding]:
    if job.supply.portable:
        return []
    return [
        Finding(
            "note",
            "SERVICE_SIGN",
            "A supply that stays in place needs a sign at the service with its kind and place.",
            "/supply/portable",
            "nec_signs_service",
            "Put the sign at the service equipment, or at the outdoor emergency disconnect where "
            f"there is one, naming the {_kind(job)}.",
        )
    ]


def _kind(job: Job) -> str:
    return job.supply.kind.replace("_", " ")
