"""Random purchases with fixed seeds: parts, price lists, terms, kits and stock, all invented."""

from dataclasses import dataclass
from decimal import Decimal
from random import Random

from catalogue_factory import BUSHING, CONDUIT, WIRE, part

from estimator.catalogue.records import Covered, Item, PriceBreak, SupplierTerms
from estimator.job.records import StockItem
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Attributes, Part

STICK_FT = Decimal(10)
SUPPLIERS = ("Elm Street Supply", "North Counter", "Quarry Wholesale", "Tall Pine Electric")
LOCKNUT: Attributes = (("trade_size", "3/4"), ("style", "steel"))
BUSHING_1: Attributes = (("trade_size", "1"),)
GREEN: Attributes = (*WIRE[:3], ("colour", "green"))
COUNTED = (
    ("insulating_bushing", BUSHING),
    ("insulating_bushing", BUSHING_1),
    ("locknut", LOCKNUT),
)


@dataclass(frozen=True)
class Case:
    """One purchase to be planned. stock: told in full. most: suppliers at most, or None."""

    parts: tuple[Part, ...]
    items: tuple[Item, ...]
    terms: tuple[SupplierTerms, ...] = ()
    stock: tuple[StockItem, ...] = ()
    most: int | None = None


def needed_cuts(part: Part) -> list[Decimal]:
    """Pieces that must be whole; goods that are joined are divided at every 10 ft."""
    if not load_part_kinds()[part.kind].stick:
        return list(part.cuts_ft)
    cuts: list[Decimal] = []
    for cut in part.cuts_ft:
        while cut > 0:
            cuts.append(min(cut, STICK_FT))
            cut -= STICK_FT
    return cuts


def random_case(seed: int) -> Case:
    """A case that can be solved: each part is sold by someone."""
    random = Random(seed)
    suppliers = random.sample(SUPPLIERS, random.randint(1, 3 if seed % 3 else 4))
    parts = _parts(random)
    items: list[Item] = []
    for each in parts:
        items += _items(random, each, suppliers, len(items))
    terms = [_terms(random, name) for name in suppliers if random.random() < 0.75]
    if random.random() < 0.4:
        for number in range(random.randint(1, 2)):
            items.append(_kit(random, parts, random.choice(suppliers), number))
    stock = [
        StockItem(each.kind, each.attributes, _stock(random, each), each.unit)
        for each in parts
        if random.random() < 0.25
    ]
    most = random.choice([None, None, 1, 2])
    return Case(tuple(parts), tuple(items), tuple(terms), tuple(stock), most)


def _parts(random: Random) -> list[Part]:
    chosen = random.sample(COUNTED, random.randint(1, 3))
    parts = [part(str(random.randint(1, 24)), kind, attributes) for kind, attributes in chosen]
    for attributes in random.sample([WIRE, GREEN], random.randint(0, 2)):
        cuts = [random.choice(["8", "12.5", "18", "23"]) for _ in range(random.randint(1, 4))]
        parts.append(part(str(sum(map(Decimal, cuts))), "conductor", attributes, cuts))
    if random.random() < 0.4:
        cuts = [random.choice(["4", "7", "13", "18"]) for _ in range(random.randint(1, 2))]
        parts.append(part(str(sum(map(Decimal, cuts))), "raceway", CONDUIT, cuts))
    return parts


def _items(random: Random, of: Part, suppliers: list[str], first: int) -> list[Item]:
    found: list[Item] = []
    sells = [name for name in suppliers if random.random() < 0.7] or [random.choice(suppliers)]
    for name in sells:
        for _ in range(random.randint(1, 2)):
            number = f"I{first + len(found)}"
            found.append(_item(random, of, name, number))
    longest = max(needed_cuts(of), default=Decimal(0))
    if all(each.pack != 1 and each.pack / each.pieces < longest for each in found):
        found.append(_item(random, of, sells[0], f"I{first + len(found)}", pack="1"))
    return found


def _item(random: Random, of: Part, supplier: str, number: str, pack: str = "") -> Item:
    pieces = 1
    if of.kind == "raceway":
        pack = pack or random.choice(["10", "10", "20"])
        pieces = 2 if pack == "20" else 1
        price = Decimal(random.randint(40, 90)) / 100
    elif of.unit == "ft":
        pack = pack or random.choice(["1", "1", "25", "50", "100"])
        price = Decimal(random.randint(3000, 6500)) / 10_000
    else:
        pack = pack or random.choice(["1", "1", "5", "10", "25"])
        price = Decimal(random.randint(20, 400)) / 100
    breaks: tuple[PriceBreak, ...] = ()
    minimum = increment = 1
    if random.random() < 0.25:
        starts = sorted(random.sample(range(2, 14), random.randint(1, 2)))
        breaks = tuple(
            PriceBreak(start, (price * (100 - 12 * at) / 100).quantize(Decimal("0.0001")))
            for at, start in enumerate(starts, start=1)
        )
    if random.random() < 0.2:
        minimum, increment = random.choice([(2, 1), (3, 3), (1, 2), (5, 5), (4, 1)])
    return Item(
        supplier=supplier, number=number, description=number, kind=of.kind,
        attributes=of.attributes, unit=of.unit, pack=Decimal(pack), unit_price=price,
        printed_price=price, price_basis="foot" if of.unit == "ft" else "each", currency="USD",
        row=2, pieces=pieces, breaks=breaks, minimum_packs=minimum, pack_increment=increment,
    )  # fmt: skip


