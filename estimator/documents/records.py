"""Everything one estimate came to, as the documents and the services show it."""

from dataclasses import dataclass
from datetime import date

from estimator.catalogue.records import PriceList, PurchasePlan
from estimator.credits.records import CreditAnswer
from estimator.finding import Assumption, Finding
from estimator.job.records import Job
from estimator.pricing.records import Price
from estimator.sizing.records import Design
from estimator.takeoff.records import TakeOff


@dataclass(frozen=True, slots=True)
class FullEstimate:
    """One job from description to credit. findings: of all steps, errors first."""

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
