"""The arithmetic of the home improvement credit of one year: caps side by side, then the tax."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.credits.panel_rules import PanelRules
from estimator.money import ZERO, to_cents


@dataclass(frozen=True, slots=True)
class ImprovementTerms:
    """Rate and caps of a day."""

    rate: Decimal
    item_cap: Decimal
    annual_cap: Decimal
    heat_pump_cap: Decimal


@dataclass(frozen=True, slots=True)
class ImprovementYear:
    """The credit of a year. panel_item: before the yearly cap. panel: what the panel adds to
    the sum of the year. total: all items. allowed: what the tax leaves of it; the rest is lost.
    """

    panel_item: Decimal
    panel: Decimal
    bucket_sum: Decimal
    bucket: Decimal
    heat_pumps: Decimal
    total: Decimal
    allowed: Decimal


def terms_on(day: date, rules: PanelRules) -> ImprovementTerms:
    """Rate and caps of a day of the programme. Raises RuleGap outside of it."""
    return ImprovementTerms(
        rules.rate.on(day).value,
        rules.item_cap.on(day).value,
        rules.annual_cap.on(day).value,
        rules.heat_pump_cap.on(day).value,
    )


def improvement_year(
    panel_base: Decimal,
    other_credits: Decimal,
    heat_pump_cost: Decimal,
    limit: Decimal | None,
    terms: ImprovementTerms,
) -> ImprovementYear:
    """The credit of a year on panel work beside other items.

    panel_base: cost of the panel work that counts [USD]. other_credits: credit of the other
    items under the yearly cap, before it. heat_pump_cost: under the cap of their own. limit:
    tax left for the credit, None: not told. Source: 26 USC 25C(b)(1), (2), (5).
    """
    item = to_cents(min(panel_base * terms.rate, terms.item_cap))
    others = to_cents(other_credits)
    bucket_sum = item + others
    bucket = to_cents(min(bucket_sum, terms.annual_cap))
    panel = bucket - to_cents(min(others, terms.annual_cap))
    heat_pumps = to_cents(min(heat_pump_cost * terms.rate, terms.heat_pump_cap))
    total = bucket + heat_pumps
    allowed = total if limit is None else to_cents(min(total, max(limit, ZERO)))
    return ImprovementYear(item, panel, bucket_sum, bucket, heat_pumps, total, allowed)


def panel_share(year: ImprovementYear) -> Decimal:
    """What the panel adds to what is allowed: the other items come first."""
    without = year.total - year.panel
    return max(year.allowed - without, ZERO)
