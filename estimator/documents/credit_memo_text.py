"""The credit memo as plain text, to be read from top to bottom and filed."""

from collections.abc import Iterator
from textwrap import wrap

from estimator.credits.records import CreditAnswer, OpenPoint
from estimator.documents.credit_memo import CreditMemo, MemoSection
from estimator.documents.credit_text import carried_lines, year_lines
from estimator.documents.credit_years import CARRIED, TOGETHER_IS

_WIDTH = 96
_REVIEW = (
    "[ ] facts confirmed with the taxpayer   [ ] papers seen   [ ] open points decided",
    f"Reviewed by {'_' * 44}  on {'_' * 16}",
)


def memo_text(memo: CreditMemo) -> str:
    """Facts, then for each programme verdict, costs, computation, form, open points, evidence."""
    lines = [
        *_heading(f"Credit memo: {memo.job_name}", "="),
        f"Computed on {memo.computed_on.isoformat()}; amounts in {memo.currency}.",
        *_wrapped(memo.not_advice),
        "",
        *_heading("Facts relied on"),
    ]
    for fact in memo.facts:
        assumed = f" (assumed: {fact.assumed})" if fact.assumed else ""
        lines += _wrapped(f"{fact.name}: {fact.value}{assumed}", "- ")
    for section in memo.sections:
        lines += ["", *_section(section)]
    if memo.together:
        lines += ["", *_together(memo)]
    if memo.carried_on:
        lines += ["", *_heading(CARRIED), *carried_lines(memo.carried_on, memo.currency)]
    if memo.years:
        lines += ["", *_heading("By year"), *year_lines(memo.years, memo.currency)]
    lines += ["", *_heading("Review"), *_REVIEW]
    return "\n".join(lines) + "\n"


def _heading(title: str, rule: str = "-") -> list[str]:
    return [title, rule * len(title)]


def _words(name: str) -> str:
    return name.replace("_", " ")


def _wrapped(text: str, bullet: str = "") -> list[str]:
    return wrap(
        text,
        _WIDTH,
        initial_indent=bullet,
        subsequent_indent=" " * len(bullet),
        break_on_hyphens=False,
    )


def _section(section: MemoSection) -> Iterator[str]:
    answer = section.answer
    year = "tax year not known" if answer.tax_year is None else f"tax year {answer.tax_year}"
    yield from _heading(f"{answer.programme} ({answer.jurisdiction}), {year}")
    codes = f" ({', '.join(answer.reason_codes)})" if answer.reason_codes else ""
    yield f"Verdict: {answer.status.replace('_', ' ')}{codes}"
    for reason in answer.because:
        figures = ", ".join(f"{_words(name)} {value}" for name, value in reason.figures)
        yield from _wrapped(reason.text + (f" [{figures}]" if figures else ""), "- ")
    yield from _costs(answer)
    yield from _computation(section)
    yield from _form(answer)
    for number, point in enumerate(answer.open_points, start=1):
        yield from _open_point(number, point)
    yield from _list("Authorities", section.authorities)
    yield from _list("Evidence to keep", answer.evidence)
    yield from _list("Questions", answer.questions)
    yield from ("", *_wrapped(answer.caution))


def _together(memo: CreditMemo) -> Iterator[str]:
    yield from _heading("All programmes together")
    yield TOGETHER_IS
    total = memo.total
    yield f"{'':48}{'sure':>14}{'claim stands':>16}{'all allowed':>16}"
    amounts = f"{total.sure:>14,.2f}{total.if_allowed:>16,.2f}{total.if_everything:>16,.2f}"
    yield f"{'usable this year, with what was carried in':48}{amounts}"


def _costs(answer: CreditAnswer) -> Iterator[str]:
    if not answer.lines:
        return
    authorities = {line.authority for line in answer.lines}
    # Where one authority decides all of them it is told once.
    shared = len(authorities) == 1
    yield from ("", *_wrapped(f"Costs, by {answer.lines[0].authority}" if shared else "Costs"))
    for line in answer.lines:
        status = line.status.replace("_", " ")
        cost = f"{line.amount:>12,.2f}  {status:12}  {line.cost}"
        if shared:
            yield f"{cost} ({line.reason_code})"
        else:
            yield cost
            yield from _wrapped(f"{line.reason_code}; {line.authority}", " " * 28)


def _computation(section: MemoSection) -> Iterator[str]:
    yield from ("", "Computation")
    yield f"{'':48}{'sure':>14}{'claim stands':>16}{'all allowed':>16}"
    for step in section.steps:
        yield f"{step.label:48}{step.sure:>14}{step.if_allowed:>16}{step.if_everything:>16}"


def _form(answer: CreditAnswer) -> Iterator[str]:
    if not answer.form_lines:
        return
    yield from ("", f"{answer.form_lines[0].form} of {answer.tax_year}")
    yield f"{'':12} {'sure':>14}  {'all allowed':>14}"
    for line in answer.form_lines:
        yield f"line {line.line:7} {line.amount:>14}  {line.amount_if_uncertain:>14}  {line.label}"


def _open_point(number: int, point: OpenPoint) -> Iterator[str]:
    yield from ("", *_wrapped(f"Open point {number}, {point.code}: {point.concerns}"))
    yield from _wrapped(f"For: {point.for_text} {point.for_authority}", "  ")
    yield from _wrapped(f"Against: {point.against_text} {point.against_authority}", "  ")
    yield from _wrapped(f"Settled by: {point.settled_by}", "  ")
    yield from _wrapped(
        f"Usable this year if it goes against {point.amount_against:,.2f}, if it goes for "
        f"{point.amount_for:,.2f}; supposing that {point.supposing}.",
        "  ",
    )


def _list(title: str, entries: tuple[str, ...]) -> Iterator[str]:
    if entries:
        yield from ("", title)
    for entry in entries:
        yield from _wrapped(entry, "- ")
