"""What a page shows of an estimate: the route, the places on it, and the ledger under it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because
from estimator.documents.cautions import Caution, cautions_for
from estimator.documents.pictures.one_line_words import wire_words
from estimator.documents.records import FullEstimate
from estimator.finding import Finding
from estimator.job.field_words import fields_named
from estimator.money import ZERO
from estimator.published.sources import load_sources
from estimator.takeoff.records import LabourTask
from estimator.units import plain
from estimator.web.pages.default_fields import (
    DefaultField,
    FieldGroup,
    default_fields,
    grouped,
)
from estimator.web.pages.places import ROUTE, Place, place_name, places_of
from estimator.web.pages.words import Word, words_in

_NOTES = {
    "proposed": "to be confirmed",
    "unpriced": "no price",
    "stock": "from what you have",
    "kit": "in the kit",
}
_SUPPLY = {
    "power_station": "power station",
    "battery": "battery",
    "generator": "generator",
}


_EMPTY_SHARES = {"cord": 8, "run": 6}


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a value is what it is: text, citation, figures."""

    text: str
    citation: str
    figures: str


@dataclass(frozen=True, slots=True)
class PartRow:
    """A line of the ledger. places: names of the places that asked for it, apart by blanks."""

    places: str
    needed: str
    description: str
    bought: str
    item: str
    amount: str
    note: str
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True)
class Station:
    """A place on the route. lines: sizes and distances. share: of the width, of a run's length.

    worst: the gravest finding there, "" without any. opens: whether there is something to see.
    """

    place: Place
    lines: tuple[str, ...]
    share: int
    worst: str
    opens: bool = True


@dataclass(frozen=True, slots=True)
class FindingView:
    """A finding with the fields by which it can be settled."""

    finding: Finding
    fields: tuple[DefaultField, ...]


