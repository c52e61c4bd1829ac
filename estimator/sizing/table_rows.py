"""The columns of the sizing tables, one record per kind of row."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.job.records import Material, Node

Conduit = Literal["nonmetallic", "aluminium", "steel"]
Form = Literal["raceway", "cable"]
Burial = Literal["direct_cable", "rigid_metal", "other_raceway"]
Condition = Literal["dry", "damp", "wet", "outdoor", "sun", "underground", "struck"]
BoxForm = Literal["octagon", "square", "device", "masonry", "fs", "fd", "fs_multi", "fd_multi"]


@dataclass(frozen=True, slots=True)
class AmpacityRow:
    """Ampacity [A] of a conductor at 30 C with no more than three current-carrying."""

    size: str
    material: Material
    insulation_temp_c: int
    ampacity_a: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class AmbientRow:
    """Factor per insulation column for a band of ambient temperature [C]; None: not allowed."""

    low_c: int | None
    high_c: int
    factor_60c: Decimal | None
    factor_75c: Decimal | None
    factor_90c: Decimal | None
    source: str


@dataclass(frozen=True, slots=True)
class BundlingRow:
    """Percentage of the ampacity left for a number of current-carrying conductors."""

    conductors_low: int
    conductors_high: int | None
    percent: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class SmallConductorRow:
    """Largest overcurrent device [A] of a small conductor, whatever its ampacity."""

    size: str
    material: Material
    max_overcurrent_a: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class OvercurrentRow:
    """A standard rating [A] that every code edition lists; more are in the edition files."""

    rating_a: int
    source: str


@dataclass(frozen=True, slots=True)
class EquipmentGroundRow:
    """Smallest equipment grounding conductor up to an overcurrent rating [A]."""

    overcurrent_a: int
    cu_size: str
    al_size: str
    source: str


@dataclass(frozen=True, slots=True)
class ConductorRow:
    """Outside of an insulated conductor. area_in2 as printed: Annex C counts with it."""

    insulation: str
    size: str
    diameter_in: Decimal
    area_in2: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class RacewayRow:
    """Inside of a raceway. The area columns are printed rounded and only shown."""

    raceway: str
    trade_size: str
    inside_diameter_in: Decimal
    total_area_in2: Decimal
    area_53_percent_in2: Decimal
    area_31_percent_in2: Decimal
    area_40_percent_in2: Decimal
    area_60_percent_in2: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class FillRow:
    """Share of a raceway's inside area [%] that a number of conductors may take."""

    conductors_low: int
    conductors_high: int | None
    percent: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class DcResistanceRow:
    """Direct-current resistance at 75 C [ohm per 1000 ft] and area [circular mils]."""

    size: str
    stranding: Literal["solid", "stranded"]
    strands: int
    circular_mils: Decimal
    cu_ohm_per_kft: Decimal
    al_ohm_per_kft: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class AcImpedanceRow:
    """Resistance, reactance and effective impedance at 0.85 power factor [ohm per 1000 ft]."""

    size: str
    material: Material
    conduit: Conduit
    r_ohm_per_kft: Decimal
    x_ohm_per_kft: Decimal
    z_ohm_per_kft: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class CordRow:
    """Ampacity [A] of flexible cord with three or two current-carrying conductors."""

    size: str
    three_conductors_a: Decimal
    two_conductors_a: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class TerminalRow:
    """Ampacity column [C] that a termination allows, by circuit rating [A]."""

    circuit_a_max: int | None
    unmarked_c: int
    marked_75_c: int
    source: str


@dataclass(frozen=True, slots=True)
class SwitchRow:
    """A size in which per-circuit manual transfer switches are made."""

    positions: int
    rating_a: int
    source: str


@dataclass(frozen=True, slots=True)
class TransferPanelRow:
    """A size in which transfer subpanels are made; the selector's mains take no positions."""

    positions: int
    rating_a: int
    source: str


@dataclass(frozen=True, slots=True)
class InsulationRow:
    """Ampacity columns [C] of a conductor: where correction starts, what is never exceeded.

    small_up_to: conductors of this size and smaller never exceed small_never_above_c [C].
    """

    insulation: str
    corrected_from_c: int
    never_above_c: int
    small_up_to: str | None
    small_never_above_c: int | None
    source: str


@dataclass(frozen=True, slots=True)
class WiringMethodRow:
    """What a wiring method is.

    conduit: its column of the impedance table. burial: its column of the table of cover.
    bend_radius_diameters: least bend of a cable in its own diameters, blank for a raceway.
    max_ambient_c: hottest air it may be in [C]. source: of that limit or of the bend.
    """

    wiring_method: str
    form: Form
    conduit: Conduit
    burial: Burial | None
    bend_radius_diameters: int | None
    max_ambient_c: int | None
    source: str


@dataclass(frozen=True, slots=True)
class PermittedUseRow:
    """Whether a wiring method may be in a place.

    verdict: "permitted", or the severity of the finding that it gives. provided: what has to
    hold for it, or, where it may not be, why not.
    """

    wiring_method: str
    condition: Condition
    verdict: Literal["permitted", "note", "warning", "error"]
    provided: str | None
    source: str


@dataclass(frozen=True, slots=True)
class CableRow:
    """A size in which a cable is made, and the equipment ground inside it."""

    cable: str
    material: Material
    size: str
    ground_size: str
    source: str


@dataclass(frozen=True, slots=True)
class CableDiameterRow:
    """Outside of a cable with ground [in]; major_in is the longer axis of a flat one."""

    cable: str
    material: Material
    size: str
    conductors: int
    major_in: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class BurialRow:
    """Least cover over buried wiring [in] by where it lies."""

    location: str
    direct_cable_in: Decimal
    rigid_metal_in: Decimal
    other_raceway_in: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class BendRadiusRow:
    """Least radius to the centre of a bend made in the field [in]."""

    trade_size: str
    one_shot_in: Decimal
    other_in: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class TerminalMaterialRow:
    """Which conductors the terminals of equipment take, by its rating [A]."""

    equipment: Node
    rated_a_max: int | None
    takes: Literal["copper_only", "if_marked"]
    source: str


@dataclass(frozen=True, slots=True)
class ColourRow:
    """Colour of a conductor by the run it is in and its use there."""

    run: str
    use: str
    colour: str
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
class BoxAllowanceRow:
    """Volume [in3] that one conductor takes in a box."""

    size: str
    volume_in3: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class BoxRow:
    """A standard metal box and its least volume [in3]; of gang boxes, that of one gang."""

    form: BoxForm
    dimensions_in: str
    volume_in3: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class WorkingSpaceRow:
    """One measure of the space about equipment, up to a voltage to ground [V]."""

    item: str
    volts_to_ground_max: int
    value: Decimal
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class SpliceSizeRow:
    """Diameter [in] of the circle that a splice of wires up to a size is taken to fill."""

    up_to: str
    diameter_in: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One loose number of a rule."""

    name: str
    value: Decimal
    unit: str
    source: str
