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
    both = _exact("by solar and AC at once [h]", nullable=True)


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


class AddedBreakerSchema(Schema):
    """A breaker that the transfer equipment needs."""

    place = _text("load_centre or transfer: whose space it takes", "load_centre")
    poles = _whole("1 or 2")
    rating_a = _whole("rating [A]")
    feeds = _text("inlet or transfer: what is on its far side", "inlet")
    back_fed = _yes_no("whether the current comes in there")


class TransferResultSchema(Schema):
    """The transfer equipment."""

    method = _text("transfer method", "manual_switch")
    rating_a = _whole("rating [A]")
    spaces = _whole("positions of the equipment")
    spaces_needed = _whole("positions that the circuits need")
    spaces_used = _whole("positions taken")
    breakers = _list(AddedBreakerSchema, "breakers added for the equipment")
    because = _because()


class CordResultSchema(Schema):
    """The supply cord."""

    plug = _text("towards the supply", "L14-30P")
    connector = _text("towards the inlet", "L14-30R")
    length_ft = _exact("length [ft]")
    conductor_size = _text("wire size", "10 AWG")
    conductors = _whole("conductors, ground included")
    ampacity_a = _exact("ampacity at 30 C [A]")
    ambient_c = _exact("where it lies [C]")
    heat_ampacity_a = _exact("ampacity at that ambient, 0 where it may not lie [A]")
    enough_without_drop = _text("size that ampacity at 30 C alone asked for", "10 AWG")
    voltage_drop_percent = _exact("voltage drop at the rating [%]")
    voltage_drop_at_load_percent = _exact("at the load study's current [%]")
    total_drop_percent = _exact("cord and feeder together, at the rating [%]")
    because = _because()


class SurgeProtectorSchema(Schema):
    """A surge protector that the code asks for in or beside new equipment."""

    at = _text("the equipment", "transfer")
    kinds = _list(fields.Integer(), "types that may be used")
    discharge_ka = _exact("least nominal discharge current [kA]", nullable=True)
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


class PullBoxSchema(Schema):
    """What a box or conduit body at a pull point or wall turn must have."""

    straight_in = _exact("inside length in a straight pull [in]", nullable=True)
    angle_in = _exact("from an entry to the wall opposite at a turn [in]", nullable=True)
    volume_in3 = _exact("volume of a box for wires up to 6 AWG [in3]", nullable=True)
    body_area_in2 = _exact("cross-section of a conduit body [in2]", nullable=True)
    because = _because()


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
    pull_box = fields.Nested(
        PullBoxSchema,
        required=True,
        allow_none=True,
        metadata={"description": "null without pull points and wall turns"},
    )
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
    surge_protector = fields.Nested(
        SurgeProtectorSchema,
        required=True,
        allow_none=True,
        metadata={"description": "null where the code asks for none"},
    )
    circuits = _list(CircuitResultSchema, "in the order of the job")
    runs = _list(RunResultSchema, "in order from the inlet")
    parts = _list(PartSchema, "everything to have")
    why = fields.Dict(
        keys=fields.String(),
        values=fields.List(fields.Integer()),
        required=True,
        metadata={
            "description": "positions in parts, from 0, by JSON pointer of what asked for them",
            "example": {"/runs/0": [3, 4]},
        },
    )
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
    match = _text("exact, confirmed, proposed, unpriced, stock or kit", "exact")
    match_score = _exact("of a proposed match, 1 at most", "0.95", nullable=True)
    match_because = _list(fields.String(), "why a match is only proposed")


class SupplierSchema(Schema):
    """What is bought from one supplier."""

    supplier = _text("name")
    lines = _whole("lines")
    amount = _exact("their sum as printed")
    goods = _exact("their sum before each line is rounded to the cent", "128.4375")
    minimum_order = _exact("least goods that the supplier sells")
    delivery_fee = _exact("as due")
    free_delivery_from = _exact("goods from which on no fee is due", nullable=True)


class FromStockSchema(Schema):
    """What is at hand already and so not bought."""

    part = _whole("position in estimate.parts, from 0")
    quantity = _exact("taken from stock")
    unit = _text("ea or ft", "ft")


class KitServesSchema(Schema):
    """A part that a kit holds."""

    part = _whole("position in estimate.parts, from 0")
    quantity = _exact("taken from the kits")
    left_over = _exact("in the kits and not needed")


class KitSchema(Schema):
    """A kit that is bought for several parts."""

    supplier = _text("who sells it")
    item = _text("supplier's number")
    item_description = _text("as in the price list")
    packs = _whole("packs bought")
    serves = _list(KitServesSchema, "the parts in it")


