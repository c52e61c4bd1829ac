"""The words around the amounts: reasons, questions still open and papers to keep."""

from collections.abc import Iterator
from datetime import date

from estimator.basis import Because, because
from estimator.credits.claim_reasons import within_programme
from estimator.credits.form import form_because
from estimator.credits.judgement import Judgement
from estimator.credits.readings import Readings
from estimator.credits.rules import CreditRules, OutOfScope


def explanation(
    claim: Judgement, readings: Readings, rules: CreditRules, today: date
) -> tuple[Because, ...]:
    """Why the answer is what it is: verdict, year, rate, base, limit, and how sure it is."""
    return (
        *(found.because for found in claim.deciding),
        *claim.when.because,
        *_on_rate(claim, readings, rules),
        *_on_base(claim, readings, rules),
        *_on_limit(claim, readings, rules),
        *_on_coverage(claim, rules, today),
        *(one.because for one in _beyond_scope(claim, rules)),
        *(form_because(claim.when.tax_year, rules) if claim.has_form else ()),
    )


def questions(claim: Judgement, rules: CreditRules) -> tuple[str, ...]:
    """What to ask before relying on the answer, each question once."""
    asked = [found.reason.ask for found in claim.deciding if found.reason.ask]
    facts = claim.facts
    if claim.status != "not_eligible" or facts.carryforward_in > 0:
        if facts.tax_limit is None:
            asked.append(rules.questions["TAX_LIMIT"])
        if facts.planned:
            asked.append(rules.questions["PLANNED"])
    if claim.status != "not_eligible":
        if not all(cost.priced for cost in claim.costs):
            asked.append(rules.questions["PRICE"])
        if any(_open_by_itself(cost.line.status, cost.line.in_base) for cost in claim.judged):
            asked.append(rules.questions["OPEN_COSTS"])
    return tuple(dict.fromkeys(asked))


def _beyond_scope(claim: Judgement, rules: CreditRules) -> Iterator[OutOfScope]:
    occasions = {
        "business_share": claim.facts.nonbusiness_share < 1,
        "vehicle_charging": claim.facts.charges_vehicle,
    }
    return (one for one in rules.out_of_scope if occasions[one.when])


def evidence(claim: Judgement, rules: CreditRules) -> tuple[str, ...]:
    """The papers to keep for what is claimed; none for a claim that falls."""
    needs: set[str] = set()
    if claim.status != "not_eligible" and claim.claims_property:
        needs.add("new_cost")
        if claim.facts.supply_kind != "none":
            needs.add("storage")
    if claim.facts.carryforward_in > 0:
        needs.add("carryforward")
    return tuple(paper.text for paper in rules.evidence if paper.needed_for in needs)


def _open_by_itself(status: str, in_base: bool) -> bool:
    return status == "uncertain" and not in_base


def _on_rate(claim: Judgement, readings: Readings, rules: CreditRules) -> Iterator[Because]:
    if not claim.claims_property or not readings.rate:
        return
    span = rules.rate.on(within_programme(claim.when.rate_day, rules))
    yield because(
        "The rate is that of the day of placing in service.",
        span.source,
        rate=span.value,
        day=claim.when.rate_day.isoformat(),
    )
    cap = rules.cap_on(within_programme(claim.when.day, rules))
    if cap is not None:
        yield because(
            "The credit on solar property was capped in this year.", cap.source, cap=cap.value
        )


def _on_base(claim: Judgement, readings: Readings, rules: CreditRules) -> Iterator[Because]:
    if not claim.claims_property or claim.status == "not_eligible":
        return
    facts = claim.facts
    for code, amount in facts.incentives:
        rule = rules.incentives.get(code)
        if rule is not None:
            yield because(
                f"{rule.label}: {_EFFECTS[rule.effect]}. {rule.because.text}",
                rule.because.source,
                amount=amount,
            )
    yield from _on_own_incentives(claim)
    share = rules.full_base_share.on(within_programme(claim.when.day, rules))
    if facts.nonbusiness_share < share.value:
        yield because(
            "The home is used for business so much that only the nonbusiness share counts.",
            share.source,
            nonbusiness_share=facts.nonbusiness_share,
            full_from_share=share.value,
        )
    open_costs = sum(_open_by_itself(cost.line.status, cost.line.in_base) for cost in claim.judged)
    if open_costs:
        yield because(
            "Costs that are uncertain by themselves are left out of the base; the amount with "
            "every open point allowed has them in.",
            "own_convention",
            costs=open_costs,
            base=readings.sure.outcome.base,
            base_if_everything=readings.if_everything.outcome.base,
        )
    unpriced = sum(not cost.priced for cost in claim.costs)
    if unpriced:
        yield because(
            "The base is incomplete: costs without a price are missing from it.",
            "own_convention",
            costs_without_price=unpriced,
        )


def _on_own_incentives(claim: Judgement) -> Iterator[Because]:
    for own in claim.facts.own_incentives:
        if own.most:
            yield because(
                f"{own.programme}: {_EFFECTS[own.effect]}, as its file says.",
                "own_programme",
                least=own.least,
                most=own.most,
            )


_EFFECTS = {
    "subtract": "comes off the base",
    "keep": "stays in the base",
    "ask": "may come off the base",
}


def _on_limit(claim: Judgement, readings: Readings, rules: CreditRules) -> Iterator[Because]:
    facts = claim.facts
    if not readings.if_everything.outcome.amount and not facts.carryforward_in:
        return
    if facts.carryforward_in:
        yield because(
            "What an earlier year left over is added to this year's credit.",
            rules.carryforward.spans[0].source,
            carryforward_in=facts.carryforward_in,
        )
    if facts.panel_credit:
        yield because(
            "The credit on the panel work takes from the tax first, since nothing of it can be "
            "carried on.",
            "own_convention",
            panel_credit=facts.panel_credit,
        )
    if facts.tax_limit is None:
        yield because(
            "The credit is not refundable. The tax left for it is not known, so the amount is "
            "shown before that limit.",
            "usc_25d_c",
        )
        return
    yield because(
        "The credit is not refundable: it goes no further than the tax left for it, and the "
        "rest is carried to the next year.",
        "usc_25d_c",
        tax_limit=facts.tax_limit,
    )
    if readings.if_everything.outcome.tentative:
        yield because(
            "The credit lowers what the installation adds to the tax basis of the home.",
            "usc_25d_f",
        )


def _on_coverage(claim: Judgement, rules: CreditRules, today: date) -> Iterator[Because]:
    if claim.facts.planned:
        yield because(
            "The completion day lies ahead: this is the answer under today's law, and it holds "
            "only if the work is finished on that day.",
            "usc_25d_e8a",
            today=today.isoformat(),
        )
    codes = {found.code for found in claim.deciding}
    year = claim.when.day.year
    if year > rules.checked_through_year and "FUTURE_YEAR" not in codes:
        yield because(
            rules.reasons["FUTURE_YEAR"].because.text,
            rules.reasons["FUTURE_YEAR"].because.source,
            tax_year=year,
            checked_through_year=rules.checked_through_year,
        )
    if claim.status == "uncertain" and today > rules.last_day and claim.when.tax_year is None:
        yield because(
            "Today lies after the last day that counts: work that is still to be done gives "
            "nothing.",
            "pl_119_21_70506",
            today=today.isoformat(),
            last_day=rules.last_day.isoformat(),
        )
