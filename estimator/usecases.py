"""One function for each thing that a user can ask for; pages, service and commands call these."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import TypeVar

from estimator.catalogue.match import ItemIndex, index_items
from estimator.catalogue.purchase import plan_purchase
from estimator.catalogue.read_price_list import read_price_list
from estimator.catalogue.records import PriceList
from estimator.credits.assess import assess_credits
from estimator.credits.facts import claim_facts, cost_lines
from estimator.credits.rules_file import load_credit_rules
from estimator.documents.records import FullEstimate
from estimator.finding import Fault, InputRefused
from estimator.job.describe import JobDescription, describe_job
from estimator.job.read import read_job_document
from estimator.pricing.price import price_estimate
from estimator.sizing.design import design_job
from estimator.sizing.tables import load_sizing_tables
from estimator.takeoff.labour_units import LabourUnits, read_labour_units
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off

_SEVERITY_ORDER = {"error": 0, "warning": 1, "note": 2}


NamedBytes = tuple[str, bytes]
Got = TypeVar("Got")


@dataclass(frozen=True, slots=True)
class Catalogue:
    """Price lists ready to price from; make it once, use it for many jobs."""

    lists: tuple[PriceList, ...]
    indexes: Mapping[str, ItemIndex]

    def index_for(self, currency: str) -> ItemIndex:
        """The items priced in one currency; those in others are counted in its findings."""
        return self.indexes.get(currency) or index_items(self.lists, currency)


def estimate_files(
    job: NamedBytes,
    price_lists: Sequence[NamedBytes],
    *,
    today: date,
    labour: NamedBytes | None = None,
) -> FullEstimate:
    """Everything about one job, from the bytes of its files.

    Raises InputRefused with the faults of all files together: the job description, each
    price list that cannot be read at all and the labour units.
    """
    return _estimate(
        lambda: describe_job(read_job_document(job[1], job[0]), today), price_lists, today, labour
    )


def estimate_document(
    document: object,
    price_lists: Sequence[NamedBytes],
    *,
    today: date,
    labour: NamedBytes | None = None,
) -> FullEstimate:
    """As estimate_files, with the job description as plain objects."""
    return _estimate(lambda: describe_job(document, today), price_lists, today, labour)


def _estimate(
    describe: Callable[[], JobDescription],
    price_lists: Sequence[NamedBytes],
    today: date,
    labour: NamedBytes | None,
) -> FullEstimate:
    faults: list[Fault] = []
    catalogue = _gather(lambda: read_catalogue(price_lists), faults)
    units = _gather(
        lambda: read_labour(labour) if labour else None, faults, labour[0] if labour else ""
    )
    description = _gather(describe, faults)
    if faults or catalogue is None or description is None:
        raise InputRefused("input", tuple(faults))
    return estimate_description(description, catalogue, today=today, labour_units=units)


def read_catalogue(files: Sequence[NamedBytes]) -> Catalogue:
    """A catalogue from (name, bytes) of price lists.

    Raises InputRefused with every fault of every file that cannot be read at all; single
    rows that cannot be used are reported in the lists.
    """
    kinds = load_part_kinds()
    faults: list[Fault] = []
    lists = [
        _gather(partial(read_price_list, data, name, kinds), faults, name) for name, data in files
    ]
    if faults:
        raise InputRefused("price list", tuple(faults))
    read = tuple(price_list for price_list in lists if price_list is not None)
    currencies = {item.currency for price_list in read for item in price_list.items}
    return Catalogue(read, {currency: index_items(read, currency) for currency in currencies})


def read_labour(file: NamedBytes) -> LabourUnits:
    """The contractor's own labour units from (name, bytes). Raises InputRefused."""
    name, data = file
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        fault = Fault("", "is not UTF-8 text; save the labour units as CSV in UTF-8")
        raise InputRefused("labour units", (fault,)) from None
    return read_labour_units(text, name)


def estimate_job(document: object, catalogue: Catalogue, *, today: date) -> FullEstimate:
    """Everything about one job: design, parts, labour, price and credits.

    document: the job description as plain objects. Raises InputRefused with every fault of
    the description.
    """
    return estimate_description(describe_job(document, today), catalogue, today=today)


def estimate_description(
    description: JobDescription,
    catalogue: Catalogue,
    *,
    today: date,
    labour_units: LabourUnits | None = None,
) -> FullEstimate:
    """The flow itself, from a checked description to the credits; never refuses."""
    job = description.job
    tables = load_take_off_tables()
    if labour_units is not None:
        tables = tables.with_labour(labour_units)
    design = design_job(job, load_sizing_tables())
    taken = take_off(job, design, tables)
    plan = plan_purchase(taken.parts, catalogue.index_for(job.terms.currency))
    price = price_estimate(job, taken, plan)
    answers = assess_credits(
        claim_facts(job, today), cost_lines(job, taken, price), load_credit_rules(), today
    )
    findings = (
        *description.findings,
        *design.findings,
        *taken.findings,
        *price.findings,
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
        credits=answers,
        price_lists=catalogue.lists,
    )


def _gather(read: Callable[[], Got], faults: list[Fault], file: str = "") -> Got | None:
    try:
        return read()
    except InputRefused as refused:
        for fault in refused.faults:
            where = ", ".join(word for word in (file, fault.where) if word)
            faults.append(Fault(where, fault.message))
        return None
