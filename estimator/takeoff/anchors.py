"""What holds a thing to the wall at hand: fasteners, holes, air gap, backboard."""

from decimal import Decimal
from fractions import Fraction

from estimator.basis import because
from estimator.job.records import Exposure, Surface
from estimator.takeoff.table_rows import AnchorRow, MountedItemRow
from estimator.takeoff.taking import Taking
from estimator.units import inches, plain

_BACKBOARD = "plywood"
_HAMMER = {
    "yes": "by hammer drill",
    "light": "by hammer drill on a light setting, or rotary where the shell is thin",
    "no": "by rotary drill",
}


def fasten(
    taking: Taking,
    item: str,
    count: int,
    surface: Surface,
    asked_by: str,
    *,
    exposure: Exposure = "dry",
    flush: bool = False,
) -> None:
    """Count what holds ``count`` items to a wall.

    item: a row of mounted_items.csv. exposure: of the wall, for the air gap behind metal
    boxes. flush: set between the studs. A wall that cannot hold it becomes a finding.
    """
    if not count:
        return
    held = taking.tables.mounted_items[item]
    duty = "flush" if flush else held.duty
    row = taking.tables.anchors.get((surface, duty))
    if row is None:
        _cannot_hold(taking, held, surface, asked_by, flush=flush)
        return
    if row.backboard:
        _put_up_backboard(taking, held, row, count, asked_by)
        row = taking.tables.anchors[_BACKBOARD, duty]
    thickness = Decimal(0) if flush else held.thickness_in
    if held.metal and exposure != "dry" and not flush:
        thickness += _keep_air_gap(taking, held, surface, count, asked_by)
    _screw(taking, held.label, row, held.fasteners * count, thickness, asked_by)


def _screw(
    taking: Taking, label: str, row: AnchorRow, count: int, thickness_in: Decimal, asked_by: str
) -> None:
    wanted = thickness_in + row.finish_in + row.embedment_in
    lengths = taking.tables.fastener_lengths[row.fastener]
    length = next((text for long_in, text in lengths if long_in >= wanted), lengths[-1][1])
    surface = row.surface.replace("_", " ")
    drilled = f", in a {row.hole_in} in hole" if row.hole_in else ""
    reason = because(
        f"{label} on {surface}: {_size(row)} {row.fastener}{drilled}; not {row.do_not_use}: "
        f"{row.why_not}.",
        row.source,
        count=count,
        embedment_in=row.embedment_in,
        finish_in=row.finish_in,
        item_and_gap_in=thickness_in,
        length_needed_in=wanted,
    )
    taking.fasteners.fasten((row.fastener, row.diameter, length), count, asked_by, reason)
    _drill(taking, row, count, inches(length) - thickness_in, asked_by)


def _drill(taking: Taking, row: AnchorRow, count: int, in_wall_in: Decimal, asked_by: str) -> None:
    """Holes of fasteners. in_wall_in: how far a fastener goes into the wall [in]."""
    masonry = taking.tables.surfaces[row.surface].masonry
    wall = row.surface.replace("_", " ")
    how = f" {_HAMMER[row.hammer]}" if masonry else ""
    deep = {"hole_depth_in": in_wall_in + taking.allowance("hole_beyond_screw")} if masonry else {}
    for hole, bit in ((row.hole_in, row.bit), (row.second_hole_in, row.second_bit)):
        if hole is not None and bit is not None:
            reason = because(
                f"{hole} in holes in {wall}{how} for the {_size(row)} {row.fastener}.",
                row.source,
                holes=count,
                **deep,
            )
            taking.fasteners.drill((bit, hole), count, asked_by, reason, wears_out=masonry)


def _size(row: AnchorRow) -> str:
    return row.diameter if row.diameter.startswith("#") else f"{row.diameter} in"


def _keep_air_gap(
    taking: Taking, held: MountedItemRow, surface: Surface, count: int, asked_by: str
) -> Decimal:
    if taking.tables.surfaces[surface].siding:
        return Decimal(0)
    gap = taking.tables.allowances["air_gap"]
    reason = because(
        f"A metal {held.label} on a damp or wet wall keeps an air gap behind it: one spacer a "
        "fastener.",
        gap.source,
        air_gap_in=gap.value,
    )
    taking.parts.add(
        "spacer", {"thickness_in": _fraction(gap.value)}, held.fasteners * count, asked_by, reason
    )
    return gap.value


def _put_up_backboard(
    taking: Taking, held: MountedItemRow, row: AnchorRow, count: int, asked_by: str
) -> None:
    thickness = taking.allowance("backboard_thickness")
    hollow_block = taking.tables.surfaces[row.surface].hollow_block
    across = "spread over the thin shells of the blocks" if hollow_block else "across the studs"
    wall = row.surface.replace("_", " ")
    weight = f" of about {plain(held.weight_lb)} lb" if held.weight_lb is not None else ""
    reason = because(
        f"{wall} does not hold the {held.label}{weight}: a board {across} does.", row.source
    )
    taking.parts.add(
        "backboard",
        {"thickness_in": _fraction(thickness), "size_ft": held.backboard_ft},
        count,
        asked_by,
        reason,
    )
    taking.work.add("mount_backboard", count, reason)
    screws = held.backboard_on_hollow if hollow_block else held.backboard_fasteners
    _screw(taking, "backboard", row, screws * count, thickness, asked_by)
    taking.find(
        "note",
        "BACKBOARD_ADDED",
        f"The {held.label}{weight} is to go on {wall}, where no anchor alone may hold it; a "
        f"plywood board {across} was added.",
        asked_by,
        row.source,
        "Leave the board out where the blocks prove to be grouted, and give grouted_block."
        if hollow_block
        else "Choose a place on the studs, and give the surface as stud_drywall."
        if row.surface == "hollow_drywall"
        else "Choose a wall that holds it without a board.",
    )


def _cannot_hold(
    taking: Taking, held: MountedItemRow, surface: Surface, asked_by: str, *, flush: bool
) -> None:
    wanted = "flush" if flush else held.duty
    able = ", ".join(name for name, duty in taking.tables.anchors if duty == wanted)
    wall = surface.replace("_", " ")
    if flush:
        taking.find(
            "error",
            "SURFACE_CANNOT_HOLD_FLUSH",
            f"The {held.label} is to be flush in {wall}, which has no stud bay to set it in; its "
            "fasteners are not taken off.",
            asked_by,
            "common_practice",
            f"Mount it on the surface, or in a wall of {able}.",
        )
        return
    weight = plain(held.weight_lb or 0)
    taking.find(
        "error",
        "SURFACE_CANNOT_HOLD",
        f"The {held.label} of about {weight} lb is to go on {wall}, where we know no anchor that "
        "holds it; its fasteners are not taken off.",
        asked_by,
        "common_practice",
        f"Hang it on a wall of {able}.",
    )


def _fraction(size_in: Decimal) -> str:
    return str(Fraction(size_in))
