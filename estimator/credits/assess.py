"""The front door: what the credit rules make of the facts and the costs of a claim."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from estimator.credits.claim_checks import refuse_bad_claim
from estimator.credits.explain import evidence, explanation, questions
from estimator.credits.judgement import judge
from estimator.credits.open_points import open_points
from estimator.credits.panel_credit import assess_panel
from estimator.credits.panel_rules_file import load_panel_rules
from estimator.credits.programme_answer import assess_programmes
from estimator.credits.programme_facts import NOTHING_TOLD, Told
from estimator.credits.programmes import Programme
from estimator.credits.readings import claim_form, read_money
from estimator.credits.records import ClaimFacts, CostLine, CreditAnswer
from estimator.credits.rules import CreditRules


def assess_credits(
    facts: ClaimFacts,
    costs: Sequence[CostLine],
    rules: CreditRules,
    today: date,
    programmes: Sequence[Programme] = (),
    told: Mapping[str, Told] = NOTHING_TOLD,
) -> tuple[CreditAnswer, ...]:
    """What each programme gives: the federal residential credit, the federal credit on panel
    work where a panel is claimed, then programmes of one's own in their stacking order.

    facts and costs: from claim_facts and cost_lines. today: only to say what lies ahead.
    programmes: from read_programmes. told: facts by name that only they, or the panel work,
    ask for. A missing fact makes the answer uncertain and asks a question; a claim that
    cannot stand is answered with its reason. Raises InputRefused for negative money. Source:
    26 USC 25D, 26 USC 25C and what the rules files name, rule by rule.
    """
    refuse_bad_claim(facts, costs)
    own = assess_programmes(facts, costs, programmes, told, rules, today)
    if own:
        facts = replace(facts, own_incentives=tuple(one.incentive for one in own))
    panel: tuple[CreditAnswer, ...] = ()
    if facts.panel_cost:
        claimed = assess_panel(facts, told, load_panel_rules(), rules, today)
        facts = claimed.remaining
        panel = (claimed.answer,)
    federal = _assess_federal(facts, costs, rules, today)
    return (federal, *panel, *(one.answer for one in own))


def _assess_federal(
    facts: ClaimFacts, costs: Sequence[CostLine], rules: CreditRules, today: date
) -> CreditAnswer:
    claim = judge(facts, costs, rules)
    readings = read_money(claim, rules)
    sure = readings.sure.outcome
    return CreditAnswer(
        programme=rules.programme,
        jurisdiction=rules.jurisdiction,
        tax_year=claim.when.tax_year,
        status=claim.status,
        reason_codes=tuple(found.code for found in claim.deciding),
        lines=tuple(cost.line for cost in claim.judged),
        base=sure.base,
        rate=readings.rate,
        tentative=sure.tentative,
        amount=sure.amount,
        amount_if_uncertain=readings.if_everything.outcome.amount,
        carryforward=sure.carryforward,
        form_lines=claim_form(claim, readings, rules),
        evidence=evidence(claim, rules),
        questions=questions(claim, rules),
        because=explanation(claim, readings, rules, today),
        caution=f"{rules.caution} Rules last checked on {rules.checked_on.isoformat()}.",
        if_allowed=readings.if_allowed.outcome,
        if_everything=readings.if_everything.outcome,
        open_points=open_points(claim, readings, rules),
    )
