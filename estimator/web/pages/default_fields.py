"""Every default of a job as a field that can be changed where it stands."""

from collections.abc import Sequence
from dataclasses import dataclass

from estimator.finding import Assumption
from estimator.job.field_words import Control, field_order, field_shape
from estimator.job.records import Job
from estimator.web.pages.places import place_name

# Told by the four questions themselves, or of no use on a page.
_NOT_HERE = ("/stock", "/direct_loads", "/mounting_surface", "/run_length_ft")


@dataclass(frozen=True, slots=True)
class DefaultField:
    """A field beside the four questions.

    pointer: into the job, and the name of the form field. label: what it is, in words.
    assumed: the default that was used, None where the field was told. because: why.
    """

    pointer: str
    place: str
    label: str
    unit: str
    control: Control
    choices: tuple[str, ...]
    assumed: str | None
    because: str
    typed: str = ""


def default_fields(
    assumptions: Sequence[Assumption], told: dict[str, str], currency: str
) -> tuple[DefaultField, ...]:
    """The fields that were assumed or told, in the order of the job description."""
    found = []
    seen = set()
    for assumption in assumptions:
        seen.add(assumption.field)
        one = _field(assumption.field, assumption.value, assumption.because, "", currency)
        if one is not None:
            found.append(one)
    for pointer, text in told.items():
        if pointer not in seen:
            one = _field(pointer, None, "as told", text, currency)
            if one is not None:
                found.append(one)
    # In one order, told or not: a field that moved while it is typed into would lose its focus.
    return tuple(sorted(found, key=lambda one: field_order(one.pointer)))


def _field(
    pointer: str, assumed: str | None, because: str, typed: str, currency: str
) -> DefaultField | None:
    shape = None if pointer in _NOT_HERE else field_shape(pointer)
    if shape is None:
        return None
    unit = currency if shape.money else shape.unit
    return DefaultField(
        pointer, place_name(pointer), shape.label, unit, shape.control, shape.choices, assumed,
        because, typed,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class FieldGroup:
    """Fields of a place that belong together. title: "" where the place has one group."""

    name: str
    title: str
    fields: tuple[DefaultField, ...]

    @property
    def told(self) -> bool:
        """Whether something was typed into one of them."""
        return any(one.typed for one in self.fields)


_OF_THE_JOB = {
    "site": "The house", "labour": "Labour", "terms": "Price and terms",
    "credit_claim": "Tax credit", "comparison": "Comparison",
}  # fmt: skip


def grouped(fields: Sequence[DefaultField], job: Job) -> tuple[FieldGroup, ...]:
    """Fields of one place: circuit by circuit, those of the whole job by what they are about."""
    groups: dict[tuple[str, str], list[DefaultField]] = {}
    for one in fields:
        groups.setdefault(_group(one.pointer.strip("/").split("/"), job), []).append(one)
    return tuple(FieldGroup(name, title, tuple(each)) for (name, title), each in groups.items())


def _group(words: Sequence[str], job: Job) -> tuple[str, str]:
    first = words[0]
    if first == "circuits" and words[1].isdigit() and int(words[1]) < len(job.circuits):
        return f"circuit-{words[1]}", job.circuits[int(words[1])].name
    if first not in ("runs", "circuits") and place_name(f"/{first}") == "job":
        return (first, _OF_THE_JOB[first]) if first in _OF_THE_JOB else ("other", "Other")
    return "", ""