@dataclass(frozen=True, slots=True)
class PlaceView:
    """What there is to decide, to buy and to fear at a place."""

    place: Place
    groups: tuple[FieldGroup, ...]
    parts: tuple[PartRow, ...]
    findings: tuple[FindingView, ...]
    reasons: tuple[Reason, ...]
    words: tuple[Word, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """An estimate as the page shows it."""

    estimate: FullEstimate
    stations: tuple[Station, ...]
    places: tuple[PlaceView, ...]
    parts: tuple[PartRow, ...]
    tasks: tuple[LabourTask, ...]
    cautions: tuple[Caution, ...]

    @property
    def errors(self) -> int:
        """Findings against building what is described."""
        return sum(one.severity == "error" for one in self.estimate.findings)

    @property
    def warnings(self) -> int:
        """Findings that somebody should look at."""
        return sum(one.severity == "warning" for one in self.estimate.findings)


def show_estimate(estimate: FullEstimate, told: dict[str, str]) -> Answer:
    """The answer of a page. told: the fields typed beside the four questions, by pointer."""
    rows = _part_rows(estimate)
    fields = default_fields(estimate.assumptions, told, estimate.job.terms.currency)
    places = tuple(_place_view(place, estimate, rows, fields) for place in places_of(estimate.job))
    return Answer(
        estimate=estimate,
        stations=tuple(_station(view, estimate) for view in places if view.place.kind != "job"),
        places=places,
        parts=tuple(rows),
        tasks=estimate.take_off.labour,
        cautions=cautions_for(estimate.job),
    )


def reasons_of(because: Sequence[Because], edition: str) -> tuple[Reason, ...]:
    """Reasons with their sources spelled out."""
    sources = load_sources()
    return tuple(
        Reason(
            one.text,
            sources[one.source].cite(edition),
            ", ".join(f"{name.replace('_', ' ')} {value}" for name, value in one.figures),
        )
        for one in because
    )


def empty_route(circuits: int, run: str, inlet: str) -> tuple[Station, ...]:
    """The way of the current as far as it is known before all four answers are there."""
    known = {"circuits": f"{circuits} so far" if circuits else "", "run": run, "inlet": inlet}
    return tuple(
        Station(
            place,
            (known.get(place.kind, "") or "?",) if place.number != 1 else ("?",),
            _EMPTY_SHARES.get(place.kind, 2),
            "",
            opens=False,
        )
        for place in ROUTE
    )


def _part_rows(estimate: FullEstimate) -> list[PartRow]:
    edition = estimate.job.site.code_edition
    lines: dict[int, list[int]] = {}
    for place, line in enumerate(estimate.price.lines):
        lines.setdefault(line.part, []).append(place)
    rows = []
    for number, part in enumerate(estimate.take_off.parts):
        bought = [estimate.price.lines[place] for place in lines.get(number, [])]
        priced = [line for line in bought if line.amount is not None]
        amount = sum((line.amount or ZERO for line in priced), ZERO)
        notes = dict.fromkeys(_NOTES.get(line.match, "") for line in bought)
        items = [f"{line.supplier} {line.item}" for line in priced if line.item]
        rows.append(
            PartRow(
                places=" ".join(dict.fromkeys(place_name(each) for each in part.asked_by)),
                needed=f"{plain(part.quantity)} {part.unit}",
                description=part.description,
                bought=", ".join(plain(line.quantity_bought) for line in priced),
                item=", ".join(items),
                amount=f"{amount:,.2f}" if priced else "",
                note=", ".join(note for note in notes if note),
                reasons=reasons_of(part.because, edition),
            )
        )
    return rows


def _place_view(
    place: Place,
    estimate: FullEstimate,
    rows: Sequence[PartRow],
    fields: Sequence[DefaultField],
) -> PlaceView:
    here = [one for one in fields if one.place == place.name]
    findings = [one for one in estimate.findings if place_name(one.where) == place.name]
    parts = tuple(row for row in rows if place.name in row.places.split())
    reasons = reasons_of(_because(place, estimate), estimate.job.site.code_edition)
    texts = [
        *(text for one in here for text in (one.label, one.because, *one.choices)),
        *(text for one in findings for text in (one.message, one.remedy)),
        *(row.description for row in parts),
        *(reason.text for row in parts for reason in row.reasons),
        *(reason.text for reason in reasons),
    ]
    return PlaceView(
        place=place,
        groups=grouped(here, estimate.job),
        parts=parts,
        findings=tuple(FindingView(one, _settling(one, fields)) for one in findings),
        reasons=reasons,
        words=words_in(texts),
    )


def _settling(finding: Finding, fields: Sequence[DefaultField]) -> tuple[DefaultField, ...]:
    named = (finding.where, *fields_named(finding.remedy, finding.where))
    return tuple(one for one in fields if one.pointer in named)


def _because(place: Place, estimate: FullEstimate) -> tuple[Because, ...]:
    design = estimate.design
    if place.number is not None:
        return design.runs[place.number].because
    return {
        "supply": design.load_study.because,
        "cord": design.cord.because,
        "transfer": design.transfer.because,
    }.get(place.kind, ())


def _station(view: PlaceView, estimate: FullEstimate) -> Station:
    severities = {one.finding.severity for one in view.findings}
    worst = next((each for each in ("error", "warning") if each in severities), "")
    return Station(
        place=view.place,
        lines=_lines(view.place, estimate),
        share=_share(view.place, estimate),
        worst=worst,
    )


def _share(place: Place, estimate: FullEstimate) -> int:
    """Of the width, from 2 for a device to 10 for the longest run or cord."""
    longest = max([estimate.job.cord_length_ft, *(run.length_ft for run in estimate.job.runs)])
    if place.number is not None:
        return 3 + int(7 * estimate.job.runs[place.number].length_ft / longest)
    if place.kind == "cord":
        return 3 + int(7 * estimate.job.cord_length_ft / longest)
    return 2


def _lines(place: Place, estimate: FullEstimate) -> tuple[str, ...]:
    job, design = estimate.job, estimate.design
    if place.number is not None:
        run = design.runs[place.number]
        raceway = f"{run.trade_size} {run.wiring_method}" if run.trade_size else run.wiring_method
        words = wire_words(run.conductors)
        return (f"{plain(run.length_ft)} ft", raceway, *words[:1])
    watts = job.supply.continuous_w
    circuits = len(job.circuits)
    return {
        "supply": (
            _SUPPLY[job.supply.kind],
            "rating not told" if watts is None else f"{watts:,.0f} W",
        ),
        "cord": (f"{plain(design.cord.length_ft)} ft", design.cord.conductor_size),
        "inlet": (job.inlet.configuration, job.inlet.place),
        "transfer": (
            job.transfer.method.replace("_", " "),
            f"{design.transfer.rating_a} A",
        ),
        "load_centre": (f"main {job.load_centre.main_a} A",),
        "circuits": (
            f"{circuits} circuit{'' if circuits == 1 else 's'}",
            f"{design.load_study.running_w:,.0f} W",
        ),
    }.get(place.kind, ())


def percent(part: Decimal, whole: Decimal) -> str:
    """A share of a whole, for the width of a bar."""
    return plain(round(100 * part / whole, 1)) if whole else "0"
