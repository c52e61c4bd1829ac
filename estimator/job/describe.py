"""The front door of the job description: from outside input to a complete job."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from estimator.finding import Assumption, Fault, Finding, InputRefused
from estimator.job.configurations import load_configurations
from estimator.job.fill_equipment import (
    fill_inlet,
    fill_load_centre,
    fill_site,
    fill_supply,
    fill_transfer,
)
from estimator.job.fill_loads import fill_circuits, fill_direct_loads
from estimator.job.fill_runs import fill_runs, whip_length
from estimator.job.fill_terms import (
    fill_comparison,
    fill_credit_claim,
    fill_labour,
    fill_stock,
    fill_terms,
)
from estimator.job.filling import Filling
from estimator.job.records import Job
from estimator.job.schema import check_job
from estimator.job.service_cable import bare_neutrals
from estimator.job.validators import EARLIEST_DAY, LATEST_DAY


@dataclass(frozen=True, slots=True)
class JobDescription:
    """A complete job, the defaults that completed it and what is to be said about it."""

    job: Job
    assumptions: tuple[Assumption, ...]
    findings: tuple[Finding, ...]


def describe_job(document: object, today: date) -> JobDescription:
    """A complete job from plain objects, as read_job_document gives them.

    today: the day of the quote unless the job tells another. Every default that was used is
    an assumption with its reason. Raises InputRefused with every fault at once, or for a day
    that no quote can have.
    """
    told = check_job(document)
    if not EARLIEST_DAY <= today <= LATEST_DAY:
        message = f"{today} is out of range; use a day from {EARLIEST_DAY} to {LATEST_DAY}"
        raise InputRefused("day", (Fault("/on", message),))
    assumptions: list[Assumption] = []
    job = _complete(told, today, assumptions)
    return JobDescription(job, tuple(assumptions), (*_rate_before_wage(told), *bare_neutrals(told)))


def _complete(told: Mapping[str, Any], today: date, assumptions: list[Assumption]) -> Job:
    def part(name: str) -> Filling:
        return Filling(told.get(name, {}), f"/{name}", f"/{name}", assumptions)

    whole = Filling(told, "", "", assumptions)
    surface = told["mounting_surface"]
    told_runs = told.get("runs", ())
    configuration = load_configurations()[told["inlet"]["configuration"]]
    name = whole.constant("name")
    circuits = fill_circuits(told["circuits"], assumptions)
    direct_loads = fill_direct_loads(whole.constant("direct_loads"), assumptions)
    site = fill_site(part("site"))
    supply = fill_supply(part("supply"), configuration)
    cord_length_ft = whole.constant("cord_length_ft")
    inlet = fill_inlet(part("inlet"), surface)
    load_centre = fill_load_centre(part("load_centre"), surface)
    transfer = fill_transfer(
        part("transfer"), configuration, surface, whip_length(told_runs), load_centre.main_a
    )
    runs = fill_runs(told_runs, told["run_length_ft"], surface, transfer, site, assumptions)
    target_percent = whole.constant("voltage_drop_target_percent")
    labour = fill_labour(part("labour"))
    terms = fill_terms(part("terms"), today)
    claim = fill_credit_claim(
        part("credit_claim"),
        Filling(
            told.get("credit_claim", {}).get("panel_upgrade", {}),
            "/credit_claim/panel_upgrade",
            "/credit_claim/panel_upgrade",
            assumptions,
        ),
        claimed="credit_claim" in told,
        quoted_on=terms.quoted_on,
        supply=supply,
        centre=load_centre,
    )
    return Job(
        name=name,
        circuits=circuits,
        direct_loads=direct_loads,
        site=site,
        supply=supply,
        cord_length_ft=cord_length_ft,
        inlet=inlet,
        transfer=transfer,
        load_centre=load_centre,
        runs=runs,
        voltage_drop_target_percent=target_percent,
        labour=labour,
        terms=terms,
        credit_claim=claim,
        comparison=fill_comparison(
            part("comparison"),
            Filling(
                told.get("comparison", {}).get("loan", {}),
                "/comparison/loan",
                "/comparison/loan",
                assumptions,
            ),
        ),
        stock=fill_stock(whole.constant("stock")),
    )


def _rate_before_wage(told: Mapping[str, Any]) -> tuple[Finding, ...]:
    labour = told.get("labour", {})
    if labour.get("hourly_rate") is None or labour.get("wage") is None:
        return ()
    return (
        Finding(
            severity="note",
            code="RATE_BEFORE_WAGE",
            message="hourly_rate and wage were both given; labour is priced at hourly_rate, "
            "and wage and burden_percent change nothing",
            where="/labour/wage",
            source="own_convention",
            remedy="Take hourly_rate out to price labour from wage and burden.",
        ),
    )
