"""Facts that only programmes of one's own, or the credit on panel work, ask for."""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from types import MappingProxyType

from estimator.credits.programmes import Programme
from estimator.finding import Fault, InputRefused

Told = Decimal | date | bool | str
NOTHING_TOLD: Mapping[str, Told] = MappingProxyType({})
AMOUNTS = frozenset({
    "household_income", "percent_of_area_median", "tax_limit", "other_improvement_credits",
    "heat_pump_cost",
})  # fmt: skip
DAYS = frozenset({"applied_on"})
YES_NO = frozenset({"has_solar", "approved_before_start", "funds_reserved"})
WORDS = frozenset({"customer_class"})
_NUMBER = re.compile(r"[0-9]{1,9}(\.[0-9]{1,4})?")


def read_told(
    pairs: Iterable[tuple[str, str]], programmes: Sequence[Programme]
) -> Mapping[str, Told]:
    """Facts by name from (name, value) texts.

    A name may be led by the code of a programme and a point, such as
    ``county_rebate.applied_on``: then it is told to that programme only. Raises InputRefused
    with every name that nobody asks for, every value that cannot stand, every name told twice.
    """
    codes = {one.code for one in programmes}
    flags = {one.location_flag for one in programmes if one.location_flag}
    classes = {name for one in programmes for name in one.classes}
    told: dict[str, Told] = {}
    faults: list[Fault] = []
    for name, text in pairs:
        code, point, rest = name.rpartition(".")
        fault: str | None
        value: Told = ""
        if name in told:
            fault = "is told twice"
        elif point and code not in codes:
            fault = f"no programme has the code {code!r}; there is {_listed(codes)}"
        else:
            value, fault = _value(rest, text.strip(), flags, classes)
        if fault is None:
            told[name] = value
        else:
            faults.append(Fault(name, fault))
    if faults:
        raise InputRefused("programme facts", tuple(faults))
    return told


def told_to(programme: Programme, told: Mapping[str, Told], name: str) -> Told | None:
    """A fact as told to one programme, or to all; None where it is not told."""
    return told.get(f"{programme.code}.{name}", told.get(name))


def told_amount(told: Mapping[str, Told], name: str) -> Decimal | None:
    """An amount that is told to all; None where it is not told."""
    value = told.get(name)
    return value if isinstance(value, Decimal) else None


def _value(name: str, text: str, flags: set[str], classes: set[str]) -> tuple[Told, str | None]:
    if name in AMOUNTS:
        return _amount(text)
    if name in DAYS:
        return _day(text)
    if name in YES_NO or name in flags:
        if text in ("yes", "no"):
            return text == "yes", None
        return "", f"{text!r} is neither yes nor no"
    if name in WORDS:
        known = text in classes
        return text, None if known else f"no programme has a class {text!r}; {_listed(classes)}"
    names = {*AMOUNTS, *DAYS, *YES_NO, *WORDS, *flags}
    return "", f"nobody asks for this fact; the facts are {_listed(names)}"


def _amount(text: str) -> tuple[Told, str | None]:
    if _NUMBER.fullmatch(text):
        return Decimal(text), None
    return "", f"{text!r} is not an amount; give one such as 64000 or 64000.50, not below zero"


def _day(text: str) -> tuple[Told, str | None]:
    try:
        return date.fromisoformat(text), None
    except ValueError:
        return "", f"{text!r} is not a day; give one such as 2025-10-01"


def _listed(names: Iterable[str]) -> str:
    return ", ".join(sorted(names)) or "none"
