"""The credit memo on paper, for the file of whoever prepares the return."""

from decimal import Decimal

from estimator.credits.chain import LinkOfYear
from estimator.documents.credit_memo import MemoSection, credit_memo
from estimator.documents.credit_years import (
    CARRIED,
    CARRIED_IS,
    TOGETHER_IS,
    YEARS_ARE,
    year_spans,
)
from estimator.documents.pdf.records import Sheet
from estimator.documents.pdf.typeset import typeset
from estimator.documents.pdf.words import day, money
from estimator.documents.records import FullEstimate


def credit_memo_pdf(estimate: FullEstimate, sheet: Sheet) -> bytes:
    """PDF of the memo on the credits of one estimate."""
    memo = credit_memo(estimate)
    data = {
        "title": f"Credit memo: {memo.job_name}",
        "name": memo.job_name,
        "computed_on": day(memo.computed_on, sheet),
        "not_advice": memo.not_advice,
        "facts": [
            {"name": fact.name, "value": fact.value, "assumed": fact.assumed} for fact in memo.facts
        ],
        "sections": [_section(section, memo.currency, sheet) for section in memo.sections],
        "years": [
            {
                "year": span.years,
                "programme": span.programme,
                "status": (span.status or "").replace("_", " "),
                "amount": money(span.amount, memo.currency, sheet),
                "open": money(span.amount_if_uncertain, memo.currency, sheet),
                "why": span.told,
            }
            for span in year_spans(memo.years)
        ],
        "years_are": YEARS_ARE,
        "together": [
            money(each, memo.currency, sheet)
            for each in (memo.total.sure, memo.total.if_allowed, memo.total.if_everything)
        ]
        if memo.together
        else [],
        "together_is": TOGETHER_IS,
        "carried": CARRIED,
        "carried_is": CARRIED_IS,
        "carried_on": [_link(link, memo.currency, sheet) for link in memo.carried_on],
    }
    return typeset("credit_memo.typ", sheet, data)


def _link(link: LinkOfYear, currency: str, sheet: Sheet) -> dict[str, object]:
    def cash(amount: Decimal | None) -> str:
        return "not known" if amount is None else money(amount, currency, sheet)

    return {
        "year": str(link.year),
        "sure": [cash(each) for each in (link.carried_in, link.amount, link.carryforward)],
        "most": [
            cash(each)
            for each in (
                link.carried_in_if_uncertain,
                link.amount_if_uncertain,
                link.carryforward_if_uncertain,
            )
        ],
        "why": link.open_because,
    }


def _section(section: MemoSection, currency: str, sheet: Sheet) -> dict[str, object]:
    answer = section.answer
    return {
        "programme": answer.programme,
        "jurisdiction": answer.jurisdiction,
        "year": "tax year not known" if answer.tax_year is None else f"tax year {answer.tax_year}",
        "status": answer.status.replace("_", " "),
        "because": [
            reason.text
            + "".join(f"; {name.replace('_', ' ')} {value}" for name, value in reason.figures)
            for reason in answer.because
        ],
        "lines": [
            {
                "cost": line.cost,
                "amount": money(line.amount, currency, sheet),
                "status": line.status.replace("_", " "),
                "reason": line.reason_code,
                "authority": line.authority,
            }
            for line in answer.lines
        ],
        "steps": [
            {
                "label": step.label,
                "sure": step.sure,
                "if_allowed": step.if_allowed,
                "if_everything": step.if_everything,
            }
            for step in section.steps
        ],
        "form": answer.form_lines[0].form if answer.form_lines else "",
        "form_lines": [
            {
                "line": line.line,
                "label": line.label,
                "amount": line.amount,
                "open": line.amount_if_uncertain,
            }
            for line in answer.form_lines
        ],
        "open_points": [
            {
                "code": point.code,
                "concerns": point.concerns,
                "for": f"{point.for_text} {point.for_authority}",
                "against": f"{point.against_text} {point.against_authority}",
                "settled_by": point.settled_by,
                "amount_for": money(point.amount_for, currency, sheet),
                "amount_against": money(point.amount_against, currency, sheet),
                "supposing": point.supposing,
            }
            for point in answer.open_points
        ],
        "authorities": list(section.authorities),
        "evidence": list(answer.evidence),
        "questions": list(answer.questions),
        "caution": answer.caution,
    }
