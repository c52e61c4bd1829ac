"""Suppliers' terms are read whole or refused with every fault."""

from decimal import Decimal

import pytest

from estimator.catalogue.records import SupplierTerms
from estimator.catalogue.supplier_terms import read_supplier_terms
from estimator.finding import Fault, InputRefused

HEAD = "supplier,minimum order,delivery fee,free delivery from,currency"


def read(*rows: str, head: str = HEAD) -> tuple[SupplierTerms, ...]:
    return read_supplier_terms("\n".join((head, *rows)).encode(), "terms.csv")


def faults(*rows: str, head: str = HEAD) -> tuple[Fault, ...]:
    with pytest.raises(InputRefused) as refused:
        read(*rows, head=head)
    return refused.value.faults


def test_reads_a_row_for_each_supplier() -> None:
    first, second = read("North Counter,50.00,15.00,250.00,USD", "Quarry Wholesale,,7.5,,USD")

    assert first == SupplierTerms(
        "North Counter", Decimal("50.00"), Decimal("15.00"), Decimal("250.00"), "USD"
    )
    assert (second.minimum_order, second.delivery_fee) == (0, Decimal("7.5"))
    assert second.free_delivery_from is None


def test_free_delivery_from_nothing_is_not_the_same_as_never() -> None:
    (terms,) = read("North Counter,0,15,0,USD")

    assert terms.free_delivery_from == 0


def test_columns_may_stand_in_any_order_with_others_between() -> None:
    (terms,) = read(
        "USD;;12;North Counter;30;250",
        head="Currency;note;Delivery_Fee;SUPPLIER;minimum order;free delivery from",
    )

    assert (terms.supplier, terms.minimum_order, terms.delivery_fee) == ("North Counter", 30, 12)


@pytest.mark.parametrize(
    ("row", "where", "what"),
    [
        (",50,15,,USD", "terms.csv, row 2, column supplier", "is blank"),
        ("A,fifty,15,,USD", "terms.csv, row 2, column minimum order", "'fifty' is not an amount"),
        ("A,50,-15,,USD", "terms.csv, row 2, column delivery fee", "'-15' is not an amount"),
        ("A,50,15,1e9,USD", "terms.csv, row 2, column free delivery from", "write it as 150.00"),
        ("A,50,15.001,,USD", "terms.csv, row 2, column delivery fee", "'15.001'"),
        ("A,50,10000001,,USD", "terms.csv, row 2, column delivery fee", "10,000,000"),
        ("A,50,15,,dollars", "terms.csv, row 2, column currency", "three capitals"),
    ],
)
def test_one_fault_for_one_mistake(row: str, where: str, what: str) -> None:
    (fault,) = faults(row)

    assert fault.where == where
    assert what in fault.message


def test_all_faults_are_told_at_once() -> None:
    found = faults("A,x,y,z,", ",1,1,1,USD", "B,1,1,1,USD", "b,1,1,1,USD")

    assert len(found) == 6
    assert "stands above already" in found[-1].message


@pytest.mark.parametrize("head", ["supplier,minimum order", HEAD + ",supplier"])
def test_a_missing_or_doubled_column_is_refused(head: str) -> None:
    (fault,) = faults("A,1,1,1,USD", head=head)

    assert "must name the columns supplier, minimum order" in fault.message


def test_a_file_without_suppliers_is_refused() -> None:
    (fault,) = faults()

    assert "no supplier" in fault.message


def test_a_file_that_is_no_text_is_refused() -> None:
    with pytest.raises(InputRefused):
        read_supplier_terms(b"%PDF-1.7", "terms.csv")


def test_more_suppliers_than_anybody_has_are_refused() -> None:
    (fault,) = faults(*(f"S{number},1,1,1,USD" for number in range(201)))

    assert "more than 200 suppliers" in fault.message
