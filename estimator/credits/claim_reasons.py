"""What speaks against a claim or leaves it open: the tests on the facts, one by one."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.basis import Because
from estimator.credits.claim_day import ClaimDay
from estimator.credits.records import ClaimFacts, CostLine, Status
from estimator.credits.rules import CreditRules, Reason
from estimator.units import plain


@dataclass(frozen=True, slots=True)
class Found:
    """A reason that the facts give, with the figures that show it."""

    reason: Reason
    figures: tuple[tuple[str, str], ...] = ()

    @property
    def code(self) -> str:
        """Code of the reason."""
        return self.reason.code

    @property
    def verdict(self) -> Status:
        """What the reason makes of the claim."""
        return self.reason.verdict

    @property
    def because(self) -> Because:
        """The reason in words, with its figures."""
        return Because(self.reason.because.text, self.reason.because.source, self.figures)


def found_reason(rules: CreditRules, code: str, **figures: str | int | Decimal | date) -> Found:
    """The reason of a code with its figures."""
    return Found(rules.reasons[code], tuple((name, _text(it)) for name, it in figures.items()))


def claim_reasons(facts: ClaimFacts, when: ClaimDay, rules: CreditRules) -> tuple[Found, ...]:
    """Reasons that touch every cost of the claim: time, place, home and use."""
    return (
        *_time_reasons(when, rules),
        *place_reasons(facts, rules),
        *home_reasons(facts, rules),
    )


def storage_reasons(
    facts: ClaimFacts, costs: Sequence[CostLine], when: ClaimDay, rules: CreditRules
) -> tuple[Found, ...]:
    """Reasons that touch the battery and what connects it, each once."""
    if facts.supply_kind == "generator":
        return (found_reason(rules, "GENERATOR", supply=facts.supply_kind),)
    found = {one.code: one for one in _battery_reasons(facts, when.day, rules)}
    day = within_programme(when.day, rules)
    for cost in costs:
        kind = rules.cost_kind(cost.judged_as)
        if kind.role != "storage":
            continue
        verdict = kind.verdicts.on(day).value
        if verdict.status != "eligible":
            code = verdict.reason_code
            found.setdefault(code, found_reason(rules, code, cost=kind.label))
    return tuple(found.values())


def incentive_reasons(facts: ClaimFacts, rules: CreditRules) -> tuple[Found, ...]:
    """An open point for every incentive that cannot be placed."""
    return tuple(
        found_reason(rules, "INCENTIVE_KIND_UNKNOWN", incentive=code, amount=amount)
        for code, amount in facts.incentives
        if code not in rules.incentives or rules.incentives[code].effect == "ask"
    ) + tuple(
        found_reason(rules, "INCENTIVE_KIND_UNKNOWN", incentive=own.programme, amount=own.most)
        for own in facts.own_incentives
        if own.effect == "ask" and own.most
    )


def _text(value: str | int | Decimal | date) -> str:
    if isinstance(value, date):
        return value.isoformat()
    return plain(value) if isinstance(value, Decimal) else str(value)


def within_programme(day: date, rules: CreditRules) -> date:
    """The day, or the first day of the programme when that is later: for looking up rules."""
    return max(day, rules.first_day)


def _time_reasons(when: ClaimDay, rules: CreditRules) -> Iterator[Found]:
    if when.day < rules.first_day:
        yield found_reason(rules, "BEFORE_PROGRAMME", completed_on=when.day)
    elif when.day > rules.last_day:
        yield found_reason(rules, "ENDED_25D", day=when.day, last_day=rules.last_day)
    elif when.open_point:
        yield found_reason(rules, when.open_point)
    elif when.rate_day > rules.last_day:
        yield found_reason(
            rules, "PIS_SPLIT_YEAR", completed_on=when.day, placed_in_service_on=when.rate_day
        )


def place_reasons(facts: ClaimFacts, rules: CreditRules) -> Iterator[Found]:
    """What the place of the dwelling says against the claim."""
    if facts.region in rules.territories:
        yield found_reason(rules, "US_TERRITORY", region=facts.region)
    elif facts.region.split("-")[0] != rules.country:
        yield found_reason(rules, "OUTSIDE_US", region=facts.region)


def home_reasons(facts: ClaimFacts, rules: CreditRules) -> Iterator[Found]:
    """What the use of the home says against the claim."""
    home = rules.residences.get(facts.residence)
    if home is None:
        yield found_reason(rules, "RESIDENCE_UNKNOWN", residence=facts.residence)
    elif home.reason_code:
        yield found_reason(rules, home.reason_code, residence=facts.residence)
    if facts.nonbusiness_share <= 0:
        yield found_reason(rules, "BUSINESS_ONLY", nonbusiness_share=facts.nonbusiness_share)


def _battery_reasons(facts: ClaimFacts, day: date, rules: CreditRules) -> Iterator[Found]:
    if facts.supply_kind == "none":
        return
    if rules.standalone_storage.on(within_programme(day, rules)).value:
        yield from _capacity_reasons(facts, day, rules)
    else:
        solar = facts.charged_only_by_onsite_solar
        code = "BEFORE_2023_SOLAR_ONLY" if solar else "BEFORE_2023_STANDALONE"
        yield found_reason(rules, code, completed_on=day)
    if facts.permanently_wired is None and not facts.portable:
        yield found_reason(rules, "WIRING_UNKNOWN")
    elif not facts.permanently_wired:
        yield found_reason(rules, "PORTABLE")


def _capacity_reasons(facts: ClaimFacts, day: date, rules: CreditRules) -> Iterator[Found]:
    least = rules.minimum_kwh.on(day).value
    nameplate, usable = facts.nameplate_kwh, facts.usable_kwh
    figures: dict[str, Decimal] = {"minimum_kwh": least}
    if nameplate is not None:
        figures["nameplate_kwh"] = nameplate
    if usable is not None:
        figures["usable_kwh"] = usable
    if nameplate is not None and nameplate < least:
        yield found_reason(rules, "CAPACITY_LT_3", **figures)
        return
    # The nameplate is never below the usable capacity: a usable 3 kWh is enough by itself.
    enough = nameplate is not None if usable is None else usable >= least
    if not enough:
        yield found_reason(rules, "CAPACITY_UNKNOWN", **figures)
