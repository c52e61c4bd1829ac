"""What one has to pay: the net price of a row, from net or list price and its discounts."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.catalogue.discounts import read_discount, read_multiplier
from estimator.catalogue.header import BREAK_PRICES, BREAK_QUANTITIES, CLASS_PRICES, Column
from estimator.catalogue.list_rules import ListRules
from estimator.catalogue.row_faults import RowFaults
from estimator.catalogue.written_price import read_price

_ONE = Decimal(1)
_CENT = Decimal("0.01")
# Printed nets are rounded; a larger difference means that one of the columns is not ours.
_AGREE = Decimal("0.005")


@dataclass(frozen=True, slots=True)
class PriceColumns:
    """Which columns of a list the price comes from; None for one that it does not have.

    breaks: whether columns of quantity breaks are read.
    """

    net: Column | None
    listed: Column | None
    breaks: bool


@dataclass(frozen=True, slots=True)
class Money:
    """printed: as in the list. net: after its multiplier, not rounded. unit: written beside."""

    printed: Decimal
    net: Decimal
    unit: str


def price_columns(place: Mapping[Column, int], rules: ListRules) -> PriceColumns:
    """The columns that the prices of a list are in.

    Columns of numbered prices without numbered quantities are prices by class of customer.
    Raises ValueError where only a person can say which of them is ours, or what a list price
    is multiplied by.
    """
    classes = [column for column in CLASS_PRICES if column in place]
    has_breaks = any(column in place for column in BREAK_QUANTITIES)
    if not has_breaks and not classes:
        classes = [column for column in BREAK_PRICES if column in place]
    listed: Column | None = "list price" if "list price" in place else None
    net: Column | None = "price" if "price" in place else None
    if rules.price_class is not None:
        chosen = [column for column in classes if column.endswith(f" {rules.price_class}")]
        if not chosen:
            raise ValueError(
                f"there is no column of prices for class {rules.price_class}; "
                + (f"there are {', '.join(classes)}" if classes else "there are no such columns")
            )
        return PriceColumns(chosen[0], None, has_breaks)
    if net is None and len(classes) > 1:
        raise ValueError(
            f"there are prices for {len(classes)} classes of customer ({', '.join(classes)}). "
            "Say for the whole list which class is yours"
        )
    if net is None and classes:
        net = classes[0]
    multiplied = "multiplier" in place or "discount" in place or rules.multiplier is not None
    if net is None and listed is not None and not multiplied:
        raise ValueError(
            "there are list prices but no column multiplier or discount. Say for the whole list "
            "what list prices are multiplied by (1 if you pay them as they stand)"
        )
    return PriceColumns(net, listed, has_breaks)


def read_money(
    cell: Mapping[Column, str], columns: PriceColumns, currency: str, rules: ListRules
) -> Money:
    """The base price of a row. Raises RowFaults with the column of each fault.

    A net price counts as it stands; where list price and multiplier stand beside it they must
    come to the same, within a cent or half a per cent. Where both are blank the price of the
    first break counts.
    """
    commas = rules.decimal_commas
    if columns.breaks and cell.get(BREAK_PRICES[0]) and not _has_own(cell, columns):
        return _printed(BREAK_PRICES[0], cell[BREAK_PRICES[0]], currency, commas)
    net_cell = cell[columns.net] if columns.net is not None else ""
    list_cell = cell[columns.listed] if columns.listed is not None else ""
    if net_cell or not list_cell:
        money = _printed(columns.net or columns.listed or "price", net_cell, currency, commas)
        if list_cell:
            _check_list_price(cell, list_cell, money, currency, rules)
        return money
    with RowFaults.within("list price"):
        listed, unit = read_price(list_cell, currency, commas)
    factor = _factor(cell, commas) or rules.multiplier
    if factor is None:
        raise RowFaults.of(
            "list price",
            "is a list price, and the row gives neither multiplier nor discount. Write what you "
            "pay in column price",
        )
    return Money(listed, listed * factor, unit)


def _has_own(cell: Mapping[Column, str], columns: PriceColumns) -> bool:
    return any(column is not None and cell[column] for column in (columns.net, columns.listed))


def _printed(column: Column, text: str, currency: str, decimal_commas: bool) -> Money:
    # Quicker than RowFaults.within, for the one cell that every row has.
    try:
        price, unit = read_price(text, currency, decimal_commas)
    except ValueError as error:
        raise RowFaults.of(column, str(error)) from None
    return Money(price, price, unit)


def _factor(cell: Mapping[Column, str], decimal_commas: bool) -> Decimal | None:
    """What the row multiplies its list price by; None where it does not say."""
    found: list[Decimal] = []
    multiplier, discount = cell.get("multiplier", ""), cell.get("discount", "")
    if multiplier:
        with RowFaults.within("multiplier"):
            found.append(read_multiplier(multiplier, decimal_commas))
    if discount:
        with RowFaults.within("discount"):
            found.append(read_discount(discount, decimal_commas))
    if len(found) == 2 and found[0] != found[1]:
        raise RowFaults.of(
            "discount", f"{discount!r} and the multiplier {multiplier!r} differ. Keep one of them"
        )
    return found[0] if found else None


def _check_list_price(
    cell: Mapping[Column, str], list_cell: str, money: Money, currency: str, rules: ListRules
) -> None:
    factor = _factor(cell, rules.decimal_commas)
    if factor is None:
        return
    with RowFaults.within("list price"):
        listed, _ = read_price(list_cell, currency, rules.decimal_commas)
    difference = abs(listed * factor - money.net)
    if difference > _CENT and difference > _AGREE * money.net:
        raise RowFaults.of(
            "price",
            f"{money.printed} is not the list price {listed} times {factor.normalize():f}, which "
            f"is {(listed * factor).quantize(_CENT)}. Which of them do you pay?",
        )
