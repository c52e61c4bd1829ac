"""The strict reader of a credit programme's rule file (TOML) and its form lines (CSV)."""

import tomllib
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any, TypeVar, cast, get_args

from estimator.basis import Because
from estimator.credits.open_sides import read_open_sides, unexplained
from estimator.credits.records import Effect, Status
from estimator.credits.rule_fields import Fields, span_faults
from estimator.credits.rules import (
    CostKind,
    CostVerdict,
    CreditRules,
    Evidence,
    FormRow,
    IncentiveRule,
    Need,
    Occasion,
    OutOfScope,
    Reason,
    ResidenceRule,
    Role,
    Scope,
)
from estimator.published.dated import Dated, RuleError, Span, read_decimals
from estimator.published.sources import Source, load_sources
from estimator.published.tables import package_text, read_table

Read = TypeVar("Read")

# Codes that stand on a cost line only; every other code has to be explained under [reason].
LINE_CODES = frozenset({"COST_COUNTS", "COST_OUTSIDE"})
# What the assessment itself looks up: without one of these it could not say why.
NEEDED_REASONS = frozenset({
    "ENDED_25D", "BEFORE_PROGRAMME", "COMPLETION_DATE_UNKNOWN", "ORIGINAL_USE_UNKNOWN",
    "CLAIM_YEAR_UNKNOWN", "PIS_SPLIT_YEAR", "RESIDENCE_UNKNOWN", "OUTSIDE_US", "US_TERRITORY",
    "BUSINESS_ONLY", "FUTURE_YEAR", "GENERATOR", "BEFORE_2023_STANDALONE",
    "BEFORE_2023_SOLAR_ONLY", "CAPACITY_LT_3", "CAPACITY_UNKNOWN", "PORTABLE",
    "WIRING_UNKNOWN", "NO_PROPERTY", "INCENTIVE_KIND_UNKNOWN",
})  # fmt: skip
NEEDED_COSTS = frozenset({"unsorted", "sales_tax", "battery_fixed"})
NEEDED_QUESTIONS = frozenset({"TAX_LIMIT", "PRICE", "PLANNED", "OPEN_COSTS"})
_SHARE = (Decimal(0), Decimal(1))
_ANY_AMOUNT = (Decimal(0), Decimal("Infinity"))
_DATED = {
    "in_force": _SHARE,
    "rate": _SHARE,
    "standalone_storage": _SHARE,
    "minimum_kwh": _ANY_AMOUNT,
    "full_base_share": _SHARE,
    "credit_cap": _ANY_AMOUNT,
    "carryforward": _SHARE,
}
_UNBROKEN = ("rate", "standalone_storage", "full_base_share")


@cache
def load_credit_rules() -> CreditRules:
    """The package's own rules of the federal residential credit, read once in a process."""
    package, name = "estimator.credits", "rules/federal_residential_clean_energy.toml"
    lines = "rules/form_5695_lines.csv"
    return read_credit_rules(
        package_text(package, name), package_text(package, lines), load_sources(), name=name
    )


