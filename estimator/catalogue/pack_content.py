"""How many pieces or feet a row sells at once, exactly."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor

from estimator.catalogue.figures import read_pack
from estimator.catalogue.quantities import read_quantity, units_of
from estimator.catalogue.records import PriceBasis
from estimator.catalogue.row_faults import RowFaults
from estimator.catalogue.units_of_measure import (
    BareM,
    UnitOfMeasure,
    load_price_bases,
    needs_content,
    read_unit,
)
from estimator.takeoff.records import Unit
from estimator.units import plain

# From a description to the pack that it names, None where it names none.
PackOf = Callable[[str], Decimal | None]

# Longer ones are bundles whose sticks were not counted.
LONGEST_STICK_FT = 20
# From so many feet on a unit of sale is a length of its own, not a measure to cut by.
_LEAST_LENGTH_FT = 100
_PAIR = 2
_STEPS = 10_000
_ONE = Fraction(1)
_METRIC: frozenset[PriceBasis] = frozenset({"metre", "hundred_metres", "thousand_metres"})
_PACKAGES = frozenset({"package", "set"})


@dataclass(frozen=True, slots=True)
class PackCell:
    """Column pack as read: None where it is blank; unit: written with the figure."""

    written: str
    amount: Decimal | None
    unit: UnitOfMeasure | None


@dataclass(frozen=True, slots=True)
class PutUp:
    """What tells the contents of a pack. price_unit: what the price is for, as written in per."""

    pack: PackCell
    per: str
    price_unit: UnitOfMeasure
    basis: PriceBasis | None
    sold_by: str
    unit: Unit
    kind: str
    description: str


def read_pack_cell(cell: str, decimal_commas: bool) -> PackCell:
    """The figure in column pack, with its unit where one is written ("500 FT").

    Raises RowFaults.
    """
    if not cell:
        return PackCell(cell, None, None)
    try:
        return PackCell(cell, read_pack(cell, decimal_commas), None)
    except ValueError as error:
        try:
            quantity = read_quantity(cell, decimal_commas)
        except ValueError:
            quantity = None
        if quantity is None or quantity.unit is None or quantity.until is not None:
            raise RowFaults.of("pack", str(error)) from None
        return PackCell(cell, quantity.amount, quantity.unit)


def pack_content(put: PutUp, pack_of: PackOf, bare_m: BareM) -> Fraction:
    """Pieces or feet in a pack.

    Column pack counts pieces or feet, metres where the price is metric. A price for a package
    needs its contents: from that column, the code itself (P5 is five) or the description.
    Raises RowFaults where they are not known or contradict each other.
    """
    amount, own = put.pack.amount, put.price_unit.content
    if put.basis == "pack":
        return Fraction(_package(put, amount, own, pack_of))
    if amount is None:
        return _sold_by(put, bare_m)
    if put.pack.unit is not None and put.pack.unit.meaning not in _PACKAGES:
        units = units_of(amount, put.pack.unit, put.unit == "ft")
        if units is None:
            raise RowFaults.of(
                "pack",
                f"{put.pack.written.strip()!r} counts in a unit that these goods are not counted "
                "in",
            )
        return units
    if put.basis == "pair" and amount == 1:
        return Fraction(_PAIR)
    return Fraction(amount) * each_of(put.basis)


def each_of(basis: PriceBasis | None) -> Fraction:
    """Feet in one metre where a price is metric, else one."""
    if basis not in _METRIC:
        return _ONE
    row = load_price_bases()["metre"]
    return Fraction(row.units) / Fraction(row.over)


def whole_steps(content: Fraction, pieces: int) -> Decimal:
    """Content as a pack: each piece rounded down to a ten-thousandth, so never more than it is."""
    steps = content * _STEPS
    if steps.denominator == 1:
        return Decimal(int(steps)) / _STEPS
    return Decimal(floor(steps / pieces) * pieces) / _STEPS


def metric_note(basis: PriceBasis | None, content: Fraction, pack: Decimal) -> tuple[str, ...]:
    """What is taken for granted of goods that are priced by the metre."""
    if basis not in _METRIC:
        return ()
    if pack == 1:
        return ("It is sold by the metre and counted in whole feet of 0.3048 m.",)
    metres = content / each_of(basis)
    return (f"A pack of {float(metres):g} m counts as {plain(pack)} ft.",)


def pieces_fault(unit: Unit, kind: str, pack: Decimal, pieces: int, *, stick: bool) -> str:
    """What is wrong with the pieces in a pack; blank when nothing is."""
    length = pack / pieces
    if stick and length > LONGEST_STICK_FT:
        return (
            f"a pack of {plain(pack)} ft in {pieces} would be pieces longer than "
            f"{LONGEST_STICK_FT} ft, which {kind} is not sold in. Write how many sticks a "
            "pack has"
        )
    if pieces == 1:
        return ""
    if unit != "ft":
        return "is for goods by length only. Leave it blank"
    if length < 1 or pack * _STEPS % pieces:
        return (
            f"{pieces} pieces in a pack of {plain(pack)} ft are not whole pieces "
            "of a foot or more. Column pack is the feet in the whole pack"
        )
    return ""


def _package(put: PutUp, amount: Decimal | None, own: Decimal | None, pack_of: PackOf) -> Decimal:
    if amount is None:
        content = own if own is not None else pack_of(put.description)
        if content is None:
            raise RowFaults.of("per", needs_content(put.per))
        return content
    if own is not None and amount != own:
        raise RowFaults.of(
            "pack", f"{plain(amount)} cannot be in a {put.per.strip()}, which holds {plain(own)}"
        )
    if own is None and amount == 1 and put.pack.unit is None:
        raise RowFaults.of(
            "pack",
            f"a {put.per.strip()} of 1 does not tell what it contains. Write its contents, or EA "
            "as the unit where the price is for one piece",
        )
    return amount


def _sold_by(put: PutUp, bare_m: BareM) -> Fraction:
    if not put.sold_by:
        return Fraction(_PAIR) if put.basis == "pair" else _ONE
    with RowFaults.within("sold by"):
        sold_by = read_unit(put.sold_by, bare_m)
        if sold_by.meaning in _PACKAGES:
            if sold_by.content is None:
                raise ValueError(needs_content(put.sold_by))
            return Fraction(sold_by.content)
        units = units_of(Decimal(1), sold_by, put.unit == "ft")
        if units is None:
            raise ValueError(f"{sold_by.written} does not count {put.kind}")
        # What is sold by the yard or the metre is cut to length, in whole feet.
        return units if put.unit == "ea" or units >= _LEAST_LENGTH_FT else _ONE
