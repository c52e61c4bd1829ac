"""The price as frozen records."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because
from estimator.catalogue.records import ServedBy
from estimator.finding import Finding
from estimator.job.records import Group
from estimator.record import quick


@quick
@dataclass(frozen=True, slots=True)
class PriceLine:
    """One printed line of materials.

    part: position in the estimate's parts, from 0; of a kit, that of the first part in it.
    match: "stock" and "kit" for what is at hand or in a kit that stands on a line of its own,
    which cost nothing more; else how the item was matched. unit_price: four places; None when
    unpriced. amount: rounded to the cent; None when unpriced. score, reasons: of a proposed
    match, as in the purchase.
    """

    part: int
    description: str
    item: str
    item_description: str
    supplier: str
    pack: Decimal | None
    packs: int
    quantity_needed: Decimal
    quantity_bought: Decimal
    leftover: Decimal
    unit: str
    unit_price: Decimal | None
    amount: Decimal | None
    price_basis: str
    match: ServedBy
    cost_code: str
    score: Decimal | None = None
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Delivery:
    """The delivery fee of one supplier, a cost of materials. goods: held against free_from.

    fee: to the cent, as due. terms_fee: what is due below free_from (None: always).
    """

    supplier: str
    goods: Decimal
    fee: Decimal
    terms_fee: Decimal
    free_from: Decimal | None


@dataclass(frozen=True, slots=True)
class GroupPrice:
    """The price of one group (materials, labour, permit), each figure rounded to the cent.

    cost + overhead + contingency + profit - discount = net; tax is on net where taxable.
    profit is the markup or the margin, whichever the terms ask for.
    """

    group: Group
    cost: Decimal
    overhead: Decimal
    contingency: Decimal
    profit: Decimal
    discount: Decimal
    net: Decimal
    taxable: bool
    sales_tax: Decimal


@dataclass(frozen=True, slots=True)
class Price:
    """The whole price. complete: False when any part is unpriced.

    deliveries: of suppliers that ask a fee; they are in the cost of materials.
    profit_kind: "markup", "margin" or "none". total: the sum of net and sales_tax.
    labour_hours times labour_rate is the cost of labour.
    """

    currency: str
    lines: tuple[PriceLine, ...]
    groups: tuple[GroupPrice, ...]
    labour_hours: Decimal
    labour_rate: Decimal
    profit_kind: str
    total: Decimal
    deposit: Decimal
    complete: bool
    unpriced: int
    optimal: bool
    findings: tuple[Finding, ...]
    because: tuple[Because, ...]
    deliveries: tuple[Delivery, ...] = ()

    @property
    def proposed(self) -> int:
        """Parts that are priced from items which a person has yet to confirm."""
        return len({line.part for line in self.lines if line.match == "proposed"})
