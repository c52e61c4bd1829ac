"""Estimate a job from what an organisation keeps: its catalogues, terms, tables and programmes."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from sqlalchemy.orm import Session

from estimator import usecases
from estimator.catalogue.match import index_items
from estimator.catalogue.validity import depends_on_day
from estimator.documents.records import FullEstimate
from estimator.finding import Fault, InputRefused
from estimator.job.describe import JobDescription, describe_job
from estimator.quotes.records import Basis, Used
from estimator.sizing.design import design_job
from estimator.sizing.tables import load_sizing_tables
from estimator.store.catalogue_lookup import lists_for_parts
from estimator.store.scope import Scope
from estimator.store.suppliers import all_terms
from estimator.stored.means import Means, Wanted, find_means
from estimator.stored.rate_sheet import over, read_rate_sheet
from estimator.takeoff.labour_units import LabourUnits
from estimator.takeoff.records import Part
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.take_off import take_off
from estimator.usecases import Catalogue, OwnCredits

Json = Mapping[str, Any]
Got = TypeVar("Got")


@dataclass(frozen=True, slots=True)
class Computed:
    """An estimate and what it was computed with."""

    estimate: FullEstimate
    basis: Basis


def compute(
    session: Session,
    scope: Scope,
    document: Json,
    wanted: Wanted,
    today: date,
    job: Used | None = None,
) -> Computed:
    """Everything about one job. document: its description as plain objects.

    Raises NotFound; InputRefused with every fault of the description and the programmes' facts.
    """
    means = find_means(session, scope, wanted, job)
    faults: list[Fault] = []
    own = _gather(lambda: _own_credits(means, wanted), "/programme_facts/", faults)
    description = _gather(lambda: _described(document, means, today), "/description", faults)
    if description is None or own is None:
        raise InputRefused("request", tuple(faults))
    units = _labour(means)
    parts = parts_of(description, units)
    catalogue = _catalogue(session, scope, means, parts)
    estimate = usecases.estimate_description(
        description, catalogue, today=today, labour_units=units, own=own
    )
    return Computed(estimate, means.basis)


def check_description(document: object, today: date) -> None:
    """Raises InputRefused with every fault of a job description, below /description."""
    faults: list[Fault] = []
    _gather(lambda: describe_job(document, today), "/description", faults)
    if faults:
        raise InputRefused("job description", tuple(faults))


def parts_of(description: JobDescription, units: LabourUnits | None) -> Sequence[Part]:
    """The parts that a job calls for."""
    tables = load_take_off_tables()
    if units is not None:
        tables = tables.with_labour(units)
    return take_off(
        description.job, design_job(description.job, load_sizing_tables()), tables
    ).parts


def _described(document: Json, means: Means, today: date) -> JobDescription:
    if means.rate_sheet is not None:
        sheet = read_rate_sheet(means.rate_sheet.text, means.rate_sheet.used.name)
        document = over(sheet, document)
    return describe_job(document, today)


def _labour(means: Means) -> LabourUnits | None:
    table = means.labour_table
    return None if table is None else usecases.read_labour((table.used.name, table.text.encode()))


def _own_credits(means: Means, wanted: Wanted) -> OwnCredits:
    files = [(each.used.name, each.text.encode()) for each in means.programmes]
    return usecases.read_own_credits(files, wanted.programme_facts, by_year=wanted.year_table)


def _catalogue(session: Session, scope: Scope, means: Means, parts: Sequence[Part]) -> Catalogue:
    lists = lists_for_parts(session, scope, [each.id for each in means.catalogues], parts)
    currencies = {item.currency for each in lists for item in each.items}
    indexes = {currency: index_items(lists, currency) for currency in currencies}
    return Catalogue(lists, indexes, depends_on_day(lists), all_terms(session, scope))


def _gather(read: Callable[[], Got], where: str, faults: list[Fault]) -> Got | None:
    try:
        return read()
    except InputRefused as refused:
        faults += [Fault(where + fault.where, fault.message) for fault in refused.faults]
        return None
