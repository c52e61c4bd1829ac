"""The purchase as a mixed-integer program for an independent solver, and a check of plans.

Nothing here uses the searches of the estimator: the program is written from the rules of the
purchase (whole packs, whole cuts, quantity breaks, minimums, steps, minimum orders, delivery,
number of suppliers, kits, stock), and a plan is checked against the same rules one by one.
Solver: HiGHS, by scipy.optimize.milp.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import product
from math import ceil

import numpy as np
from purchase_cases import STICK_FT, Case, needed_cuts
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_array

from estimator.catalogue.records import Bought, Item, KitBought, PurchasePlan
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Part

Sum = dict[int, float]


@dataclass
class Program:
    """Variables with their costs and bounds, and rows low <= sum <= high."""

    costs: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    rows: list[tuple[Sum, float, float]] = field(default_factory=list)

    def variable(self, cost: float = 0.0, upper: float = np.inf) -> int:
        self.costs.append(cost)
        self.upper.append(upper)
        return len(self.costs) - 1

    def row(self, total: Sum, low: float = -np.inf, high: float = np.inf) -> None:
        self.rows.append((total, low, high))

    def least(self) -> float | None:
        """The least cost, None when nothing is feasible."""
        if not self.costs:
            return 0.0
        matrix = lil_array((len(self.rows), len(self.costs)))
        for at, (total, _, _) in enumerate(self.rows):
            for variable, factor in total.items():
                matrix[at, variable] = factor
        found = milp(
            np.array(self.costs),
            integrality=np.ones(len(self.costs)),
            bounds=Bounds(0, np.array(self.upper)),
            constraints=LinearConstraint(
                matrix.tocsr(), [row[1] for row in self.rows], [row[2] for row in self.rows]
            ),
            options={"mip_rel_gap": 0.0},
        )
        if found.status == 2:
            return None
        assert found.status == 0, found.message
        return float(found.fun)


def least_cost(case: Case) -> float | None:
    """The least money for which every part can be had, None when it cannot."""
    return program(case).least()


def program(case: Case) -> Program:
    """The whole case as a mixed-integer program."""
    made = Program()
    sold: dict[str, Sum] = {}
    kits = [item for item in case.items if item.covers]
    kit_packs = [_packs_variable(made, kit, sold, _most_packs(case, kit)) for kit in kits]
    for part in case.parts:
        serving = [(kit, packs) for kit, packs in zip(kits, kit_packs, strict=True)]
        _cover(made, case, part, serving, sold)
    _suppliers(made, case, sold)
    return made


def _most_packs(case: Case, item: Item) -> int:
    """More packs than this are of no use: all is covered and every floor reached."""
    floors = [max(t.minimum_order, t.free_delivery_from or 0) for t in case.terms]
    lowest = min([item.unit_price, *(each.unit_price for each in item.breaks)]) * item.pack
    for_floor = max([Decimal(0), *floors]) / lowest
    for_need = max(part.quantity / item.pack + len(part.cuts_ft) for part in case.parts)
    if item.covers:
        for_need = max(part.quantity for part in case.parts) / min(c.quantity for c in item.covers)
        for_need += max(len(part.cuts_ft) for part in case.parts)
    last = max([1, *(each.from_packs for each in item.breaks)])
    return ceil(for_need) + ceil(for_floor) + last + item.minimum_packs + item.pack_increment + 10


def _packs_variable(made: Program, item: Item, sold: dict[str, Sum], most: int) -> Sum:
    """Packs of one line as a sum of variables: one for each price level, at most one in use."""
    starts = [(1, item.unit_price)]
    starts += [(each.from_packs, each.unit_price) for each in item.breaks]
    goods = sold.setdefault(item.supplier, {})
    packs: Sum = {}
    in_use: list[int] = []
    for at, (start, unit_price) in enumerate(starts):
        end = starts[at + 1][0] - 1 if at + 1 < len(starts) else most
        price = float(unit_price * item.pack)
        count, used = made.variable(price, end), made.variable(0.0, 1)
        made.row({count: 1, used: -start}, low=0)
        made.row({count: 1, used: -end}, high=0)
        packs[count] = 1
        goods[count] = price
        in_use.append(used)
    made.row(dict.fromkeys(in_use, 1), high=1)
    if item.minimum_packs > 1 or item.pack_increment > 1:
        steps = made.variable()
        row: Sum = {**packs, steps: -item.pack_increment}
        row.update(dict.fromkeys(in_use, -item.minimum_packs))
        made.row(row, low=0, high=0)
        made.row({steps: 1, **dict.fromkeys(in_use, -most)}, high=0)
    return packs


def same(part: Part, kind: str, attributes: Sequence[tuple[str, str]]) -> bool:
    return part.kind == kind and dict(part.attributes) == dict(attributes)


def _cover(
    made: Program,
    case: Case,
    part: Part,
    kits: Sequence[tuple[Item, Sum]],
    sold: dict[str, Sum],
) -> None:
    lines = [
        (item, _packs_variable(made, item, sold, _most_packs(case, item)))
        for item in case.items
        if not item.covers and same(part, item.kind, item.attributes)
    ]
    held = [
        (covered.quantity, packs)
        for kit, packs in kits
        for covered in kit.covers
        if same(part, covered.kind, covered.attributes)
    ]
    stock = [each.quantity for each in case.stock if same(part, each.kind, each.attributes)]
    if part.cuts_ft:
        _cover_cuts(made, part, lines, held, stock)
        return
    total: Sum = {}
    for item, packs in lines:
        total.update({variable: float(item.pack) for variable in packs})
    for quantity, packs in held:
        for variable in packs:
            total[variable] = total.get(variable, 0.0) + float(quantity)
    made.row(total, low=float(part.quantity - sum(stock)))


def patterns(lengths: Sequence[Decimal], counts: Sequence[int], room: Decimal) -> list[list[int]]:
    """Every way to take cuts from one piece."""
    ranges = [
        range(min(count, int(room / length)) + 1)
        for length, count in zip(lengths, counts, strict=True)
    ]
    return [
        list(taken)
        for taken in product(*ranges)
        if any(taken) and sum(n * length for n, length in zip(taken, lengths, strict=True)) <= room
    ]


def _sticks(part: Part, quantity: Decimal) -> list[Decimal]:
    """Pieces of a quantity at hand: sticks of 10 ft for goods that are joined."""
    if not load_part_kinds()[part.kind].stick:
        return [quantity]
    pieces = [STICK_FT] * int(quantity / STICK_FT)
    return pieces + ([quantity % STICK_FT] if quantity % STICK_FT else [])


@dataclass
class Cuts:
    """The cuts of one part by length, and what serves each length."""

    made: Program
    lengths: list[Decimal]
    counts: list[int]
    served: list[Sum]

    def on_pieces(self, room: Decimal, number: Sum, constant: float = 0.0) -> None:
        """Cuts from pieces of one length, as many as a sum of variables or a constant says."""
        used: Sum = {}
        for pattern in patterns(self.lengths, self.counts, room):
            variable = self.made.variable(0.0, sum(self.counts))
            used[variable] = 1
            for at, count in enumerate(pattern):
                if count:
                    self.served[at][variable] = count
        self.made.row({**used, **{v: -n for v, n in number.items()}}, high=constant)

    def by_the_foot(self, packs: Sum) -> None:
        """Cuts from one piece of as many feet as are bought."""
        taken: Sum = {}
        for at, length in enumerate(self.lengths):
            variable = self.made.variable(0.0, self.counts[at])
            self.served[at][variable] = 1
            taken[variable] = float(length)
        self.made.row({**taken, **dict.fromkeys(packs, -1)}, high=0)


def _cover_cuts(
    made: Program,
    part: Part,
    lines: Sequence[tuple[Item, Sum]],
    held: Sequence[tuple[Decimal, Sum]],
    stock: Sequence[Decimal],
) -> None:
    wanted = needed_cuts(part)
    lengths = sorted(set(wanted))
    counts = [wanted.count(length) for length in lengths]
    cuts = Cuts(made, lengths, counts, [{} for _ in lengths])
    for item, packs in lines:
        if item.pack == 1:
            cuts.by_the_foot(packs)
        else:
            cuts.on_pieces(item.pack / item.pieces, dict.fromkeys(packs, item.pieces))
    for quantity, packs in held:
        for room in _sticks(part, quantity):
            cuts.on_pieces(room, dict.fromkeys(packs, 1))
    for quantity in stock:
        for room in _sticks(part, quantity):
            cuts.on_pieces(room, {}, 1.0)
    for served, count in zip(cuts.served, counts, strict=True):
        made.row(served, low=count)


def _suppliers(made: Program, case: Case, sold: dict[str, Sum]) -> None:
    used: Sum = {}
    by_name = {each.supplier: each for each in case.terms}
    for name, goods in sold.items():
        terms = by_name.get(name)
        use = made.variable(float(terms.delivery_fee) if terms else 0.0, 1)
        used[use] = 1
        for variable in goods:
            made.row({variable: 1, use: -made.upper[variable]}, high=0)
        if terms is None:
            continue
        made.row({**goods, use: -float(terms.minimum_order)}, low=0)
        if terms.free_delivery_from is not None:
            free = made.variable(-float(terms.delivery_fee), 1)
            made.row({free: 1, use: -1}, high=0)
            made.row({**goods, free: -float(terms.free_delivery_from)}, low=0)
    if case.most is not None:
        made.row(used, high=case.most)


def faults_of(case: Case, plan: PurchasePlan) -> Iterator[str]:
    """Everything that is wrong with a plan by the rules, and nothing else."""
    yield from _bought_faults(plan)
    for kit in plan.kits:
        yield from _line_faults(kit)
    for position, purchase in enumerate(plan.purchases):
        if purchase.match == "unpriced":
            yield f"unpriced {purchase.part.description}"
        elif not _is_covered(case, plan, position):
            yield f"not covered: {purchase.part.description}"
    goods = goods_of(plan)
    for terms in case.terms:
        if terms.supplier in goods and goods[terms.supplier] < terms.minimum_order:
            yield f"minimum order of {terms.supplier}"
    if case.most is not None and len(goods) > case.most:
        yield "too many suppliers"


def _bought_faults(plan: PurchasePlan) -> Iterator[str]:
    for purchase in plan.purchases:
        for bought in purchase.bought:
            yield from _line_faults(bought)
            if bought.quantity != bought.packs * bought.item.pack:
                yield f"quantity of {bought.item.number}"
            if not same(purchase.part, bought.item.kind, bought.item.attributes):
                yield f"{bought.item.number} is not {purchase.part.description}"


def _line_faults(line: Bought | KitBought) -> Iterator[str]:
    item, packs = line.item, line.packs
    if packs < item.minimum_packs or (packs - item.minimum_packs) % item.pack_increment:
        yield f"{packs} packs of {item.number}"


def unit_price(item: Item, packs: int) -> Decimal:
    """The price of the highest break that the packs reach."""
    price = item.unit_price
    for each in sorted(item.breaks, key=lambda level: level.from_packs):
        if packs >= each.from_packs:
            price = each.unit_price
    return price


def goods_of(plan: PurchasePlan) -> dict[str, Decimal]:
    """Money by supplier, without fees."""
    goods: dict[str, Decimal] = {}
    lines: list[Bought | KitBought] = [b for p in plan.purchases for b in p.bought]
    for line in [*lines, *plan.kits]:
        money = unit_price(line.item, line.packs) * line.item.pack * line.packs
        goods[line.item.supplier] = goods.get(line.item.supplier, Decimal(0)) + money
    return goods


def cost_of(case: Case, plan: PurchasePlan) -> Decimal:
    """Goods and delivery fees of a plan."""
    goods = goods_of(plan)
    total = sum(goods.values(), Decimal(0))
    for terms in case.terms:
        sold = goods.get(terms.supplier)
        free = terms.free_delivery_from
        if sold is not None and not (free is not None and sold >= free):
            total += terms.delivery_fee
    return total


def _is_covered(case: Case, plan: PurchasePlan, position: int) -> bool:
    purchase = plan.purchases[position]
    part = purchase.part
    stock = [each.quantity for each in case.stock if same(part, each.kind, each.attributes)]
    held = [
        covered.quantity
        for kit in plan.kits
        for covered in kit.item.covers
        for _ in range(kit.packs)
        if same(part, covered.kind, covered.attributes)
    ]
    if not part.cuts_ft:
        bought = sum((each.quantity for each in purchase.bought), Decimal(0))
        return bought + sum(stock) + sum(held) >= part.quantity
    pieces = [piece for quantity in [*stock, *held] for piece in _sticks(part, quantity)]
    for each in purchase.bought:
        if each.item.pack == 1:
            pieces.append(Decimal(each.packs))
        else:
            count = each.packs * each.item.pieces
            pieces += [each.item.pack / each.item.pieces] * count
    return fits(sorted(needed_cuts(part), reverse=True), pieces)


def fits(cuts: Sequence[Decimal], pieces: Sequence[Decimal]) -> bool:
    """Whether each cut can be laid on a piece, by trying."""
    if not cuts:
        return True
    rooms = {room: at for at, room in enumerate(pieces) if room >= cuts[0]}
    return any(
        fits(cuts[1:], [*pieces[:at], room - cuts[0], *pieces[at + 1 :]])
        for room, at in sorted(rooms.items())
    )
