"""The result's shape for the OpenAPI document; documents/result_json.py makes the objects."""

from typing import Any

from marshmallow import Schema, fields

_EXACT = {"description": "exact decimal as text", "example": "12.50"}


def _text(description: str, example: str = "", *, nullable: bool = False) -> fields.String:
    metadata: dict[str, Any] = {"description": description}
    if example:
        metadata["example"] = example
    return fields.String(required=True, allow_none=nullable, metadata=metadata)


def _exact(description: str, example: str = "12.5", *, nullable: bool = False) -> fields.String:
    return _text(f"{description}; {_EXACT['description']}", example, nullable=nullable)


def _whole(description: str, *, nullable: bool = False) -> fields.Integer:
    return fields.Integer(required=True, allow_none=nullable, metadata={"description": description})


def _yes_no(description: str, *, nullable: bool = False) -> fields.Boolean:
    return fields.Boolean(required=True, allow_none=nullable, metadata={"description": description})


def _list(of: type[Schema] | fields.Field[Any], description: str) -> fields.List[Any]:
    item = fields.Nested(of) if isinstance(of, type) else of
    return fields.List(item, required=True, metadata={"description": description})


class BecauseSchema(Schema):
    """One reason behind a value."""

    text = _text("one sentence")
    source = _text("key of sources", "nec_310_16")
    figures = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        required=True,
        metadata={"description": "the inputs used, names with units"},
    )


def _because() -> fields.List[Any]:
    return _list(BecauseSchema, "why, with sources")


class AssumptionSchema(Schema):
    """A default that was used because the job did not say."""

    field = _text("JSON pointer into the job", "/cord_length_ft")
    value = _text("the value used", "25")
    because = _text("why this default")
    source = _text("key of sources")


class FindingSchema(Schema):
    """Something to tell the user about the job."""

    severity = _text("error, warning or note", "warning")
    code = _text("stable name", "SUPPLY_RATING_UNKNOWN")
    message = _text("what was found")
    where = _text("JSON pointer into the job", "/supply")
    source = _text("key of sources")
    remedy = _text("what to change")


class LegSchema(Schema):
    """Load on one leg."""

    running_w = _exact("running load [W]", "2350")
    amps = _exact("at 120 V [A]", "19.58")


class TierSchema(Schema):
    """Run time of one priority tier, with all loads kept longer."""

    average_w = _exact("duty-weighted load [W]")
    hours = _exact("run time [h]", nullable=True)


class RechargeSchema(Schema):
    """Hours to recharge."""

    solar = _exact("by solar [h]", nullable=True)
    ac = _exact("by AC [h]", nullable=True)


class LoadStudySchema(Schema):
    """What the supply has to carry, and whether it can."""

    running_w = _exact("all loads running [W]")
    starting_peak_w = _exact("running plus the largest starting step [W]")
    fits = _yes_no(
        "whether the supply carries it; null when its rating is not known", nullable=True
    )
    legs = fields.Dict(
        keys=fields.String(),
        values=fields.Nested(LegSchema),
        required=True,
        metadata={"description": "by leg, L1 and L2"},
    )
    leave_off = _list(fields.String(), "circuits to switch off so that it fits")
    runtime_h = fields.Dict(
        keys=fields.String(),
        values=fields.Nested(TierSchema),
        required=True,
        metadata={"description": "by priority tier, such as priority_1"},
    )
    recharge_h = fields.Nested(RechargeSchema, required=True)
    lifetime_kwh = _exact("energy over the battery's life [kWh]", nullable=True)
    cost_per_kwh = _exact("price by lifetime energy [money/kWh]", nullable=True)
    because = _because()


class TransferResultSchema(Schema):
    """The transfer equipment."""

    method = _text("transfer method", "manual_switch")
    rating_a = _whole("rating [A]")
    spaces = _whole("positions of the equipment")
    spaces_needed = _whole("positions that the circuits need")
    spaces_used = _whole("positions taken")
    because = _because()


class CordResultSchema(Schema):
    """The supply cord."""

    plug = _text("towards the supply", "L14-30P")
    connector = _text("towards the inlet", "L14-30R")
    length_ft = _exact("length [ft]")
    conductor_size = _text("wire size", "10 AWG")
    conductors = _whole("conductors, ground included")
    ampacity_a = _exact("ampacity [A]")
    voltage_drop_percent = _exact("voltage drop [%]")
    because = _because()


class CircuitResultSchema(Schema):
    """One circuit on the transfer equipment."""

    name = _text("as in the job")
    leg = _text("L1, L2 or L1+L2", "L1")
    breaker_a = _whole("breaker [A]")
    poles = _whole("1 or 2")
    conductor_size = _text("wire size of the two conductors per pole", "12 AWG")
    position = _text("switch positions", "1-2")
    because = _because()


