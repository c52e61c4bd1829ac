"""The facts on which a tax credit turns, as questions that are asked one at a time."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from estimator.credits.records import CreditTotal
from estimator.documents.records import FullEstimate
from estimator.finding import Assumption
from estimator.published.sources import load_sources
from estimator.published.tables import package_text
from estimator.web.pages.default_fields import DefaultField, default_fields
from estimator.web.pages.forms import answer_form
from estimator.web.pages.job_form import JobForm

_FILE = "credit_questions.toml"
# A list of states is no comparison.
_MOST_CHOICES = 8


@dataclass(frozen=True, slots=True)
class Question:
    """One question. field: pointer into the job. why, authority: why it matters, on whose word."""

    field: str
    ask: str
    why: str
    authority: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the credits give in all when a question has this answer."""

    choice: str
    total: CreditTotal
    chosen: bool


@cache
def load_questions() -> tuple[Question, ...]:
    """Every question in the order of asking. Raises KeyError for an unknown source."""
    rows = tomllib.loads(package_text("estimator.web.pages", _FILE))["question"]
    return tuple(
        Question(row["field"], row["ask"], row["why"], load_sources()[row["source"]].cite())
        for row in rows
    )


def number_of(field: str) -> int | None:
    """Number of the question about a field, from 1; None where it is not asked."""
    fields = [one.field for one in load_questions()]
    return fields.index(field) + 1 if field in fields else None


def first_open(told: Mapping[str, str]) -> int:
    """Number of the first question that nobody has answered; past the last when all are."""
    open_ones = (number for number, one in enumerate(load_questions(), 1) if one.field not in told)
    return next(open_ones, len(load_questions()) + 1)


def question_field(
    question: Question, assumptions: Sequence[Assumption], form: JobForm, currency: str
) -> DefaultField:
    """The form field of a question, with what is assumed as long as it is not answered."""
    typed = form.told.get(question.field, "")
    fields = default_fields(assumptions, {**form.told, question.field: typed}, currency)
    return replace(next(one for one in fields if one.pointer == question.field), typed=typed)


def outcomes(form: JobForm, field: DefaultField, estimate: FullEstimate) -> tuple[Outcome, ...]:
    """What each answer to a question of few choices would give, the rest being as it is."""
    if not 1 < len(field.choices) <= _MOST_CHOICES:
        return ()
    chosen = field.typed or (field.assumed or "")
    found = []
    for choice in field.choices:
        if choice == chosen:
            found.append(Outcome(choice, estimate.credit_total, True))
            continue
        other = answer_form(replace(form, told={**form.told, field.pointer: choice})).estimate
        if other is not None:  # some answers do not go with what else is told
            found.append(Outcome(choice, other.credit_total, False))
    return tuple(found)
