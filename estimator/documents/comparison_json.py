"""The ways to get the job done as JSON-ready objects."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

from estimator.basis import Because
from estimator.compare.records import Way, WayCost, WayNote
from estimator.money import to_cents
from estimator.units import plain

Json = dict[str, Any]
WriteReasons = Callable[[Sequence[Because]], list[Json]]


def way_document(way: Way, reasons: WriteReasons, used: set[str]) -> Json:
    """One way. reasons: writes a list of reasons; used: gathers the source keys."""
    return {
        "way": way.way,
        "cash_cost": _cents(way.cash_cost),
        "supply_cost": None if way.supply_cost is None else _cents(way.supply_cost),
        "costs": [_cost(cost, reasons) for cost in way.costs],
        "tools": [
            {
                "tool": tool.tool,
                "description": tool.description,
                "how": tool.how,
                "low": _maybe(tool.low),
                "likely": _maybe(tool.likely),
                "high": _maybe(tool.high),
                "because": reasons(tool.because),
            }
            for tool in way.tools
        ],
        "hours_low": plain(way.hours_low),
        "hours": plain(way.hours),
        "hours_high": plain(way.hours_high),
        "own_hours_value": _maybe(way.own_hours_value),
        "credit": _cents(way.credit),
        "credit_if_allowed": _cents(way.credit_if_allowed),
        "cost_after_credit": _cents(way.cost_after_credit),
        "cost_after_credit_if_allowed": _cents(way.cost_after_credit_if_allowed),
        "whole_cost": _cents(way.whole_cost),
        "low": _cents(way.low),
        "likely": _cents(way.likely),
        "high": _cents(way.high),
        "circuits": way.circuits,
        "cost_per_circuit": _maybe(way.cost_per_circuit),
        "cost_per_kwh": None if way.cost_per_kwh is None else plain(way.cost_per_kwh),
        "cost_per_outage_hour": _maybe(way.cost_per_outage_hour),
        "break_even_hour_value": _maybe(way.break_even_hour_value),
        "hire_quotes": [
            {
                "total": _cents(quote.total),
                "with_supply": _cents(quote.with_supply),
                "interest": _maybe(quote.interest),
                "break_even_hour_value": _maybe(quote.break_even_hour_value),
            }
            for quote in way.hire_quotes
        ],
        "leaves_out": [_note(note, used) for note in way.leaves_out],
        "may_be_forbidden": [_note(note, used) for note in way.may_be_forbidden],
        "complete": way.complete,
        "not_known": list(way.not_known),
        "because": reasons(way.because),
    }


def _cost(cost: WayCost, reasons: WriteReasons) -> Json:
    return {
        "what": cost.what,
        "text": cost.text,
        "amount": _cents(cost.amount),
        "sales_tax": _cents(cost.sales_tax),
        "low": _cents(cost.low),
        "high": _cents(cost.high),
        "because": reasons(cost.because),
    }


def _note(note: WayNote, used: set[str]) -> Json:
    used.add(note.source)
    return {"text": note.text, "source": note.source, "circuit": note.circuit}


def _cents(amount: Decimal) -> str:
    return str(to_cents(amount))


def _maybe(amount: Decimal | None) -> str | None:
    return None if amount is None else _cents(amount)