class DeliverySchema(Schema):
    """The delivery fee of a supplier, part of the cost of materials."""

    supplier = _text("who delivers")
    fee = _exact("as due, to the cent")


class PurchasePlanSchema(Schema):
    """How the parts are bought."""

    optimal = _yes_no("proven cheapest")
    cost = _exact("goods and delivery, before each line is rounded to the cent", "431.2075")
    lower_bound = _exact("no purchase of these parts costs less", "431.2075")
    gap = _exact("cost less lower_bound; 0 when optimal", "0")
    suppliers = _list(SupplierSchema, "by supplier")
    from_stock = _list(FromStockSchema, "what is at hand")
    kits = _list(KitSchema, "kits bought")


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
    deliveries = _list(DeliverySchema, "of suppliers that ask a fee, due or not")
    purchase_plan = fields.Nested(PurchasePlanSchema, required=True)
    groups = _list(GroupSchema, "materials, labour, permit")
    labour_hours = _exact("hours charged")
    labour_rate = _exact("money for one hour")
    profit_kind = _text("markup, margin or none", "markup")
    totals = fields.Nested(TotalsSchema, required=True)
    deposit = _exact("deposit")
    complete = _yes_no("false when any part is unpriced")
    unpriced = _whole("parts without a price")
    proposed = _whole("parts priced from items that nobody has confirmed yet")
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


class SideSchema(Schema):
    """One side of an open point."""

    text = _text("what speaks for this side")
    authority = _text("citation")


class OpenPointSchema(Schema):
    """An uncertain point with both sides and both amounts."""

    code = _text("reason code, or cost code of a cost that is open by itself", "PORTABLE")
    concerns = _text("what it is about")
    for_ = fields.Nested(SideSchema, required=True, data_key="for")
    against = fields.Nested(SideSchema, required=True)
    settled_by = _text("evidence that would settle it")
    amount_against = _exact("usable this year if it goes against the taxpayer")
    amount_for = _exact("usable this year if it goes the taxpayer's way")
    supposing = _text("what both amounts suppose about the other open points")


class YearOfProgrammeSchema(Schema):
    """One programme in one year."""

    programme = _text("name")
    status = _text("eligible, not_eligible or uncertain", "eligible")
    reason_codes = _list(fields.String(), "why, as stable names")
    rate = _exact("share of the base", "0.3")
    amount = _exact("usable in the year")
    amount_if_uncertain = _exact("if every open point went the taxpayer's way")
    why = _text("in words")
    change = _text("why it differs from the year before; empty where it does not")
    checked = _yes_no("whether the rules were checked for the year")


class CreditYearSchema(Schema):
    """The same job as if completed in this year."""

    year = _whole("year of completion")
    completed_on = _text("day that was supposed", "2025-06-30")
    total = _exact("sure amounts of all programmes")
    total_if_uncertain = _exact("with every open point allowed")
    programmes = _list(YearOfProgrammeSchema, "by programme")


class CarriedOnSchema(Schema):
    """A later year in which only what is left of the federal residential credit is used."""

    tax_year = _whole("year of the return")
    status = _text("eligible, not_eligible or uncertain", "eligible")
    carried_in = _exact("null when the tax of the year before is not told", nullable=True)
    amount = _exact("sure, usable this year")
    carryforward = _exact("to the next year", nullable=True)
    carried_in_if_uncertain = _exact("if every open point is allowed", nullable=True)
    amount_if_uncertain = _exact("if every open point is allowed")
    carryforward_if_uncertain = _exact("if every open point is allowed", nullable=True)
    why = _list(fields.String(), "reasons in words, with every open point allowed")
    open_because = _text("what keeps the higher amounts from being sure, or empty")


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
    open_points = _list(OpenPointSchema, "what is uncertain, with both sides and both amounts")
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


class UnreadRowSchema(Schema):
    """A row whose description does not tell for sure what is sold."""

    row = _whole("row number")
    item_number = _text("supplier's number")
    description = _text("as in the price list", "3/4 EMT COMP CONN STL")
    why = _text("what is missing, ambiguous or not understood")


class PriceListReportSchema(Schema):
    """What was read from one price list."""

    name = _text("file name")
    supplier = _text("supplier")
    sha256 = _text("digest of the bytes")
    rows_read = _whole("rows")
    items = _whole("rows that became items")
    rejected = _list(RejectedRowSchema, "rows with a fault")
    unread = _list(UnreadRowSchema, "rows whose description was not understood")


class SourceSchema(Schema):
    """A publication behind a figure."""

    citation = _text("document, edition, section")
    status = _text("seen, recomputed, derived, memory, common_practice or invented")


