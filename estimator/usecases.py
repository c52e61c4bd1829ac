"""One function for each thing that a user can ask for; pages, service and commands call these."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache, partial
from typing import TypeVar

from estimator.catalogue.check import CatalogueCheck, check_lists
from estimator.catalogue.columns.mapping import ColumnMapping
from estimator.catalogue.columns.mapping_file import read_mapping
from estimator.catalogue.confirmed import read_confirmed
from estimator.catalogue.difference import ListDifference, difference
from estimator.catalogue.match import ItemIndex, index_items
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.read_price_list import (
    NOTHING_KNOWN,
    ColumnsKnown,
    propose_mapping,
    read_price_list,
)
from estimator.catalogue.records import PriceList, Purchase, PurchasePlan, SupplierTerms
from estimator.catalogue.supplier_terms import read_supplier_terms
from estimator.catalogue.validity import (
    OnDay,
    depends_on_day,
    ending_prices,
    on_day,
    stale_parts,
)
from estimator.compare.compare_ways import compare_ways
from estimator.compare.inputs import Compared, Estimated
from estimator.compare.tables import load_compare_tables
from estimator.credits.assess import added_credit, assess_claim
from estimator.credits.chain import years_after
from estimator.credits.claim_checks import claim_findings
from estimator.credits.facts import claim_facts, cost_lines
from estimator.credits.programme_facts import NOTHING_TOLD, Told, read_told
from estimator.credits.programme_file import read_programmes
from estimator.credits.programmes import Programme
from estimator.credits.records import CostLine, CreditTotal
from estimator.credits.rules_file import load_credit_rules
from estimator.credits.year_table import credits_by_year
from estimator.documents.records import FullEstimate
from estimator.finding import Fault, Finding, InputRefused
from estimator.job.describe import JobDescription, describe_job
from estimator.job.read import read_job_document
from estimator.job.records import Job
from estimator.pricing.price import price_estimate
from estimator.published.audit import AuditTable, find_table, read_audit
from estimator.samples import sample_job_files
from estimator.sizing.design import design_job
from estimator.sizing.records import Design
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.labour_units import LabourUnits, read_labour_units
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.tables import TakeOffTables, load_take_off_tables
from estimator.takeoff.take_off import take_off

# Files of our own words, whose rows name no source of their own.
_OWN_WORDS = {
    "credits.rules.federal_home_improvement_panel": "own_convention",
    "credits.rules.federal_residential_clean_energy": "own_convention",
    "documents.paper_words": "own_convention",
    "takeoff.part_kinds": "own_convention",
    "web.pages.words": "own_convention",
    "web.route_roles": "own_convention",
}

_SEVERITY_ORDER = {"error": 0, "warning": 1, "note": 2}
_MOST_DAYS_KEPT = 8


NamedBytes = tuple[str, bytes]
Got = TypeVar("Got")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Price lists ready to price from; make it once, use it for many jobs.

    indexes: by currency, of all prices. dated: whether some prices hold on some days only, or
    items are discontinued; then there is an index for each day that is asked for. terms: of
    suppliers, in any currency.
    """

    lists: tuple[PriceList, ...]
    indexes: Mapping[str, ItemIndex]
    dated: bool = False
    terms: tuple[SupplierTerms, ...] = ()
    _days: dict[date, OnDay] = field(default_factory=dict, compare=False, repr=False)
    _on_days: dict[tuple[str, date], ItemIndex] = field(
        default_factory=dict, compare=False, repr=False
    )

    def index_for(self, currency: str, day: date | None = None) -> ItemIndex:
        """The items priced in one currency; those in others are counted in its findings.

        day: of the quote; only prices that hold on it are used. None: all of them.
        """
        if day is None or not self.dated:
            return self.indexes.get(currency) or index_items(self.lists, currency)
        known = self._on_days.get((currency, day))
        if known is None:
            if len(self._on_days) >= _MOST_DAYS_KEPT:
                self._on_days.clear()
            dated = self.on(day)
            index = index_items(dated.lists, currency)
            known = replace(index, findings=(*dated.findings, *index.findings))
            self._on_days[currency, day] = known
        return known

    def on(self, day: date) -> OnDay:
        """The lists on one day."""
        known = self._days.get(day)
        if known is None:
            if len(self._days) >= _MOST_DAYS_KEPT:
                self._days.clear()
            known = self._days[day] = on_day(self.lists, day)
        return known

    def stale(self, purchases: Sequence[Purchase], day: date) -> tuple[Finding, ...]:
        """A finding for each part that is unpriced because no price of it holds on the day."""
        return stale_parts(purchases, self.on(day)) if self.dated else ()


