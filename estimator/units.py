"""Sizes and measures as the trade writes them.

Wire sizes are text with their unit ("10 AWG", "1/0 AWG", "250 kcmil"); trade sizes of
raceways are fractions of an inch without a unit ("3/4", "1-1/4"). Both are ordered by the
tuples below, never by comparing the text.
"""

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

WIRE_SIZES: tuple[str, ...] = (
    "18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "3 AWG",
    "2 AWG", "1 AWG", "1/0 AWG", "2/0 AWG", "3/0 AWG", "4/0 AWG",
    "250 kcmil", "300 kcmil", "350 kcmil", "400 kcmil", "500 kcmil",
)  # fmt: skip
TRADE_SIZES: tuple[str, ...] = (
    "3/8", "1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4",
)  # fmt: skip

_WIRE_RANK = {size: rank for rank, size in enumerate(WIRE_SIZES)}
_TRADE_RANK = {size: rank for rank, size in enumerate(TRADE_SIZES)}

INCHES_PER_FOOT = Decimal(12)
PI = Decimal("3.14159265358979323846")


def wire_rank(size: str) -> int:
    """Place of a wire size from small to large; raises KeyError for a size not in WIRE_SIZES."""
    return _WIRE_RANK[size]


def trade_rank(trade_size: str) -> int:
    """Place of a trade size from small to large; raises KeyError when not in TRADE_SIZES."""
    return _TRADE_RANK[trade_size]


def larger_wire(one: str, other: str) -> str:
    """The larger of two wire sizes."""
    return one if _WIRE_RANK[one] >= _WIRE_RANK[other] else other


def inches(fraction: str) -> Decimal:
    """Inches from a whole number, a fraction or both: "1-1/4" is 1.25. Raises ValueError."""
    total = Decimal(0)
    for part in fraction.replace("-", " ").split():
        numerator, _, denominator = part.partition("/")
        total += Decimal(int(numerator)) / Decimal(int(denominator or "1"))
    return total


def circle_area_in2(diameter_in: Decimal) -> Decimal:
    """Area [in2] of a circle of the given diameter [in]."""
    return PI * diameter_in * diameter_in / 4


def round_up(amount: Decimal, step: Decimal) -> Decimal:
    """The least multiple of ``step`` that is not below ``amount``."""
    return (amount / step).to_integral_value(ROUND_CEILING) * step


def rounded(amount: Decimal, places: int) -> Decimal:
    """Amount to a number of decimal places, half up, for figures that are only shown."""
    return amount.quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)


def plain(amount: Decimal | int) -> str:
    """Exact decimal text without exponent or trailing zeros: 2.50 is "2.5", 1E+2 is "100"."""
    text = str(amount)
    if "E" in text:
        # Only very small amounts and round ones as 1E+2; str is several times quicker.
        text = f"{amount:f}"
    return text.rstrip("0").rstrip(".") if text[-1] == "0" and "." in text else text
