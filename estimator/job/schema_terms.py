"""Schemas of labour, terms, credit facts, comparison."""

from typing import get_args

from estimator.job import records
from estimator.job.asked import about
from estimator.job.limits import HOURS, MONEY, PERCENT, RATE, WORD_FORM
from estimator.job.number_fields import DecimalText, Whole
from estimator.job.schema_fields import Day, Items, Part, Word, YesNo
from estimator.job.told import Told
from estimator.job.validators import Choice, DifferentItems, Form, Size, Within


class LabourSchema(Told):
    """Who works and at what rate."""

    crew = Whole(validate=Within(1, 20), metadata=about("people on the job", 1))
    hourly_rate = DecimalText(
        allow_none=True, validate=RATE, metadata=about("charged for one hour of work", "95.00")
    )
    wage = DecimalText(
        allow_none=True, validate=RATE, metadata=about("wage paid for one hour", "34.00")
    )
    burden_percent = DecimalText(
        validate=Within(0, 500, "%"),
        metadata=about("added to the wage for taxes and insurance [%]", 35),
    )
    skill = Word(
        validate=Choice(("contractor", "own")), metadata=about("who does the work", "contractor")
    )
    factors = Items(
        Word(validate=WORD_FORM),
        size=Size(0, 20, "factors"),
        validate=[DifferentItems()],
        metadata=about(
            "difficulties of the site, by names from the labour table", ["occupied_house"]
        ),
    )
    minimum_hours = DecimalText(validate=HOURS, metadata=about("least hours charged", 2))
    travel_hours = DecimalText(
        allow_none=True, validate=HOURS, metadata=about("hours on the road", 1)
    )


class TermsSchema(Told):
    """Terms of the quote."""

    currency = Word(
        validate=Form(r"[A-Z]{3}", "an ISO 4217 code of three capitals, such as USD"),
        metadata=about("currency of all money", "USD"),
    )
    markup_percent = DecimalText(
        allow_none=True,
        validate=Within(0, 1000, "%"),
        metadata=about("markup, added to cost; or a margin, never both [%]", 25),
    )
    margin_percent = DecimalText(
        allow_none=True,
        validate=Within(0, 100, "%", below=True),
        metadata=about("margin, a share of the price; or a markup, never both [%]", 20),
    )
    overhead_percent = DecimalText(
        validate=Within(0, 500, "%"), metadata=about("overhead on cost [%]", 10)
    )
    contingency_percent = DecimalText(
        validate=PERCENT, metadata=about("contingency, for what nobody foresaw [%]", 5)
    )
    sales_tax_percent = DecimalText(
        validate=Within(0, 50, "%"), metadata=about("sales tax [%]", 7.25)
    )
    taxable = Items(
        Word(validate=Choice(get_args(records.Group))),
        size=Size(0, 3, "groups"),
        validate=[DifferentItems()],
        metadata=about("what sales tax is due on", ["materials"]),
    )
    permit_fee = DecimalText(
        places=2, allow_none=True, validate=MONEY, metadata=about("fee of the permit", "85.00")
    )
    discount = DecimalText(places=2, validate=MONEY, metadata=about("discount", "0.00"))
    deposit_percent = DecimalText(validate=PERCENT, metadata=about("deposit at acceptance [%]", 30))
    valid_days = Whole(validate=Within(1, 730), metadata=about("days the quote holds", 30))
    price_by = Word(
        validate=Choice(("purchase", "use")),
        metadata=about("price whole packs bought, or only what is used", "purchase"),
    )
    quoted_on = Day(metadata=about("day of the quote", "2025-10-01"))
    most_suppliers = Whole(
        allow_none=True,
        validate=Within(1, 50),
        metadata=about("suppliers to buy from at most", 2),
    )