def _terms(random: Random, supplier: str) -> SupplierTerms:
    minimum = Decimal(random.choice([0, 0, 10, 25, 60]))
    fee = Decimal(random.choice([0, 3, 8, 15]))
    free = random.choice([None, Decimal(20), Decimal(50), Decimal(90)])
    return SupplierTerms(supplier, minimum, fee, free, "USD")


def _kit(random: Random, parts: list[Part], supplier: str, number: int) -> Item:
    held = random.sample(parts, random.randint(1, min(3, len(parts))))
    covers = tuple(
        Covered(each.kind, each.attributes, Decimal(random.choice([5, 8, 13, 20]))) for each in held
    )
    price = Decimal(random.randint(300, 2500)) / 100
    breaks = (PriceBreak(3, price * 9 / 10),) if random.random() < 0.2 else ()
    return Item(
        supplier=supplier, number=f"KIT{number}", description="kit", kind="kit", attributes=(),
        unit="ea", pack=Decimal(1), unit_price=price, printed_price=price, price_basis="each",
        currency="USD", row=2, covers=covers, breaks=breaks,
    )  # fmt: skip


def _stock(random: Random, of: Part) -> Decimal:
    feet = of.unit == "ft"
    return Decimal(random.choice([3, 8, 19, 40]) if feet else random.randint(1, 9))


def large_case(seed: int, parts: int = 40, suppliers: int = 5) -> Case:
    """A purchase of the size that is asked for in a second: pieces, wire and conduit."""
    random = Random(seed)
    names = [f"Invented Supplier {number}" for number in range(1, suppliers + 1)]
    level = {name: Decimal(random.randint(92, 108)) / 100 for name in names}
    needs = [_large_part(random, number) for number in range(parts)]
    items: list[Item] = []
    for need in needs:
        cents = random.choice([12, 35, 80, 240, 950, 3200])
        base = Decimal(random.randint(30, 60) if need.unit == "ft" else cents) / 100
        sells = [name for name in names if random.random() < 0.75] or names[:1]
        for name in sells:
            items += _large_items(random, need, name, base * level[name], len(items))
    terms = [_large_terms(random, name) for name in names]
    return Case(tuple(needs), tuple(items), tuple(terms))


def _large_terms(random: Random, name: str) -> SupplierTerms:
    minimum = Decimal(random.choice([0, 25, 50, 75]))
    fee = Decimal(random.choice([8, 12, 15, 25]))
    free = random.choice([None, Decimal(150), Decimal(250)])
    return SupplierTerms(name, minimum, fee, free, "USD")


def _large_part(random: Random, number: int) -> Part:
    if number % 4 == 0:
        wire = (("size", f"{2 * (number // 4) + 2} AWG"), *WIRE[1:])
        lengths = [random.choice(["14.5", "21.5", "23", "31"]) for _ in range(2)]
        cuts = [random.choice(lengths) for _ in range(random.randint(1, 8))]
        return part(str(sum(map(Decimal, cuts))), "conductor", wire, cuts)
    if number % 10 == 1:
        conduit = (("raceway", "EMT"), ("trade_size", str(number)))
        cuts = [str(random.randint(5, 30)) for _ in range(random.randint(1, 2))]
        return part(str(sum(map(Decimal, cuts))), "raceway", conduit, cuts)
    count = random.choice([1, 1, 1, 2, 4, 6, 12, 22, 30])
    return part(str(count), "insulating_bushing", (("trade_size", f"{number}"),))


def _large_items(random: Random, of: Part, name: str, base: Decimal, first: int) -> list[Item]:
    packs = {"conductor": ["1", "100", "500"], "raceway": ["10", "100"]}
    offered = packs.get(of.kind, ["1", "25", "100"])
    chosen = [offered[0], *(pack for pack in offered[1:] if random.random() < 0.5)]
    found = []
    for at, pack in enumerate(chosen):
        price = (base * (100 - 8 * at + random.randint(-6, 6)) / 100).quantize(Decimal("0.0001"))
        pieces = 10 if of.kind == "raceway" and pack == "100" else 1
        breaks: tuple[PriceBreak, ...] = ()
        if pack == "1" and of.unit == "ea" and random.random() < 0.2:
            breaks = (PriceBreak(10, (price * 9 / 10).quantize(Decimal("0.0001"))),)
        found.append(
            Item(
                supplier=name, number=f"I{first + len(found)}", description="item", kind=of.kind,
                attributes=of.attributes, unit=of.unit, pack=Decimal(pack), unit_price=price,
                printed_price=price, price_basis="foot" if of.unit == "ft" else "each",
                currency="USD", row=2, pieces=pieces, breaks=breaks,
            )
        )  # fmt: skip
    return found
