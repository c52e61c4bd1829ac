"""What holds for every claim, whatever its facts."""

from datetime import date
from decimal import Decimal

from credits_samples import FIXED_BATTERY, TODAY
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.credits.assess import assess_credits
from estimator.credits.records import ClaimFacts, CostLine, CreditAnswer
from estimator.credits.rules_file import load_credit_rules
from estimator.credits.shares import divided

CODES = (*load_credit_rules().costs, "never_heard_of")
MONEY = st.decimals(0, 50000, places=2)
MAYBE_KWH = st.none() | st.decimals(0, 30, places=1)
DAYS = st.none() | st.dates(date(2004, 1, 1), date(2036, 12, 31))
COSTS = st.lists(
    st.builds(
        CostLine,
        code=st.sampled_from(CODES),
        description=st.just(""),
        amount=MONEY,
        on=st.sampled_from(("", "", *CODES)),
        priced=st.booleans(),
        because=st.just(()),
    ),
    max_size=6,
)
FACTS = st.builds(
    ClaimFacts,
    supply_kind=st.sampled_from(("power_station", "battery", "generator", "none")),
    completed_on=DAYS,
    placed_in_service_on=DAYS,
    paid_on=DAYS,
    planned=st.booleans(),
    portable=st.booleans(),
    permanently_wired=st.sampled_from((True, True, False, None)),
    nameplate_kwh=MAYBE_KWH,
    usable_kwh=MAYBE_KWH,
    charged_only_by_onsite_solar=st.booleans(),
    residence=st.sampled_from((*load_credit_rules().residences, "unknown")),
    newly_built_home=st.booleans(),
    region=st.sampled_from(("US", "US-OH", "US-OH", "US-PR", "CA-ON")),
    nonbusiness_share=st.decimals(0, 1, places=2),
    tax_limit=st.none() | MONEY,
    carryforward_in=st.just(Decimal(0)) | MONEY,
    utility_subsidy=st.just(Decimal(0)) | MONEY,
    seller_rebate=st.just(Decimal(0)) | MONEY,
    state_incentive=st.just(Decimal(0)) | MONEY,
    other_incentives=st.lists(
        st.tuples(st.sampled_from(("grant_unknown", "net_metering", "luck")), MONEY), max_size=2
    ).map(tuple),
    claim_year=st.none() | st.integers(2006, 2035),
)


def assess(facts: ClaimFacts, costs: list[CostLine]) -> CreditAnswer:
    (answer,) = assess_credits(facts, costs, load_credit_rules(), TODAY)
    return answer


@settings(max_examples=300, deadline=None)
@given(FACTS, COSTS)
def test_no_amount_exceeds_base_times_rate_with_what_was_carried_in_nor_the_tax(
    facts: ClaimFacts, costs: list[CostLine]
) -> None:
    answer = assess(facts, costs)

    cent = Decimal("0.01")
    for outcome in (answer.if_allowed, answer.if_everything):
        assert outcome.tentative <= outcome.base * answer.rate + cent
        assert outcome.amount <= outcome.tentative + facts.carryforward_in
        if facts.tax_limit is not None:
            assert outcome.amount <= facts.tax_limit
    assert answer.tentative <= answer.base * answer.rate + cent
    assert answer.amount <= answer.tentative + facts.carryforward_in
    assert answer.base <= sum((line.amount for line in costs), Decimal(0))


@settings(max_examples=300, deadline=None)
@given(FACTS, COSTS)
def test_each_reading_gives_no_less_than_the_surer_one(
    facts: ClaimFacts, costs: list[CostLine]
) -> None:
    answer = assess(facts, costs)

    assert answer.base <= answer.if_allowed.base <= answer.if_everything.base
    assert answer.amount <= answer.if_allowed.amount <= answer.amount_if_uncertain


@settings(max_examples=200, deadline=None)
@given(FACTS, COSTS)
def test_used_and_carried_on_add_up_to_the_credit_and_what_was_carried_in(
    facts: ClaimFacts, costs: list[CostLine]
) -> None:
    answer = assess(facts, costs)

    if answer.carryforward is None:
        assert facts.tax_limit is None
    else:
        assert answer.amount + answer.carryforward == answer.tentative + facts.carryforward_in


@settings(max_examples=200, deadline=None)
@given(FACTS, COSTS)
def test_a_claim_that_is_not_plainly_eligible_says_why(
    facts: ClaimFacts, costs: list[CostLine]
) -> None:
    answer = assess(facts, costs)

    assert bool(answer.reason_codes) == (answer.status != "eligible")
    if answer.status == "not_eligible":
        assert answer.base == answer.if_everything.base == 0
        assert all(line.status == "not_eligible" for line in answer.lines)
    if answer.status == "uncertain" and "INCENTIVE_KIND_UNKNOWN" not in answer.reason_codes:
        assert answer.base == 0


@given(MONEY, st.lists(st.decimals(0, 100, places=3), min_size=1).filter(any))
def test_shares_add_up_to_the_cent_and_none_is_off_by_more_than_one(
    amount: Decimal, weights: list[Decimal]
) -> None:
    shares = divided(amount, weights)

    whole = sum(weights)
    assert sum(shares) == amount
    for share, weight in zip(shares, weights, strict=True):
        assert abs(share - amount * weight / whole) < Decimal("0.01")


def test_the_sample_itself_is_eligible() -> None:
    answer = assess(FIXED_BATTERY, [CostLine("battery_fixed", "", Decimal(100))])

    assert answer.status == "eligible"
