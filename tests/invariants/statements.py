"""What must hold of any estimate whatever the job; each function names what does not.

The statements stand apart from the code that they judge: plain sums and comparisons over the
finished records, nothing of the packages' own arithmetic.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator
from decimal import ROUND_HALF_UP, Decimal

from estimator.basis import Because
from estimator.documents.records import FullEstimate
from estimator.finding import Finding
from estimator.job.schema import job_schema
from estimator.published.sources import load_sources
from estimator.sizing.records import RunDesign
from estimator.units import WIRE_SIZES

Broken = Iterator[str]
CENT = Decimal("0.01")
CABLES = {"NM-B", "UF-B", "SER", "MC"}
SEVERITIES = ["error", "warning", "note"]


def cents(amount: Decimal) -> Decimal:
    """Rounded half up, as money is printed."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def whole(quantity: Decimal) -> bool:
    """Whether it is a whole number."""
    return quantity == quantity.to_integral_value()


def parts_hold(estimate: FullEstimate) -> Broken:
    """Positive quantities, whole pieces, cuts that sum up, no part twice, all asked for."""
    seen = set()
    for place, part in enumerate(estimate.take_off.parts):
        name = f"part {place} {part.kind} {dict(part.attributes)}"
        if part.quantity <= 0:
            yield f"{name}: quantity {part.quantity}"
        if part.unit == "ea" and not whole(part.quantity):
            yield f"{name}: {part.quantity} pieces"
        if part.cuts_ft and sum(part.cuts_ft) != part.quantity:
            yield f"{name}: cuts {sum(part.cuts_ft)} of {part.quantity}"
        if any(cut <= 0 for cut in part.cuts_ft):
            yield f"{name}: a cut of no length"
        if (part.kind, part.attributes) in seen:
            yield f"{name}: stands twice"
        seen.add((part.kind, part.attributes))
        if not part.asked_by or not part.because:
            yield f"{name}: nobody asked for it"
        if not part.description or "{" in part.description:
            yield f"{name}: described as {part.description!r}"


def wire_is_enough(estimate: FullEstimate) -> Broken:
    """Each wire of a run is in one piece as long as the run."""
    wires: dict[tuple[str, str], list[Decimal]] = defaultdict(list)
    wanted: dict[tuple[str, str], list[Decimal]] = defaultdict(list)
    for part in estimate.take_off.parts:
        if part.kind == "conductor":
            attributes = dict(part.attributes)
            wires[attributes["size"], attributes["material"]] += part.cuts_ft
    for run in _built(estimate):
        for wire in run.conductors:
            wanted[wire.size, wire.material] += [wire.length_ft] * wire.count
    for key, runs in wanted.items():
        cuts = sorted(wires[key], reverse=True)
        runs.sort(reverse=True)
        if len(cuts) < len(runs) or any(cut < run for cut, run in zip(cuts, runs, strict=False)):
            yield f"wire {key}: cuts {cuts[:4]} x {len(cuts)}, runs {runs[:4]} x {len(runs)}"


def conduit_is_enough(estimate: FullEstimate) -> Broken:
    """Conduit covers its runs, but for what elbows and bodies cover."""
    lengths: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
    covered: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
    shaped = set()
    for part in estimate.take_off.parts:
        attributes = dict(part.attributes)
        if part.kind in ("raceway", "flexible_raceway"):
            lengths[attributes["raceway"], attributes["trade_size"]] += part.quantity
        elif part.kind == "nipple":
            feet = part.quantity * Decimal(attributes["length_in"]) / 12
            lengths[attributes["raceway"], attributes["trade_size"]] += feet
        elif part.kind in ("elbow", "conduit_body"):
            shaped.add(attributes["raceway"])
    for run in _built(estimate):
        covered[run.wiring_method, str(run.trade_size)] += run.length_ft
    for (way, size), feet in covered.items():
        if lengths[way, size] < feet - Decimal("1.5") and way not in shaped:
            yield f"raceway {way} {size}: {lengths[way, size]} ft of {feet} ft"


