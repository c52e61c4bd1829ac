"""Dated values of a programme have to hold on each of its days, without gap or overlap."""

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import TypeVar

from estimator.published.dated import Span

Value = TypeVar("Value")
_DAY = timedelta(days=1)
_SECOND_DAY = date.min + _DAY


def date_faults(
    name: str, found: Sequence[tuple[int, Span[Value]]], first: date, last: date
) -> list[str]:
    """Faults of (line, span) in the order of the file, each with its line.

    first, last: the days of the programme; date.max for last while no end is known.
    """
    faults = [
        f"line {line}, {name}: until is before from"
        for line, span in found
        if span.until is not None and span.until < span.start
    ]
    for (_, earlier), (line, later) in pairwise(found):
        end = earlier.until or max(later.start, _SECOND_DAY) - _DAY
        if later.start <= earlier.start or end >= later.start:
            faults.append(f"line {line}, {name}: starts before the entry above it ends")
        elif end + _DAY < later.start:
            faults.append(f"line {line}, {name}: leaves a gap after the entry above it")
    # Only dates in order say what is covered.
    if faults:
        return faults
    line, span = found[0]
    if span.start > first:
        faults.append(f"line {line}, {name}: has no value from {first.isoformat()} (first_day)")
    line, span = found[-1]
    if span.until is not None and span.until < last:
        faults.append(f"line {line}, {name}: has no value after {span.until.isoformat()}")
    return faults
