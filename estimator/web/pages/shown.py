"""What the templates of a job's pages are given."""

from typing import Any

from estimator.documents.every_document import PICTURES
from estimator.web.pages.answer import percent, show_estimate
from estimator.web.pages.forms import Answered
from estimator.web.pages.job_form import JobForm

# Servers refuse addresses that are much longer.
LONGEST_QUERY = 3500


def shown(form: JobForm, answered: Answered, tab: str) -> dict[str, Any]:
    """Form, faults and estimate of a page; query is "" where it would be too long an address."""
    answer = None
    if answered.estimate is not None:
        answer = show_estimate(answered.estimate, dict(form.told))
    return {
        "form": form,
        "faults": answered.faults,
        "estimate": answered.estimate,
        "answer": answer,
        "query": form.query if len(form.query) <= LONGEST_QUERY else "",
        "tab": tab,
        "percent": percent,
        "pictures": PICTURES,
    }