class RunConductorSchema(Schema):
    """Like conductors of a run."""

    role = _text("ungrounded, neutral or equipment_ground")
    size = _text("wire size", "10 AWG")
    material = _text("cu or al", "cu")
    insulation = _text("insulation", "THHN/THWN-2")
    colour = _text("colour", "black")
    count = _whole("how many")
    length_ft = _exact("the run's length [ft]")
    serves = _text("what they serve")


class RunResultSchema(Schema):
    """One run as it is to be built."""

    from_ = fields.String(required=True, data_key="from", metadata={"example": "inlet"})
    to = _text("where it ends", "transfer")
    wiring_method = _text("wiring method", "EMT")
    length_ft = _exact("length [ft]")
    trade_size = _text("raceway size; null for cable and a factory whip", "3/4", nullable=True)
    fill_percent = _exact("conductors by inside area [%]", nullable=True)
    fill_limit_percent = _exact("allowed [%]", nullable=True)
    bends_deg = _list(fields.String(), "bends in order [degrees]")
    pull_points = _whole("places added so that no stretch exceeds 360 degrees")
    factory_whip = _yes_no("comes with the listed transfer equipment")
    current_carrying = _whole("current-carrying conductors")
    overcurrent_a = _whole("rating that protects the run [A]")
    ampacity_a = _exact("of its largest ungrounded conductors [A]")
    voltage_drop_percent = _exact("at the rating [%]")
    voltage_drop_at_load_percent = _exact("at the load study's current [%]", nullable=True)
    voltage_drop_one_leg_percent = _exact("everything on one leg [%]", nullable=True)
    expansion_fittings = _whole("PVC expansion fittings")
    conductors = _list(RunConductorSchema, "conductors by role and colour")
    because = _because()


class PartSchema(Schema):
    """One thing the job needs."""

    kind = _text("kind of part", "conductor")
    attributes = fields.Dict(
        keys=fields.String(),
        values=fields.String(),
        required=True,
        metadata={"description": "what identifies it", "example": {"size": "10 AWG"}},
    )
    description = _text("in words")
    quantity = _exact("needed, before packs")
    unit = _text("ea or ft", "ft")
    cuts_ft = _list(fields.String(), "pieces that must each be whole [ft]")
    asked_by = _list(fields.String(), "JSON pointers into the estimate")
    because = _because()


class TaskSchema(Schema):
    """One task of the job."""

    task = _text("in words")
    code = _text("code in the labour units", "L31")
    quantity = _exact("how many units")
    unit = _text("unit of the task", "each")
    hours = _exact("likely hours, factors included [h]")
    hours_low = _exact("low [h]")
    hours_high = _exact("high [h]")
    because = _because()


class EstimatePartSchema(Schema):
    """Design, parts and labour."""

    assumptions = _list(AssumptionSchema, "every default that was used")
    findings = _list(FindingSchema, "what to know, errors first")
    load_study = fields.Nested(LoadStudySchema, required=True)
    transfer = fields.Nested(TransferResultSchema, required=True)
    cord = fields.Nested(CordResultSchema, required=True)
    circuits = _list(CircuitResultSchema, "in the order of the job")
    runs = _list(RunResultSchema, "in order from the inlet")
    parts = _list(PartSchema, "everything to have")
    labour = _list(TaskSchema, "everything to do")


class PriceLineSchema(Schema):
    """One printed line of materials."""

    part = _whole("position in estimate.parts, from 0")
    description = _text("the part")
    item = _text("supplier's number; empty when unpriced")
    item_description = _text("as in the price list")
    supplier = _text("who sells it")
    pack = _exact("units in one pack", nullable=True)
    packs = _whole("packs bought")
    quantity_needed = _exact("as in the part")
    quantity_bought = _exact("whole packs")
    leftover = _exact("bought and not needed")
    unit = _text("ea or ft", "ea")
    unit_price = _exact("four places", "0.1234", nullable=True)
    amount = _exact("rounded to the cent", "12.34", nullable=True)
    price_basis = _text("as the list prices it", "hundred")
    match = _text("exact, confirmed, proposed or unpriced", "exact")


class SupplierSchema(Schema):
    """What is bought from one supplier."""

    supplier = _text("name")
    lines = _whole("lines")
    amount = _exact("their sum")


class PurchasePlanSchema(Schema):
    """How the parts are bought."""

    optimal = _yes_no("proven cheapest")
    suppliers = _list(SupplierSchema, "by supplier")


class GroupSchema(Schema):
    """The price of one group: cost + overhead + contingency + profit - discount = net."""

    group = _text("materials, labour or permit", "materials")
    cost = _exact("cost")
    overhead = _exact("overhead")
    contingency = _exact("contingency")
    profit = _exact("markup or margin")
    discount = _exact("share of the discount")
    net = _exact("before sales tax")
    taxable = _yes_no("whether sales tax is on it")
    sales_tax = _exact("sales tax")