def _built(estimate: FullEstimate) -> Iterator[RunDesign]:
    """Runs in raceway that are taken off: an error may leave one out."""
    left_out = {found.where for found in estimate.findings if found.code.endswith("_NOT_TAKEN_OFF")}
    for place, run in enumerate(estimate.design.runs):
        if run.wiring_method in CABLES or run.factory_whip or run.trade_size is None:
            continue
        if not any(where.startswith(f"/runs/{place}") for where in left_out):
            yield run


def design_holds(estimate: FullEstimate) -> Broken:
    """Fill, ampacity, drop, bends and legs are within their limits, or a finding says not."""
    told = estimate.job.voltage_drop_target_percent
    for place, run in enumerate(estimate.design.runs):
        name = f"run {place} {run.wiring_method}"
        about = [found for found in estimate.findings if found.where.startswith(f"/runs/{place}")]
        wrong = any(found.severity == "error" for found in about)
        fill, limit = run.fill_percent, run.fill_limit_percent
        if fill is not None and limit is not None and not wrong and _over(run, fill, limit):
            yield f"{name}: fill {fill} of {limit} without an error"
        if run.ampacity_a < run.overcurrent_a and not wrong and not _next_size_up(estimate):
            yield f"{name}: {run.ampacity_a} A behind {run.overcurrent_a} A without an error"
        if run.voltage_drop_percent > told and not about and not run.factory_whip:
            yield f"{name}: drop {run.voltage_drop_percent} over {told} without a finding"
        if sum(run.segments_ft) != run.length_ft or len(run.segments_ft) != run.pull_points + 1:
            yield f"{name}: segments {run.segments_ft} of {run.length_ft}"
        yield from _grounds_hold(name, run)


def _over(run: RunDesign, fill: Decimal, limit: Decimal) -> bool:
    """NFPA 70 chapter 9, note 7 to the tables: of conductors of one size one more is let in
    when the count ends in 0.8 or more; a hundredth for areas printed rounded.
    """
    wires = sum(wire.count for wire in run.conductors)
    if len({(wire.size, wire.insulation) for wire in run.conductors}) == 1:
        fill = fill * (wires - Decimal("0.2")) / wires
    return fill > limit * Decimal("1.01")


def _next_size_up(estimate: FullEstimate) -> bool:
    return any(circuit.single_load for circuit in estimate.job.circuits)


def _grounds_hold(name: str, run: RunDesign) -> Broken:
    """NFPA 70 250.122(A): the ground need not be larger than the circuit conductors."""
    rank = WIRE_SIZES.index
    circuit = [rank(wire.size) for wire in run.conductors if wire.role != "equipment_ground"]
    ground = [rank(wire.size) for wire in run.conductors if wire.role == "equipment_ground"]
    if ground and circuit and max(ground) > max(circuit) and not run.factory_whip:
        yield f"{name}: ground {WIRE_SIZES[max(ground)]} larger than its wires"
    if any(wire.count <= 0 or wire.length_ft != run.length_ft for wire in run.conductors):
        yield f"{name}: a wire of another length or of none"


def loads_hold(estimate: FullEstimate) -> Broken:
    """Sums of the load study are the sums of the job; legs and positions fit the circuits."""
    job, study = estimate.job, estimate.design.load_study
    loads = [*job.circuits, *job.direct_loads]
    running = sum((load.running_w for load in loads), Decimal(0))
    step = max(load.starting_w - load.running_w for load in loads)
    if study.running_w != running or study.starting_peak_w != running + step:
        yield f"load study: {study.running_w}, {study.starting_peak_w} of {running} + {step}"
    if set(study.leave_off) - {load.name for load in loads}:
        yield f"load study leaves off what is not there: {study.leave_off}"
    designs = estimate.design.circuits
    if [each.name for each in designs] != [circuit.name for circuit in job.circuits]:
        yield "circuits of the design are not those of the job"
    legs = {each.name: each.leg for each in designs}
    one_leg = {found.where for found in estimate.findings if found.code.endswith("_ON_120_V")}
    for circuit, each in zip(job.circuits, designs, strict=True):
        if (circuit.poles == 2) != (each.leg == "L1+L2"):
            yield f"{circuit.name}: {circuit.poles} poles on {each.leg}"
        partner = circuit.shared_neutral_with
        allowed = any(where.endswith("/shared_neutral_with") for where in one_leg)
        if partner is not None and legs[partner] == each.leg and not allowed:
            yield f"{circuit.name} and {partner} share a neutral on one leg"
    transfer = estimate.design.transfer
    taken = transfer.spaces_used > transfer.spaces and transfer.method != "automatic_switch"
    if taken and not any(found.severity == "error" for found in estimate.findings):
        yield f"transfer: {transfer.spaces_used} of {transfer.spaces} spaces without an error"


