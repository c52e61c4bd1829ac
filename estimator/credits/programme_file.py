"""The strict reader of programmes of one's own: TOML, every fault with its line."""

import re
import tomllib
from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar, cast, get_args

from estimator.credits.programme_dates import date_faults
from estimator.credits.programme_fields import LinedFields
from estimator.credits.programmes import (
    BaseLess,
    DateBasis,
    IncomeMeasure,
    Kind,
    KwhBasis,
    Programme,
    Tier,
    Tiers,
    Values,
)
from estimator.credits.records import Effect
from estimator.credits.toml_lines import toml_lines
from estimator.finding import Fault, InputRefused
from estimator.published.dated import Dated, Span

Read = TypeVar("Read")
NamedBytes = tuple[str, bytes]
MOST_BYTES = 200_000
MOST_PROGRAMMES = 20
_CODE = re.compile(r"[a-z][a-z0-9_]{0,59}")
_REGION = re.compile(r"[A-Z]{2}(-[A-Z0-9]{1,3})?")
_ALL = Decimal(1)
# What each kind is paid by: exactly one of these tables has to be there.
_MAIN: Mapping[Kind, str] = {
    "percent": "rate",
    "per_kwh": "tier",
    "flat": "amount",
    "sales_tax_exemption": "rate",
}


def read_programmes(
    files: Sequence[NamedBytes], cost_codes: Collection[str]
) -> tuple[Programme, ...]:
    """Programmes from (name, bytes) of their files, in their stacking order.

    cost_codes: the codes that base_costs and left_out may name. Raises InputRefused with
    every fault of every file and its line; two programmes with one place in the stacking
    order, or with one code, are a fault too.
    """
    if len(files) > MOST_PROGRAMMES:
        fault = Fault("", f"{len(files)} programme files; {MOST_PROGRAMMES} at most")
        raise InputRefused("programme", (fault,))
    faults: list[Fault] = []
    read: list[tuple[str, Programme]] = []
    for name, data in files:
        found: list[str] = []
        programme = _programme(data, found, cost_codes)
        faults += [_placed(name, fault) for fault in found]
        if programme is not None and not found:
            read.append((name, programme))
    faults += _clashes(read)
    if faults:
        raise InputRefused("programme", tuple(faults))
    return tuple(sorted((one for _, one in read), key=lambda one: one.stacking_order))


def _placed(name: str, fault: str) -> Fault:
    line, colon, message = fault.partition(": ")
    if colon and line.startswith("line "):
        return Fault(f"{name}, {line}", message)
    return Fault(name, fault)


def _clashes(read: Sequence[tuple[str, Programme]]) -> list[Fault]:
    places: dict[int, str] = {}
    codes: dict[str, str] = {}
    faults = []
    for name, programme in read:
        order, code = programme.stacking_order, programme.code
        if order in places:
            faults.append(
                Fault(
                    f"{name}, stacking_order",
                    f"place {order} is also claimed by {places[order]}; which comes first "
                    "decides the amounts, so give each programme a place of its own",
                )
            )
        if code in codes:
            message = f"{code!r} is also the code of {codes[code]}; give each its own"
            faults.append(Fault(f"{name}, code", message))
        places.setdefault(order, name)
        codes.setdefault(code, name)
    return faults


def _programme(data: bytes, faults: list[str], cost_codes: Collection[str]) -> Programme | None:
    if len(data) > MOST_BYTES:
        faults.append(f"holds {len(data)} bytes; {MOST_BYTES} at most")
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        faults.append("is not UTF-8 text; save the programme as TOML in UTF-8")
        return None
    # Both kinds of line end are legal; a lone carriage return is not.
    text = text.replace("\r\n", "\n")
    try:
        document = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # also a number of endless digits
        faults.append(f"is not TOML: {error}")
        return None
    return _Reader(document, text, faults, cost_codes).programme()


