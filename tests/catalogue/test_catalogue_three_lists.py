"""Three sample lists at once give one plan, and switched fees and prices change it as they should.

What the plan should cost says HiGHS on a mixed-integer program (purchase_oracle.py).
"""

import csv
import io
from decimal import Decimal

import pytest

pytest.importorskip("scipy", reason="scipy is the independent solver")

from conftest import SAMPLE_DAY, SAMPLES, sample_lists
from purchase_cases import Case
from purchase_oracle import cost_of, faults_of, least_cost, same

from estimator import usecases
from estimator.catalogue.records import PurchasePlan
from estimator.documents.records import FullEstimate
from estimator.job.read import read_job_document

JOB = SAMPLES / "jobs" / "six_circuit_block.yaml"
TERMS = SAMPLES / "supplier_terms" / "three_suppliers.csv"
FEES = {"corner": "0.00", "north": "12.00", "wholesale": "18.00"}
TOLERANCE = 1e-5
LISTS = {path.name: path.read_bytes() for path in sample_lists()}


def terms_text(**fees: str) -> bytes:
    """The suppliers' terms with other delivery fees."""
    rows = list(csv.reader(TERMS.read_text().splitlines()))
    for row in rows[1:]:
        row[2] = {**FEES, **fees}[row[0].split()[0].casefold()]
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue().encode()


NO_FEES = terms_text(corner="0.00", north="0.00", wholesale="0.00")


def estimate(lists: dict[str, bytes] = LISTS, terms: bytes = NO_FEES) -> FullEstimate:
    """The quote of the demo job from the lists."""
    catalogue = usecases.read_catalogue(list(lists.items()), supplier_terms=(TERMS.name, terms))
    document = read_job_document(JOB.read_bytes(), JOB.name)
    return usecases.estimate_job(document, catalogue, today=SAMPLE_DAY)


def case_of(full: FullEstimate) -> Case:
    """The same purchase for the solver: what any list sells of the parts."""
    parts = full.take_off.parts
    items = tuple(
        item
        for each in full.price_lists
        for item in each.items
        if any(same(part, item.kind, item.attributes) for part in parts)
    )
    return Case(parts, items, full.purchase.terms)


def cost_as_the_solver_says(full: FullEstimate) -> Decimal:
    """What the plan costs, once the solver and the rules agree with it."""
    case = case_of(full)
    cost, least = cost_of(case, full.purchase), least_cost(case)
    assert full.purchase.optimal
    assert list(faults_of(case, full.purchase)) == []
    assert least is not None
    assert abs(float(cost) - least) < TOLERANCE
    return cost


def packs(plan: PurchasePlan) -> dict[tuple[str, str], int]:
    """What is bought."""
    return {
        (bought.item.supplier, bought.item.number): bought.packs
        for purchase in plan.purchases
        for bought in purchase.bought
    }


def dearer(lists: dict[str, bytes], number: str, factor: int) -> dict[str, bytes]:
    """The lists with the price of one item multiplied."""
    name = "wholesale_c_and_m.csv"
    lines = lists[name].decode().split("\n")
    at = next(at for at, line in enumerate(lines) if line.startswith(f"{number};"))
    (cells,) = csv.reader([lines[at]], delimiter=";")
    cells[4] = str(Decimal(cells[4]) * factor)
    text = io.StringIO()
    csv.writer(text, delimiter=";", lineterminator="").writerow(cells)
    lines[at] = text.getvalue()
    return {**lists, name: "\n".join(lines).encode()}


def suppliers(full: FullEstimate) -> set[str]:
    """Whom the plan orders from, by the first word of the name."""
    return {order.supplier.split()[0].casefold() for order in full.purchase.orders}


def test_three_lists_give_one_plan_over_several_suppliers() -> None:
    full = estimate()

    assert full.price.complete
    assert suppliers(full) == {"north", "wholesale"}
    assert cost_as_the_solver_says(full) > 0


def test_a_delivery_fee_that_is_switched_changes_the_plan_as_the_solver_says() -> None:
    free, dear, small = (
        estimate(terms=terms_text(wholesale=fee)) for fee in ("0.00", "18.00", "3.00")
    )
    paid = cost_as_the_solver_says(free)

    # What the second supplier saves is worth a fee of three dollars but not one of eighteen.
    assert suppliers(free) == suppliers(small) == {"north", "wholesale"}
    assert cost_as_the_solver_says(small) == paid + 3
    assert packs(small.purchase) == packs(free.purchase)
    assert suppliers(dear) == {"north"}
    assert paid + 3 < cost_as_the_solver_says(dear) < paid + 18


def test_a_pack_price_that_is_switched_changes_the_plan_as_the_solver_says() -> None:
    before = estimate()
    dearest = max(
        (
            bought
            for purchase in before.purchase.purchases
            for bought in purchase.bought
            if bought.item.supplier.startswith("wholesale") and bought.item.pack > 1
        ),
        key=lambda bought: bought.item.pack_price,
    )

    after = estimate(dearer(LISTS, dearest.item.number, 3))

    cost, more = cost_as_the_solver_says(before), 2 * dearest.packs * dearest.item.pack_price
    assert cost < cost_as_the_solver_says(after) < cost + more
    assert dearest.item.number not in {number for _, number in packs(after.purchase)}
