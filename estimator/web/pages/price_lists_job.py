"""What the job at hand still lacks in the price lists, and what a person can settle about it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from estimator.catalogue.describe_row import Confirmed
from estimator.catalogue.records import Item, UnreadRow
from estimator.documents.records import FullEstimate
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.records import Attributes, Part
from estimator.units import plain
from estimator.web.pages.answer import show_estimate
from estimator.web.pages.places import Place


@dataclass(frozen=True, slots=True)
class Stop:
    """A place on the route: how many parts it asks for, how many lack a price, or a word."""

    place: Place
    parts: int
    unpriced: int
    unsure: int


@dataclass(frozen=True, slots=True)
class Question:
    """Whether an item is a part; a person says so once. again: the list has to be read anew.

    reasons: what was taken for granted, or what the list does not tell.
    """

    supplier: str
    number: str
    written: str
    meant: str
    kind: str
    attributes: Attributes
    reasons: tuple[str, ...]
    again: bool


@dataclass(frozen=True, slots=True)
class Lacking:
    """A part without a price."""

    needed: str
    description: str
    places: str


@dataclass(frozen=True, slots=True)
class JobNeeds:
    """The job against the lists in force. looks: parts for which there is an item of another
    look, such as another colour, with what differs.
    """

    stops: tuple[Stop, ...]
    parts: int
    questions: tuple[Question, ...]
    looks: tuple[tuple[str, str], ...]
    lacking: tuple[Lacking, ...]


def needs_of(estimate: FullEstimate, unread: Sequence[UnreadRow], confirmed: Confirmed) -> JobNeeds:
    """What an estimate lacks. unread: rows of the lists in force that were not understood."""
    answer = show_estimate(estimate, {})
    stops = tuple(
        Stop(
            view.place,
            len(view.parts),
            sum("no price" in row.note for row in view.parts),
            sum("confirmed" in row.note for row in view.parts),
        )
        for view in answer.places
        if view.parts
    )
    without = {line.part for line in estimate.price.lines if line.match == "unpriced"}
    parts = [estimate.take_off.parts[at] for at in sorted(without)]
    titles = {view.place.name: view.place.title for view in answer.places}
    rows = [answer.parts[at] for at in sorted(without)]
    asked = (*_of_descriptions(estimate), *_of_unread(parts, unread, confirmed))
    unique = {(one.supplier.casefold(), one.number): one for one in reversed(asked)}
    return JobNeeds(
        stops=stops,
        parts=len(estimate.take_off.parts),
        questions=tuple(reversed(unique.values())),
        looks=tuple(_of_looks(estimate)),
        lacking=tuple(
            Lacking(
                f"{plain(part.quantity)} {part.unit}",
                part.description,
                ", ".join(titles.get(name, name) for name in row.places.split()),
            )
            for part, row in zip(parts, rows, strict=True)
        ),
    )


def read_again(unread: Iterable[UnreadRow], confirmed: Confirmed) -> int:
    """Rows that were not understood and that a person has named since."""
    return sum((row.supplier.casefold(), row.number) in confirmed for row in unread)


def _of_descriptions(estimate: FullEstimate) -> Iterator[Question]:
    for purchase in estimate.purchase.purchases:
        if purchase.match != "proposed":
            continue
        for item in dict.fromkeys(bought.item for bought in purchase.bought):
            if item.read_from == "description":
                yield _question(item)


def _question(item: Item) -> Question:
    described = load_part_kinds()[item.kind].describe(item.attributes)
    return Question(
        supplier=item.supplier,
        number=item.number,
        written=item.description,
        meant=described,
        kind=item.kind,
        attributes=item.attributes,
        reasons=item.supposed,
        again=False,
    )


def _of_unread(
    parts: Sequence[Part], unread: Sequence[UnreadRow], confirmed: Confirmed
) -> Iterator[Question]:
    for part in parts:
        for row in unread:
            if (row.supplier.casefold(), row.number) in confirmed or not _may_be(row, part):
                continue
            yield Question(
                supplier=row.supplier,
                number=row.number,
                written=row.description,
                meant=part.description,
                kind=part.kind,
                attributes=part.attributes,
                reasons=(row.why,),
                again=True,
            )


def _may_be(row: UnreadRow, part: Part) -> bool:
    """Whether what was read of a row is all true of a part, and something was."""
    has = {name: value.casefold() for name, value in part.attributes}
    known = {name: value.casefold() for name, value in row.known}
    return (
        row.kind == part.kind
        and bool(row.number and known)
        and all(has.get(name) == value for name, value in known.items())
    )


def _of_looks(estimate: FullEstimate) -> Iterator[tuple[str, str]]:
    for purchase in estimate.purchase.purchases:
        known = all(bought.item.read_from != "description" for bought in purchase.bought)
        if purchase.match == "proposed" and known:
            yield purchase.part.description, "; ".join(purchase.reasons)
