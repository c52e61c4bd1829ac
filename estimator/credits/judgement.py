"""The verdict on a claim: every cost judged, and the whole with the reasons that decide it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from estimator.credits.claim_day import ClaimDay, claim_day
from estimator.credits.claim_reasons import (
    Found,
    claim_reasons,
    found_reason,
    incentive_reasons,
    storage_reasons,
    within_programme,
)
from estimator.credits.cost_verdicts import JudgedCost, judged_cost, standing
from estimator.credits.records import ClaimFacts, CostLine, Status
from estimator.credits.rules import CreditRules


@dataclass(frozen=True, slots=True)
class Judgement:
    """A claim with its verdicts, before any money.

    deciding: the reasons behind the status (none when eligible). storage: every reason found
    about the battery. claims_property: False when only a carry-forward is claimed.
    """

    facts: ClaimFacts
    costs: tuple[CostLine, ...]
    claims_property: bool
    when: ClaimDay
    judged: tuple[JudgedCost, ...]
    storage: tuple[Found, ...]
    status: Status
    deciding: tuple[Found, ...]

    @property
    def has_form(self) -> bool:
        """Whether there is anything to put on the form of the year."""
        return self.status != "not_eligible" or self.facts.carryforward_in > 0


def judge(facts: ClaimFacts, costs: Sequence[CostLine], rules: CreditRules) -> Judgement:
    """Every cost judged, and the claim as a whole.

    The claim is as good as the best property in it (battery or other), and no better than
    what touches all of it. Reasons that a worse one overrules are not listed.
    """
    claims_property = facts.supply_kind != "none" or bool(costs)
    when = claim_day(facts, claims_property=claims_property, rules=rules)
    if not claims_property:
        return _carried_forward_only(facts, when, rules)
    day = within_programme(when.day, rules)
    claim = claim_reasons(facts, when, rules)
    storage = storage_reasons(facts, costs, when, rules)
    others = _other_property(costs, day, rules)
    has_storage = facts.supply_kind != "none" or any(
        rules.cost_kind(cost.judged_as).role == "storage" for cost in costs
    )
    if not has_storage and "eligible" not in others:
        # What connects it can be no better than the property that is there, if any.
        storage = (found_reason(rules, "COST_LINE_UNCERTAIN" if others else "NO_PROPERTY"),)
    on_claim, on_storage = standing(claim, rules), standing(storage, rules)
    judged = tuple(judged_cost(cost, day, on_claim, on_storage, rules) for cost in costs)

    best = min((on_storage.status, *others), key=rules.severity.__getitem__)
    on_property = storage if best == on_storage.status else _of_other_property(best, rules)
    on_amount = incentive_reasons(facts, rules)
    status = rules.worst(on_claim.status, best, *(found.verdict for found in on_amount))
    return Judgement(
        facts=facts,
        costs=tuple(costs),
        claims_property=True,
        when=when,
        judged=judged,
        storage=storage,
        status=status,
        deciding=_deciding((*claim, *on_property, *on_amount), status),
    )


def _other_property(costs: Sequence[CostLine], day: date, rules: CreditRules) -> tuple[Status, ...]:
    """Verdicts on property that stands without the battery, as far as it is not refused."""
    kinds = (rules.cost_kind(cost.judged_as) for cost in costs)
    verdicts = (kind.verdicts.on(day).value.status for kind in kinds if kind.role == "apart")
    return tuple(status for status in verdicts if status != "not_eligible")


def _of_other_property(status: Status, rules: CreditRules) -> tuple[Found, ...]:
    return (found_reason(rules, "COST_LINE_UNCERTAIN"),) if status == "uncertain" else ()


def _carried_forward_only(facts: ClaimFacts, when: ClaimDay, rules: CreditRules) -> Judgement:
    reasons = tuple(_carry_reasons(facts, when, rules))
    status = standing(reasons, rules).status
    return Judgement(facts, (), False, when, (), (), status, _deciding(reasons, status))


def _carry_reasons(facts: ClaimFacts, when: ClaimDay, rules: CreditRules) -> Iterator[Found]:
    if facts.carryforward_in <= 0:
        yield found_reason(rules, "NO_PROPERTY")
    elif when.open_point:
        yield found_reason(rules, when.open_point)
    elif when.day < rules.carryforward.spans[0].start:
        yield found_reason(rules, "BEFORE_PROGRAMME", tax_year=when.day.year)
    elif when.day.year > rules.checked_through_year:
        yield found_reason(
            rules,
            "FUTURE_YEAR",
            tax_year=when.day.year,
            checked_through_year=rules.checked_through_year,
        )


def _deciding(reasons: Sequence[Found], status: Status) -> tuple[Found, ...]:
    by_code = {one.code: one for one in reasons if one.verdict == status}
    return tuple(by_code.values())
