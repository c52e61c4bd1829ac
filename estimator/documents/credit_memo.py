"""The credit memo: what an accountant needs to check one estimate's credits and file it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.credits.chain import LinkOfYear
from estimator.credits.facts import claim_facts
from estimator.credits.programme_facts import Told
from estimator.credits.records import ClaimFacts, CreditAnswer, CreditTotal, Outcome
from estimator.credits.year_table import CreditYear
from estimator.documents.records import FullEstimate
from estimator.money import HUNDRED
from estimator.published.sources import load_sources
from estimator.units import plain

NOT_ADVICE = (
    "This memo is not tax advice. It sets out facts as they were entered, the rules as they "
    "were last checked and the arithmetic between them; only the taxpayer's own return decides."
)
NOT_TOLD = "not told"
# Where a figure came from, but nothing that speaks on tax.
_NO_AUTHORITY = frozenset({"own_convention", "own_programme", "job_description", "price_list"})


@dataclass(frozen=True, slots=True)
class MemoFact:
    """A fact relied on. assumed: why a default stands in for it; empty where it was told.

    field: JSON pointer into the job, "" for a fact that is concluded from others.
    """

    name: str
    value: str
    assumed: str
    field: str = ""


@dataclass(frozen=True, slots=True)
class MemoStep:
    """One step of the computation under the three readings, as text."""

    label: str
    sure: str
    if_allowed: str
    if_everything: str


@dataclass(frozen=True, slots=True)
class MemoSection:
    """One programme. steps: base, rate, tentative credit, use and rest. authorities: the
    citations behind the answer and its lines, each once.
    """

    answer: CreditAnswer
    steps: tuple[MemoStep, ...]
    authorities: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CreditMemo:
    """The memo on one estimate. total: of all programmes in the year of the job. years: only
    where the table of years was asked for. carried_on: the years after the claim, where
    something is left of it and the tax of those years is told.
    """

    job_name: str
    computed_on: date
    currency: str
    facts: tuple[MemoFact, ...]
    sections: tuple[MemoSection, ...]
    total: CreditTotal
    carried_on: tuple[LinkOfYear, ...]
    years: tuple[CreditYear, ...]
    not_advice: str

    @property
    def together(self) -> bool:
        """Whether there are several programmes to be taken together."""
        return len(self.sections) > 1


def credit_memo(estimate: FullEstimate) -> CreditMemo:
    """The memo on the credits of one estimate."""
    return CreditMemo(
        job_name=estimate.job.name,
        computed_on=estimate.computed_on,
        currency=estimate.price.currency,
        facts=tuple(_facts(estimate)),
        sections=tuple(_section(answer) for answer in estimate.credits),
        total=estimate.credit_total,
        carried_on=estimate.carried_on,
        years=estimate.credits_by_year,
        not_advice=NOT_ADVICE,
    )


def _facts(estimate: FullEstimate) -> Iterator[MemoFact]:
    assumed = {one.field: one.because for one in estimate.assumptions}
    facts = claim_facts(estimate.job, estimate.computed_on)
    for name, value, field in _told(facts):
        yield MemoFact(name, _text(value), assumed.get(field, ""), field)
    taxes = estimate.job.credit_claim.tax_in_later_years
    if taxes:
        words = ", ".join(plain(tax) for tax in taxes)
        yield MemoFact("tax left for the credit in the years after", words, "")
    for name, told in estimate.programme_facts:
        yield MemoFact(name.replace("_", " "), _text(told), "")


_Value = Told | int | tuple[str, ...] | None


def _told(facts: ClaimFacts) -> Iterator[tuple[str, _Value, str]]:
    """(Words, value, field of the job) of each fact of the claim."""
    claim, supply = "/credit_claim", "/supply"
    yield "installation completed on", facts.completed_on, f"{claim}/completed_on"
    yield "completion lies ahead", facts.planned, ""
    yield "placed in service on", facts.placed_in_service_on, f"{claim}/placed_in_service_on"
    yield "paid on", facts.paid_on, f"{claim}/paid_on"
    yield "kind of supply", facts.supply_kind.replace("_", " "), f"{supply}/kind"
    yield "supply is portable", facts.portable, f"{supply}/portable"
    yield "permanently wired", facts.permanently_wired, f"{claim}/permanently_wired"
    yield "nameplate capacity [kWh]", facts.nameplate_kwh, f"{supply}/nameplate_kwh"
    yield "usable capacity [kWh]", facts.usable_kwh, f"{supply}/usable_kwh"
    solar = "charged only by solar at the home"
    yield solar, facts.charged_only_by_onsite_solar, f"{claim}/charged_only_by_onsite_solar"
    yield "use of the home", facts.residence.replace("_", " "), "/site/residence"
    yield "newly built home", facts.newly_built_home, "/site/built_before_sale"
    yield "region", facts.region, "/site/region"
    yield "nonbusiness share", facts.nonbusiness_share, f"{claim}/nonbusiness_share"
    yield "tax left for the credit", facts.tax_limit, f"{claim}/tax_before_credit"
    yield "carried in", facts.carryforward_in, f"{claim}/carryforward_in"
    yield "utility subsidy", facts.utility_subsidy, f"{claim}/utility_subsidy"
    yield "seller's rebate", facts.seller_rebate, f"{claim}/seller_rebate"
    yield "state incentive", facts.state_incentive, f"{claim}/state_incentive"
    if facts.panel_cost:
        panel = f"{claim}/panel_upgrade"
        yield "cost of panel work", facts.panel_cost, f"{panel}/cost"
        yield "rating of the panel [A]", facts.panel_amps, f"{panel}/amps"
        yield "the panel makes possible", facts.panel_enables, f"{panel}/enables"


def _text(value: _Value) -> str:
    if value is None or value == ():
        return NOT_TOLD
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return ", ".join(value).replace("_", " ")
    return plain(value) if isinstance(value, Decimal) else str(value)


def _section(answer: CreditAnswer) -> MemoSection:
    # A refused cost rests on what refuses it; its own merits decide nothing any more.
    counted = [line for line in answer.lines if line.status != "not_eligible"]
    reasons = [*answer.because, *(reason for line in counted for reason in line.because)]
    sources = load_sources()
    cited = [sources[one.source].cite() for one in reasons if one.source not in _NO_AUTHORITY]
    # Several authorities are parted by semicolons; each is listed once.
    joined = [line.authority for line in answer.lines]
    for point in answer.open_points:
        joined += [point.for_authority, point.against_authority]
    cited += [one for authorities in joined for one in authorities.split("; ")]
    return MemoSection(answer, tuple(_steps(answer)), tuple(dict.fromkeys(filter(None, cited))))


def _steps(answer: CreditAnswer) -> Iterator[MemoStep]:
    sure = Outcome(answer.base, answer.tentative, answer.amount, answer.carryforward)
    readings = (sure, answer.if_allowed, answer.if_everything)

    def step(label: str, amounts: list[Decimal | None]) -> MemoStep:
        first, second, third = ("not known" if one is None else f"{one:,.2f}" for one in amounts)
        return MemoStep(label, first, second, third)

    yield step("base: costs that count, less what comes off", [one.base for one in readings])
    rate = f"{plain(answer.rate * HUNDRED)} %" if answer.rate else "none"
    yield MemoStep("rate", rate, rate, rate)
    yield step("credit before the tax limit", [one.tentative for one in readings])
    yield step("usable this year, with what was carried in", [one.amount for one in readings])
    yield step("left for the next year", [one.carryforward for one in readings])
