"""What the user has already, held against the parts of the job."""

from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from estimator.catalogue.cut_lengths import STICK, cut_lengths, in_sticks
from estimator.catalogue.match import STEPS_PER_UNIT
from estimator.finding import Finding
from estimator.job.records import StockItem
from estimator.takeoff.part_kinds import PartKind, load_part_kinds
from estimator.takeoff.records import Part
from estimator.units import plain

Pieces = tuple[int, ...]


def stock_at_hand(
    parts: Sequence[Part], stock: Sequence[StockItem]
) -> tuple[Mapping[int, Pieces], tuple[Finding, ...]]:
    """Pieces at hand by position of the part, in steps; and what is to be said about them.

    An attribute that the stock does not tell is taken to fit, with a warning, where only one
    part can be meant; else the stock is left out. A quantity of goods by length is one piece;
    of goods that are joined end to end it is sticks of 10 ft and the rest.
    """
    found: dict[int, Pieces] = {}
    findings: list[Finding] = []
    for number, item in enumerate(stock):
        place, said = _place(item, parts, f"/stock/{number}")
        findings += [said] if said is not None else []
        if place is not None:
            found[place] = found.get(place, ()) + _pieces(item, parts[place])
    return found, tuple(findings)


def _pieces(item: StockItem, part: Part) -> Pieces:
    amount = int(item.quantity * STEPS_PER_UNIT)
    if part.cuts_ft and load_part_kinds()[part.kind].stick:
        # More sticks than cuts are never used.
        return tuple(in_sticks(min(amount, STICK * len(cut_lengths(part)))))
    return (amount,)


def _place(item: StockItem, parts: Sequence[Part], where: str) -> tuple[int | None, Finding | None]:
    kind = load_part_kinds().get(item.kind)
    if kind is None:
        near = get_close_matches(item.kind, load_part_kinds(), n=3)
        hint = f" Nearest: {', '.join(near)}." if near else ""
        return None, _left_out(
            where, f"{item.kind!r} is not a kind of part that we know.{hint}",
            "Give the kind as the parts of the result name it.",
        )  # fmt: skip
    if item.unit != kind.unit:
        return None, _left_out(
            where, f"{item.kind} is counted in {kind.unit}, not in {item.unit}.",
            f"Give the quantity in {kind.unit}.",
        )  # fmt: skip
    told = dict(item.attributes)
    unknown = [name for name in told if name not in kind.attributes]
    if unknown:
        return None, _left_out(
            where,
            f"{', '.join(unknown)} is not an attribute of {item.kind}; it has "
            f"{', '.join(kind.attributes)}.",
            "Correct the names of the attributes.",
        )
    return _fitting(item, kind, told, parts, where)


def _fitting(
    item: StockItem,
    kind: PartKind,
    told: Mapping[str, str],
    parts: Sequence[Part],
    where: str,
) -> tuple[int | None, Finding | None]:
    fitting = [
        place
        for place, part in enumerate(parts)
        if part.kind == item.kind
        and all(
            told.get(name, value).casefold() == value.casefold() for name, value in part.attributes
        )
    ]
    untold = [name for name in kind.attributes if name not in told]
    if not fitting:
        return None, Finding(
            "note", "STOCK_NOT_NEEDED",
            f"This job takes no such {item.kind.replace('_', ' ')} as is at hand.",
            where, "job_description", "Nothing, if that is right; else correct the attributes.",
        )  # fmt: skip
    if len(fitting) > 1:
        return None, _left_out(
            where,
            f"it could be any of {len(fitting)} parts: "
            + "; ".join(parts[place].description for place in fitting) + ".",
            f"Give {', '.join(untold)} too.",
        )  # fmt: skip
    if not untold:
        return fitting[0], None
    part = parts[fitting[0]]
    taken = ", ".join(f"{name} {value}" for name, value in part.attributes if name in untold)
    return fitting[0], Finding(
        "warning", "STOCK_TAKEN_AS",
        f"{plain(item.quantity)} {item.unit} of {part.description} are taken to be at hand; the "
        f"job does not say {', '.join(untold)}, and only {taken} would fit.",
        where, "own_convention", "Look at what is there, and tell these attributes.",
    )  # fmt: skip


def _left_out(where: str, why: str, remedy: str) -> Finding:
    return Finding(
        "warning", "STOCK_NOT_USED", f"What is at hand was not used: {why}", where,
        "job_description", remedy,
    )  # fmt: skip
