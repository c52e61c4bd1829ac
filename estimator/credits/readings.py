"""The money of a claim under three readings: sure costs, claim allowed, everything allowed."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from estimator.credits.amounts import MoneyTerms, outcome
from estimator.credits.claim_reasons import within_programme
from estimator.credits.form import FormFigures, form_lines
from estimator.credits.judgement import Judgement
from estimator.credits.records import ClaimFacts, CreditLine, FormLine, Outcome
from estimator.credits.rules import CreditRules
from estimator.money import ZERO

_ONE = Decimal(1)
Counts = Callable[[CreditLine], bool]


@dataclass(frozen=True, slots=True)
class Reading:
    """The outcome and what it rests on, storage and other property apart."""

    outcome: Outcome
    storage_gross: Decimal
    other_gross: Decimal


@dataclass(frozen=True, slots=True)
class Readings:
    """The three readings; none is below the one before. rate: zero once nothing is given.

    terms: what turns costs into a credit when every open point is allowed.
    """

    rate: Decimal
    terms: MoneyTerms
    sure: Reading
    if_allowed: Reading
    if_everything: Reading


def read_money(claim: Judgement, rules: CreditRules) -> Readings:
    """The money of a judged claim under each reading of its open points."""
    rate = _rate(claim, rules)
    careful = _terms(claim, rate, rules, hopeful=False)
    hopeful = _terms(claim, rate, rules, hopeful=True)
    return Readings(
        rate,
        hopeful,
        _reading(claim, careful, lambda line: line.status == "eligible"),
        _reading(claim, hopeful, lambda line: line.status != "not_eligible" and line.in_base),
        _reading(claim, hopeful, lambda line: line.status != "not_eligible"),
    )


def claim_form(claim: Judgement, readings: Readings, rules: CreditRules) -> tuple[FormLine, ...]:
    """The form of the year, when there is something to put on it."""
    if not claim.has_form:
        return ()
    sure, hopeful = (
        FormFigures(
            outcome=reading.outcome,
            storage_gross=reading.storage_gross,
            other_gross=reading.other_gross,
            carried_in=claim.facts.carryforward_in,
            limit=claim.facts.tax_limit,
            capacity_met=_capacity_met(claim),
        )
        for reading in (readings.sure, readings.if_everything)
    )
    return form_lines(claim.when.tax_year, sure, hopeful, rules)


def _rate(claim: Judgement, rules: CreditRules) -> Decimal:
    if not rules.first_day <= claim.when.day <= rules.last_day:
        return Decimal(0)
    return rules.rate.on(within_programme(claim.when.rate_day, rules)).value


def _terms(claim: Judgement, rate: Decimal, rules: CreditRules, *, hopeful: bool) -> MoneyTerms:
    facts = claim.facts
    day = within_programme(claim.when.day, rules)
    cap = rules.cap_on(day)
    full_from = rules.full_base_share.on(day).value
    return MoneyTerms(
        deductions=_deductions(facts, rules, hopeful=hopeful),
        share=_ONE if facts.nonbusiness_share >= full_from else facts.nonbusiness_share,
        rate=rate,
        cap=None if cap is None else cap.value,
        carried_in=facts.carryforward_in,
        carried_in_usable=_carried_in_usable(claim, rules, hopeful=hopeful),
        limit=facts.tax_limit,
    )


def _deductions(facts: ClaimFacts, rules: CreditRules, *, hopeful: bool) -> Decimal:
    """Incentives off the base: all that may come off, or when hopeful what must."""
    effects = ("subtract",) if hopeful else ("subtract", "ask")
    told = sum(
        (
            amount
            for code, amount in facts.incentives
            if (rules.incentives[code].effect if code in rules.incentives else "ask") in effects
        ),
        ZERO,
    )
    own = (
        one.least if hopeful else one.most for one in facts.own_incentives if one.effect in effects
    )
    return sum(own, told)


def _carried_in_usable(claim: Judgement, rules: CreditRules, *, hopeful: bool) -> bool:
    year = claim.when.tax_year
    if year is None:
        return hopeful
    begun = year >= rules.carryforward.spans[0].start.year
    return begun and (hopeful or year <= rules.checked_through_year)


def _reading(claim: Judgement, terms: MoneyTerms, counts: Counts) -> Reading:
    storage = other = ZERO
    for cost in claim.judged:
        if counts(cost.line):
            if cost.role == "apart":
                other += cost.line.amount
            else:
                storage += cost.line.amount
    return Reading(outcome(storage + other, terms), storage, other)


def _capacity_met(claim: Judgement) -> str:
    codes = {found.code for found in claim.storage}
    if claim.facts.supply_kind in ("none", "generator") or "CAPACITY_LT_3" in codes:
        return "no"
    return "not known" if "CAPACITY_UNKNOWN" in codes else "yes"
