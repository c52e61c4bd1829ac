"""What a newer price list changes, as text for a terminal and as JSON-ready objects."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from estimator.catalogue.difference import ItemChange, ListDifference
from estimator.catalogue.records import Item, PriceList
from estimator.units import plain

Json = dict[str, Any]
_ROWS_SHOWN = 50


def difference_text(found: ListDifference) -> str:
    """Counts, the biggest movers, then every item that is new, gone or changed."""
    old, new = found.old, found.new
    title = f"{old.name} -> {new.name}"
    lines = [title, "-" * len(title)]
    if found.same_file:
        lines.append("The same file: nothing changed.")
        return "\n".join(lines) + "\n"
    ups = sum(each.up for each in found.changed)
    downs = sum(each.down for each in found.changed)
    lines.append(
        f"{len(found.added)} new, {len(found.gone)} gone, {ups} prices up, {downs} prices down, "
        f"{len(found.changed) - ups - downs} changed otherwise, {found.unchanged} unchanged"
    )
    lines += list(_left_out_lines(old)) + list(_left_out_lines(new))
    lines += _section("Biggest movers", [_change_line(each) for each in found.biggest_movers()])
    lines += _section("New", [_item_line(item) for item in found.added])
    lines += _section("Gone", [_item_line(item) for item in found.gone])
    lines += _section("Changed", [_change_line(each) for each in found.changed])
    return "\n".join(lines) + "\n"


def difference_document(found: ListDifference) -> Json:
    """The same with every item. Percent is of the price of one unit before."""
    return {
        "old": _list_document(found.old),
        "new": _list_document(found.new),
        "same_file": found.same_file,
        "counts": {
            "new": len(found.added),
            "gone": len(found.gone),
            "changed": len(found.changed),
            "price_up": sum(each.up for each in found.changed),
            "price_down": sum(each.down for each in found.changed),
            "unchanged": found.unchanged,
        },
        "biggest_movers": [each.after.number for each in found.biggest_movers()],
        "new_items": [_item_document(item) for item in found.added],
        "gone_items": [_item_document(item) for item in found.gone],
        "changed_items": [_change_document(each) for each in found.changed],
    }


def _left_out_lines(price_list: PriceList) -> Iterator[str]:
    left_out = price_list.rows_rejected + len(price_list.unread)
    if left_out:
        yield f"Not compared: {left_out} rows of {price_list.name} that could not be used."


def _section(title: str, lines: list[str]) -> list[str]:
    if not lines:
        return []
    shown = [f"  {line}" for line in lines[:_ROWS_SHOWN]]
    more = [f"  and {len(lines) - _ROWS_SHOWN} more"] if len(lines) > _ROWS_SHOWN else []
    return ["", title, *shown, *more]


def _item_line(item: Item) -> str:
    return f"{item.number}  {item.description}  {item.unit_price} for one {item.unit}"


def _change_line(each: ItemChange) -> str:
    told = []
    for change in each.changes:
        told.append(f"{change.aspect} {change.before} -> {change.after}")
        if change.aspect == "price" and each.amount is not None and each.percent is not None:
            told[-1] += f" ({_signed(each.amount)}, {_signed(each.percent)} %)"
    return f"{each.after.number}  {each.after.description}: {'; '.join(told)}"


def _signed(amount: Decimal) -> str:
    return f"{amount:+f}"


def _list_document(price_list: PriceList) -> Json:
    return {
        "name": price_list.name,
        "supplier": price_list.supplier,
        "sha256": price_list.digest,
        "items": len(price_list.items),
        "rows_not_compared": price_list.rows_rejected + len(price_list.unread),
    }


def _item_document(item: Item) -> Json:
    return {
        "supplier": item.supplier,
        "item_number": item.number,
        "row": item.row,
        "description": item.description,
        "unit": item.unit,
        "unit_price": str(item.unit_price),
        "pack": plain(item.pack),
        "currency": item.currency,
    }


def _change_document(each: ItemChange) -> Json:
    return {
        **_item_document(each.after),
        "unit_price_before": str(each.before.unit_price),
        "amount": None if each.amount is None else str(each.amount),
        "percent": None if each.percent is None else str(each.percent),
        "changes": [
            {"aspect": change.aspect, "before": change.before, "after": change.after}
            for change in each.changes
        ],
    }
