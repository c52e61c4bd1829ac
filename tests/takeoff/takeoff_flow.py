"""A job of the real flow with everything that a take-off of it has to add up to."""

from collections import Counter
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import ceil
from typing import Any

from estimator.finding import Finding
from estimator.job.describe import describe_job
from estimator.job.records import Job
from estimator.sizing.design import design_job
from estimator.sizing.records import Design
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.landings import ConductorEnd, conductor_ends
from estimator.takeoff.parts_list import PartsList
from estimator.takeoff.records import TakeOff
from estimator.takeoff.splices import Splice, connector_for, splices_of
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off
from estimator.takeoff.taking import Taking

CIRCUITS = [
    {"name": "Furnace", "breaker_a": 15, "running_w": 500},
    {"name": "Bedrooms", "breaker_a": 15, "running_w": 200, "protection": "afci"},
    {"name": "Counter left", "breaker_a": 20, "running_w": 600},
    {"name": "Counter right", "breaker_a": 20, "shared_neutral_with": "Counter left"},
    {"name": "Pump", "breaker_a": 20, "poles": 2, "running_w": 900, "single_load": True},
]
EQUIPMENT = {
    "manual_switch": "transfer_switch",
    "interlock": "interlock_kit",
    "subpanel": "transfer_subpanel",
    "automatic_switch": "automatic_transfer_switch",
}
METHODS = tuple(EQUIPMENT)
COLOURS = {
    "ungrounded": {"black", "red", "blue"},
    "neutral": {"white", "grey"},
    "equipment_ground": {"green", "bare"},
}


@dataclass(frozen=True)
class Taken:
    """One job from description to take-off."""

    job: Job
    design: Design
    result: TakeOff

    @property
    def errors(self) -> dict[str, Finding]:
        """Errors of design and take-off by code."""
        found = (*self.design.findings, *self.result.findings)
        return {one.code: one for one in found if one.severity == "error"}

    @property
    def taking(self) -> Taking:
        """A take-off that has taken nothing yet, for asking where things are landed."""
        tables = load_take_off_tables()
        return Taking(self.job, self.design, tables, PartsList(tables.kinds))

    @property
    def ends(self) -> tuple[ConductorEnd, ...]:
        """Every conductor end."""
        return conductor_ends(self.taking)

    @property
    def splices(self) -> tuple[Splice, ...]:
        """Every splice of the transfer."""
        return splices_of(self.job, self.design)


def take(**changes: Any) -> Taken:
    """The take-off of the usual job with these fields of the description changed."""
    document: dict[str, Any] = {
        "circuits": CIRCUITS,
        "mounting_surface": "poured_concrete",
        "run_length_ft": 18,
        "inlet": "L14-30",
        "supply": {"continuous_w": 7200, "surge_w": 9000, "neutral": "floating"},
        "load_centre": {"free_spaces": 4},
        **changes,
    }
    job = describe_job(document, date(2026, 3, 2)).job
    design = design_job(job, load_sizing_tables())
    return Taken(job, design, take_off(job, design, load_take_off_tables()))


def wires_unaccounted(taken: Taken) -> list[str]:
    """What does not add up between conductor ends, splices, connectors and breakers."""
    return [
        *_ends(taken),
        *_splices(taken),
        *_connectors(taken),
        *_in_boxes(taken),
        *_breakers(taken),
        *_pieces(taken),
        *_why(taken),
    ]


def _ends(taken: Taken) -> list[str]:
    wires = sum(wire.count for run in taken.design.runs for wire in run.conductors)
    ends = sum(end.count for end in taken.ends)
    said = [] if ends == 2 * wires else [f"{wires} conductors have {ends} ends"]
    homeless = {one.name for one in taken.design.circuits if not one.position}
    for end in taken.ends:
        if end.lands == "capped" and end.serves not in homeless:
            said.append(f"{end.serves} is capped")
        if end.role == "ungrounded" and end.lands == "bar":
            said.append(f"hot of {end.serves} is on a bar")
        in_box = end.node == "junction_box"
        if in_box and end.lands not in ("splice", "capped"):
            said.append(f"{end.serves} is {end.lands} in a box")
        allowed = ("splice",) if in_box else ("bar", "terminal", "factory")
        if end.role == "equipment_ground" and end.lands not in allowed:
            said.append(f"ground of {end.serves} is {end.lands}")
    return said


def _splices(taken: Taken) -> list[str]:
    in_panel = [end for end in taken.ends if end.node != "junction_box"]
    brought = sum(end.count for end in in_panel if end.lands == "splice")
    own = [splice for splice in taken.splices if splice.joins != "ground"]
    if not any(run.conductors for run in taken.design.runs if run.from_ == "transfer"):
        return []
    said = [] if brought == len(own) else [f"{brought} ends are spliced in {len(own)} splices"]
    grounds = [splice for splice in taken.splices if splice.joins == "ground"]
    placed = sum(1 for one in taken.design.circuits if one.position)
    if grounds and sum(splice.wires - 1 for splice in grounds) != placed:
        said.append("not every moved circuit's ground is joined once")
    return said


