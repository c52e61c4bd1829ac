"""The electrical design as frozen records."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.basis import Because
from estimator.finding import Finding
from estimator.job.records import (
    Exposure,
    Insulation,
    Material,
    Node,
    Place,
    Surface,
    TransferMethod,
    WiringMethod,
)
from estimator.record import quick

Leg = Literal["L1", "L2", "L1+L2"]
Role = Literal["ungrounded", "neutral", "equipment_ground"]


@dataclass(frozen=True, slots=True)
class LegLoad:
    """Load on one leg. running_w [W], amps [A at 120 V]."""

    running_w: Decimal
    amps: Decimal


@dataclass(frozen=True, slots=True)
class TierRuntime:
    """Hours that the supply keeps all loads of this priority and of those kept longer."""

    priority: int
    average_w: Decimal
    hours: Decimal | None


@dataclass(frozen=True, slots=True)
class Recharge:
    """Hours to recharge the usable energy; None where the job names no such input.

    both: by solar and AC at once, when the job names both.
    """

    solar: Decimal | None
    ac: Decimal | None
    both: Decimal | None = None


@dataclass(frozen=True, slots=True)
class LoadStudy:
    """What the supply has to carry, and whether it can.

    starting_peak_w: all running loads plus the largest starting step. fits: None when the
    supply's rating is not known. leave_off: circuit names to switch off so that it fits.
    """

    running_w: Decimal
    starting_peak_w: Decimal
    fits: bool | None
    legs: tuple[tuple[Literal["L1", "L2"], LegLoad], ...]
    leave_off: tuple[str, ...]
    runtime_h: tuple[TierRuntime, ...]
    recharge_h: Recharge
    lifetime_kwh: Decimal | None
    cost_per_kwh: Decimal | None
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class AddedBreaker:
    """A breaker that the transfer equipment needs.

    place: whose space it takes. feeds: what is on its far side. back_fed: current comes in
    there.
    """

    place: Literal["load_centre", "transfer"]
    poles: int
    rating_a: int
    feeds: Literal["inlet", "transfer"]
    back_fed: bool


@dataclass(frozen=True, slots=True)
class TransferDesign:
    """The transfer equipment chosen. spaces_needed counts poles; spaces_used of spaces.

    The spaces of an interlock are those of its breaker in the load centre; an automatic switch
    has none. breakers: added for the equipment, without those of moved circuits.
    """

    method: TransferMethod
    rating_a: int
    spaces: int
    spaces_needed: int
    spaces_used: int
    because: tuple[Because, ...]
    breakers: tuple[AddedBreaker, ...] = ()


@quick
@dataclass(frozen=True, slots=True)
class CircuitDesign:
    """One circuit on the transfer equipment.

    conductor_size: of its conductors in the run to the load centre, "" where it has none.
    position: positions taken, such as "3" or "1-2"; "" when it could not be placed, "as wired"
    where circuits stay in the load centre. leg: there the balanced best case.
    """

    name: str
    leg: Leg
    breaker_a: int
    poles: int
    conductor_size: str
    position: str
    because: tuple[Because, ...]


@quick
@dataclass(frozen=True, slots=True)
class RunConductor:
    """Like conductors of a run. length_ft: the run's length, without make-up."""

    role: Role
    size: str
    material: Material
    insulation: str
    colour: str
    count: int
    length_ft: Decimal
    serves: str


@dataclass(frozen=True, slots=True)
class PullBox:
    """What a box or conduit body at a pull point or wall turn of a run must have.

    For wires of 4 AWG and larger straight_in: inside length of a box in a straight pull [in];
    angle_in: from an entry to the wall opposite where the wires turn [in]. For smaller wires
    volume_in3: of a box, and body_area_in2: cross-section of a conduit body. None: not asked.
    """

    straight_in: Decimal | None
    angle_in: Decimal | None
    volume_in3: Decimal | None
    body_area_in2: Decimal | None
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class RunDesign:
    """One run as it is to be built.

    trade_size, fill_percent, fill_limit_percent: None for cable and for a factory whip.
    pull_points: places added so that no stretch exceeds 360 degrees of bend.
    segments_ft: lengths between boxes and pull points, in order; they sum to length_ft.
    factory_whip: conductors and conduit come with the listed transfer equipment.
    overcurrent_a: rating that protects the run's largest ungrounded conductors.
    enough_without_drop: size that ampacity alone asked for.
    pull_box: None for a run without pull points and wall turns.
    """

    index: int
    from_: Node
    to: Node
    wiring_method: WiringMethod
    length_ft: Decimal
    trade_size: str | None
    fill_percent: Decimal | None
    fill_limit_percent: Decimal | None
    bends_deg: tuple[Decimal, ...]
    pull_points: int
    segments_ft: tuple[Decimal, ...]
    nipple: bool
    factory_whip: bool
    current_carrying: int
    overcurrent_a: int
    ampacity_a: Decimal
    enough_without_drop: str
    voltage_drop_percent: Decimal
    voltage_drop_at_load_percent: Decimal | None
    voltage_drop_one_leg_percent: Decimal | None
    conductors: tuple[RunConductor, ...]
    place: Place
    exposure: Exposure
    sun_exposed: bool
    surface: Surface
    insulation: Insulation
    wall_penetrations: int
    finished_wall: bool
    expansion_fittings: int
    expansion_change_in: Decimal | None
    because: tuple[Because, ...]
    pull_box: PullBox | None = None


@dataclass(frozen=True, slots=True)
class CordDesign:
    """The supply cord: plug towards the supply, connector towards the inlet.

    ampacity_a: at 30 C. ambient_c: where it lies [C]. heat_ampacity_a: at that ambient [A], 0
    where it may not lie. enough_without_drop: size that ampacity at 30 C alone asked for.
    total_drop_percent: cord and feeder together, each at its rated current.
    """

    plug: str
    connector: str
    length_ft: Decimal
    conductor_size: str
    conductors: int
    ampacity_a: Decimal
    ambient_c: Decimal
    heat_ampacity_a: Decimal
    enough_without_drop: str
    voltage_drop_percent: Decimal
    voltage_drop_at_load_percent: Decimal
    total_drop_percent: Decimal
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class SurgeProtector:
    """A surge protector that the code asks for in or beside new equipment.

    at: the equipment. kinds: types that may be used. discharge_ka: least nominal discharge
    current [kA], None where the edition names none.
    """

    at: Node
    kinds: tuple[int, ...]
    discharge_ka: Decimal | None
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class Design:
    """The whole electrical design of a job, with everything found on the way.

    surge_protector: None where the code does not ask for one.
    """

    load_study: LoadStudy
    transfer: TransferDesign
    circuits: tuple[CircuitDesign, ...]
    runs: tuple[RunDesign, ...]
    cord: CordDesign
    findings: tuple[Finding, ...]
    surge_protector: SurgeProtector | None = None