class PanelUpgradeSchema(Told):
    """Panel work claimed under the home improvement credit."""

    cost = DecimalText(places=2, validate=MONEY, metadata=about("cost of the panel work", "0.00"))
    amps = Whole(validate=Within(15, 1200, "A"), metadata=about("new rating of the panel [A]", 200))
    enables = Items(
        Word(validate=WORD_FORM),
        size=Size(0, 20, "names"),
        validate=[DifferentItems()],
        metadata=about("what the new panel makes possible", ["heat_pump"]),
    )


class CreditClaimSchema(Told):
    """Facts for the tax credits."""

    completed_on = Day(
        allow_none=True, metadata=about("day of completion, decides the tax year", "2025-11-20")
    )
    placed_in_service_on = Day(allow_none=True, metadata=about("day of first use", "2025-11-21"))
    paid_on = Day(allow_none=True, metadata=about("day of payment", "2025-10-15"))
    permanently_wired = YesNo(
        allow_none=True, metadata=about("the supply is wired to the house for good", False)
    )
    charged_only_by_onsite_solar = YesNo(
        metadata=about("charged by solar at the house only, never from the grid", False)
    )
    nonbusiness_share = DecimalText(
        validate=Within(0, 1), metadata=about("share used for living, 0 to 1", 1)
    )
    tax_before_credit = DecimalText(
        places=2,
        allow_none=True,
        validate=MONEY,
        metadata=about("tax that the credit can reduce", "4200.00"),
    )
    tax_in_later_years = Items(
        DecimalText(places=2, validate=MONEY),
        size=Size(0, 20, "years"),
        metadata=about("tax that the credit can reduce in each later year", ["3900.00"]),
    )
    carryforward_in = DecimalText(
        places=2, validate=MONEY, metadata=about("credit left from last year", "0.00")
    )
    utility_subsidy = DecimalText(
        places=2, validate=MONEY, metadata=about("paid by the utility", "0.00")
    )
    seller_rebate = DecimalText(
        places=2, validate=MONEY, metadata=about("paid back by the seller", "0.00")
    )
    state_incentive = DecimalText(
        places=2, validate=MONEY, metadata=about("paid by the state", "0.00")
    )
    panel_upgrade = Part(
        PanelUpgradeSchema, metadata={"description": "panel work done at the same time"}
    )


class LoanSchema(Told):
    """Money borrowed for the job."""

    amount = DecimalText(
        places=2, validate=MONEY, metadata=about("money borrowed at most", "3000.00")
    )
    annual_rate_percent = DecimalText(
        allow_none=True, validate=PERCENT, metadata=about("interest of the loan a year [%]", 8.9)
    )
    months = Whole(
        allow_none=True,
        validate=Within(1, 480),
        metadata=about("months in which the loan is paid back", 36),
    )


class ComparisonSchema(Told):
    """What own work is worth, quotes of others, a loan, and the outages to count on."""

    own_hour_value = DecimalText(
        allow_none=True, validate=RATE, metadata=about("worth of one own hour", "20.00")
    )
    own_speed_factor = DecimalText(
        validate=Within(0, 20, above=True),
        metadata=about("own hours for one hour of a tradesperson", 2.5),
    )
    tools_owned = Items(
        Word(validate=WORD_FORM),
        size=Size(0, 100, "tools"),
        validate=[DifferentItems()],
        metadata=about("tools at hand", ["drill", "tape_measure"]),
    )
    hire_quotes = Items(
        DecimalText(places=2, validate=MONEY),
        size=Size(0, 50, "quotes"),
        metadata=about("totals quoted by others", ["3100.00"]),
    )
    loan = Part(LoanSchema, metadata={"description": "money borrowed for the job"})
    outage_hours_per_year = DecimalText(
        allow_none=True,
        validate=Within(0, 8784, "h", above=True),
        metadata=about("hours of a year in which the grid fails [h]", 12),
    )
    years_of_use = Whole(
        allow_none=True,
        validate=Within(1, 50, "years"),
        metadata=about("years over which the cost is spread", 10),
    )
