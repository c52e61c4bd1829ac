"""Money is Decimal: cents for printed amounts, four places for unit prices."""

from decimal import ROUND_HALF_UP, Decimal

CENT = Decimal("0.01")
UNIT_PRICE_STEP = Decimal("0.0001")
ZERO = Decimal("0.00")
HUNDRED = Decimal(100)


def to_cents(amount: Decimal) -> Decimal:
    """Amount rounded half up to the cent: the one rounding of printed money."""
    return amount.quantize(CENT, ROUND_HALF_UP)


def to_unit_price(amount: Decimal) -> Decimal:
    """Price of one unit, rounded half up to four places."""
    return amount.quantize(UNIT_PRICE_STEP, ROUND_HALF_UP)


def percent_of(percent: Decimal, amount: Decimal) -> Decimal:
    """``percent`` per hundred of ``amount``, rounded half up to the cent."""
    return to_cents(amount * percent / HUNDRED)
