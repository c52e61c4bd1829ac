"""The form of a job: what was typed, the job description that it makes, and its faults by field.

Everything typed travels in the address of the page, so that reload, back and a bookmark keep it.
Fields beside the four questions carry the JSON pointer of what they tell as their name.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise, zip_longest
from urllib.parse import urlencode

from werkzeug.datastructures import MultiDict

from estimator.finding import Fault
from estimator.web.pages.typed import length_ft, number

COLUMNS = ("circuit", "breaker", "poles", "running", "starting")
QUESTIONS = ("wall", "run", "inlet")
# No list, the invented samples, or the lists that are kept and in force.
PRICES = ("none", "sample", "kept")
MOST_ROWS = 60
_POINTER = re.compile(r"(/[a-z0-9_]{1,40}){1,3}")
_NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?")
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class CircuitRow:
    """One row of the first question, as typed."""

    circuit: str = ""
    breaker: str = ""
    poles: str = "1"
    running: str = ""
    starting: str = ""

    @property
    def blank(self) -> bool:
        """Whether nothing was typed into it."""
        return not (self.circuit or self.running or self.starting)


@dataclass(frozen=True, slots=True)
class JobForm:
    """What was typed. told: by JSON pointer, beside the four questions.

    prices: one of PRICES, "" where it was not asked. quote, seen: the kept quote whose job this
    is, and the version of it that was opened.
    """

    rows: tuple[CircuitRow, ...] = ()
    wall: str = ""
    run: str = ""
    inlet: str = ""
    prices: str = ""
    told: Mapping[str, str] = field(default_factory=dict)
    quote: str = ""
    seen: str = ""

    @property
    def asked(self) -> bool:
        """Whether all four questions have an answer."""
        return bool(self.rows and self.wall and self.run and self.inlet)

    @property
    def query(self) -> str:
        """The address part that brings the same form back."""
        pairs: list[tuple[str, str]] = []
        for row in self.rows:
            pairs += [(column, getattr(row, column)) for column in COLUMNS]
        pairs += [(name, getattr(self, name)) for name in QUESTIONS if getattr(self, name)]
        if self.prices:
            pairs.append(("prices", self.prices))
        pairs += [(name, getattr(self, name)) for name in ("quote", "seen") if getattr(self, name)]
        pairs += list(self.told.items())
        return urlencode(pairs)


def read_form(values: MultiDict[str, str]) -> JobForm:
    """The form from its fields; blank rows and blank fields are left out."""
    columns = [values.getlist(name)[:MOST_ROWS] for name in COLUMNS]
    rows = [
        CircuitRow(
            circuit.strip(), breaker.strip(), poles or "1", running.strip(), starting.strip()
        )
        for circuit, breaker, poles, running, starting in (
            tuple(cell[:_LONGEST] for cell in cells)
            for cells in zip_longest(*columns, fillvalue="")
        )
    ]
    told = {
        name: text.strip()[:_LONGEST]
        for name, text in values.items()
        if _POINTER.fullmatch(name) and text.strip()
    }
    return JobForm(
        rows=tuple(row for row in rows if not row.blank),
        wall=values.get("wall", "")[:_LONGEST],
        run=values.get("run", "").strip()[:_LONGEST],
        inlet=values.get("inlet", "")[:_LONGEST],
        prices=prices if (prices := values.get("prices", "")) in PRICES else "",
        told=told,
        quote=values.get("quote", "")[:_LONGEST],
        seen=values.get("seen", "")[:_LONGEST],
    )


def job_document(form: JobForm, runs: Sequence[Mapping[str, object]]) -> dict[str, object]:
    """The job description that the form makes.

    runs: from, to and length of the runs of the same job, needed where a field of a run was
    told; a run that is not among them is ignored.
    """
    document: dict[str, object] = {
        "circuits": [_circuit(row) for row in form.rows],
        "mounting_surface": form.wall,
        "run_length_ft": length_ft(form.run),
        "inlet": {"configuration": form.inlet},
    }
    if any(pointer.startswith("/runs/") for pointer in form.told):
        document["runs"] = [dict(run) for run in runs]
    for pointer, text in form.told.items():
        tell(document, pointer, text)
    return document


def _circuit(row: CircuitRow) -> dict[str, object]:
    circuit: dict[str, object] = {
        "name": row.circuit,
        "breaker_a": _plain(number(row.breaker)),
        "poles": _plain(row.poles),
        "running_w": number(row.running),
    }
    if row.starting:
        circuit["starting_w"] = number(row.starting)
    return circuit


def tell(document: dict[str, object], pointer: str, text: str) -> None:
    """Put what was typed at a place of a job description, as the value that it means."""
    words = pointer.strip("/").split("/")
    inner: object = document
    for word, after in pairwise(words):
        if isinstance(inner, list):
            inner = _item(inner, word, grows=words[0] in _GROWING)
        elif isinstance(inner, dict):
            inner = inner.setdefault(word, [] if after.isdigit() else {})
    if isinstance(inner, dict):
        inner[words[-1]] = _value(words[-1], text)


# Circuits and runs stand in the form and the job; fields for others of them are left out.
_GROWING = ("direct_loads", "stock")


def _item(items: list[object], word: str, *, grows: bool) -> object:
    """An item of a list; None for what is not there."""
    if not word.isdigit() or int(word) > len(items):
        return None
    if grows and int(word) == len(items) < MOST_ROWS:
        items.append({})
    return items[int(word)] if int(word) < len(items) else None


_LISTS = (
    *("taxable", "bends_deg", "factors", "tools_owned", "hire_quotes", "enables"),
    "tax_in_later_years",
)


def _value(name: str, text: str) -> object:
    if text in ("true", "false"):
        return text == "true"
    if name.endswith("_ft"):
        return length_ft(text)
    if name in _LISTS:
        return [_plain(each.strip()) for each in text.split(",") if each.strip()]
    bare = number(text)
    return _plain(bare) if _NUMBER.fullmatch(bare) else text


def _plain(text: str) -> object:
    """A whole number as one; all else stays text, which exact decimals are read from."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else text


@dataclass(frozen=True, slots=True)
class FormFaults:
    """Faults by the field beside which they are shown, and those that no field shows."""

    by_field: Mapping[str, tuple[str, ...]]
    others: tuple[str, ...]

    def at(self, name: str) -> tuple[str, ...]:
        """The faults of one field."""
        return self.by_field.get(name, ())


NO_FAULTS = FormFaults({}, ())
_OF_CIRCUIT = {
    "name": "circuit",
    "breaker_a": "breaker",
    "poles": "poles",
    "running_w": "running",
    "starting_w": "starting",
}
_OF_JOB = {
    "/mounting_surface": "wall",
    "/run_length_ft": "run",
    "/inlet": "inlet",
    "/inlet/configuration": "inlet",
    "/circuits": "circuit-0",
}


def faults_by_field(faults: Sequence[Fault], told: Mapping[str, str]) -> FormFaults:
    """Each fault at the field that it is about."""
    by_field: dict[str, tuple[str, ...]] = {}
    others = []
    for fault in faults:
        name = _field_of(fault.where, told)
        if name:
            by_field[name] = (*by_field.get(name, ()), fault.message)
        else:
            others.append(f"{fault.where} {fault.message}".strip())
    return FormFaults(by_field, tuple(others))


def _field_of(where: str, told: Mapping[str, str]) -> str:
    words = where.strip("/").split("/")
    if words[0] == "circuits" and len(words) > 2 and where not in told:
        return f"{_OF_CIRCUIT.get(words[2], 'circuit')}-{words[1]}"
    return where if where in told else _OF_JOB.get(where, "")