def price_holds(estimate: FullEstimate) -> Broken:
    """The total is rebuilt from its groups, the groups from their lines, whole packs counted."""
    price, terms = estimate.price, estimate.job.terms
    materials = sum((fee.fee for fee in price.deliveries), Decimal(0))
    needed: dict[int, Decimal] = defaultdict(Decimal)
    for line in price.lines:
        name = f"line {line.part} {line.item}"
        materials += line.amount or 0
        if not line.description.startswith("Kit: "):
            needed[line.part] += line.quantity_needed
        if line.packs and line.pack:
            if line.packs < 0 or line.packs * line.pack != line.quantity_bought:
                yield f"{name}: {line.packs} x {line.pack} is not {line.quantity_bought}"
            if line.quantity_bought - line.quantity_needed != line.leftover or line.leftover < 0:
                yield f"{name}: {line.leftover} left of {line.quantity_bought}"
        if line.unit_price is not None and line.amount is not None:
            kit = line.description.startswith("Kit: ")
            bought = line.quantity_bought if terms.price_by == "purchase" or kit else None
            charged = line.quantity_needed if bought is None else bought
            if cents(charged * line.unit_price) != line.amount:
                yield f"{name}: {charged} x {line.unit_price} is not {line.amount}"
    for place, part in enumerate(estimate.take_off.parts):
        if needed[place] != part.quantity:
            yield f"line {place}: {needed[place]} of {part.quantity} needed"
    yield from _groups_hold(estimate, materials)


def _groups_hold(estimate: FullEstimate, materials: Decimal) -> Broken:
    price, terms = estimate.price, estimate.job.terms
    by_name = {group.group: group for group in price.groups}
    if by_name["materials"].cost != materials:
        yield f"materials {by_name['materials'].cost} of lines {materials}"
    if by_name["labour"].cost != cents(price.labour_hours * price.labour_rate):
        yield "labour is not hours x rate"
    for group in price.groups:
        parts = group.cost + group.overhead + group.contingency + group.profit - group.discount
        rate = terms.sales_tax_percent if group.group in terms.taxable else Decimal(0)
        if parts != group.net or group.net < 0:
            yield f"{group.group}: net {group.net} of {parts}"
        if cents(group.net * rate / 100) != group.sales_tax:
            yield f"{group.group}: tax {group.sales_tax} on {group.net}"
    total = sum((group.net + group.sales_tax for group in price.groups), Decimal(0))
    if total != price.total or total != cents(total):
        yield f"total {price.total} of {total}"
    if cents(total * terms.deposit_percent / 100) != price.deposit:
        yield f"deposit {price.deposit} of {total}"
    open_lines = sum(line.match == "unpriced" for line in price.lines)
    if price.unpriced != open_lines or price.complete != (open_lines == 0):
        yield f"{open_lines} lines without a price, told {price.unpriced}"
    taken_off = sum((group.discount for group in price.groups), Decimal(0))
    if taken_off > terms.discount:
        yield f"discount {taken_off} of {terms.discount}"


def labour_holds(estimate: FullEstimate) -> Broken:
    """Low, likely and high in order, for tasks and ways."""
    low, high = Decimal(0), Decimal(0)
    for task in estimate.take_off.labour:
        low, high = low + task.hours_low, high + task.hours_high
        ordered = 0 <= task.hours_low <= task.hours <= task.hours_high
        # What fills up to the minimum call-out is less where the rest of the work is more.
        filled_up = task.code == "minimum_call_out" and min(task.hours_low, task.hours_high) >= 0
        if not (ordered or filled_up) or task.quantity <= 0:
            yield f"task {task.code}: {task.hours_low} {task.hours} {task.hours_high}"
    if not low <= estimate.take_off.hours <= high:
        yield f"hours: {low} {estimate.take_off.hours} {high}"
    for way in estimate.ways:
        if not way.low <= way.likely <= way.high:
            yield f"way {way.way}: {way.low} {way.likely} {way.high}"
        if not 0 <= way.hours_low <= way.hours <= way.hours_high:
            yield f"way {way.way}: hours {way.hours_low} {way.hours} {way.hours_high}"
        if way.cash_cost != sum((cost.paid for cost in way.costs), Decimal(0)):
            yield f"way {way.way}: cash {way.cash_cost} is not the sum of its costs"
        if way.cash_cost - way.credit != way.cost_after_credit:
            yield f"way {way.way}: {way.cost_after_credit} after credit"
    if {way.way for way in estimate.ways} != {"own", "hire", "cords_only"}:
        yield "a way is missing"


