"""Each uncertain point of a claim with both sides and the money that hangs on it."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from estimator.credits.amounts import outcome
from estimator.credits.claim_reasons import within_programme
from estimator.credits.judgement import Judgement
from estimator.credits.open_sides import BY_COST
from estimator.credits.readings import Readings
from estimator.credits.records import OpenPoint
from estimator.credits.rules import CreditRules, OpenSides
from estimator.money import ZERO

_ALONE = "the claim as a whole has no other open point"
_TOGETHER = "the other open points of the claim as a whole go the same way"
_CLAIM_STANDS = "the claim as a whole is allowed, and no other open cost"


def open_points(claim: Judgement, readings: Readings, rules: CreditRules) -> tuple[OpenPoint, ...]:
    """The open points of the claim as a whole first, then the costs open by themselves."""
    if claim.status == "not_eligible":
        return ()
    return (*_of_claim(claim, readings, rules), *_of_costs(claim, readings, rules))


def _of_claim(claim: Judgement, readings: Readings, rules: CreditRules) -> Iterator[OpenPoint]:
    found = [one for one in claim.deciding if one.code not in BY_COST]
    supposing = _ALONE if len(claim.deciding) == 1 else _TOGETHER
    for one in found:
        yield _point(
            one.code,
            one.reason.because.text,
            rules.open_sides[one.code],
            (readings.sure.outcome.amount, readings.if_allowed.outcome.amount),
            supposing,
        )


def _of_costs(claim: Judgement, readings: Readings, rules: CreditRules) -> Iterator[OpenPoint]:
    told = {one.code for one in claim.deciding} - BY_COST
    allowed = readings.if_allowed
    gross = allowed.storage_gross + allowed.other_gross
    for (code, key, in_base), amount in _open_by_themselves(claim, rules).items():
        if not in_base:
            with_it = outcome(gross + amount, readings.terms).amount
            amounts = (allowed.outcome.amount, with_it)
        elif key in told:
            continue
        else:
            # The battery itself: everything else in the claim hangs on it.
            amounts = (readings.sure.outcome.amount, allowed.outcome.amount)
        supposing = _TOGETHER if in_base else _CLAIM_STANDS
        label = rules.cost_kind(code).label
        yield _point(code, label, rules.open_sides[key], amounts, supposing)


def _open_by_themselves(
    claim: Judgement, rules: CreditRules
) -> Mapping[tuple[str, str, bool], Decimal]:
    """Amounts of the costs whose own verdict is open: by (cost code, key of the sides, in_base)."""
    day = within_programme(claim.when.day, rules)
    amounts: dict[tuple[str, str, bool], Decimal] = {}
    for cost, judged in zip(claim.costs, claim.judged, strict=True):
        if judged.line.status != "uncertain":
            continue
        kind = rules.cost_kind(cost.judged_as)
        own = kind.verdicts.on(day).value
        if own.status == "uncertain":
            key = kind.code if kind.code in rules.open_sides else own.reason_code
            place = (kind.code, key, own.in_base)
            amounts[place] = amounts.get(place, ZERO) + cost.amount
    return amounts


def _point(
    code: str, concerns: str, sides: OpenSides, amounts: tuple[Decimal, Decimal], supposing: str
) -> OpenPoint:
    return OpenPoint(
        code=code,
        concerns=concerns,
        for_text=sides.for_text,
        for_authority=sides.for_authority,
        against_text=sides.against_text,
        against_authority=sides.against_authority,
        settled_by=sides.settled_by,
        amount_against=amounts[0],
        amount_for=amounts[1],
        supposing=supposing,
    )
