"""The front door: what the credit rules make of the facts and the costs of a claim."""

from collections.abc import Sequence
from datetime import date

from estimator.credits.explain import evidence, explanation, questions
from estimator.credits.judgement import judge
from estimator.credits.readings import claim_form, read_money
from estimator.credits.records import ClaimFacts, CostLine, CreditAnswer
from estimator.credits.rules import CreditRules


def assess_credits(
    facts: ClaimFacts, costs: Sequence[CostLine], rules: CreditRules, today: date
) -> tuple[CreditAnswer, ...]:
    """What each programme gives: at present the federal residential clean energy credit.

    facts and costs: from claim_facts and cost_lines. today: only to say what lies ahead.
    A missing fact makes the answer uncertain and asks a question; a claim that cannot stand
    is answered with its reason, never raised. Panel work under the home improvement credit is not
    assessed. Source: 26 USC 25D and what the rules file names, rule by rule.
    """
    claim = judge(facts, costs, rules)
    readings = read_money(claim, rules)
    sure = readings.sure.outcome
    return (
        CreditAnswer(
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
        ),
    )
