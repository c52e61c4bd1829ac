"""The credit memo as JSON-ready objects."""

from typing import Any

from estimator.documents.credit_json import (
    link_document,
    open_point_document,
    total_document,
    year_document,
)
from estimator.documents.credit_memo import CreditMemo, MemoSection

Json = dict[str, Any]


def memo_document(memo: CreditMemo) -> Json:
    """The memo with the same content as its text; money as strings of exact decimals."""
    document: Json = {
        "not_advice": memo.not_advice,
        "job_name": memo.job_name,
        "computed_on": memo.computed_on.isoformat(),
        "currency": memo.currency,
        "facts": [
            {"name": fact.name, "value": fact.value, "assumed": fact.assumed} for fact in memo.facts
        ],
        "programmes": [_section(section) for section in memo.sections],
        "total": total_document(memo.total),
    }
    if memo.carried_on:
        document["carried_on"] = [link_document(link) for link in memo.carried_on]
    if memo.years:
        document["years"] = [year_document(row) for row in memo.years]
    return document


def _section(section: MemoSection) -> Json:
    answer = section.answer
    return {
        "programme": answer.programme,
        "jurisdiction": answer.jurisdiction,
        "tax_year": answer.tax_year,
        "status": answer.status,
        "reason_codes": list(answer.reason_codes),
        "because": [
            {"text": one.text, "source": one.source, "figures": dict(one.figures)}
            for one in answer.because
        ],
        "costs": [
            {
                "cost": line.cost,
                "code": line.code,
                "amount": str(line.amount),
                "status": line.status,
                "reason_code": line.reason_code,
                "authority": line.authority,
            }
            for line in answer.lines
        ],
        "computation": [
            {
                "label": step.label,
                "sure": step.sure,
                "if_allowed": step.if_allowed,
                "if_everything": step.if_everything,
            }
            for step in section.steps
        ],
        "form_lines": [
            {
                "form": line.form,
                "line": line.line,
                "label": line.label,
                "amount": line.amount,
                "amount_if_uncertain": line.amount_if_uncertain,
            }
            for line in answer.form_lines
        ],
        "open_points": [open_point_document(point) for point in answer.open_points],
        "authorities": list(section.authorities),
        "evidence": list(answer.evidence),
        "questions": list(answer.questions),
        "caution": answer.caution,
    }