def read_credit_rules(
    text: str, form_lines: str, sources: Mapping[str, Source], *, name: str
) -> CreditRules:
    """One programme from its rule file and its table of form lines.

    Raises RuleError that names every fault of the rule file: not TOML, unknown or missing
    field, wrong type, unknown source, values that overlap or leave a gap, a reason code that
    nothing explains. Raises TableError for faults of the form lines.
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RuleError(f"{name}: {error}") from error
    return credit_rules_from(document, form_lines, sources, name=name)


def credit_rules_from(
    document: Mapping[str, Any], form_lines: str, sources: Mapping[str, Source], *, name: str
) -> CreditRules:
    """As read_credit_rules, from the parsed TOML."""
    faults: list[str] = []
    rules = _Reader(faults, sources).programme(document, form_lines)
    if faults:
        raise RuleError("\n".join(f"{name}: {fault}" for fault in faults))
    return rules


class _Reader:
    """Reads the parts of one file into records, noting every fault on the way."""

    def __init__(self, faults: list[str], sources: Mapping[str, Source]) -> None:
        self._faults = faults
        self._sources = sources
        self._explained: set[str] = set()

    def programme(self, document: Mapping[str, Any], form_lines: str) -> CreditRules:
        top = self._fields("", document)
        dated = {name: self._dated(top, name) for name in _DATED}
        self._check_dates(dated)
        reasons = self._by_key(top, "reason", self._reason)
        self._explained = set(reasons) | LINE_CODES
        location = self._fields("location", top.tables("location"))
        rows = read_table(
            form_lines,
            FormRow,
            name="form lines",
            key=("tax_year", "line"),
            sources=self._sources.keys(),
        )
        first, last = _bounds(dated["in_force"])
        rules = CreditRules(
            programme=top.text("programme"),
            jurisdiction=top.text("jurisdiction"),
            law=top.text("law"),
            form=top.text("form"),
            checked_on=top.day("checked_on"),
            checked_through_year=top.whole("checked_through_year"),
            severity=self._severity(top),
            caution=" ".join(top.texts("caution")),
            country=location.text("country"),
            territories=frozenset(location.texts("territories")),
            costs=self._by_key(
                top, "cost", lambda code, fields: self._cost(code, fields, first, last)
            ),
            residences=self._by_key(top, "residence", self._residence),
            incentives=self._by_key(top, "incentive", self._incentive),
            reasons=reasons,
            questions=self._by_key(top, "question", lambda _, fields: fields.text("text")),
            evidence=self._evidence(top),
            form_rows=_rows_by_year(rows),
            open_sides=self._by_key(
                top, "open_point", lambda _, fields: read_open_sides(fields, self._cite)
            ),
            out_of_scope=self._out_of_scope(top),
            **dated,
        )
        location.close()
        top.close()
        self._need("reason", NEEDED_REASONS, reasons)
        self._need("cost", NEEDED_COSTS, rules.costs)
        self._need("question", NEEDED_QUESTIONS, rules.questions)
        self._faults += unexplained(rules)
        return rules

    def _fields(self, place: str, table: object) -> Fields:
        return Fields(place, table, self._faults, self._sources.keys())

    def _need(self, table: str, needed: Iterable[str], found: Mapping[str, object]) -> None:
        self._faults += [
            f"{table}.{code} is missing: the assessment asks for it"
            for code in sorted(set(needed) - set(found))
        ]

    def _by_key(
        self, top: Fields, name: str, read: Callable[[str, Fields], Read]
    ) -> dict[str, Read]:
        found = {}
        for code, table in top.tables(name).items():
            fields = self._fields(f"{name}.{code}", table)
            found[code] = read(code, fields)
            fields.close()
        return found

    def _dated(self, top: Fields, name: str) -> Dated[Decimal]:
        entries = top.take(name)
        if entries is None:
            return Dated(name, ())
        try:
            dated = read_decimals(entries, name=name, sources=self._sources.keys())
        except RuleError as error:
            self._faults += str(error).splitlines()
            return Dated(name, ())
        low, high = _DATED[name]
        self._faults += [
            f"{name}, entry {number}: value {span.value} is not within {low} and {high}"
            for number, span in enumerate(dated.spans, start=1)
            if not low <= span.value <= high
        ]
        return dated

    def _check_dates(self, dated: Mapping[str, Dated[Decimal]]) -> None:
        if not dated["in_force"].spans:
            return
        first, last = _bounds(dated["in_force"])
        for name in _UNBROKEN:
            if dated[name].spans:
                self._faults += span_faults(dated[name].spans, name, first, last)
        by_itself = [span.start for span in dated["standalone_storage"].spans if span.value]
        if by_itself and dated["minimum_kwh"].spans:
            self._faults += span_faults(
                dated["minimum_kwh"].spans, "minimum_kwh", by_itself[0], last
            )

    def _severity(self, top: Fields) -> dict[str, int]:
        order = top.texts("verdict_order")
        if order and sorted(order) != sorted(get_args(Status)):
            top.fault("verdict_order must name each of " + ", ".join(get_args(Status)) + " once")
        return {verdict: len(order) - place for place, verdict in enumerate(order)}

    def _reason(self, code: str, fields: Fields) -> Reason:
        fields.day("checked_on")
        source = fields.source()
        return Reason(
            code=code,
            verdict=cast(Status, fields.one_of("verdict", Status)),
            scope=cast(Scope, fields.one_of("scope", Scope)),
            ask=fields.optional_text("ask"),
            authority=self._cite((source,)),
            because=Because(fields.text("text"), source),
        )

    def _explained_code(self, fields: Fields, code: str) -> str:
        if code and code not in self._explained:
            fields.fault(f"reason_code {code} is not explained under [reason]")
        return code

    def _cost(self, code: str, fields: Fields, first: date, last: date) -> CostKind:
        label = fields.text("label")
        role = cast(Role, fields.one_of("role", Role))
        spans = []
        for number, table in enumerate(fields.rows("verdict"), start=1):
            entry = self._fields(f"cost.{code}, verdict {number}", table)
            spans.append(self._verdict(entry, role))
            entry.close()
        if spans:
            self._faults += span_faults(spans, f"cost.{code}", first, last)
        return CostKind(code, label, role, Dated(f"cost.{code}", tuple(spans)))

    def _verdict(self, entry: Fields, role: Role) -> Span[CostVerdict]:
        start, until = entry.day("from"), entry.optional_day("until")
        status = cast(Status, entry.one_of("value", Status))
        in_base = entry.flag("in_base")
        if entry.is_flag("in_base") and status != "uncertain" and in_base != (status == "eligible"):
            entry.fault(f"in_base cannot be {str(in_base).lower()} for a cost that is {status}")
        reason_code = self._explained_code(entry, entry.text("reason_code"))
        if role == "storage" and status != "eligible" and reason_code in LINE_CODES:
            # It would have to explain the whole claim, not only its line.
            entry.fault(f"reason_code {reason_code} cannot stand on a battery that is {status}")
        sources = entry.source_list()
        main = sources[0] if sources else ""
        verdict = CostVerdict(
            status=status,
            in_base=in_base,
            reason_code=reason_code,
            authority=self._cite(sources),
            because=Because(entry.text("why"), main),
        )
        return Span(start, until, verdict, main, entry.day("checked_on"))

    def _residence(self, code: str, fields: Fields) -> ResidenceRule:
        fields.day("checked_on")
        reason_code = self._explained_code(fields, fields.text_or_empty("reason_code"))
        return ResidenceRule(code, reason_code, Because(fields.text("why"), fields.source()))

    def _incentive(self, code: str, fields: Fields) -> IncentiveRule:
        fields.day("checked_on")
        effect = cast(Effect, fields.one_of("effect", Effect))
        because = Because(fields.text("why"), fields.source())
        return IncentiveRule(code, fields.text("label"), effect, because)

    def _evidence(self, top: Fields) -> tuple[Evidence, ...]:
        found = []
        for number, table in enumerate(top.rows("evidence"), start=1):
            entry = self._fields(f"evidence, entry {number}", table)
            need = cast(Need, entry.one_of("needed_for", Need))
            found.append(Evidence(need, entry.text("text")))
            entry.close()
        return tuple(found)

    def _out_of_scope(self, top: Fields) -> tuple[OutOfScope, ...]:
        found = []
        for number, table in enumerate(top.rows("out_of_scope"), start=1):
            entry = self._fields(f"out_of_scope, entry {number}", table)
            entry.day("checked_on")
            when = cast(Occasion, entry.one_of("when", Occasion))
            found.append(OutOfScope(when, Because(entry.text("text"), entry.source())))
            entry.close()
        return tuple(found)

    def _cite(self, keys: Iterable[str]) -> str:
        return "; ".join(self._sources[key].cite() for key in keys if key)


def _bounds(in_force: Dated[Decimal]) -> tuple[date, date]:
    if not in_force.spans:
        return date.max, date.min
    return in_force.spans[0].start, in_force.spans[-1].until or date.max


def _rows_by_year(rows: Iterable[FormRow]) -> dict[int, tuple[FormRow, ...]]:
    by_year: dict[int, list[FormRow]] = {}
    for row in rows:
        by_year.setdefault(row.tax_year, []).append(row)
    return {year: tuple(found) for year, found in by_year.items()}