class WayCostSchema(Schema):
    """One group of costs of a way."""

    what = _text("supply, materials, cords, tools, labour, permit or loan", "materials")
    text = _text("in words")
    amount = _exact("without sales tax")
    sales_tax = _exact("sales tax")
    low = _exact("with sales tax")
    high = _exact("with sales tax")
    because = _because()


class ToolSchema(Schema):
    """A tool of one who does it alone."""

    tool = _text("name, as in comparison.tools_owned", "fish_tape")
    description = _text("in words")
    how = _text("owned, buy or rent", "rent")
    low = _exact("without sales tax; null when not known in this currency", nullable=True)
    likely = _exact("likely", nullable=True)
    high = _exact("high", nullable=True)
    because = _because()


class WayNoteSchema(Schema):
    """What a way leaves out, or what may forbid it."""

    text = _text("in words")
    source = _text("key of sources")
    circuit = _text("name of the circuit; empty for the whole way")


class HireQuoteSchema(Schema):
    """Somebody else's quote as told."""

    total = _exact("as told")
    with_supply = _exact("with the price of the supply")
    interest = _exact("of the loan told; null when its terms are not", nullable=True)
    break_even_hour_value = _exact(
        "worth of an own hour at which own work costs the same, before credit", nullable=True
    )


class WaySchema(Schema):
    """A way to get the job done."""

    way = _text("own, hire or cords_only", "own")
    cash_cost = _exact("everything paid, the supply included where its price is told")
    supply_cost = _exact("of this the supply; null when not told", nullable=True)
    costs = _list(WayCostSchema, "by group; with sales tax they add up to cash_cost")
    tools = _list(ToolSchema, "only for own")
    hours_low = _exact("of whoever does the work [h]")
    hours = _exact("likely [h]")
    hours_high = _exact("high [h]")
    own_hours_value = _exact("null when the worth of an own hour is not told", nullable=True)
    credit = _exact("sure, what this way's own costs bring in the first year")
    credit_if_allowed = _exact("if the open points of the claims are all allowed at once")
    cost_after_credit = _exact("cash_cost less credit")
    cost_after_credit_if_allowed = _exact("cash_cost less credit_if_allowed")
    whole_cost = _exact("cost_after_credit with the worth of own hours")
    low = _exact("10th percentile of whole_cost")
    likely = _exact("50th percentile")
    high = _exact("90th percentile")
    circuits = _whole("circuits that it can feed")
    cost_per_circuit = _exact("cost_after_credit by circuits", nullable=True)
    cost_per_kwh = _exact("cost_after_credit by lifetime energy", nullable=True)
    cost_per_outage_hour = _exact(
        "cost_after_credit by hours of outage in the years of use; null when not told",
        nullable=True,
    )
    break_even_hour_value = _exact(
        "only for own: worth of an own hour at which hiring costs the same", nullable=True
    )
    hire_quotes = _list(HireQuoteSchema, "only for hire: quotes of others")
    leaves_out = _list(WayNoteSchema, "what this way does not give")
    may_be_forbidden = _list(WayNoteSchema, "what local rules may forbid")
    complete = _yes_no("false when a cost is not known")
    not_known = _list(fields.String(), "what is missing from cash_cost")
    because = _because()


class CreditTotalSchema(Schema):
    """What all programmes together give in the year of the job."""

    sure = _exact("however the open points go")
    if_allowed = _exact("open points of the claims allowed, costs open by themselves left out")
    if_everything = _exact("every open point allowed")


class ResultSchema(Schema):
    """Everything about one job."""

    computed_on = _text("day", "2025-10-01")
    job_name = _text("as in the job")
    estimate = fields.Nested(EstimatePartSchema, required=True)
    price = fields.Nested(PriceSchema, required=True)
    credits = _list(CreditSchema, "by programme")
    credit_total = fields.Nested(
        CreditTotalSchema,
        required=True,
        metadata={"description": "all programmes at once; may be less than the sum of theirs"},
    )
    credit_carried_on = fields.List(
        fields.Nested(CarriedOnSchema),
        metadata={"description": "only where something is left and tax_in_later_years is told"},
    )
    credits_by_year = fields.List(
        fields.Nested(CreditYearSchema),
        metadata={"description": "the table of years; only when asked for by year_table"},
    )
    comparison = _list(WaySchema, "own, hire and cords_only")
    cautions = _list(CautionSchema, "hazards of this job")
    price_lists = _list(PriceListReportSchema, "what was read")
    sources = fields.Dict(
        keys=fields.String(),
        values=fields.Nested(SourceSchema),
        required=True,
        metadata={"description": "by source key"},
    )
