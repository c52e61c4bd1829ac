"""A sound programme file as text, to be changed one field at a time."""

from typing import Any

from estimator.credits.programme_file import read_programmes
from estimator.credits.programmes import Programme
from estimator.credits.rules_file import load_credit_rules

HEAD = {
    "programme": '"County rebate (invented)"',
    "code": '"county_rebate"',
    "jurisdiction": '"US-OH"',
    "authority": '"Invented order 1"',
    "checked_on": "2026-11-01",
    "kind": '"percent"',
    "date_basis": '"completed"',
    "first_day": "2023-01-01",
    "last_day": "2026-12-31",
    "stacking_order": "1",
    "effect_on_federal_base": '"subtract"',
    "refundable": "true",
    "carryforward_years": "0",
    "needs_approval_before_start": "false",
    "funding_limited": "false",
}
RATE = '[[rate]]\nfrom = 2023-01-01\nvalue = "0.10"\n'


def text(tables: str = RATE, **fields: Any) -> str:
    """The file with fields changed (None: left out; True and False: TOML's own), then tables."""
    head = {**HEAD, **fields}
    lines = [f"{name} = {_toml(value)}" for name, value in head.items() if value is not None]
    return "\n".join(lines) + "\n\n" + tables


def _toml(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def programme(tables: str = RATE, **fields: Any) -> Programme:
    """The programme of such a file."""
    return together(text(tables, **fields))[0]


def together(*texts: str) -> tuple[Programme, ...]:
    """Several programmes, read as one set."""
    files = [(f"p{number}.toml", one.encode()) for number, one in enumerate(texts, start=1)]
    return read_programmes(files, load_credit_rules().costs)
