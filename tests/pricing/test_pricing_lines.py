"""Lines of materials: what is bought, what is charged, what is left over, what has no price."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pricing_factory import bushing, group, item_for, job, price, wire

from estimator.catalogue.records import Bought, Purchase, PurchasePlan
from estimator.pricing.material_lines import material_lines
from estimator.published.sources import load_sources


def test_a_line_of_a_reel_is_charged_whole() -> None:
    part = wire("120")

    (line,) = price(job(), [part], [item_for(part, "0.34", "500")]).lines

    assert (line.packs, line.quantity_bought, line.quantity_needed) == (1, 500, 120)
    assert line.leftover == 380
    assert line.amount == Decimal("170.00")
    assert (line.item, line.pack, line.unit, line.match) == ("A", 500, "ft", "exact")
    assert line.cost_code == part.cost_code
    assert line.price_basis == "foot"


def test_by_use_only_what_is_needed_is_charged() -> None:
    part = wire("120")

    found = price(job(price_by="use"), [part], [item_for(part, "0.34", "500")])

    (line,) = found.lines
    assert (line.packs, line.quantity_bought, line.leftover) == (1, 500, 380)
    assert line.amount == Decimal("40.80")
    assert found.total == Decimal("40.80")


def test_a_part_bought_in_two_items_has_two_lines_that_share_its_quantity() -> None:
    part = bushing("3/4", "37")
    items = [item_for(part, "0.20", "1", "ONE"), item_for(part, "0.09", "30", "BOX")]

    box, one = price(job(), [part], items).lines

    assert (box.item, box.packs, box.quantity_needed, box.amount) == ("BOX", 1, 30, Decimal("2.70"))
    assert (one.item, one.packs, one.quantity_needed, one.amount) == ("ONE", 7, 7, Decimal("1.40"))
    assert box.part == one.part == 0


def test_what_is_left_over_lies_in_the_largest_pack() -> None:
    part = bushing("3/4", "95")
    large, small = item_for(part, "0.09", "60", "LARGE"), item_for(part, "0.10", "40", "SMALL")
    bought = (Bought(large, 1, Decimal(60)), Bought(small, 1, Decimal(40)))

    plan = PurchasePlan((Purchase(part, "exact", bought, Decimal(5), True),), True)

    lines = material_lines(plan, "use")

    assert [(line.quantity_needed, line.leftover) for line in lines] == [(55, 5), (40, 0)]
    assert [line.amount for line in lines] == [Decimal("4.95"), Decimal("4.00")]


@given(st.integers(1, 400), st.sampled_from(["purchase", "use"]))
def test_needed_and_left_over_are_what_is_bought(quantity: int, price_by: str) -> None:
    part = bushing("3/4", str(quantity))
    items = [
        item_for(part, "0.20", "1", "ONE"),
        item_for(part, "0.15", "10", "TEN"),
        item_for(part, "0.09", "100", "HUNDRED"),
    ]

    lines = price(job(price_by=price_by), [part], items).lines

    assert sum(line.quantity_needed for line in lines) == quantity
    for line in lines:
        assert line.quantity_bought == line.quantity_needed + line.leftover
        assert line.leftover >= 0


@pytest.mark.parametrize(
    ("unit_price", "amount"),
    [("0.3349", "0.33"), ("0.3350", "0.34"), ("0.3351", "0.34"), ("0.0049", "0.00")],
)
def test_amounts_are_rounded_half_up_to_the_cent(unit_price: str, amount: str) -> None:
    part = bushing("3/4", "1")

    (line,) = price(job(), [part], [item_for(part, unit_price)]).lines

    assert line.amount == Decimal(amount)


def test_an_unpriced_part_keeps_its_line_and_makes_the_price_incomplete() -> None:
    priced, missing = bushing("3/4", "2"), bushing("1", "3")

    found = price(job(), [priced, missing], [item_for(priced, "0.20")])

    line = found.lines[1]
    assert (line.part, line.description, line.match) == (1, missing.description, "unpriced")
    assert (line.unit_price, line.amount, line.pack) == (None, None, None)
    assert (line.quantity_needed, line.quantity_bought, line.packs) == (3, 0, 0)
    assert (found.complete, found.unpriced) == (False, 1)
    assert found.total == group(found, "materials").cost == Decimal("0.40")


def test_the_finding_counts_unpriced_parts_and_names_the_first() -> None:
    sizes = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "3"]

    found = price(job(), [bushing(size, "1") for size in sizes])

    (finding,) = found.findings
    assert (finding.severity, finding.code) == ("warning", "UNPRICED_PARTS")
    assert finding.message.startswith("7 parts have no price, so the total is incomplete: 1/2 in")
    assert finding.message.endswith("and 2 more.")


def test_a_price_of_nothing_is_complete() -> None:
    found = price(job())

    assert (found.complete, found.total, found.lines) == (True, Decimal("0.00"), ())


def test_every_reason_and_finding_names_a_known_source() -> None:
    found = price(
        job(
            labour={"hourly_rate": None, "wage": Decimal("34.00"), "burden_percent": Decimal(35)},
            markup_percent=Decimal(25),
            overhead_percent=Decimal(10),
            contingency_percent=Decimal(5),
            permit_fee=None,
            discount=Decimal(10_000),
        ),
        [bushing("3/4", "1")],
        hours="3",
    )

    assert {each.source for each in (*found.because, *found.findings)} <= set(load_sources())
    assert {"own_convention", "job_description"} <= {each.source for each in found.because}
    assert {each.code for each in found.findings} == {
        "UNPRICED_PARTS",
        "PERMIT_FEE_UNKNOWN",
        "DISCOUNT_ABOVE_PRICE",
    }
