"""The strict reader of the rules of the credit on panel work (TOML) and of its form lines."""

import tomllib
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any, TypeVar, cast

from estimator.basis import Because
from estimator.credits.open_sides import read_open_sides
from estimator.credits.panel_rules import Enabled, PanelFormRow, PanelReason, PanelRules
from estimator.credits.records import Status
from estimator.credits.rule_fields import Fields, span_faults
from estimator.published.dated import Dated, RuleError, read_decimals
from estimator.published.sources import Source, load_sources
from estimator.published.tables import package_text, read_table

Read = TypeVar("Read")
NEEDED_REASONS = frozenset({
    "ENDED_25C", "BEFORE_2023_PANEL", "PANEL_DAY_UNKNOWN", "PANEL_SPLIT_YEAR", "PANEL_LT_200A",
    "PANEL_ONLY_FOR_BATTERY", "PANEL_ENABLES_UNKNOWN", "OTHER_ITEMS_UNKNOWN",
})  # fmt: skip
NEEDED_QUESTIONS = frozenset({"TAX_LIMIT", "PRODUCT_NUMBER", "PANEL_INCENTIVE"})
_SHARE = Decimal(1)
_ANY_AMOUNT = Decimal("Infinity")
_MOST = {
    "in_force": _SHARE,
    "rate": _SHARE,
    "item_cap": _ANY_AMOUNT,
    "annual_cap": _ANY_AMOUNT,
    "heat_pump_cap": _ANY_AMOUNT,
    "minimum_amps": _ANY_AMOUNT,
    "full_base_share": _SHARE,
}


@cache
def load_panel_rules() -> PanelRules:
    """The package's own rules of the credit on panel work, read once in a process."""
    package, name = "estimator.credits", "rules/federal_home_improvement_panel.toml"
    lines = package_text(package, "rules/form_5695_panel_lines.csv")
    return read_panel_rules(package_text(package, name), lines, load_sources(), name=name)


def read_panel_rules(
    text: str, form_lines: str, sources: Mapping[str, Source], *, name: str
) -> PanelRules:
    """The rules from their file and their table of form lines.

    Raises RuleError that names every fault of the rule file, TableError for the form lines.
    """
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise RuleError(f"{name}: {error}") from error
    faults: list[str] = []
    rules = _Reader(faults, sources).rules(document, form_lines)
    if faults:
        raise RuleError("\n".join(f"{name}: {fault}" for fault in faults))
    return rules


class _Reader:
    """Reads the parts of one file into records, noting every fault on the way."""

    def __init__(self, faults: list[str], sources: Mapping[str, Source]) -> None:
        self._faults = faults
        self._sources = sources

    def rules(self, document: Mapping[str, Any], form_lines: str) -> PanelRules:
        top = Fields("", document, self._faults, self._sources.keys())
        dated = {name: self._dated(top, name) for name in _MOST}
        self._check_dates(dated)
        rows = read_table(
            form_lines,
            PanelFormRow,
            name="panel form lines",
            key=("tax_year", "line"),
            sources=self._sources.keys(),
        )
        by_year: dict[int, list[PanelFormRow]] = {}
        for row in rows:
            by_year.setdefault(row.tax_year, []).append(row)
        rules = PanelRules(
            programme=top.text("programme"),
            jurisdiction=top.text("jurisdiction"),
            form=top.text("form"),
            checked_on=top.day("checked_on"),
            checked_through_year=top.whole("checked_through_year"),
            cost_label=top.text("cost_label"),
            caution=" ".join(top.texts("caution")),
            enables=self._by_key(top, "enables", self._enabled),
            reasons=self._by_key(top, "reason", self._reason),
            open_sides=self._by_key(
                top, "open_point", lambda _, fields: read_open_sides(fields, self._cite)
            ),
            questions=self._by_key(top, "question", lambda _, fields: fields.text("text")),
            evidence=tuple(self._papers(top)),
            form_rows={year: tuple(found) for year, found in by_year.items()},
            **dated,
        )
        top.close()
        self._need("reason", NEEDED_REASONS, rules.reasons)
        self._need("question", NEEDED_QUESTIONS, rules.questions)
        uncertain = [one.code for one in rules.reasons.values() if one.verdict == "uncertain"]
        self._need("open_point", uncertain, rules.open_sides)
        return rules

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
            fields = Fields(f"{name}.{code}", table, self._faults, self._sources.keys())
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
        self._faults += [
            f"{name}, entry {number}: value {span.value} is not within 0 and {_MOST[name]}"
            for number, span in enumerate(dated.spans, start=1)
            if not 0 <= span.value <= _MOST[name]
        ]
        return dated

    def _check_dates(self, dated: Mapping[str, Dated[Decimal]]) -> None:
        spans = dated["in_force"].spans
        if not spans:
            return
        first, last = spans[0].start, spans[-1].until or date.max
        for name, values in dated.items():
            if values.spans:
                self._faults += span_faults(values.spans, name, first, last)

    def _enabled(self, code: str, fields: Fields) -> Enabled:
        fields.day("checked_on")
        return Enabled(code, fields.text("label"), fields.flag("counts"), fields.source())

    def _reason(self, code: str, fields: Fields) -> PanelReason:
        fields.day("checked_on")
        source = fields.source()
        return PanelReason(
            code=code,
            verdict=cast(Status, fields.one_of("verdict", Status)),
            ask=fields.optional_text("ask"),
            authority=self._cite((source,)),
            because=Because(fields.text("text"), source),
        )

    def _papers(self, top: Fields) -> Iterable[str]:
        for number, table in enumerate(top.rows("evidence"), start=1):
            place = f"evidence, entry {number}"
            entry = Fields(place, table, self._faults, self._sources.keys())
            yield entry.text("text")
            entry.close()

    def _cite(self, keys: Iterable[str]) -> str:
        return "; ".join(self._sources[key].cite() for key in keys if key)
