"""Rate sheets: an office's own terms and labour, put under what a job says itself."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from estimator.finding import Fault, InputRefused
from estimator.job.describe import describe_job
from estimator.job.from_json import from_json
from estimator.stored.plain_objects import plain_objects

SECTIONS = ("terms", "labour")
# Of each, a job may say one only, so that what a job says takes the place of both.
_EITHER = {
    "terms": (frozenset({"markup_percent", "margin_percent"}),),
    "labour": (frozenset({"hourly_rate", "wage"}),),
}
_SMALLEST_JOB = {
    "circuits": [{"name": "One", "breaker_a": 20}],
    "mounting_surface": "brick",
    "run_length_ft": 1,
    "inlet": "L14-30",
}
_ANY_DAY = date(2026, 1, 1)
RateSheet = Mapping[str, Mapping[str, Any]]


def read_rate_sheet(text: str, name: str) -> RateSheet:
    """A rate sheet from its JSON: objects terms and labour, with the fields of a job.

    Raises InputRefused with every fault and its JSON pointer.
    """
    document = plain_objects(from_json(text, name))
    if not isinstance(document, dict) or not document:
        fault = Fault("", f"must be an object with {' and '.join(SECTIONS)}, or one of them")
        raise InputRefused("rate sheet", (fault,))
    unknown = [
        Fault(f"/{field}", f"is not a part of a rate sheet; known are {', '.join(SECTIONS)}")
        for field in document
        if field not in SECTIONS
    ]
    if unknown:
        raise InputRefused("rate sheet", tuple(unknown))
    describe_job({**_SMALLEST_JOB, **document}, _ANY_DAY)
    return document


def over(sheet: RateSheet, job: Mapping[str, Any]) -> dict[str, Any]:
    """The job with what the sheet says where the job itself says nothing."""
    merged = dict(job)
    for section, rates in sheet.items():
        own = job.get(section, {})
        hidden = {field for either in _EITHER[section] if either & own.keys() for field in either}
        rest = {field: rate for field, rate in rates.items() if field not in hidden}
        merged[section] = {**rest, **own}
    return merged
