"""What speaks against a programme of one's own, or leaves it open, and the question to ask."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.basis import Because, Figure, because
from estimator.credits.programme_facts import Told, told_to
from estimator.credits.programmes import Programme, value_on
from estimator.credits.records import ClaimFacts, Status

_COUNTRY_ONLY = 2


@dataclass(frozen=True, slots=True)
class Doubt:
    """A reason with its words. ask: empty where nothing is left to ask."""

    code: str
    verdict: Status
    because: Because
    ask: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """A programme with the facts put before it. day: of its date basis, or the day that is
    supposed while that is not known.
    """

    programme: Programme
    facts: ClaimFacts
    told: Mapping[str, Told]
    day: date
    day_known: bool

    def fact(self, name: str) -> Told | None:
        """A fact that was told to this programme; None where it was not."""
        return told_to(self.programme, self.told, name)

    def amount(self, name: str) -> Decimal | None:
        """An amount that was told to this programme."""
        value = self.fact(name)
        return value if isinstance(value, Decimal) else None

    @property
    def kwh(self) -> Decimal | None:
        """The capacity that the programme goes by [kWh]."""
        usable = self.programme.kwh_basis == "usable"
        return self.facts.usable_kwh if usable else self.facts.nameplate_kwh

    @property
    def kwh_at_most(self) -> Decimal | None:
        """That capacity, or the nameplate, which no usable capacity passes."""
        return self.facts.nameplate_kwh if self.kwh is None else self.kwh

    @property
    def customer_class(self) -> str | None:
        """The told class; None where the programme has classes and none is told."""
        value = self.fact("customer_class")
        if isinstance(value, str):
            return value
        return None if self.programme.classes else ""

    @property
    def in_force(self) -> bool:
        """Whether the programme has rules for the day."""
        last = self.programme.last_day or date.max
        return self.programme.first_day <= self.day <= last


def asked(programme: Programme, facts: ClaimFacts, told: Mapping[str, Told], today: date) -> Asked:
    """The programme with the day that decides; not known, today as far as it is within."""
    days = {"completed": facts.completed_on, "paid": facts.paid_on}
    day = days.get(programme.date_basis)
    if programme.date_basis == "applied":
        value = told_to(programme, told, "applied_on")
        day = value if isinstance(value, date) else None
    if day is not None:
        return Asked(programme, facts, told, day, day_known=True)
    supposed = min(max(today, programme.first_day), programme.last_day or date.max)
    return Asked(programme, facts, told, supposed, day_known=False)


def doubts(case: Asked) -> tuple[Doubt, ...]:
    """Every reason that the facts give; none when the programme plainly applies."""
    return tuple(found for test in _TESTS for found in test(case))


def _reason(code: str, verdict: Status, text: str, ask: str = "", **figures: Figure) -> Doubt:
    return Doubt(code, verdict, because(text, "own_programme", **figures), ask)


def _on_day(case: Asked) -> Iterator[Doubt]:
    programme = case.programme
    basis = programme.date_basis
    if not case.day_known:
        yield _reason(
            "DAY_UNKNOWN",
            "uncertain",
            f"The programme goes by the day on which the job is {_BASIS[basis]}, and that day "
            "is not known.",
            f"{programme.name}: on which day is the job {_BASIS[basis]}?",
            first_day=programme.first_day.isoformat(),
            last_day=programme.last_day.isoformat() if programme.last_day else "not named",
        )
    elif case.day < programme.first_day:
        yield _reason(
            "PROGRAMME_NOT_BEGUN",
            "not_eligible",
            f"The job is {_BASIS[basis]} before the first day of the programme.",
            day=case.day.isoformat(),
            first_day=programme.first_day.isoformat(),
        )
    elif programme.last_day is not None and case.day > programme.last_day:
        yield _reason(
            "PROGRAMME_ENDED",
            "not_eligible",
            f"The job is {_BASIS[basis]} after the last day of the programme.",
            day=case.day.isoformat(),
            last_day=programme.last_day.isoformat(),
        )


_BASIS = {"completed": "completed", "paid": "paid for", "applied": "applied for"}


def _on_place(case: Asked) -> Iterator[Doubt]:
    place, region = case.programme.jurisdiction, case.facts.region
    if region == place or (len(place) == _COUNTRY_ONLY and region.startswith(f"{place}-")):
        return
    if len(region) == _COUNTRY_ONLY and place.startswith(f"{region}-"):
        yield _reason(
            "PLACE_UNKNOWN",
            "uncertain",
            "The programme is for one region, and the region of the home is not told.",
            f"{case.programme.name}: is the home in {place}?",
            jurisdiction=place,
        )
    else:
        yield _reason(
            "OTHER_PLACE",
            "not_eligible",
            "The home is not where the programme applies.",
            region=region,
            jurisdiction=place,
        )


def _on_location(case: Asked) -> Iterator[Doubt]:
    flag = case.programme.location_flag
    if not flag:
        return
    words = flag.replace("_", " ")
    yield from _yes_no(
        case,
        flag,
        ("LOCATION_UNKNOWN", f"The programme asks for this of the home: {words}."),
        ("LOCATION_NOT_SERVED", f"The programme asks for this of the home: {words}."),
        f"does this hold for the home: {words}?",
    )


def _on_income(case: Asked) -> Iterator[Doubt]:
    programme = case.programme
    if programme.income_measure is None or not case.in_force:
        return
    measure = programme.income_measure
    words = measure.replace("_", " ")
    income = case.amount(measure)
    limits = _by_class(case, lambda name: value_on(programme.income_limits, name, case.day))
    if not limits:
        return
    if income is None:
        yield _reason(
            "INCOME_UNKNOWN",
            "uncertain",
            f"The programme has a limit of income ({words}), and the income is not told.",
            f"{programme.name}: what is the {words}?",
            limit=max(limits),
        )
    elif income > max(limits):
        yield _reason(
            "INCOME_TOO_HIGH",
            "not_eligible",
            f"The income ({words}) is above the limit of the programme.",
            income=income,
            limit=max(limits),
        )


def _on_class(case: Asked) -> Iterator[Doubt]:
    programme, told = case.programme, case.customer_class
    names = ", ".join(programme.classes)
    if told is None:
        yield _reason(
            "CLASS_UNKNOWN",
            "uncertain",
            "The amount depends on the class of the customer, which is not told.",
            f"{programme.name}: which class is the customer of ({names})?",
            classes=names,
        )
    elif told not in programme.classes and not programme.open_to_all:
        yield _reason(
            "CLASS_NOT_SERVED",
            "not_eligible",
            "The programme has nothing for this class of customer.",
            customer_class=told,
            classes=names,
        )


def _on_capacity(case: Asked) -> Iterator[Doubt]:
    programme, kwh = case.programme, case.kwh
    if not programme.needs_kwh:
        return
    if kwh is None:
        yield _reason(
            "KWH_UNKNOWN",
            "uncertain",
            f"The programme goes by the {programme.kwh_basis} capacity, which is not told.",
            f"{programme.name}: what is the {programme.kwh_basis} capacity [kWh]?",
        )
    elif case.in_force:
        least = _by_class(case, lambda name: value_on(programme.minimum_kwh, name, case.day))
        if least and kwh < min(least):
            yield _reason(
                "KWH_TOO_SMALL",
                "not_eligible",
                f"The {programme.kwh_basis} capacity is below the least of the programme.",
                kwh=kwh,
                minimum_kwh=min(least),
            )


def _on_solar(case: Asked) -> Iterator[Doubt]:
    if not case.programme.requires_solar or case.facts.charged_only_by_onsite_solar:
        return
    yield from _yes_no(
        case,
        "has_solar",
        ("SOLAR_UNKNOWN", "The programme asks for a solar system at the home."),
        ("NO_SOLAR", "The programme asks for a solar system at the home, and there is none."),
        "is there a solar system at the home?",
    )


def _on_approval(case: Asked) -> Iterator[Doubt]:
    if not case.programme.needs_approval:
        return
    yield from _yes_no(
        case,
        "approved_before_start",
        ("APPROVAL_UNKNOWN", "The programme has to approve the job before work begins."),
        ("NOT_APPROVED", "The programme had to approve the job before work began, and did not."),
        "was the job approved before work began?",
    )


def _on_funds(case: Asked) -> Iterator[Doubt]:
    if not case.programme.funding_limited:
        return
    yield from _yes_no(
        case,
        "funds_reserved",
        ("FUNDS_UNKNOWN", "The programme pays while its funds last: first come, first served."),
        ("FUNDS_GONE", "The programme pays while its funds last, and none are reserved."),
        "are funds reserved for this job?",
    )


def _yes_no(
    case: Asked, fact: str, unknown: tuple[str, str], refused: tuple[str, str], question: str
) -> Iterator[Doubt]:
    value = case.fact(fact)
    if value is None:
        ask = f"{case.programme.name}: {question}"
        yield _reason(unknown[0], "uncertain", unknown[1], ask)
    elif value is False:
        yield _reason(refused[0], "not_eligible", refused[1])


def _by_class(case: Asked, read: Callable[[str], Decimal | None]) -> list[Decimal]:
    """A value for each class that the customer may be of; empty where one has none."""
    values = [read(name) for name in possible_classes(case)]
    return [value for value in values if value is not None] if None not in values else []


def possible_classes(case: Asked) -> tuple[str, ...]:
    """The classes that the customer may be of: one when told, else all of the programme."""
    if case.customer_class is not None:
        return (case.customer_class,)
    everybody = ("",) if case.programme.open_to_all else ()
    return (*case.programme.classes, *everybody)


def served_classes(case: Asked) -> tuple[str, ...]:
    """Those of the possible classes whose own limits of income and capacity are held."""
    programme, day, kwh = case.programme, case.day, case.kwh
    measure = programme.income_measure
    income = None if measure is None else case.amount(measure)

    def holds(name: str) -> bool:
        most = value_on(programme.income_limits, name, day)
        least = value_on(programme.minimum_kwh, name, day)
        rich = income is not None and most is not None and income > most
        small = kwh is not None and least is not None and kwh < least
        return not (rich or small)

    return tuple(name for name in possible_classes(case) if holds(name))


_TESTS: tuple[Callable[[Asked], Iterator[Doubt]], ...] = (
    _on_day, _on_place, _on_location, _on_income, _on_class, _on_capacity, _on_solar,
    _on_approval, _on_funds,
)  # fmt: skip
