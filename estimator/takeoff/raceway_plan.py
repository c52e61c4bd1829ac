"""How a raceway run is divided: stretches, ends at enclosures, conduit bodies, boxes, joints."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.sizing.records import RunDesign
from estimator.takeoff.risers import Riser
from estimator.takeoff.table_rows import MethodRow
from estimator.units import round_up, trade_rank, wire_rank

LARGE_FROM = "4 AWG"
_RIGHT_ANGLE = Decimal(90)
_ELBOW_ANGLES = (Decimal(30), Decimal(45), _RIGHT_ANGLE)
_RISERS = 2


@dataclass(frozen=True, slots=True)
class RacewayPlan:
    """One raceway run in pieces.

    stretches_ft: lengths between enclosures, boxes and conduit bodies; they sum to the run.
    strapped_ft: those of them that are fastened, without what lies in the earth.
    pull_bodies, pull_boxes: what stands at the pull points. wall_bodies, wall_boxes: where the
    raceway turns into a wall. enclosure_ends: raceway ends in enclosures and boxes.
    pieces_ft: of the run's own raceway; riser_pieces_ft: of the raceway that its risers are of,
    when that is another. joints: between sticks. elbows_deg: angles of factory elbows.
    field_bends: bends made by hand, each up to 90 degrees. turns_added: bends of 90 degrees
    that an underground run takes beyond those told. nipple: the run is one threaded piece.
    """

    trade_size: str
    stretches_ft: tuple[Decimal, ...]
    strapped_ft: tuple[Decimal, ...]
    pull_bodies: int
    pull_boxes: int
    wall_bodies: int
    wall_boxes: int
    enclosure_ends: int
    body_ends: int
    pieces_ft: tuple[Decimal, ...]
    riser_pieces_ft: tuple[Decimal, ...]
    joints: int
    elbows_deg: tuple[Decimal, ...]
    field_bends: int
    turns_added: int
    nipple: bool

    @property
    def boxes(self) -> int:
        """Boxes along the run."""
        return self.pull_boxes + self.wall_boxes


def plan_raceway(
    run: RunDesign, method: MethodRow, cut_step_ft: Decimal, riser: Riser | None
) -> RacewayPlan | None:
    """The run in pieces; None when the design found no trade size for it.

    Pull points and wall turns of wires up to 6 AWG in rigid raceway are conduit bodies, those
    of larger wires boxes; pull points of flexible conduit are boxes always. Where a wall
    penetration stands along its segment is not told: a segment is taken to be divided evenly.
    riser: of an underground run.
    """
    if run.trade_size is None:
        return None
    large = has_large_wire(run)
    pulls = len(run.segments_ft) - 1
    pull_bodies = pulls if method.form == "stick" and not large else 0
    wall_boxes = run.wall_penetrations if large else 0
    wall_bodies = run.wall_penetrations - wall_boxes
    boxes = pulls - pull_bodies + wall_boxes
    turned = method.elbow_from is not None and (
        trade_rank(run.trade_size) >= trade_rank(method.elbow_from)
    )
    angles = elbow_angles(run.bends_deg)
    turns = _turns_missing(angles) if run.place == "underground" else 0
    angles += (_RIGHT_ANGLE,) * turns
    stretches = _stretches(run)
    pieces, riser_pieces = _pieces(run, method, stretches, cut_step_ft, riser)
    stick = method.form == "stick"
    return RacewayPlan(
        trade_size=run.trade_size,
        stretches_ft=stretches,
        strapped_ft=stretches if riser is None else (riser.above_ft,) * _RISERS,
        pull_bodies=pull_bodies,
        pull_boxes=pulls - pull_bodies,
        wall_bodies=wall_bodies,
        wall_boxes=wall_boxes,
        enclosure_ends=2 * (1 + boxes),
        body_ends=2 * (pull_bodies + wall_bodies),
        pieces_ft=pieces,
        riser_pieces_ft=riser_pieces,
        joints=len(pieces) + len(riser_pieces) - len(run.segments_ft) if stick else 0,
        elbows_deg=angles if turned else (),
        field_bends=len(angles) if stick and not turned else 0,
        turns_added=turns if stick else 0,
        nipple=_is_nipple(run, method),
    )


def has_large_wire(run: RunDesign) -> bool:
    """Whether any conductor is 4 AWG or larger, so that boxes are sized for pulling."""
    least = wire_rank(LARGE_FROM)
    return any(wire_rank(conductor.size) >= least for conductor in run.conductors)


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


def _turns_missing(angles: tuple[Decimal, ...]) -> int:
    return max(0, _RISERS - angles.count(_RIGHT_ANGLE))


def _is_nipple(run: RunDesign, method: MethodRow) -> bool:
    return (
        run.nipple
        and method.fittings == "RMC"
        and len(run.segments_ft) == 1
        and not run.wall_penetrations
        and run.place != "underground"
    )


def _stretches(run: RunDesign) -> tuple[Decimal, ...]:
    count = len(run.segments_ft)
    every, more = divmod(run.wall_penetrations, count)
    stretches: list[Decimal] = []
    for place, length in enumerate(run.segments_ft):
        pieces = 1 + every + (1 if place < more else 0)
        stretches += [length / pieces] * pieces
    return tuple(stretches)


def _pieces(
    run: RunDesign,
    method: MethodRow,
    stretches_ft: tuple[Decimal, ...],
    cut_step_ft: Decimal,
    riser: Riser | None,
) -> tuple[tuple[Decimal, ...], tuple[Decimal, ...]]:
    if method.stick_ft is None:
        return tuple(round_up(length, cut_step_ft) for length in stretches_ft), ()
    if riser is None or riser.raceway in (None, run.wiring_method):
        return _sticks(run.segments_ft, method.stick_ft), ()
    in_earth = list(run.segments_ft)
    in_earth[0] -= riser.length_ft
    in_earth[-1] -= riser.length_ft
    return _sticks(tuple(in_earth), method.stick_ft), (riser.length_ft,) * _RISERS


def _sticks(segments_ft: tuple[Decimal, ...], stick_ft: Decimal) -> tuple[Decimal, ...]:
    pieces: list[Decimal] = []
    for length in segments_ft:
        whole, rest = divmod(length, stick_ft)
        pieces += [stick_ft] * int(whole)
        if rest:
            pieces.append(rest)
    return tuple(pieces)
