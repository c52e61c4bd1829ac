"""Both sides of what the authorities leave open: read from the rule file, checked for gaps."""

from collections.abc import Callable, Iterable, Mapping
from typing import Protocol

from estimator.credits.rule_fields import Fields
from estimator.credits.rules import CostKind, OpenSides, Reason

# Codes that say nothing about why a cost is open: both sides stand under the cost's own code.
BY_COST = frozenset({"COST_LINE_UNCERTAIN", "COST_COUNTS", "COST_OUTSIDE"})


class _Rules(Protocol):
    @property
    def reasons(self) -> Mapping[str, Reason]: ...
    @property
    def costs(self) -> Mapping[str, CostKind]: ...
    @property
    def open_sides(self) -> Mapping[str, OpenSides]: ...


def read_open_sides(fields: Fields, cite: Callable[[Iterable[str]], str]) -> OpenSides:
    """One ``[open_point.CODE]`` table; faults go where the fields note theirs."""
    return OpenSides(
        for_text=fields.text("for"),
        for_authority=cite(fields.source_list("for_sources")),
        against_text=fields.text("against"),
        against_authority=cite(fields.source_list("against_sources")),
        settled_by=fields.text("settled_by"),
    )


def unexplained(rules: _Rules) -> list[str]:
    """Faults of a rule file that leaves something open without telling both sides of it."""
    known = rules.open_sides
    codes = [
        code
        for code, reason in rules.reasons.items()
        if reason.verdict == "uncertain" and code not in BY_COST
    ]
    codes += [kind.code for kind in rules.costs.values() if _open_by_itself(kind)]
    faults = [f"open_point.{code} is missing: {code} is uncertain" for code in codes]
    faults = [fault for code, fault in zip(codes, faults, strict=True) if code not in known]
    faults += [
        f"open_point.{code}: is neither a reason nor a cost of this file"
        for code in known
        if code not in rules.reasons and code not in rules.costs
    ]
    return faults


def _open_by_itself(kind: CostKind) -> bool:
    return any(
        span.value.status == "uncertain" and span.value.reason_code in BY_COST
        for span in kind.verdicts.spans
    )
