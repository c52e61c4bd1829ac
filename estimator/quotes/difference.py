"""What differs between two revisions: lines, hours, money, findings, and why."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Literal

from estimator.quotes.difference_reasons import Reason, reasons
from estimator.quotes.records import Json

Subject = Literal["part", "labour", "money", "finding"]
_NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class LineChange:
    """A line that is new, gone or another. Fields: (name, before, after), None where absent."""

    subject: Subject
    what: str
    change: Literal["added", "removed", "changed"]
    fields: tuple[tuple[str, str | None, str | None], ...]


@dataclass(frozen=True, slots=True)
class MoneyChange:
    """One total. amount: after less before."""

    name: str
    before: Decimal
    after: Decimal

    @property
    def amount(self) -> Decimal:
        """By how much it rose."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class RevisionDifference:
    """Everything that a newer revision changes. money: totals that differ, in their order.

    currency_changed: then amounts of money cannot be held against each other and none is.
    """

    lines: tuple[LineChange, ...]
    money: tuple[MoneyChange, ...]
    reasons: tuple[Reason, ...]
    currency_changed: bool

    @property
    def empty(self) -> bool:
        """Whether nothing that is shown differs."""
        return not (self.lines or self.money or self.currency_changed)


def revision_difference(before: Json, after: Json) -> RevisionDifference:
    """What the second snapshot changes against the first; both as read from their JSON."""
    one, two = before["result"], after["result"]
    other_currency = one["price"]["currency"] != two["price"]["currency"]
    return RevisionDifference(
        lines=(
            *_changes("part", _parts(one), _parts(two)),
            *_changes("labour", _labour(one), _labour(two)),
            *_changes("finding", _findings(one), _findings(two)),
        ),
        money=() if other_currency else tuple(_money(one["price"], two["price"])),
        reasons=reasons(before, after),
        currency_changed=other_currency,
    )


_Lines = Mapping[Any, tuple[str, Mapping[str, str | None]]]


def _changes(subject: Subject, before: _Lines, after: _Lines) -> Iterator[LineChange]:
    for key in dict.fromkeys((*after, *before)):
        old, new = before.get(key), after.get(key)
        if old == new:
            continue
        what = (new or old or ("", {}))[0]
        was, now = old[1] if old else {}, new[1] if new else {}
        fields = tuple(
            (name, was.get(name), now.get(name))
            for name in dict.fromkeys((*now, *was))
            if was.get(name) != now.get(name)
        )
        if fields or not (old and new):
            change: Literal["added", "removed", "changed"] = (
                "changed" if old and new else "added" if new else "removed"
            )
            yield LineChange(subject, what, change, fields)


def _parts(result: Json) -> _Lines:
    """Lines of materials by what the part is; a part bought in several packs adds up."""
    parts = result["estimate"]["parts"]
    by_part: dict[int, list[Json]] = {}
    for line in result["price"]["lines"]:
        by_part.setdefault(line["part"], []).append(line)
    return {
        (part["kind"], *sorted(part["attributes"].items())): (
            part["description"],
            {"quantity": part["quantity"], "unit": part["unit"], **_bought(by_part.get(at, ()))},
        )
        for at, part in enumerate(parts)
    }


def _bought(lines: Sequence[Json]) -> dict[str, str | None]:
    return {
        "supplier": _joined(lines, "supplier"),
        "item": _joined(lines, "item"),
        "unit_price": _joined(lines, "unit_price"),
        "match": _joined(lines, "match"),
        "amount": _sum(line["amount"] for line in lines),
    }


def _joined(lines: Iterable[Json], field: str) -> str | None:
    return ", ".join(dict.fromkeys(line[field] for line in lines if line[field])) or None


def _sum(amounts: Iterable[str | None]) -> str | None:
    known = [Decimal(amount) for amount in amounts if amount is not None]
    return str(sum(known, _NOTHING)) if known else None


def _labour(result: Json) -> _Lines:
    return _numbered(
        result["estimate"]["labour"],
        lambda task: (task["code"], task["task"]),
        lambda task: {"quantity": task["quantity"], "unit": task["unit"], "hours": task["hours"]},
        "task",
    )


def _findings(result: Json) -> _Lines:
    return _numbered(
        result["estimate"]["findings"],
        lambda finding: (finding["code"], finding["where"], finding["message"]),
        lambda finding: {"severity": finding["severity"]},
        "message",
    )


def _numbered(
    rows: Iterable[Json],
    key: Callable[[Json], tuple[str, ...]],
    fields: Callable[[Json], Mapping[str, str | None]],
    title: str,
) -> _Lines:
    """Rows by key; those alike are told apart by their place among them."""
    found: dict[Any, tuple[str, Mapping[str, str | None]]] = {}
    seen: dict[tuple[str, ...], int] = {}
    for row in rows:
        own = key(row)
        seen[own] = seen.get(own, 0) + 1
        found[*own, seen[own]] = (row[title], fields(row))
    return found


def _money(before: Json, after: Json) -> Iterator[MoneyChange]:
    old, new = before["totals"], after["totals"]
    for name in dict.fromkeys((*new, *old)):
        was, now = Decimal(old.get(name, 0)), Decimal(new.get(name, 0))
        if was != now:
            yield MoneyChange(name, was, now)
    was, now = Decimal(before["deposit"]), Decimal(after["deposit"])
    if was != now:
        yield MoneyChange("deposit", was, now)