class TotalsSchema(Schema):
    """Totals: each the sum of its printed cells."""

    materials = _exact("cost of materials")
    labour = _exact("cost of labour")
    permit = _exact("permit")
    overhead = _exact("overhead")
    contingency = _exact("contingency")
    profit = _exact("markup or margin")
    discount = _exact("discount")
    net = _exact("before sales tax")
    sales_tax = _exact("sales tax")
    total = _exact("grand total")


class PriceSchema(Schema):
    """The whole price."""

    currency = _text("ISO 4217 code", "USD")
    lines = _list(PriceLineSchema, "materials")
    purchase_plan = fields.Nested(PurchasePlanSchema, required=True)
    groups = _list(GroupSchema, "materials, labour, permit")
    labour_hours = _exact("hours charged")
    labour_rate = _exact("money for one hour")
    profit_kind = _text("markup, margin or none", "markup")
    totals = fields.Nested(TotalsSchema, required=True)
    deposit = _exact("deposit")
    complete = _yes_no("false when any part is unpriced")
    unpriced = _whole("parts without a price")
    because = _because()


class CreditLineSchema(Schema):
    """The verdict on one cost."""

    cost = _text("what it is")
    code = _text("cost code", "transfer_switch")
    amount = _exact("money")
    status = _text("eligible, not_eligible or uncertain", "uncertain")
    reason_code = _text("stable name", "PORTABLE")
    in_base = _yes_no("counts once the claim as a whole is allowed")
    authority = _text("citation")
    because = _because()


class FormLineSchema(Schema):
    """One line of the tax form of the year."""

    form = _text("form", "Form 5695")
    line = _text("line", "6a")
    label = _text("what stands there")
    amount = _text("over the sure costs, as text")
    amount_if_uncertain = _text("if every open point were allowed, as text")


class OutcomeSchema(Schema):
    """The money under one reading of the open points."""

    base = _exact("costs that count, less incentives")
    tentative = _exact("base by rate")
    amount = _exact("usable this year")
    carryforward = _exact("to the next year", nullable=True)


class CreditSchema(Schema):
    """What one programme gives. Not tax advice."""

    programme = _text("name")
    jurisdiction = _text("who grants it", "US")
    tax_year = _whole("decided by the completion date; null when not known", nullable=True)
    status = _text("eligible, not_eligible or uncertain", "uncertain")
    reason_codes = _list(fields.String(), "why, as stable names")
    lines = _list(CreditLineSchema, "by cost")
    base = _exact("over the sure lines")
    rate = _exact("share of the base", "0.3")
    tentative = _exact("base by rate")
    amount = _exact("usable this year")
    amount_if_uncertain = _exact("if every open point went the taxpayer's way")
    carryforward = _exact("to the next year", nullable=True)
    if_allowed = fields.Nested(
        OutcomeSchema,
        required=True,
        metadata={"description": "if the claim's own open points are allowed"},
    )
    if_everything = fields.Nested(
        OutcomeSchema,
        required=True,
        metadata={"description": "if the costs that are open by themselves are allowed too"},
    )
    form_lines = _list(FormLineSchema, "as that year's form lays them out")
    evidence = _list(fields.String(), "what to keep")
    questions = _list(fields.String(), "what would settle the open points")
    because = _because()
    caution = _text("not tax advice")


class CautionSchema(Schema):
    """A hazard of this job."""

    severity = _text("danger, warning or notice", "danger")
    text = _text("what to do")
    source = _text("key of sources")


class RejectedRowSchema(Schema):
    """A row that was not used."""

    where = _text("row and column", "row 14, column price")
    message = _text("why")


class PriceListReportSchema(Schema):
    """What was read from one price list."""

    name = _text("file name")
    supplier = _text("supplier")
    sha256 = _text("digest of the bytes")
    rows_read = _whole("rows")
    items = _whole("rows that became items")
    rejected = _list(RejectedRowSchema, "the other rows")


class SourceSchema(Schema):
    """A publication behind a figure."""

    citation = _text("document, edition, section")
    status = _text("seen, recomputed, derived, memory, common_practice or invented")


class WaySchema(Schema):
    """A way to get the job done (not built yet: the list is always empty)."""

    way = _text("own, hire or cords")


class ResultSchema(Schema):
    """Everything about one job."""

    computed_on = _text("day", "2025-10-01")
    job_name = _text("as in the job")
    estimate = fields.Nested(EstimatePartSchema, required=True)
    price = fields.Nested(PriceSchema, required=True)
    credits = _list(CreditSchema, "by programme")
    comparison = _list(WaySchema, "not built yet: always empty")
    cautions = _list(CautionSchema, "hazards of this job")
    price_lists = _list(PriceListReportSchema, "what was read")
    sources = fields.Dict(
        keys=fields.String(),
        values=fields.Nested(SourceSchema),
        required=True,
        metadata={"description": "by source key"},
    )
