"""The columns of the sizing tables, one record per kind of row."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from estimator.job.records import CodeEdition, Material

Conduit = Literal["nonmetallic", "aluminium", "steel"]
Form = Literal["raceway", "cable"]


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
    """A standard rating [A] and the first code edition that lists it."""

    rating_a: int
    edition_from: CodeEdition
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
class InsulationRow:
    """Ampacity columns [C] of a conductor: where correction starts, what is never exceeded."""

    insulation: str
    corrected_from_c: int
    never_above_c: int
    source: str


@dataclass(frozen=True, slots=True)
class WiringMethodRow:
    """What a wiring method is and where it may be.

    built: sized by this estimator. conduit: its column of the impedance table. instead: what
    may be used where this method may not.
    """

    wiring_method: str
    form: Form
    built: bool
    conduit: Conduit
    in_wet: bool
    in_damp: bool
    in_sun: bool
    max_ambient_c: int | None
    instead: str
    source: str


@dataclass(frozen=True, slots=True)
class ColourRow:
    """Colour of a conductor by the run it is in and its use there."""

    run: str
    use: str
    colour: str
    source: str


@dataclass(frozen=True, slots=True)
class LimitRow:
    """One loose number of a rule."""

    name: str
    value: Decimal
    unit: str
    source: str
