"""The verdict on each cost: its own, no better than the battery's and the claim's."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from estimator.basis import Because
from estimator.credits.claim_reasons import Found
from estimator.credits.records import CostLine, CreditLine, Status
from estimator.credits.rules import CostKind, CostVerdict, CreditRules, Role


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


def standing(reasons: Sequence[Found], rules: CreditRules) -> Standing:
    """The worst of several reasons; eligible when there are none."""
    status = rules.worst(*(found.verdict for found in reasons))
    return Standing(status, next((one for one in reasons if one.verdict == status), None))


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
    above = (claim,) if kind.role == "apart" else (storage, claim)
    status = rules.worst(own.status, *(one.status for one in above))
    deciding = None
    if own.status != status:
        deciding = next(one.deciding for one in above if one.status == status)
    line = CreditLine(
        cost=cost.description or _name(cost, kind, rules),
        code=cost.code,
        amount=cost.amount,
        status=status,
        reason_code=own.reason_code if deciding is None else deciding.code,
        authority=own.authority if deciding is None else deciding.reason.authority,
        because=_because(cost, own, deciding, rules, day),
        in_base=own.in_base and status != "not_eligible",
    )
    return JudgedCost(line, kind.role)


def _name(cost: CostLine, kind: CostKind, rules: CreditRules) -> str:
    name = f"{rules.cost_kind(cost.code).label} on: {kind.label}" if cost.on else kind.label
    return name if cost.priced else f"{name} (no price yet)"


def _because(
    cost: CostLine, own: CostVerdict, deciding: Found | None, rules: CreditRules, day: date
) -> tuple[Because, ...]:
    reasons = [own.because]
    if deciding is not None:
        reasons.insert(0, deciding.because)
    if cost.on:
        reasons.append(rules.cost_kind(cost.code).verdicts.on(day).value.because)
    return (*reasons, *cost.because)
