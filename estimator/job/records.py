"""The complete job description as frozen records.

Every field is filled: what the user left out was filled by defaults.py, which lists each
default as an assumption. ``None`` means "not known, and not to be guessed".
Lengths in feet, temperatures in degrees Celsius, power in watts, money in terms.currency.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from estimator.record import quick

Surface = Literal[
    "poured_concrete", "concrete_block", "grouted_block", "brick", "stucco_on_block",
    "stucco_on_frame", "wood_siding", "plywood", "stud_drywall", "hollow_drywall",
    "metal_siding", "steel_stud",
]  # fmt: skip
Mounting = Literal["surface", "flush"]
Place = Literal["indoor", "outdoor", "underground"]
Exposure = Literal["dry", "damp", "wet"]
WiringMethod = Literal[
    "EMT", "ENT", "FMC", "LFMC", "LFNC-B", "PVC-40", "PVC-80", "RMC", "IMC",
    "NM-B", "UF-B", "SER", "MC",
]  # fmt: skip
Insulation = Literal["THHN/THWN-2", "XHHW-2", "RHW-2/USE-2", "TW/THW-2"]
Material = Literal["cu", "al"]
System = Literal["120/240", "120"]
TransferMethod = Literal["manual_switch", "interlock", "subpanel", "automatic_switch"]
TerminalTemperature = Literal[60, 75]
Residence = Literal[
    "main_home", "second_home", "tenant", "rented_out", "landlord", "not_a_residence"
]
CodeEdition = Literal["2020", "2023"]
Group = Literal["materials", "labour", "permit"]
Node = Literal["inlet", "transfer", "load_centre"]


@quick
@dataclass(frozen=True, slots=True)
class Circuit:
    """One house circuit to be backed up.

    poles: 1 or 2. starting_w: total while starting (contains running_w).
    conductor_size: of the wire in the wall today, such as "12 AWG".
    """

    name: str
    breaker_a: int
    poles: Literal[1, 2]
    running_w: Decimal
    starting_w: Decimal
    hours_per_day: Decimal
    priority: int
    continuous: bool
    single_load: bool
    life_support: bool
    shared_neutral_with: str | None
    protection: Literal["standard", "afci", "gfci", "dual"]
    conductor_size: str
    conductor_material: Material


@dataclass(frozen=True, slots=True)
class DirectLoad:
    """A load plugged into the supply itself: in the load study, not in the wiring."""

    name: str
    outlet: str
    running_w: Decimal
    starting_w: Decimal
    hours_per_day: Decimal
    priority: int


@dataclass(frozen=True, slots=True)
class Site:
    """Where the house is. region: ISO 3166-2 code, or "US" when the state is not known."""

    region: str
    code_edition: CodeEdition
    indoor_ambient_c: Decimal
    outdoor_ambient_c: Decimal
    residence: Residence
    built_before_sale: bool


@dataclass(frozen=True, slots=True)
class Supply:
    """What feeds the house. outlet: NEMA configuration that the cord plugs into."""

    kind: Literal["power_station", "battery", "generator"]
    portable: bool
    system: System
    continuous_w: Decimal | None
    surge_w: Decimal | None
    leg_limit_w: Decimal | None
    outlet: str
    neutral: Literal["bonded", "floating", "unknown"]
    outlet_gfci: bool
    usable_kwh: Decimal | None
    nameplate_kwh: Decimal | None
    efficiency: Decimal
    idle_w: Decimal
    cycle_life: int | None
    capacity_after_cycle_life: Decimal
    solar_input_w: Decimal | None
    ac_input_w: Decimal | None
    price: Decimal | None


@dataclass(frozen=True, slots=True)
class Inlet:
    """The power inlet on the house. configuration: a key of the inlet table ("L14-30")."""

    configuration: str
    place: Place
    exposure: Exposure
    surface: Surface
    mounting: Mounting
    terminal_temp_c: TerminalTemperature


@dataclass(frozen=True, slots=True)
class Transfer:
    """The transfer equipment. spaces: positions of the equipment; None lets us choose."""

    method: TransferMethod
    spaces: int | None
    factory_whip: bool
    whip_length_ft: Decimal
    switched_neutral: bool
    surface: Surface
    mounting: Mounting
    rating_a: int
    terminal_temp_c: TerminalTemperature
    load_management: bool


@dataclass(frozen=True, slots=True)
class LoadCentre:
    """The existing panel. free_spaces None: not known. gutter_in: clear wiring space."""

    role: Literal["service", "subpanel"]
    main_a: int
    bus_a: int
    free_spaces: int | None
    neutral_ground: Literal["bonded", "separate"]
    gutter_in: Decimal
    surface: Surface
    terminal_temp_c: TerminalTemperature


@dataclass(frozen=True, slots=True)
class Run:
    """A length of raceway or cable between two boxes, in order from the inlet.

    bends_deg: the bends in order along the run (one total is kept as one entry).
    temperature_change_c: span between coldest and hottest day, for expansion.
    """

    from_: Node
    to: Node
    length_ft: Decimal
    wiring_method: WiringMethod
    insulation: Insulation
    conductor_material: Material
    bends_deg: tuple[Decimal, ...]
    exposure: Exposure
    place: Place
    sun_exposed: bool
    surface: Surface
    ambient_c: Decimal
    temperature_change_c: Decimal
    wall_penetrations: int
    depth_in: Decimal | None
    finished_wall: bool


@dataclass(frozen=True, slots=True)
class LabourTerms:
    """Who works and at what rate. Exactly one of hourly_rate and wage is set."""

    crew: int
    hourly_rate: Decimal | None
    wage: Decimal | None
    burden_percent: Decimal
    skill: Literal["contractor", "own"]
    factors: tuple[str, ...]
    minimum_hours: Decimal
    travel_hours: Decimal | None


@dataclass(frozen=True, slots=True)
class Terms:
    """Terms of the quote. At most one of markup_percent and margin_percent is set.

    most_suppliers: how many suppliers may be bought from; None: any number.
    """

    currency: str
    markup_percent: Decimal | None
    margin_percent: Decimal | None
    overhead_percent: Decimal
    contingency_percent: Decimal
    sales_tax_percent: Decimal
    taxable: tuple[Group, ...]
    permit_fee: Decimal | None
    discount: Decimal
    deposit_percent: Decimal
    valid_days: int
    price_by: Literal["purchase", "use"]
    quoted_on: date
    most_suppliers: int | None = None


@dataclass(frozen=True, slots=True)
class PanelUpgrade:
    """Panel work claimed under the home improvement credit."""

    cost: Decimal
    amps: int
    enables: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CreditClaim:
    """Facts for the tax credits; None is "not told".

    completed_on decides the tax year. nonbusiness_share: 0 to 1.
    tax_before_credit: the taxpayer's own limit for this credit; tax_in_later_years: the same
    for the year after, then the next.
    """

    completed_on: date | None
    placed_in_service_on: date | None
    paid_on: date | None
    permanently_wired: bool | None
    charged_only_by_onsite_solar: bool
    nonbusiness_share: Decimal
    tax_before_credit: Decimal | None
    carryforward_in: Decimal
    utility_subsidy: Decimal
    seller_rebate: Decimal
    state_incentive: Decimal
    panel_upgrade: PanelUpgrade
    tax_in_later_years: tuple[Decimal, ...] = ()


@dataclass(frozen=True, slots=True)
class Loan:
    """Money borrowed for the job, paid back in equal monthly payments.

    amount: the most that is borrowed, 0 for no loan. annual_rate_percent: twelve times the
    rate of a month.
    """

    amount: Decimal
    annual_rate_percent: Decimal | None
    months: int | None


NO_LOAN = Loan(Decimal("0.00"), None, None)


@quick
@dataclass(frozen=True, slots=True)
class ComparisonTerms:
    """What the homeowner's own work is worth, quotes of others to set beside ours, what a loan
    costs, and the outages to spread the cost over: hours of a year [h], years of use.
    """

    own_hour_value: Decimal | None
    own_speed_factor: Decimal
    tools_owned: tuple[str, ...]
    hire_quotes: tuple[Decimal, ...]
    loan: Loan = NO_LOAN
    outage_hours_per_year: Decimal | None = None
    years_of_use: int | None = None


@dataclass(frozen=True, slots=True)
class StockItem:
    """Something the user has already, in the words of a part: kind, attributes, quantity."""

    kind: str
    attributes: tuple[tuple[str, str], ...]
    quantity: Decimal
    unit: str


@dataclass(frozen=True, slots=True)
class Job:
    """One wiring job, complete."""

    name: str
    circuits: tuple[Circuit, ...]
    direct_loads: tuple[DirectLoad, ...]
    site: Site
    supply: Supply
    cord_length_ft: Decimal
    inlet: Inlet
    transfer: Transfer
    load_centre: LoadCentre
    runs: tuple[Run, ...]
    voltage_drop_target_percent: Decimal
    labour: LabourTerms
    terms: Terms
    credit_claim: CreditClaim
    comparison: ComparisonTerms
    stock: tuple[StockItem, ...]
