"""The rows of the take-off's tables; field names are the columns of the CSV files."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Form = Literal["stick", "flexible", "cable"]
EndInsert = Literal["bushing", "anti-short", "throat", "none"]
CableHold = Literal["staple", "bored", "board", "grommet", "strap"]
Duty = Literal["light", "medium", "heavy", "flush"]
Hammer = Literal["yes", "light", "no"]
Group = Literal["office", "set_up", "mount", "hole", "run", "load_centre", "finish", "visit"]


@dataclass(frozen=True, slots=True)
class MethodRow:
    """How a wiring method is put together.

    fittings: whose fittings it takes. joint_on_stick: each stick brings one joint (a bell or
    a threaded coupling). end_insert: what conductors leave it over; "throat" when the fitting
    has an insulating one of its own. body_takes_connectors: its conduit bodies need a connector
    at each side. elbow_from: smallest trade size that is turned with factory elbows; None:
    never. riser: the wiring method of its risers out of the earth; None: no rigid one.
    """

    wiring_method: str
    form: Form
    fittings: str
    stick_ft: Decimal | None
    joint_on_stick: bool
    glued: bool
    dry_connector: str | None
    wet_connector: str | None
    dry_coupling: str | None
    wet_coupling: str | None
    locknuts_per_end: int
    end_insert: EndInsert
    body_takes_connectors: bool
    strap: str
    elbow_from: str | None
    riser: str | None
    source: str


@dataclass(frozen=True, slots=True)
class SupportRow:
    """Where a raceway or cable has to be fastened.

    end_in: greatest distance from a termination [in]. interval_ft: greatest distance between
    two supports; straight_ft: the same where threaded conduit runs straight. free_to_ft: runs
    up to this length need none. fished_free: an unbroken length needs none inside a finished
    wall.
    """

    wiring_method: str
    from_size: str | None
    to_size: str | None
    end_in: Decimal
    interval_ft: Decimal
    straight_ft: Decimal | None
    free_to_ft: Decimal | None
    fished_free: bool
    source: str


@dataclass(frozen=True, slots=True)
class MakeUpRow:
    """Free wire wanted at one end in an enclosure [ft]."""

    place: str
    length_ft: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class AllowanceRow:
    """A single figure of practice; unit says what value is in."""

    name: str
    value: Decimal
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class InletKnockoutRow:
    """A knockout that an inlet box of this configuration has."""

    configuration: str
    knockout: str
    source: str


@dataclass(frozen=True, slots=True)
class SwitchKnockoutRow:
    """A knockout of a per-circuit switch of up to so many positions."""

    positions_to: int
    entry: Literal["feed", "whip"]
    knockout: str
    source: str


@dataclass(frozen=True, slots=True)
class CabinetKnockoutRow:
    """A knockout of transfer equipment of this method."""

    method: str
    knockout: str
    source: str


@dataclass(frozen=True, slots=True)
class GroundBarRow:
    """A stocked ground bar by its terminals."""

    terminals: int
    source: str


@dataclass(frozen=True, slots=True)
class MountedItemRow:
    """What is fastened to a wall: fasteners each, and thickness under the screw head [in].

    weight_lb: of usual makes, the heavy end [lb]; None for what weighs nearly nothing.
    backboard_fasteners: of a board that it needs; backboard_on_hollow: of one on hollow block.
    """

    item: str
    label: str
    duty: Duty
    fasteners: int
    thickness_in: Decimal
    metal: bool
    weight_lb: Decimal | None
    backboard_ft: str
    backboard_fasteners: int
    backboard_on_hollow: int
    source: str


@dataclass(frozen=True, slots=True)
class SurfaceRow:
    """A wall: what it is made of, and how a hole through it is made.

    stud_bit: what bores a stud of it; None without studs. cut_with: the consumable that an
    opening in it takes; None where a drywall saw does or nothing is set into it.
    """

    surface: str
    masonry: bool
    hollow_block: bool
    siding: bool
    drywall: bool
    weather: bool
    hole_task: str
    hole_bit: str
    stud_bit: str | None
    cut_with: str | None
    source: str


@dataclass(frozen=True, slots=True)
class AnchorRow:
    """The fastener for one wall and duty.

    embedment_in: least depth in what holds. finish_in: what lies in front of it. hole_in and
    bit: the hole to drill; None when the screw drills its own. backboard: the fastener holds
    a plywood board across studs, and the item goes on the board. do_not_use, why_not: what
    must not hold it, and why.
    """

    surface: str
    duty: Duty
    fastener: str
    diameter: str
    embedment_in: Decimal
    finish_in: Decimal
    hole_in: str | None
    bit: str | None
    hammer: Hammer
    second_hole_in: str | None
    second_bit: str | None
    backboard: bool
    do_not_use: str
    why_not: str
    source: str


@dataclass(frozen=True, slots=True)
class FastenerLengthRow:
    """A length in which a fastener is stocked, as a fraction of inches."""

    fastener: str
    length_in: str
    source: str


@dataclass(frozen=True, slots=True)
class NippleLengthRow:
    """A length in which nipples are stocked [in]."""

    length_in: int
    source: str


@dataclass(frozen=True, slots=True)
class PullBoxRow:
    """A stocked box by its inside [in, in3], and the largest raceway that its wall takes.

    weather: it is made rain-tight too.
    """

    box: str
    length_in: Decimal
    width_in: Decimal
    depth_in: Decimal
    volume_in3: Decimal
    largest_raceway: str
    weather: bool
    source: str


@dataclass(frozen=True, slots=True)
class OldWorkBoxRow:
    """A stocked plastic box for an opening in a finished wall, with clamps for its cables."""

    gangs: int
    volume_in3: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class SurgeProtectorRow:
    """A stocked surge protector by its nominal discharge current [kA]."""

    discharge_ka: int
    source: str


@dataclass(frozen=True, slots=True)
class CableFittingRow:
    """What a cable takes by the size of its conductors.

    connector: trade size. support: style of its staple or strap. hole_in: bored hole [in].
    rule: row of supports.csv. sleeve: trade size of PVC-80 that it comes out of the earth in.
    """

    cable: str
    size: str
    connector: str
    support: str
    hole_in: str
    rule: str
    sleeve: str | None
    source: str


@dataclass(frozen=True, slots=True)
class CableWallRow:
    """How a stapled cable is held along a surface.

    bored: through holes in the framing. board: on a running board. grommet: through studs of
    sheet steel. A cable that may cross framing is stapled where others are bored or on a board.
    """

    surface: str
    hold: CableHold
    source: str


@dataclass(frozen=True, slots=True)
class BoxSpliceRow:
    """The connector for so many wires up to a size.

    Twist-on connectors are for copper only, splicing connectors for aluminium too.
    """

    up_to: str
    wires: int
    kind: Literal["twist_on_connector", "splicing_connector"]
    connector: str
    source: str


@dataclass(frozen=True, slots=True)
class WallHoleRow:
    """Diameter of the hole through a wall for a raceway [in]."""

    trade_size: str
    hole_in: str
    source: str


@dataclass(frozen=True, slots=True)
class ConsumableRow:
    """A consumable: one content covers so many joints, plugs or jobs."""

    name: str
    consumable: str
    content: str
    covers: int
    source: str


@dataclass(frozen=True, slots=True)
class RunLabourRow:
    """The task that builds a run, counted in steps of its length [ft]."""

    wiring_method: str
    from_size: str
    to_size: str
    task: str
    step_ft: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class LabourUnit:
    """Hours for one unit of a task: low, typical and high [h]."""

    code: str
    task: str
    unit: str
    low_h: Decimal
    typical_h: Decimal
    high_h: Decimal
    group: Group
    source: str


@dataclass(frozen=True, slots=True)
class LabourFactor:
    """A factor on the hours of some groups of tasks.

    groups: names parted by blanks. automatic: set by the estimator, not by the user.
    """

    name: str
    reason: str
    groups: str
    low: Decimal
    typical: Decimal
    high: Decimal
    automatic: bool
    source: str