@dataclass(frozen=True, slots=True)
class OwnCredits:
    """What the user adds to the credits. programmes: in their stacking order. told: facts that
    only they, or the credit on panel work, ask for. by_year: the table of years is wanted.
    """

    programmes: tuple[Programme, ...]
    told: Mapping[str, Told]
    by_year: bool


NO_OWN_CREDITS = OwnCredits((), NOTHING_TOLD, by_year=False)


@cache
def list_tables() -> tuple[AuditTable, ...]:
    """Every table and rule file of the package with all rows, read once in a process."""
    return read_audit("estimator", _OWN_WORDS)


def show_table(name: str) -> AuditTable:
    """One table by its name, such as "sizing.ampacity". Raises UnknownTable."""
    return find_table(list_tables(), name)


def estimate_files(
    job: NamedBytes,
    price_lists: Sequence[NamedBytes],
    *,
    today: date,
    labour: NamedBytes | None = None,
    programmes: Sequence[NamedBytes] = (),
    programme_facts: Sequence[tuple[str, str]] = (),
    by_year: bool = False,
    confirmed: NamedBytes | None = None,
    supplier_terms: NamedBytes | None = None,
) -> FullEstimate:
    """Everything about one job, from the bytes of its files.

    programmes: credit programmes of one's own (TOML). programme_facts: (name, value) texts
    that they, or the credit on panel work, ask for. by_year: add the table of years.
    confirmed: what described items are, as persons said (CSV). supplier_terms: minimum orders
    and delivery fees (CSV). Raises InputRefused with the faults of all files together: the job
    description, each price list that cannot be read at all, the confirmed matches, the terms,
    the labour units and the programmes.
    """
    return _estimate(
        lambda: describe_job(read_job_document(job[1], job[0]), today),
        partial(read_catalogue, price_lists, confirmed, supplier_terms),
        today,
        labour,
        partial(read_own_credits, programmes, programme_facts, by_year=by_year),
    )


def estimate_document(
    document: object,
    price_lists: Sequence[NamedBytes],
    *,
    today: date,
    labour: NamedBytes | None = None,
    programmes: Sequence[NamedBytes] = (),
    programme_facts: Sequence[tuple[str, str]] = (),
    by_year: bool = False,
    confirmed: NamedBytes | None = None,
    supplier_terms: NamedBytes | None = None,
) -> FullEstimate:
    """As estimate_files, with the job description as plain objects."""
    return _estimate(
        lambda: describe_job(document, today),
        partial(read_catalogue, price_lists, confirmed, supplier_terms),
        today,
        labour,
        partial(read_own_credits, programmes, programme_facts, by_year=by_year),
    )


def _estimate(
    describe: Callable[[], JobDescription],
    read_lists: Callable[[], Catalogue],
    today: date,
    labour: NamedBytes | None,
    read_own: Callable[[], OwnCredits],
) -> FullEstimate:
    faults: list[Fault] = []
    catalogue = _gather(read_lists, faults)
    units = _gather(lambda: read_labour(labour) if labour else None, faults)
    own = _gather(read_own, faults)
    description = _gather(describe, faults)
    if faults or catalogue is None or description is None or own is None:
        raise InputRefused("input", tuple(faults))
    return estimate_description(description, catalogue, today=today, labour_units=units, own=own)


