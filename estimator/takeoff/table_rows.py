"""The rows of the take-off's tables; field names are the columns of the CSV files."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Form = Literal["stick", "flexible", "cable"]
EndInsert = Literal["bushing", "anti-short", "none"]
Duty = Literal["light", "medium", "flush"]
Hammer = Literal["yes", "light", "no"]
Group = Literal["office", "set_up", "mount", "hole", "run", "load_centre", "finish", "visit"]


@dataclass(frozen=True, slots=True)
class MethodRow:
    """How a wiring method is put together.

    fittings: whose fittings it takes. joint_on_stick: each stick brings one joint (a bell or
    a threaded coupling). body_takes_connectors: its conduit bodies need a connector at each
    side. elbow_from: smallest trade size that is turned with factory elbows; None: never.
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
    source: str


@dataclass(frozen=True, slots=True)
class SupportRow:
    """Where a raceway or cable has to be fastened.

    end_in: greatest distance from a termination [in]. interval_ft: greatest distance between
    two supports. free_to_ft: runs up to this length need none. fished_free: none inside a
    finished wall.
    """

    wiring_method: str
    from_size: str | None
    to_size: str | None
    end_in: Decimal
    interval_ft: Decimal
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
class CordSetRow:
    """A supply cord as stocked: conductors with ground, length [ft]."""

    conductor_size: str
    conductors: int
    length_ft: Decimal
    cord: str
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
class MountedItemRow:
    """What is fastened to a wall: fasteners each, and thickness under the screw head [in]."""

    item: str
    label: str
    duty: Duty
    fasteners: int
    thickness_in: Decimal
    metal: bool
    backboard_ft: str
    backboard_fasteners: int
    source: str


@dataclass(frozen=True, slots=True)
class SurfaceRow:
    """A wall: what it is made of, and how a hole through it is made."""

    surface: str
    masonry: bool
    siding: bool
    drywall: bool
    weather: bool
    hole_task: str
    hole_bit: str
    source: str


@dataclass(frozen=True, slots=True)
class AnchorRow:
    """The fastener for one wall and duty.

    embedment_in: least depth in what holds. finish_in: what lies in front of it. hole_in and
    bit: the hole to drill; None when the screw drills its own. backboard: the fastener holds
    a plywood board across studs, and the item goes on the board.
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
class SpliceRow:
    """The twist-on connector for two wires up to a size."""

    up_to: str
    connector: str
    source: str


@dataclass(frozen=True, slots=True)
class PullBoxRow:
    """A box at least eight times as long as the trade size of the raceway through it."""

    trade_size: str
    box: str
    source: str


@dataclass(frozen=True, slots=True)
class CableFittingRow:
    """Connector, staple and bored hole for a cable by the size of its conductors."""

    size: str
    connector: str
    staple: str
    hole_in: str
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
