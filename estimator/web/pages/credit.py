"""The page of the tax credits: one question at a time, then verdicts, authorities and years."""

from dataclasses import replace
from typing import Any

from flask import Blueprint, render_template, request

from estimator.documents.credit_memo import credit_memo
from estimator.documents.credit_years import year_spans
from estimator.web.pages.credit_questions import (
    first_open,
    load_questions,
    number_of,
    outcomes,
    question_field,
)
from estimator.web.pages.forms import Answered, answer_form
from estimator.web.pages.job_form import JobForm, read_form
from estimator.web.pages.shown import LONGEST_QUERY, shown

credit_pages = Blueprint("credit", __name__, template_folder="templates")


@credit_pages.get("/credit")
def credit() -> str:
    """What the tax credits give, on what authority, and what is open."""
    form = read_form(request.args)
    answered = answer_form(form, by_year=True)
    asked = request.args.get("ask", type=int) or first_open(form.told)
    estimate = answered.estimate
    memo = credit_memo(estimate) if estimate else None
    return render_template(
        "credit.html",
        memo=memo,
        spans=tuple(year_spans(memo.years)) if memo else (),
        number_of=number_of,
        **_question(form, answered, asked),
        **shown(form, answered, "credit"),
    )


def _question(form: JobForm, answered: Answered, asked: int) -> dict[str, Any]:
    """The question that is asked now; the one whose answer is at fault before any other."""
    questions = load_questions()
    wrong = [number_of(name) for name in answered.faults.by_field]
    number = next((one for one in wrong if one is not None), asked)
    # An answer at fault is left out, so that the others can still be reckoned with.
    rest = {name: text for name, text in form.told.items() if number_of(name) not in wrong}
    kept = replace(form, told=rest)
    estimate = answered.estimate or (answer_form(kept).estimate if any(wrong) else None)
    asking: dict[str, Any] = {"number": number, "questions": questions, "question": None}
    if estimate is None or not 1 <= number <= len(questions):
        return asking
    question = questions[number - 1]
    field = question_field(question, estimate.assumptions, form, estimate.job.terms.currency)
    found = () if any(wrong) else outcomes(form, field, estimate)
    told = {name: text for name, text in form.told.items() if name != question.field}
    skipped = replace(form, told=told).query
    return {
        **asking,
        "question": question,
        "field": field,
        "outcomes": found,
        "skipped": skipped if len(skipped) <= LONGEST_QUERY else "",
    }
