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
    """Hours to recharge the usable energy; None where the job names no such input."""

    solar: Decimal | None
    ac: Decimal | None


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
class TransferDesign:
    """The transfer equipment chosen. spaces_needed counts poles; spaces_used of spaces."""

    method: TransferMethod
    rating_a: int
    spaces: int
    spaces_needed: int
    spaces_used: int
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class CircuitDesign:
    """One circuit on the transfer equipment.

    conductor_size: of the two conductors per pole to the load centre.
    position: switch positions taken, such as "3" or "1-2"; "" when it could not be placed.
    """

    name: str
    leg: Leg
    breaker_a: int
    poles: int
    conductor_size: str
    position: str
    because: tuple[Because, ...]


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
class RunDesign:
    """One run as it is to be built.

    trade_size, fill_percent, fill_limit_percent: None for cable and for a factory whip.
    pull_points: places added so that no stretch exceeds 360 degrees of bend.
    segments_ft: lengths between boxes and pull points, in order; they sum to length_ft.
    factory_whip: conductors and conduit come with the listed transfer equipment.
    overcurrent_a: rating that protects the run's largest ungrounded conductors.
    enough_without_drop: size that ampacity alone asked for.
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


@dataclass(frozen=True, slots=True)
class CordDesign:
    """The supply cord: plug towards the supply, connector towards the inlet."""

    plug: str
    connector: str
    length_ft: Decimal
    conductor_size: str
    conductors: int
    ampacity_a: Decimal
    voltage_drop_percent: Decimal
    because: tuple[Because, ...]


@dataclass(frozen=True, slots=True)
class Design:
    """The whole electrical design of a job, with everything found on the way."""

    load_study: LoadStudy
    transfer: TransferDesign
    circuits: tuple[CircuitDesign, ...]
    runs: tuple[RunDesign, ...]
    cord: CordDesign
    findings: tuple[Finding, ...]
