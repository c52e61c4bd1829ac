"""Parts of the credits as JSON-ready objects: open points and the table of years."""

from decimal import Decimal
from typing import Any

from estimator.credits.chain import LinkOfYear
from estimator.credits.records import CreditTotal, OpenPoint
from estimator.credits.year_table import CreditYear
from estimator.units import plain

Json = dict[str, Any]


def open_point_document(point: OpenPoint) -> Json:
    """An uncertain point with both sides and both amounts."""
    return {
        "code": point.code,
        "concerns": point.concerns,
        "for": {"text": point.for_text, "authority": point.for_authority},
        "against": {"text": point.against_text, "authority": point.against_authority},
        "settled_by": point.settled_by,
        "amount_against": str(point.amount_against),
        "amount_for": str(point.amount_for),
        "supposing": point.supposing,
    }


def total_document(total: CreditTotal) -> Json:
    """What all programmes together give in the year of the job."""
    return {
        "sure": str(total.sure),
        "if_allowed": str(total.if_allowed),
        "if_everything": str(total.if_everything),
    }


def link_document(link: LinkOfYear) -> Json:
    """A year after the claim, in which what is left of it is used."""
    return {
        "tax_year": link.year,
        "status": link.status,
        "carried_in": _money(link.carried_in),
        "amount": str(link.amount),
        "carryforward": _money(link.carryforward),
        "carried_in_if_uncertain": _money(link.carried_in_if_uncertain),
        "amount_if_uncertain": str(link.amount_if_uncertain),
        "carryforward_if_uncertain": _money(link.carryforward_if_uncertain),
        "why": list(link.why),
        "open_because": link.open_because,
    }


def _money(amount: Decimal | None) -> str | None:
    return None if amount is None else str(amount)


def year_document(row: CreditYear) -> Json:
    """One year of the table."""
    return {
        "year": row.year,
        "completed_on": row.completed_on.isoformat(),
        "total": str(row.total),
        "total_if_uncertain": str(row.total_if_uncertain),
        "programmes": [
            {
                "programme": one.programme,
                "status": one.status,
                "reason_codes": list(one.reason_codes),
                "rate": plain(one.rate),
                "amount": str(one.amount),
                "amount_if_uncertain": str(one.amount_if_uncertain),
                "why": one.why,
                "change": one.change,
                "checked": one.checked,
            }
            for one in row.programmes
        ],
    }