def read_catalogue(
    files: Sequence[NamedBytes],
    confirmed: NamedBytes | None = None,
    supplier_terms: NamedBytes | None = None,
    mappings: Sequence[NamedBytes | None] = (),
) -> Catalogue:
    """A catalogue from (name, bytes) of price lists.

    confirmed: what items without columns of kind and attributes are, as persons said (CSV).
    supplier_terms: minimum orders and delivery fees (CSV). Raises InputRefused with
    every fault of every file that cannot be read at all; single
    rows that cannot be used are reported in the lists.
    """
    kinds = load_part_kinds()
    faults: list[Fault] = []
    told = _gather(
        lambda: read_confirmed(confirmed[1], confirmed[0], kinds) if confirmed else {}, faults
    )
    columns = _read_mappings(mappings, len(files), faults)
    lists = [
        _gather(
            partial(read_price_list, data, name, kinds, told or {}, columns=known), faults, name
        )
        for (name, data), known in zip(files, columns, strict=True)
    ]
    terms = _gather(
        lambda: read_supplier_terms(supplier_terms[1], supplier_terms[0]) if supplier_terms else (),
        faults,
    )
    if faults:
        raise InputRefused("price list", tuple(faults))
    read = tuple(price_list for price_list in lists if price_list is not None)
    currencies = {item.currency for price_list in read for item in price_list.items}
    indexes = {currency: index_items(read, currency) for currency in currencies}
    return Catalogue(read, indexes, depends_on_day(read), terms or ())


def _read_mappings(
    mappings: Sequence[NamedBytes | None], lists: int, faults: list[Fault]
) -> list[ColumnsKnown]:
    """What is told of the columns of each list, in their order; faults are added."""
    if len(mappings) > lists:
        message = f"{len(mappings)} mappings for {lists} price lists; give one for each list"
        faults.append(Fault("mappings", message))
    told = [
        _gather(partial(read_mapping, each[1], each[0]), faults) if each is not None else None
        for each in mappings[:lists]
    ]
    known = [NOTHING_KNOWN if each is None else ColumnsKnown(each) for each in told]
    return known + [NOTHING_KNOWN] * (lists - len(known))


def propose_columns(
    file: NamedBytes, mapping: NamedBytes | None = None
) -> tuple[ColumnMapping, ...]:
    """What the columns of a price list seem to hold, sheet by sheet, to be corrected.

    mapping: what a person said of them before. Raises InputRefused when a file cannot be opened.
    """
    known = NOTHING_KNOWN if mapping is None else ColumnsKnown(read_mapping(mapping[1], mapping[0]))
    return propose_mapping(file[1], file[0], load_part_kinds(), known)


def compare_price_lists(
    old: NamedBytes, new: NamedBytes, confirmed: NamedBytes | None = None
) -> ListDifference:
    """What a newer price list changes against an older one; stores nothing.

    Raises InputRefused with every fault of a file that cannot be read at all.
    """
    before, after = read_catalogue((old, new), confirmed).lists
    return difference(before, after)


def check_catalogue(
    files: Sequence[NamedBytes],
    jobs: Sequence[tuple[str, object]] = (),
    *,
    today: date,
    confirmed: NamedBytes | None = None,
    mappings: Sequence[NamedBytes | None] = (),
) -> CatalogueCheck:
    """What price lists hold, and which parts of jobs they can serve; stores nothing.

    jobs: name and description, as bytes of a file or as plain objects; the sample jobs where
    none is given. mappings: what the columns of each list hold, in their order (CSV or JSON).
    Prices count in the currency of the first job. Raises InputRefused with the
    faults of all files together.
    """
    asked = jobs or sample_job_files()
    faults: list[Fault] = []
    catalogue = _gather(partial(read_catalogue, files, confirmed, mappings=mappings), faults)
    described = [_gather(partial(_job_of, name, job, today), faults, name) for name, job in asked]
    if faults or catalogue is None:
        raise InputRefused("input", tuple(faults))
    read = [job for job in described if job is not None]
    sizing, tables = load_sizing_tables(), load_take_off_tables()
    parts = [part for job in read for part in take_off(job, design_job(job, sizing), tables).parts]
    index = catalogue.index_for(read[0].terms.currency, today)
    found = check_lists(catalogue.lists, index, parts, [name for name, _ in asked])
    return replace(found, findings=(*found.findings, *catalogue.stale(found.matches, today)))


def _job_of(name: str, job: object, today: date) -> Job:
    document = read_job_document(job, name) if isinstance(job, bytes) else job
    return describe_job(document, today).job


def read_labour(file: NamedBytes) -> LabourUnits:
    """The contractor's own labour units from (name, bytes). Raises InputRefused."""
    name, data = file
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        fault = Fault(name, "is not UTF-8 text; save the labour units as CSV in UTF-8")
        raise InputRefused("labour units", (fault,)) from None
    return read_labour_units(text, name)


