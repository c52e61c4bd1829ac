"""What holds a cable along its way: staples, straps, bored framing, running board, grommets."""

from decimal import ROUND_CEILING

from estimator.basis import Because, because
from estimator.sizing.records import RunDesign
from estimator.takeoff.anchors import fasten
from estimator.takeoff.supports import least_supports, supports_wanted
from estimator.takeoff.table_rows import CableFittingRow, CableHold, MethodRow, SupportRow
from estimator.takeoff.taking import Taking, run_pointer
from estimator.units import INCHES_PER_FOOT, plain, wire_rank

# Cables of two 6 AWG or three 8 AWG and larger may cross the framing of an unfinished room.
_MAY_CROSS_FROM = {2: "6 AWG", 3: "8 AWG"}
_STAPLE = "staple"
_AUGER = "auger bit"


def take_cable_supports(
    taking: Taking, run: RunDesign, method: MethodRow, fitting: CableFittingRow, count: int
) -> None:
    """Supports of a cable above ground; none underground or fished in a finished wall.

    count: its insulated conductors.
    """
    if run.place == "underground":
        return
    hold = _hold(taking, run, method, fitting, count)
    if hold == "grommet":
        _take_grommets(taking, run, fitting)
    rule = taking.tables.supports[fitting.rule, ""]
    if rule.fished_free and run.finished_wall:
        return
    if hold in ("bored", "grommet"):
        _take_end_supports(taking, run, method, fitting, rule, hold)
        return
    if hold == "board":
        _take_running_board(taking, run)
    supports = supports_wanted(run, rule, run.segments_ft)
    reason = because(
        "The least number of supports with one near each box and no gap wider than the interval.",
        rule.source,
        run_ft=run.length_ft,
        from_end_in=rule.end_in,
        interval_ft=rule.interval_ft,
        supports=supports,
    )
    _put_up(taking, run, method, fitting, supports, reason, stapled=hold != "strap")


def _hold(
    taking: Taking, run: RunDesign, method: MethodRow, fitting: CableFittingRow, count: int
) -> CableHold:
    row = taking.tables.cable_walls[run.surface]
    if row.hold == "grommet" and run.place == "indoor" and method.end_insert == "none":
        return "grommet"
    if method.strap != _STAPLE:
        return "strap"
    if row.hold not in ("board", "bored", "grommet"):
        return row.hold
    small = wire_rank(fitting.size) < wire_rank(_MAY_CROSS_FROM[max(2, count)])
    if run.place == "indoor" and small:
        return row.hold
    return "staple" if row.hold == "bored" else "strap"


def _take_end_supports(
    taking: Taking,
    run: RunDesign,
    method: MethodRow,
    fitting: CableFittingRow,
    rule: SupportRow,
    hold: CableHold,
) -> None:
    """Holes in framing support the cable between its ends; one support near each end is left."""
    end_ft = rule.end_in / INCHES_PER_FOOT
    supports = sum(least_supports(ft, end_ft, ft) for ft in run.segments_ft)
    holes = _framing_crossed(taking, run)
    reason = because(
        "Small cable goes through the framing, whose holes stand closer than its supports may; "
        "one support stays near each box.",
        rule.source,
        run_ft=run.length_ft,
        from_end_in=rule.end_in,
        holes=holes,
        supports=supports,
    )
    _put_up(taking, run, method, fitting, supports, reason, stapled=hold == "bored")
    if hold == "bored":
        bored = because(
            "Holes through the middle of joists or studs, 1-1/4 in from each edge.",
            "nec_334_15_c",
            holes=holes,
            spacing_in=taking.allowance("framing_spacing"),
        )
        key = (_AUGER, fitting.hole_in)
        taking.fasteners.drill(key, holes, run_pointer(run), bored, wears_out=False)


def _take_grommets(taking: Taking, run: RunDesign, fitting: CableFittingRow) -> None:
    holes = _framing_crossed(taking, run)
    reason = because(
        "Cable through a stud of sheet steel runs in a grommet, one a stud.",
        "nec_metal_stud_grommets",
        studs=holes,
        spacing_in=taking.allowance("framing_spacing"),
    )
    values = {"hole_in": fitting.hole_in}
    taking.parts.add("stud_grommet", values, holes, run_pointer(run), reason)


def _framing_crossed(taking: Taking, run: RunDesign) -> int:
    spacing = taking.allowance("framing_spacing")
    crossed = run.length_ft * INCHES_PER_FOOT / spacing
    return max(1, int(crossed.to_integral_value(ROUND_CEILING)))


def _take_running_board(taking: Taking, run: RunDesign) -> None:
    pointer = run_pointer(run)
    length = taking.allowance("running_board_length")
    boards = int((run.length_ft / length).to_integral_value(ROUND_CEILING))
    reason = because(
        "Small cable along masonry or across framing is stapled to a running board.",
        "nec_334_15_c",
        run_ft=run.length_ft,
        board_ft=length,
    )
    values = {"size": "1 x 4", "length_ft": plain(length)}
    taking.parts.add("running_board", values, boards, pointer, reason)
    taking.work.add("mount_backboard", boards, reason)
    every = taking.allowance("running_board_screw_every")
    screws = boards + int((run.length_ft / every).to_integral_value(ROUND_CEILING))
    fasten(taking, "running_board", screws, run.surface, pointer)


def _put_up(
    taking: Taking,
    run: RunDesign,
    method: MethodRow,
    fitting: CableFittingRow,
    count: int,
    reason: Because,
    *,
    stapled: bool,
) -> None:
    """Staples, which are their own fasteners, or straps with theirs."""
    pointer = run_pointer(run)
    if stapled:
        values = {"cable": run.wiring_method, "style": fitting.support}
        taking.parts.add("cable_staple", values, count, pointer, reason)
        return
    strap = "one-hole" if method.strap == _STAPLE else method.strap
    values = {"cable": run.wiring_method, "style": f"{fitting.support} {strap}"}
    taking.parts.add("cable_strap", values, count, pointer, reason)
    fasten(taking, strap, count, run.surface, pointer)
