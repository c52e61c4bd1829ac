"""The arithmetic of the credit: base, tentative credit, what is usable, what is carried on."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.credits.records import Outcome
from estimator.money import ZERO, to_cents


@dataclass(frozen=True, slots=True)
class MoneyTerms:
    """What turns costs into a credit, under one reading of the open points.

    deductions: incentives that come off the base. share: 1, or the nonbusiness share where
    that is low. cap: most tentative credit of the year. carried_in: left over by earlier
    years; usable only if carried_in_usable. limit: tax left for the credit, None: not told.
    """

    deductions: Decimal
    share: Decimal
    rate: Decimal
    cap: Decimal | None
    carried_in: Decimal
    carried_in_usable: bool
    limit: Decimal | None


def outcome(gross: Decimal, terms: MoneyTerms) -> Outcome:
    """The credit on costs of ``gross``, each figure rounded half up to the cent.

    base = (gross - deductions, at least zero) x share; tentative = base x rate, at most the
    cap; amount = what the limit leaves of tentative and carried in; the rest is carried on.
    Without a limit the amount is the sum of both and the carry-forward is not known.
    Source: 26 USC 25D(a), (c), (e)(7); 26 USC 136(b).
    """
    base = to_cents(max(gross - terms.deductions, ZERO) * terms.share)
    tentative = to_cents(base * terms.rate)
    if terms.cap is not None:
        tentative = min(tentative, terms.cap)
    usable = tentative + (terms.carried_in if terms.carried_in_usable else ZERO)
    if terms.limit is None:
        return Outcome(base, tentative, to_cents(usable), None)
    amount = to_cents(min(usable, max(terms.limit, ZERO)))
    return Outcome(base, tentative, amount, to_cents(tentative + terms.carried_in - amount))
