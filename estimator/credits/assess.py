"""The front doors: what the credit rules make of the facts and the costs of a claim."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from estimator.credits.claim_checks import refuse_bad_claim
from estimator.credits.explain import evidence, explanation, questions
from estimator.credits.judgement import Judgement, judge
from estimator.credits.open_points import open_points
from estimator.credits.panel_credit import PanelClaim, assess_panel
from estimator.credits.panel_rules_file import load_panel_rules
from estimator.credits.programme_answer import programme_answer
from estimator.credits.programme_facts import NOTHING_TOLD, Told
from estimator.credits.programme_judgement import JudgedProgramme, judge_programmes
from estimator.credits.programmes import Programme
from estimator.credits.readings import Readings, claim_form, read_money
from estimator.credits.records import ClaimFacts, CostLine, CreditAnswer, CreditTotal
from estimator.credits.rules import CreditRules


@dataclass(frozen=True, slots=True)
class Assessment:
    """The answers, and the money of all of them together.

    total: of everything claimed. added: what the costs bring to it; the panel work and what
    an earlier year left over would be there without them.
    """

    answers: tuple[CreditAnswer, ...]
    total: CreditTotal
    added: CreditTotal


@dataclass(frozen=True, slots=True)
class _Claim:
    """A claim with what touches the federal residential credit worked out.

    judged, readings: of that credit, taken by itself. together: its readings where all that
    is open goes the taxpayer's way at once.
    """

    judged: Judgement
    readings: Readings
    together: Readings
    panel: PanelClaim | None
    own: tuple[JudgedProgramme, ...]

    @property
    def total(self) -> CreditTotal:
        sure, claim = self.readings.sure.outcome.amount, self.together
        allowed, everything = claim.if_allowed.outcome.amount, claim.if_everything.outcome.amount
        for one in self.own:
            sure += one.sure.amount
            allowed += one.together.amount
            everything += one.together.amount
        if self.panel is not None:
            sure += self.panel.answer.amount
            allowed += self.panel.answer.if_allowed.amount
            everything += self.panel.answer.amount_if_uncertain
        return CreditTotal(sure, allowed, everything)


def assess_credits(
    facts: ClaimFacts,
    costs: Sequence[CostLine],
    rules: CreditRules,
    today: date,
    programmes: Sequence[Programme] = (),
    told: Mapping[str, Told] = NOTHING_TOLD,
) -> tuple[CreditAnswer, ...]:
    """The answers of assess_claim."""
    return assess_claim(facts, costs, rules, today, programmes, told).answers


def assess_claim(
    facts: ClaimFacts,
    costs: Sequence[CostLine],
    rules: CreditRules,
    today: date,
    programmes: Sequence[Programme] = (),
    told: Mapping[str, Told] = NOTHING_TOLD,
) -> Assessment:
    """What each programme gives: the federal residential credit, the federal credit on panel
    work where a panel is claimed, then programmes of one's own in their stacking order.

    facts and costs: from claim_facts and cost_lines. today: only to say what lies ahead.
    programmes: from read_programmes. told: facts by name that only they, or the panel work,
    ask for. A missing fact makes the answer uncertain and asks a question; a claim that
    cannot stand is answered with its reason. Raises InputRefused for negative money. Source:
    26 USC 25D, 26 USC 25C and what the rules files name, rule by rule.
    """
    claim = _claim(facts, costs, rules, today, programmes, told)
    answers = (
        _federal_answer(claim.judged, claim.readings, rules, today),
        *(() if claim.panel is None else (claim.panel.answer,)),
        *(programme_answer(one, costs, rules, today) for one in claim.own),
    )
    return Assessment(answers, claim.total, _added(claim, facts, rules, today, told))


def added_credit(
    facts: ClaimFacts,
    costs: Sequence[CostLine],
    rules: CreditRules,
    today: date,
    programmes: Sequence[Programme] = (),
    told: Mapping[str, Told] = NOTHING_TOLD,
) -> CreditTotal:
    """Only the money of ``assess_claim(...).added``, without any words; errors as there."""
    claim = _claim(facts, costs, rules, today, programmes, told)
    return _added(claim, facts, rules, today, told)


def _claim(
    facts: ClaimFacts,
    costs: Sequence[CostLine],
    rules: CreditRules,
    today: date,
    programmes: Sequence[Programme],
    told: Mapping[str, Told],
) -> _Claim:
    refuse_bad_claim(facts, costs)
    own = judge_programmes(facts, costs, programmes, told, rules, today)
    alone = together = facts
    if own:
        alone = replace(facts, own_incentives=tuple(one.incentive for one in own))
        together = replace(facts, own_incentives=tuple(one.incentive_together for one in own))
    panel = None
    if facts.panel_cost:
        panel = assess_panel(alone, told, load_panel_rules(), rules, today)
        alone = panel.remaining_of(alone)
        together = panel.remaining_if_allowed_of(together)
    judged = judge(alone, costs, rules)
    readings = read_money(judged, rules)
    at_once = readings
    if together != alone:
        at_once = read_money(judge(together, costs, rules), rules)
    return _Claim(judged, readings, at_once, panel, own)


def _added(
    claim: _Claim,
    facts: ClaimFacts,
    rules: CreditRules,
    today: date,
    told: Mapping[str, Told],
) -> CreditTotal:
    """The total less what is there without the costs: panel work, and what was carried in."""
    total = claim.total
    if not facts.panel_cost and not facts.carryforward_in:
        return total
    idle = replace(facts, supply_kind="none", claim_year=claim.judged.when.tax_year)
    without = _claim(idle, (), rules, today, (), told).total
    return CreditTotal(
        total.sure - without.sure,
        total.if_allowed - without.if_allowed,
        total.if_everything - without.if_everything,
    )


def _federal_answer(
    claim: Judgement, readings: Readings, rules: CreditRules, today: date
) -> CreditAnswer:
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
