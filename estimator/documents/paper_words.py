"""The standing words of documents on paper, from a strictly read file, filled for one job."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from estimator.documents.records import FullEstimate
from estimator.job.records import Group
from estimator.published.tables import package_text

_CHANGE_OVER = {
    "manual_switch": "Turn each wanted switch from the utility to the supply.",
    "interlock": "Main off, slide the interlock, back-fed breaker on.",
    "subpanel": "Main selector of the subpanel to the supply.",
    "automatic_switch": "The switch changes over by itself; stand clear.",
}


@dataclass(frozen=True, slots=True)
class QuoteWords:
    """Standing words of a quote."""

    groups: Mapping[Group, str]
    not_in: tuple[str, ...]
    terms: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SignText:
    """A sign as it is printed."""

    place: str
    head: str
    lines: tuple[str, ...]


def quote_words() -> QuoteWords:
    """What each quote says."""
    quote = _words()["quote"]
    return QuoteWords(quote["groups"], tuple(quote["not_in"]), tuple(quote["terms"]))


def start_up_steps(estimate: FullEstimate) -> Iterator[str]:
    """The order of starting up, for the job's kind of transfer equipment."""
    for step in _words()["step"]:
        if estimate.job.transfer.method in step.get("method", _CHANGE_OVER):
            yield step["text"]


def sign_texts(estimate: FullEstimate) -> Iterator[SignText]:
    """A text for each sign in the parts list that has standing words."""
    wanted = {
        value
        for part in estimate.take_off.parts
        if part.kind == "sign"
        for _, value in part.attributes
    }
    filling = _filling(estimate)
    for sign in _words()["sign"]:
        if sign["sign"] in wanted:
            yield SignText(
                sign["place"], sign["head"], tuple(line.format(**filling) for line in sign["lines"])
            )


def _filling(estimate: FullEstimate) -> dict[str, str]:
    job, study = estimate.job, estimate.design.load_study
    supply = job.supply
    apart = job.transfer.switched_neutral
    return {
        "supply": supply.kind.replace("_", " "),
        "bonding": "separately derived system (bonded neutral)"
        if apart
        else "non-separately derived system (floating neutral)",
        "inlet": job.inlet.configuration,
        "amps": str(estimate.design.runs[0].overcurrent_a) if estimate.design.runs else "?",
        "change_over": _CHANGE_OVER[job.transfer.method],
        "running": f"{study.running_w:,.0f}",
        "peak": f"{study.starting_peak_w:,.0f}",
        "continuous": "rating not stated"
        if supply.continuous_w is None
        else f"{supply.continuous_w:,.0f} W continuous",
        "leave_off": ", ".join(study.leave_off) or "nothing need be left off",
    }


@cache
def _words() -> dict[str, Any]:
    return tomllib.loads(package_text("estimator.documents", "paper_words.toml"))