def read_own_credits(
    programmes: Sequence[NamedBytes],
    facts: Sequence[tuple[str, str]] = (),
    *,
    by_year: bool = False,
) -> OwnCredits:
    """Programmes of one's own with their facts. Raises InputRefused with every fault."""
    read = read_programmes(programmes, load_credit_rules().costs)
    return OwnCredits(read, read_told(facts, read), by_year)


def estimate_job(
    document: object,
    catalogue: Catalogue,
    *,
    today: date,
    programmes: Sequence[NamedBytes] = (),
    programme_facts: Sequence[tuple[str, str]] = (),
    by_year: bool = False,
) -> FullEstimate:
    """Everything about one job: design, parts, labour, price, credits and comparison.

    document: the job description as plain objects. programmes and what follows: as in
    estimate_files. Raises InputRefused with every fault of the description.
    """
    own = read_own_credits(programmes, programme_facts, by_year=by_year)
    return estimate_description(describe_job(document, today), catalogue, today=today, own=own)


def estimate_description(
    description: JobDescription,
    catalogue: Catalogue,
    *,
    today: date,
    labour_units: LabourUnits | None = None,
    own: OwnCredits = NO_OWN_CREDITS,
) -> FullEstimate:
    """The flow itself, from a checked description to the comparison; never refuses."""
    job = description.job
    tables = load_take_off_tables()
    if labour_units is not None:
        tables = tables.with_labour(labour_units)
    design = design_job(job, load_sizing_tables())
    taken = take_off(job, design, tables)
    plan = plan_purchase(
        taken.parts,
        catalogue.index_for(job.terms.currency, today),
        terms=catalogue.terms,
        stock=job.stock,
        most_suppliers=job.terms.most_suppliers,
    )
    if catalogue.dated:
        stale = catalogue.stale(plan.purchases, today)
        ending = ending_prices(plan.purchases, today + timedelta(days=job.terms.valid_days))
        plan = replace(plan, findings=(*plan.findings, *stale, *ending))
    price = price_estimate(job, taken, plan)

    def credit_of(of: Job, costs: Sequence[CostLine]) -> CreditTotal:
        facts = claim_facts(of, today)
        return added_credit(facts, costs, rules, today, own.programmes, own.told)

    rules = load_credit_rules()
    facts, costs = claim_facts(job, today), cost_lines(job, taken, price)
    assessed = assess_claim(facts, costs, rules, today, own.programmes, own.told)
    years = (
        credits_by_year(facts, costs, rules, today, own.programmes, own.told) if own.by_year else ()
    )
    taxes = job.credit_claim.tax_in_later_years
    given = Estimated(job, taken, price)
    compared = Compared(design, given, _hired(given, design, plan, tables))
    ways = compare_ways(compared, assessed.added, credit_of, load_compare_tables(), tables)
    findings = (
        *description.findings,
        *design.findings,
        *taken.findings,
        *price.findings,
        *claim_findings(facts, rules),
    )
    return FullEstimate(
        job=job,
        computed_on=today,
        assumptions=description.assumptions,
        findings=tuple(sorted(findings, key=lambda found: _SEVERITY_ORDER[found.severity])),
        design=design,
        take_off=taken,
        purchase=plan,
        price=price,
        credits=assessed.answers,
        price_lists=catalogue.lists,
        ways=ways,
        credit_total=assessed.total,
        credits_by_year=years,
        programme_facts=tuple(own.told.items()),
        carried_on=years_after(assessed.answers[0], facts, taxes, rules, today),
    )


def _hired(
    given: Estimated, design: Design, plan: PurchasePlan, tables: TakeOffTables
) -> Estimated:
    """The same job done by a contractor; the parts, and so their purchase, are the same."""
    job = given.job
    if job.labour.skill == "contractor":
        return given
    job = replace(job, labour=replace(job.labour, skill="contractor"))
    taken = take_off(job, design, tables)
    return Estimated(job, taken, price_estimate(job, taken, plan))


def _gather(read: Callable[[], Got], faults: list[Fault], file: str = "") -> Got | None:
    try:
        return read()
    except InputRefused as refused:
        for fault in refused.faults:
            where = ", ".join(word for word in (file, fault.where) if word)
            faults.append(Fault(where, fault.message))
        return None
