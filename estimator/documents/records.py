"""Everything one estimate came to, as the documents and the services show it."""

from dataclasses import dataclass
from datetime import date

from estimator.catalogue.records import PriceList, PurchasePlan
from estimator.compare.records import Way
from estimator.credits.chain import LinkOfYear
from estimator.credits.programme_facts import Told
from estimator.credits.records import NO_CREDIT, CreditAnswer, CreditTotal
from estimator.credits.year_table import CreditYear
from estimator.finding import Assumption, Finding
from estimator.job.records import Job
from estimator.pricing.records import Price
from estimator.sizing.records import Design
from estimator.takeoff.records import TakeOff


@dataclass(frozen=True, slots=True)
class FullEstimate:
    """One job from description to comparison. findings: of all steps, errors first.

    credit_total: of all programmes together, each reading taken at once. credits_by_year: only
    where the table of years was asked for. programme_facts: what was
    told to programmes of one's own. carried_on: the years after the claim that use what it left.
    """

    job: Job
    computed_on: date
    assumptions: tuple[Assumption, ...]
    findings: tuple[Finding, ...]
    design: Design
    take_off: TakeOff
    purchase: PurchasePlan
    price: Price
    credits: tuple[CreditAnswer, ...]
    price_lists: tuple[PriceList, ...]
    ways: tuple[Way, ...] = ()
    credit_total: CreditTotal = NO_CREDIT
    credits_by_year: tuple[CreditYear, ...] = ()
    programme_facts: tuple[tuple[str, Told], ...] = ()
    carried_on: tuple[LinkOfYear, ...] = ()
