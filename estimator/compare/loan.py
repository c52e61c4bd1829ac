"""What a loan costs: the interest of equal monthly payments."""

from collections.abc import Iterator
from decimal import Decimal

from estimator.basis import because
from estimator.compare.records import WayCost
from estimator.job.records import Job
from estimator.money import HUNDRED, ZERO, to_cents

_MONTHS_OF_A_YEAR = 12
_HOW = (
    "Interest of a loan in equal monthly payments, the first a month after it is paid out; never "
    "more is borrowed than the way costs. Fees of the loan are not in it, and no tax credit counts "
    "it."
)


def monthly_payment(amount: Decimal, annual_rate_percent: Decimal, months: int) -> Decimal:
    """The equal payment that pays ``amount`` back, not rounded [money].

    annual_rate_percent: twelve times the rate of a month. Source: equal_payments.
    """
    if not annual_rate_percent:
        return amount / months
    rate = annual_rate_percent / HUNDRED / _MONTHS_OF_A_YEAR
    return amount * rate / (1 - (1 + rate) ** -months)


def interest_of(job: Job, paid: Decimal) -> Decimal | None:
    """Interest on what is borrowed of ``paid``, to the cent; None when the terms are not told."""
    loan = job.comparison.loan
    borrowed = min(loan.amount, paid)
    if not borrowed:
        return ZERO
    if loan.annual_rate_percent is None or loan.months is None:
        return None
    payment = monthly_payment(borrowed, loan.annual_rate_percent, loan.months)
    return to_cents(payment * loan.months - borrowed)


def loan_costs(job: Job, paid: Decimal) -> Iterator[WayCost]:
    """The interest as a cost of a way that costs ``paid`` without it; nothing without a loan."""
    interest, loan = interest_of(job, paid), job.comparison.loan
    if interest and loan.annual_rate_percent is not None and loan.months is not None:
        borrowed = min(loan.amount, paid)
        payment = monthly_payment(borrowed, loan.annual_rate_percent, loan.months)
        reason = because(
            _HOW,
            "equal_payments",
            borrowed=borrowed,
            annual_rate_percent=loan.annual_rate_percent,
            months=loan.months,
            monthly_payment=to_cents(payment),
        )
        text = "interest of the loan"
        yield WayCost("loan", text, interest, ZERO, interest, interest, (reason,))


def loan_not_known(job: Job, paid: Decimal) -> Iterator[str]:
    """What is missing from the cost of a loan that is told."""
    if interest_of(job, paid) is None:
        yield "a loan is told without its yearly rate or its months"
