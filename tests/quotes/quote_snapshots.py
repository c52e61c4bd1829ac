"""Small result documents for the tests of quotes, in the shape of the result contract."""

from copy import deepcopy
from datetime import date
from typing import Any

from estimator.quotes.records import Basis, Snapshot, Used
from estimator.quotes.snapshot import make_snapshot

VALID_UNTIL = date(2026, 4, 1)
JOB: dict[str, Any] = {"circuits": [{"name": "Well pump", "breaker_a": 20}], "run_length_ft": 18}
RESULT: dict[str, Any] = {
    "computed_on": "2026-03-02",
    "estimate": {
        "findings": [],
        "parts": [
            {
                "kind": "inlet",
                "attributes": {"configuration": "L14-30"},
                "description": "L14-30 power inlet box",
                "quantity": "1",
                "unit": "ea",
            },
            {
                "kind": "conductor",
                "attributes": {"size": "10 AWG", "colour": "black"},
                "description": "10 AWG conductor, black",
                "quantity": "29",
                "unit": "ft",
            },
        ],
        "labour": [
            {"code": "mount", "task": "mount the inlet", "quantity": "1", "unit": "ea",
             "hours": "0.75"},
        ],
    },
    "price": {
        "currency": "USD",
        "lines": [
            {"part": 0, "description": "L14-30 power inlet box", "item": "NC-0027",
             "supplier": "North Counter (invented)", "unit_price": "58.4000", "amount": "58.40",
             "match": "exact"},
            {"part": 1, "description": "10 AWG conductor, black", "item": "NC-0059",
             "supplier": "North Counter (invented)", "unit_price": "0.4100", "amount": "11.89",
             "match": "exact"},
        ],
        "totals": {"materials": "70.29", "labour": "75.00", "sales_tax": "4.22",
                   "total": "149.51"},
        "deposit": "50.00",
        "complete": True,
    },
}  # fmt: skip
CATALOGUE = Used("018f0000-0000-7000-8000-000000000001", "North Counter", 3, "a" * 64)
BASIS = Basis("0.1.0", (("sizing", "b" * 64), ("takeoff", "c" * 64)), (CATALOGUE,))


def result(**price: Any) -> dict[str, Any]:
    """A result whose price has some other fields."""
    made = deepcopy(RESULT)
    made["price"] |= price
    return made


def snapshot(made: dict[str, Any] | None = None, **other: Any) -> Snapshot:
    """A snapshot of a result."""
    given = {"job": JOB, "basis": BASIS, "valid_until": VALID_UNTIL, "stated": ()} | other
    return make_snapshot(result=made or RESULT, **given)
