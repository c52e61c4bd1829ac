"""The verdict on each cost: its own, no better than the battery's and the claim's."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from estimator.basis import Because
from estimator.credits.claim_reasons import Found
from estimator.credits.records import CostLine, CreditLine, Status
from estimator.credits.rules import CostKind, CreditRules, Role
from estimator.record import quick


@quick
@dataclass(frozen=True, slots=True)
class JudgedCost:
    """A cost with its verdict. role: of the cost that decides (for a tax, the taxed cost)."""

    line: CreditLine
    role: Role


@dataclass(frozen=True, slots=True)
class Standing:
    """A verdict on more than one cost, with the reason that decides it (None: eligible)."""

    status: Status
    deciding: Found | None
    because: tuple[Because, ...]


def standing(reasons: Sequence[Found], rules: CreditRules) -> Standing:
    """The worst of several reasons; eligible when there are none."""
    status = rules.worst(*(found.verdict for found in reasons))
    deciding = next((one for one in reasons if one.verdict == status), None)
    return Standing(status, deciding, () if deciding is None else (deciding.because,))


def judged_cost(
    cost: CostLine, day: date, claim: Standing, storage: Standing, rules: CreditRules
) -> JudgedCost:
    """The verdict on one cost on the deciding day.

    A tax goes with the cost that it was charged on. A code that the rules do not know is
    judged as "unsorted". Of equally bad verdicts the cost's own comes first: it is the one
    that would remain.
    """
    kind = rules.cost_kind(cost.judged_as)
    own = kind.verdicts.on(day).value
    status, above = own.status, None
    for one in (claim,) if kind.role == "apart" else (storage, claim):
        if rules.severity[one.status] > rules.severity[status]:
            status, above = one.status, one
    deciding = None if above is None else above.deciding
    reasons = (own.because,) if above is None else (*above.because, own.because)
    if cost.on:
        reasons += (rules.cost_kind(cost.code).verdicts.on(day).value.because,)
    line = CreditLine(
        cost=cost.description or _name(cost, kind, rules),
        code=cost.code,
        amount=cost.amount,
        status=status,
        reason_code=own.reason_code if deciding is None else deciding.code,
        authority=own.authority if deciding is None else deciding.reason.authority,
        because=(*reasons, *cost.because),
        in_base=own.in_base and status != "not_eligible",
    )
    return JudgedCost(line, kind.role)


def _name(cost: CostLine, kind: CostKind, rules: CreditRules) -> str:
    name = f"{rules.cost_kind(cost.code).label} on: {kind.label}" if cost.on else kind.label
    return name if cost.priced else f"{name} (no price yet)"