def credits_hold(estimate: FullEstimate) -> Broken:
    """What is sure is the least, every open point allowed the most; words fit the money."""
    total = estimate.credit_total
    if not 0 <= total.sure <= total.if_allowed <= total.if_everything:
        yield f"credits: {total}"
    for answer in estimate.credits:
        sure, allowed = answer.amount, answer.if_allowed.amount
        if not 0 <= sure <= allowed <= answer.if_everything.amount:
            yield f"{answer.programme}: {sure} {allowed} {answer.if_everything.amount}"
        if answer.amount_if_uncertain != answer.if_everything.amount:
            yield f"{answer.programme}: two amounts for one reading"
        if answer.status == "not_eligible" and answer.tentative != 0:
            yield f"{answer.programme}: not eligible, yet {answer.tentative}"
        if answer.base < 0 or any(not line.authority for line in answer.lines):
            yield f"{answer.programme}: base {answer.base}, or a line without authority"
        for point in answer.open_points:
            if point.amount_against > point.amount_for:
                yield f"{answer.programme}: {point.code} against {point.amount_against}"


def reasons_hold(estimate: FullEstimate) -> Broken:
    """Every reason and finding has words and a known source; findings come errors first."""
    known = load_sources()
    for place, reason in _reasons(estimate):
        if reason.source not in known:
            yield f"{place}: unknown source {reason.source}"
        if not reason.text.strip() or "None" in reason.text.split():
            yield f"{place}: says {reason.text!r}"
    fields = {field.data_key or name for name, field in job_schema().fields.items()}
    ranks = [SEVERITIES.index(found.severity) for found in estimate.findings]
    if ranks != sorted(ranks):
        yield "findings are out of order"
    for found in estimate.findings:
        yield from _finding_holds(found, fields)
    for assumption in estimate.assumptions:
        if assumption.source not in known or not assumption.because:
            yield f"assumption {assumption.field}: {assumption.source}"


def _finding_holds(found: Finding, fields: set[str]) -> Broken:
    if found.source not in load_sources() or not found.message or not found.code.isupper():
        yield f"finding {found.code}: {found.source}, {found.message!r}"
    if found.where and found.where.split("/")[1] not in fields:
        yield f"finding {found.code}: where {found.where}"
    if found.severity == "error" and not found.remedy:
        yield f"finding {found.code}: no remedy"


def _reasons(estimate: FullEstimate) -> Iterator[tuple[str, Because]]:
    design = estimate.design
    for title, owners in (
        ("circuit", design.circuits), ("run", design.runs), ("part", estimate.take_off.parts),
        ("task", estimate.take_off.labour), ("credit", estimate.credits), ("way", estimate.ways),
        ("price", (estimate.price,)), ("transfer", (design.transfer,)), ("cord", (design.cord,)),
        ("load study", (design.load_study,)), ("tool", estimate.take_off.tools),
    ):  # fmt: skip
        for place, owner in enumerate(owners):
            for reason in owner.because:
                yield f"{title} {place}", reason


STATEMENTS: tuple[Callable[[FullEstimate], Broken], ...] = (
    parts_hold, wire_is_enough, conduit_is_enough, design_holds, loads_hold, price_holds,
    labour_holds, credits_hold, reasons_hold,
)  # fmt: skip


def broken_statements(estimate: FullEstimate) -> list[str]:
    """Everything that does not hold of an estimate."""
    return [text for statement in STATEMENTS for text in statement(estimate)]