class _Reader:
    """Reads one parsed file into a record, noting every fault on the way."""

    def __init__(
        self,
        document: Mapping[str, Any],
        text: str,
        faults: list[str],
        cost_codes: Collection[str],
    ) -> None:
        self._faults = faults
        self._cost_codes = cost_codes
        self._lines = toml_lines(text)
        self._top = LinedFields((), document, faults, self._lines)
        self._period = (date.max, date.min)

    def programme(self) -> Programme:
        top = self._top
        kind = cast(Kind, top.one_of("kind", Kind))
        first, last = top.day("first_day"), top.optional_day("last_day")
        if last is not None and last < first:
            top.fault("last_day is before first_day")
        self._period = (first, last or date.max)
        share = _ALL if _MAIN[kind] == "rate" else None
        programme = Programme(
            name=top.text("programme"),
            code=self._shaped("code", _CODE, "small letters, digits and _"),
            jurisdiction=self._shaped("jurisdiction", _REGION, "a code such as US-OH"),
            authority=top.text("authority"),
            checked_on=top.day("checked_on"),
            kind=kind,
            date_basis=cast(DateBasis, top.one_of("date_basis", DateBasis)),
            first_day=first,
            last_day=last,
            stacking_order=self._order(),
            effect_on_federal_base=cast(Effect, top.one_of("effect_on_federal_base", Effect)),
            refundable=top.flag("refundable"),
            carryforward_years=self._carryforward_years(),
            needs_approval=top.flag("needs_approval_before_start"),
            funding_limited=top.flag("funding_limited"),
            requires_solar=top.optional_flag("requires_solar"),
            location_flag=self._location_flag(),
            income_measure=self._income_measure(),
            kwh_basis=cast(KwhBasis, top.optional_one_of("kwh_basis", KwhBasis) or "usable"),
            base_costs=self._codes("base_costs"),
            left_out=self._codes("left_out"),
            base_less=self._base_less(),
            evidence=top.optional_texts("evidence"),
            amounts={} if kind == "per_kwh" else self._values(_MAIN[kind], share, needed=True),
            tiers=self._tiers() if kind == "per_kwh" else {},
            caps=self._values("cap", None),
            cap_shares=self._values("cap_share_of_base", _ALL),
            total_cap_shares=self._values("total_incentive_cap_share", _ALL),
            minimum_kwh=self._values("minimum_kwh", None),
            maximum_kwh=self._values("maximum_kwh", None),
            income_limits=self._values("income_limit", None),
        )
        top.close()
        if not self._faults:
            self._check_income(programme)
        return programme

    def _check_income(self, programme: Programme) -> None:
        if programme.income_measure is None and programme.income_limits:
            self._top.fault("income_limit needs income_measure, which says what is measured")
        if programme.income_measure and not programme.income_limits:
            self._top.fault("income_measure has no income_limit to be held against")

    def _shaped(self, name: str, shape: re.Pattern[str], told: str) -> str:
        text = self._top.text(name)
        if text and not shape.fullmatch(text):
            self._top.fault(f"{name} {text!r} must be {told}")
        return text

    def _order(self) -> int:
        order = self._top.whole("stacking_order")
        if self._top.is_whole("stacking_order") and order < 1:
            self._top.fault(f"stacking_order {order} must be at least 1, the place of the first")
        return order

    def _carryforward_years(self) -> int:
        years = self._top.whole("carryforward_years")
        if years < 0:
            self._top.fault(f"carryforward_years {years} is below zero")
        if years > 0 and self._top.is_flag("refundable") and self._top.flag("refundable"):
            self._top.fault(
                "carryforward_years must be 0 for what is refundable: nothing is left over"
            )
        return years

    def _location_flag(self) -> str:
        flag = self._top.optional_text("location_flag")
        if flag and not _CODE.fullmatch(flag):
            self._top.fault(f"location_flag {flag!r} must be small letters, digits and _")
        return flag

    def _income_measure(self) -> IncomeMeasure | None:
        measure = self._top.optional_one_of("income_measure", IncomeMeasure)
        return cast(IncomeMeasure, measure) if measure else None

    def _codes(self, name: str) -> frozenset[str]:
        codes = self._top.optional_texts(name)
        for code in codes:
            if code not in self._cost_codes:
                self._top.fault(f"{name} names {code!r}, which is not a cost code")
        return frozenset(codes)

    def _base_less(self) -> tuple[BaseLess, ...]:
        names = self._top.optional_texts("base_less")
        allowed = get_args(BaseLess)
        for name in names:
            if name not in allowed:
                self._top.fault(f"base_less names {name!r}, not one of {', '.join(allowed)}")
        return cast("tuple[BaseLess, ...]", names)

    def _values(self, name: str, most: Decimal | None, *, needed: bool = False) -> Values:
        return self._dated(name, lambda fields: fields.number("value", most), needed=needed)

    def _dated(self, name: str, read: Callable[[LinedFields], Decimal], *, needed: bool) -> Values:
        rows = self._top.rows(name) if needed else self._top.optional_rows(name)
        spans: dict[str, list[tuple[int, Span[Decimal]]]] = {}
        for place, table in enumerate(rows):
            fields = LinedFields((name, place), table, self._faults, self._lines)
            customer_class = fields.optional_text("class")
            span = self._span(fields, read(fields))
            spans.setdefault(customer_class, []).append((fields.line, span))
            fields.close()
        return {one: self._checked(name, found) for one, found in spans.items()}

    def _span(self, fields: LinedFields, value: Read) -> Span[Read]:
        start, until = fields.day("from"), fields.optional_day("until")
        note = fields.optional_text("note")
        return Span(start, until, value, "own_programme", start, note)

    def _checked(self, name: str, found: Sequence[tuple[int, Span[Read]]]) -> Dated[Read]:
        self._faults += date_faults(name, found, *self._period)
        return Dated(name, tuple(span for _, span in found))

    def _tiers(self) -> Tiers:
        """Entries of one class and one start day are the steps of one scale."""
        scales: dict[str, dict[date, list[tuple[int, Span[Tier]]]]] = {}
        for place, table in enumerate(self._top.rows("tier")):
            fields = LinedFields(("tier", place), table, self._faults, self._lines)
            customer_class = fields.optional_text("class")
            tier = Tier(fields.optional_number("up_to_kwh"), fields.number("value", None))
            span = self._span(fields, tier)
            by_day = scales.setdefault(customer_class, {})
            by_day.setdefault(span.start, []).append((fields.line, span))
            fields.close()
        return {
            customer_class: self._checked("tier", [self._scale(steps) for steps in days.values()])
            for customer_class, days in scales.items()
        }

    def _scale(self, steps: Sequence[tuple[int, Span[Tier]]]) -> tuple[int, Span[tuple[Tier, ...]]]:
        below = Decimal(0)
        for place, (line, span) in enumerate(steps, start=1):
            end = span.value.up_to_kwh
            if end is None:
                if place < len(steps):
                    self._faults.append(
                        f"line {line}, tier: only the last step may have no up_to_kwh"
                    )
            elif end <= below:
                self._faults.append(
                    f"line {line}, tier: up_to_kwh {end} is not above the step before it"
                )
            else:
                below = end
            if span.until != steps[0][1].until:
                self._faults.append(
                    f"line {line}, tier: until differs from that of the step before it"
                )
        line, first = steps[0]
        tiers = tuple(span.value for _, span in steps)
        whole = Span(first.start, first.until, tiers, first.source, first.checked_on)
        return line, whole
