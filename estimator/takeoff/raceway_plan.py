"""How a raceway run is divided: stretches, ends at enclosures, conduit bodies, boxes, joints."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from estimator.sizing.records import RunDesign
from estimator.takeoff.table_rows import MethodRow
from estimator.units import trade_rank, wire_rank

_BOX_FROM = "4 AWG"
_RIGHT_ANGLE = Decimal(90)
_ELBOW_ANGLES = (Decimal(30), Decimal(45), _RIGHT_ANGLE)


@dataclass(frozen=True, slots=True)
class RacewayPlan:
    """One raceway run in pieces.

    stretches_ft: lengths between enclosures, boxes and conduit bodies; they sum to the run.
    pull_bodies, pull_boxes: what stands at the pull points. wall_bodies: one conduit body a
    wall penetration. enclosure_ends: raceway ends in enclosures and boxes. joints: between
    sticks. elbows_deg: angles of factory elbows. field_bends: bends made by hand, each up to
    90 degrees. nipple: the run is one short threaded piece.
    """

    trade_size: str
    stretches_ft: tuple[Decimal, ...]
    pull_bodies: int
    pull_boxes: int
    wall_bodies: int
    enclosure_ends: int
    body_ends: int
    pieces_ft: tuple[Decimal, ...]
    joints: int
    elbows_deg: tuple[Decimal, ...]
    field_bends: int
    nipple: bool


def plan_raceway(run: RunDesign, method: MethodRow, cut_step_ft: Decimal) -> RacewayPlan | None:
    """The run in pieces; None when the design found no trade size for it.

    Pull points of wires up to 6 AWG in rigid raceway are conduit bodies, all others boxes.
    Where a wall penetration stands along its segment is not told: a segment is taken to be
    divided evenly by the conduit bodies at its penetrations.
    """
    if run.trade_size is None:
        return None
    nipple = (
        run.nipple
        and method.fittings == "RMC"
        and len(run.segments_ft) == 1
        and not run.wall_penetrations
    )
    pulls = len(run.segments_ft) - 1
    in_bodies = method.form == "stick" and not has_large_wire(run)
    pull_bodies = pulls if in_bodies else 0
    pull_boxes = pulls - pull_bodies
    turned = method.elbow_from is not None and (
        trade_rank(run.trade_size) >= trade_rank(method.elbow_from)
    )
    stretches = _stretches(run)
    pieces = (
        _sticks(run.segments_ft, method.stick_ft)
        if method.stick_ft is not None
        else tuple(_step_up(length, cut_step_ft) for length in stretches)
    )
    return RacewayPlan(
        trade_size=run.trade_size,
        stretches_ft=stretches,
        pull_bodies=pull_bodies,
        pull_boxes=pull_boxes,
        wall_bodies=run.wall_penetrations,
        enclosure_ends=2 * (1 + pull_boxes),
        body_ends=2 * (pull_bodies + run.wall_penetrations),
        pieces_ft=pieces,
        joints=len(pieces) - len(run.segments_ft) if method.form == "stick" else 0,
        elbows_deg=elbow_angles(run.bends_deg) if turned else (),
        field_bends=len(elbow_angles(run.bends_deg)) if _bent_by_hand(method, turned) else 0,
        nipple=nipple,
    )


def has_large_wire(run: RunDesign) -> bool:
    """Whether any conductor is 4 AWG or larger, so that boxes are sized for pulling."""
    return any(wire_rank(conductor.size) >= wire_rank(_BOX_FROM) for conductor in run.conductors)


def elbow_angles(bends_deg: tuple[Decimal, ...]) -> tuple[Decimal, ...]:
    """Angles of the elbows that make the bends: right angles, and 30, 45 or 90 for a rest.

    A bend of 180 degrees takes two elbows of 90; one of 130 takes 90 and 45.
    """
    angles: list[Decimal] = []
    for bend in bends_deg:
        right_angles, rest = divmod(bend, _RIGHT_ANGLE)
        angles += [_RIGHT_ANGLE] * int(right_angles)
        if rest > 0:
            angles.append(next(angle for angle in _ELBOW_ANGLES if rest <= angle))
    return tuple(angles)


def _bent_by_hand(method: MethodRow, turned: bool) -> bool:
    return method.form == "stick" and not turned


def _stretches(run: RunDesign) -> tuple[Decimal, ...]:
    count = len(run.segments_ft)
    every, more = divmod(run.wall_penetrations, count)
    stretches: list[Decimal] = []
    for place, length in enumerate(run.segments_ft):
        pieces = 1 + every + (1 if place < more else 0)
        stretches += [length / pieces] * pieces
    return tuple(stretches)


def _sticks(segments_ft: tuple[Decimal, ...], stick_ft: Decimal) -> tuple[Decimal, ...]:
    pieces: list[Decimal] = []
    for length in segments_ft:
        whole, rest = divmod(length, stick_ft)
        pieces += [stick_ft] * int(whole)
        if rest:
            pieces.append(rest)
    return tuple(pieces)


def _step_up(length: Decimal, step: Decimal) -> Decimal:
    return (length / step).to_integral_value(ROUND_CEILING) * step