def _connectors(taken: Taken) -> list[str]:
    counts: Counter[tuple[str, str, int]] = Counter()
    said = []
    for splice in taken.splices:
        row = connector_for(taken.taking, splice)
        counts[row.kind, row.connector, row.wires] += 1
        if row.wires < splice.wires:
            said.append(f"{splice.wires} wires in a connector for {row.wires}")
    for (kind, connector, wires), count in counts.items():
        spare = ceil(count / 10) if kind == "twist_on_connector" else 0
        have = sum(
            part.quantity
            for part in taken.result.parts
            if part.kind == kind
            and connector in dict(part.attributes).values()
            and dict(part.attributes).get("ports", str(wires)) == str(wires)
        )
        if have != count + spare:
            said.append(f"{have} of {connector} for {count} splices")
    return said


def _in_boxes(taken: Taken) -> list[str]:
    """Where runs meet in a box its connectors hold the ends that come into it, and no others."""
    ends = sum(end.count for end in taken.ends if end.node == "junction_box")
    if not ends or taken.errors.keys() & {"CABLE_NOT_TAKEN_OFF"}:
        return []
    held = pigtails = 0
    for part in taken.result.parts:
        by_runs = all(pointer.startswith("/runs") for pointer in part.asked_by)
        if part.kind in ("twist_on_connector", "splicing_connector") and by_runs:
            values = dict(part.attributes)
            wires = values.get("ports") or values["conductors"].split(" x ")[0]
            held += int(wires) * int(part.quantity)
        if part.kind == "ground_screw" and len(part.asked_by) == 2:
            pigtails += int(part.quantity)
    return [] if held == ends + pigtails else [f"{ends} ends and {pigtails} in room for {held}"]


def _pieces(taken: Taken) -> list[str]:
    """Every conductor is bought as one piece of a colour of its use that is longer than its run."""
    said = []
    wanted: Counter[tuple[str, str, str, str]] = Counter()
    shortest = min((run.length_ft for run in taken.design.runs), default=Decimal(0))
    in_cable = 0
    for run in taken.design.runs:
        if run.factory_whip:
            continue
        if taken.taking.method(run).form == "cable":
            in_cable += 1
            continue
        for wire in run.conductors:
            if wire.colour not in COLOURS[wire.role]:
                said.append(f"{wire.role} of run {run.index} is {wire.colour}")
            large = wire.size in ("4 AWG", "3 AWG", "2 AWG", "1 AWG") or wire.size.endswith(
                "/0 AWG"
            )
            colour = "black" if large or "kcmil" in wire.size else wire.colour
            wanted[wire.size, wire.material, wire.insulation, colour] += wire.count
    bought = {
        tuple(value for _, value in part.attributes): len(part.cuts_ft)
        for part in taken.result.parts
        if part.kind == "conductor"
    }
    if bought != wanted:
        said.append(f"{bought} bought for {dict(wanted)}")
    pieces = [part for part in taken.result.parts if part.kind in ("conductor", "cable")]
    if any(cut <= shortest for part in pieces for cut in part.cuts_ft):
        said.append("a piece is not longer than the shortest run")
    longest = max((run.length_ft for run in taken.design.runs), default=Decimal(0))
    if bought and max(cut for part in pieces for cut in part.cuts_ft) <= longest:
        said.append("no piece is longer than the longest run")
    cables = sum(len(part.cuts_ft) for part in pieces if part.kind == "cable")
    if cables > in_cable or (cables < in_cable and not taken.errors):
        said.append(f"{cables} pieces of cable for {in_cable} runs")
    return said


def _why(taken: Taken) -> list[str]:
    """Every part names what asked for it, and that is in the job."""
    known = {"/inlet", "/transfer", "/load_centre", "/cord_length_ft"}
    known |= {f"/runs/{run.index}" for run in taken.design.runs}
    known |= {f"/circuits/{place}" for place in range(len(taken.job.circuits))}
    return [
        f"{part.description} is asked for by {part.asked_by}"
        for part in taken.result.parts
        if not part.asked_by or not known.issuperset(part.asked_by) or not part.because
    ]


def _breakers(taken: Taken) -> list[str]:
    poles: Counter[str] = Counter()
    for part in taken.result.parts:
        if part.kind == "breaker":
            values = dict(part.attributes)
            poles[values["panel"]] += int(values["poles"]) * int(part.quantity)
    added = sum(breaker.poles for breaker in taken.design.transfer.breakers)
    used = taken.design.transfer.spaces_used if taken.job.transfer.method == "subpanel" else 0
    wanted = {"load centre": added, "transfer subpanel": used}
    return [
        f"{panel} has breakers of {poles[panel]} poles for {count} spaces"
        for panel, count in wanted.items()
        if poles[panel] != count
    ]


def quantity(taken: Taken, kind: str, **attributes: str) -> Decimal:
    """Quantity of all parts of a kind with these attributes."""
    return sum(
        (
            part.quantity
            for part in taken.result.parts
            if part.kind == kind and attributes.items() <= dict(part.attributes).items()
        ),
        Decimal(0),
    )


def tasks(taken: Taken) -> dict[str, Decimal]:
    """Quantity of each labour task by its code."""
    return {task.code: task.quantity for task in taken.result.labour}
