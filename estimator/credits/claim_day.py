"""Which day decides: the year of the credit, the rate and whether it was still in force."""

from dataclasses import dataclass
from datetime import date

from estimator.basis import Because, because
from estimator.credits.records import ClaimFacts
from estimator.credits.rules import CreditRules


@dataclass(frozen=True, slots=True)
class ClaimDay:
    """The deciding day.

    day: when the expenditure counts as made, or, while that is not known, the last day on
    which it could count. rate_day: placed in service. tax_year: None when not known.
    open_point: reason code of what is missing, or empty.
    """

    day: date
    rate_day: date
    tax_year: int | None
    open_point: str
    because: tuple[Because, ...]


def claim_day(facts: ClaimFacts, *, claims_property: bool, rules: CreditRules) -> ClaimDay:
    """The day that decides, by 26 USC 25D(e)(8): completion, or first use of a new home."""
    if not claims_property:
        return _year_of_the_return(facts, rules)
    completed, in_service = facts.completed_on, facts.placed_in_service_on
    if completed is None:
        return ClaimDay(rules.last_day, rules.last_day, None, "COMPLETION_DATE_UNKNOWN", ())
    if facts.newly_built_home:
        if in_service is None:
            return ClaimDay(completed, completed, None, "ORIGINAL_USE_UNKNOWN", ())
        # Work done after the family moved in is not part of building the home.
        day = max(completed, in_service)
        return ClaimDay(day, day, day.year, "", (_new_home(completed, in_service, day),))
    return ClaimDay(
        completed,
        in_service or completed,
        completed.year,
        "",
        tuple(_completion(facts, completed, rules)),
    )


def _year_of_the_return(facts: ClaimFacts, rules: CreditRules) -> ClaimDay:
    if facts.claim_year is None:
        return ClaimDay(rules.last_day, rules.last_day, None, "CLAIM_YEAR_UNKNOWN", ())
    day = date(facts.claim_year, 12, 31)
    return ClaimDay(day, day, facts.claim_year, "", ())


def _new_home(completed: date, in_service: date, day: date) -> Because:
    return because(
        "In a newly built home the cost counts in the year in which the taxpayer's own use of "
        "it begins.",
        "usc_25d_e8b",
        completed_on=completed.isoformat(),
        use_began_on=in_service.isoformat(),
        tax_year=day.year,
    )


def _completion(facts: ClaimFacts, completed: date, rules: CreditRules) -> list[Because]:
    reasons = [
        because(
            "The cost counts in the year in which the original installation is completed.",
            "usc_25d_e8a",
            completed_on=completed.isoformat(),
            tax_year=completed.year,
        )
    ]
    if facts.paid_on is not None and facts.paid_on.year != completed.year:
        reasons.append(
            because(
                "It was paid in another year, which changes nothing.",
                "usc_25d_e8a" if completed <= rules.last_day else "irs_fs_2025_05",
                paid_on=facts.paid_on.isoformat(),
            )
        )
    in_service = facts.placed_in_service_on
    if in_service is not None and in_service.year != completed.year:
        reasons.append(
            because(
                "It was placed in service in another year: that decides the rate, not the year "
                "of the credit.",
                "usc_25d_g",
                placed_in_service_on=in_service.isoformat(),
            )
        )
    return reasons
