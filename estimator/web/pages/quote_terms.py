"""Rates and terms of a quote as fields beside its totals."""

from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from estimator.units import plain
from estimator.web.pages.job_form import tell

# Pointer into the job, what it is, its unit. The order is that of the page.
_FIELDS = (
    ("/labour/hourly_rate", "Charged for an hour", "money"),
    ("/labour/wage", "Or paid for an hour", "money"),
    ("/labour/burden_percent", "On top of the wage", "%"),
    ("/terms/overhead_percent", "Overhead on cost", "%"),
    ("/terms/contingency_percent", "For what nobody foresaw", "%"),
    ("/terms/markup_percent", "Markup on cost", "%"),
    ("/terms/margin_percent", "Or margin of the price", "%"),
    ("/terms/discount", "Discount", "money"),
    ("/terms/sales_tax_percent", "Sales tax", "%"),
    ("/terms/permit_fee", "Permit fee", "money"),
    ("/terms/deposit_percent", "Deposit at acceptance", "%"),
    ("/terms/valid_days", "Days the quote holds", "days"),
)
POINTERS = tuple(pointer for pointer, _, _ in _FIELDS)
_MARKUP, _MARGIN = "/terms/markup_percent", "/terms/margin_percent"
_HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class TermField:
    """A field. value: as told, empty where a default holds, which is then assumed."""

    pointer: str
    label: str
    unit: str
    value: str
    assumed: str


def term_fields(job: Mapping[str, Any], result: Mapping[str, Any]) -> tuple[TermField, ...]:
    """The fields of a job and the result computed from it."""
    assumed = {one["field"]: one["value"] for one in result["estimate"]["assumptions"]}
    return tuple(
        TermField(pointer, label, unit, _told(job, pointer), str(assumed.get(pointer) or ""))
        for pointer, label, unit in _FIELDS
    )


def with_terms(job: Mapping[str, Any], typed: Mapping[str, str]) -> dict[str, Any]:
    """A job with the fields that were typed; a blank one goes back to its default.

    Of markup and margin only one can be told: the one that was changed wins.
    """
    document: dict[str, Any] = deepcopy(dict(job))
    wanted = {p: typed.get(p, _told(job, p)).strip() for p in POINTERS}
    if wanted[_MARKUP] and wanted[_MARGIN]:
        wanted[_MARKUP if wanted[_MARKUP] == _told(job, _MARKUP) else _MARGIN] = ""
    for pointer, text in wanted.items():
        if text == _told(job, pointer):
            continue
        group, name = pointer.strip("/").split("/")
        document.get(group, {}).pop(name, None)
        if text:
            tell(document, pointer, text)
    return document


def other_percent(fields: tuple[TermField, ...]) -> str:
    """What the markup is as a margin, or the margin as a markup, as a sentence."""
    now = {one.pointer: one.value or one.assumed for one in fields}
    markup, margin = _decimal(now[_MARKUP]), _decimal(now[_MARGIN])
    if margin is not None and margin < _HUNDRED:
        share = margin / (_HUNDRED - margin) * _HUNDRED
        return f"A margin of {plain(margin)} % is a markup of {share:.1f} %."
    if markup is not None:
        share = markup / (_HUNDRED + markup) * _HUNDRED
        return f"A markup of {plain(markup)} % is a margin of {share:.1f} %."
    return ""


def _told(job: Mapping[str, Any], pointer: str) -> str:
    group, name = pointer.strip("/").split("/")
    value = (job.get(group) or {}).get(name)
    return "" if value is None else str(value)


def _decimal(text: str) -> Decimal | None:
    try:
        return Decimal(text)
    except InvalidOperation:
        return None
