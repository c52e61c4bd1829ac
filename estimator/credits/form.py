"""The claim laid out on the lines of the year's form."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because, because
from estimator.credits.records import FormLine, Outcome
from estimator.credits.rules import CreditRules, FormItem
from estimator.credits.shares import divided
from estimator.money import ZERO, to_cents

_NOT_KNOWN = "not known without the tax limit"


@dataclass(frozen=True, slots=True)
class FormFigures:
    """What a form asks for, under one reading of the open points.

    storage_gross and other_gross: costs that count, of the battery with what serves it and
    of other property. capacity_met: "yes", "no" or "not known".
    """

    outcome: Outcome
    storage_gross: Decimal
    other_gross: Decimal
    carried_in: Decimal
    limit: Decimal | None
    capacity_met: str


def form_lines(
    tax_year: int | None, sure: FormFigures, hopeful: FormFigures, rules: CreditRules
) -> tuple[FormLine, ...]:
    """The lines of the form of that year in their order; none when the form is not known.

    sure and hopeful: the figures without and with all open points. Amounts to the cent; a
    return may show whole dollars throughout.
    """
    rows = rules.form_rows.get(tax_year or 0, ())
    low, high = _amounts(sure), _amounts(hopeful)
    return tuple(
        FormLine(rules.form, row.line, row.label, low[row.item], high[row.item])
        for row in rows
        if not (row.item == "other_cost" and not hopeful.other_gross)
    )


def form_because(tax_year: int | None, rules: CreditRules) -> tuple[Because, ...]:
    """How well the form of the year is known, where there is something to say."""
    if tax_year is None:
        return ()
    rows = rules.form_rows.get(tax_year)
    if not rows:
        text = (
            f"The line numbers of {rules.form} were not checked for this year, so none are shown."
        )
        return (because(text, "form_5695", tax_year=tax_year),)
    words: Mapping[str, str] = {
        "inferred": "The lines of {form} for this year are inferred, not all read on the form.",
        "draft": "The lines of {form} for this year are those of a draft; the final may differ.",
    }
    told = words.get(rows[0].standing)
    if told is None:
        return ()
    return (because(told.format(form=rules.form), rows[0].source, tax_year=tax_year),)


def _amounts(figures: FormFigures) -> Mapping[FormItem, str]:
    out = figures.outcome
    gross = (max(figures.storage_gross, ZERO), max(figures.other_gross, ZERO))
    storage, other = divided(out.base, gross) if any(gross) else (out.base, ZERO)
    unlimited = figures.limit is None
    return {
        "storage_as_solar_cost": _money(storage),
        "storage_cost": _money(storage),
        "other_cost": _money(other),
        "capacity_met": figures.capacity_met,
        "cost_sum": _money(out.base),
        "credit_on_costs": _money(out.tentative),
        "fuel_cell_credit": _money(ZERO),
        "carryforward_in": _money(figures.carried_in),
        "total": _money(out.tentative + figures.carried_in),
        "limit": "not told" if figures.limit is None else _money(figures.limit),
        "credit": _NOT_KNOWN if unlimited else _money(out.amount),
        "carryforward_out": _NOT_KNOWN if out.carryforward is None else _money(out.carryforward),
    }


def _money(amount: Decimal) -> str:
    return str(to_cents(amount))
