"""Whole job descriptions at random: any choice that the door lets in, in any combination."""

from decimal import Decimal
from random import Random
from typing import Any, get_args

from estimator.job import records
from estimator.job.breakers import branch_ratings
from estimator.job.configurations import all_configurations, inlet_configurations
from estimator.job.regions import region_codes
from estimator.job.run_order import legs_for
from estimator.takeoff.part_kinds import load_part_kinds
from estimator.takeoff.tables import load_take_off_tables
from estimator.takeoff.tools import load_tools
from estimator.units import WIRE_SIZES

Json = dict[str, Any]

SURFACES = get_args(records.Surface)
MOUNTINGS = get_args(records.Mounting)
EXPOSURES = get_args(records.Exposure)
METHODS = get_args(records.WiringMethod)
INSULATIONS = get_args(records.Insulation)
TRANSFERS = get_args(records.TransferMethod)
RESIDENCES = get_args(records.Residence)
GROUPS = get_args(records.Group)
PLACES = get_args(records.Place)
# As people write names; what could act in a document is the business of tests/hostile.
NAMES = (
    "Well pump", "Kühlschrank", "Sump & ejector", "Bob's room", "Furnace (gas)", "#7", "12",
    "Freezer, garage", "冷蔵庫", "a" * 60, "0.5 hp", "Light/fan", "50% dimmer", "true",
)  # fmt: skip


def random_job(seed: int) -> Json:
    """One job description; the same seed gives the same job."""
    dice = Random(seed)
    method = dice.choice(TRANSFERS)
    inlet = dice.choice(inlet_configurations())
    length = _decimal(dice, 1, dice.choice((12, 60, 400)), 1)
    job: Json = {
        "circuits": _circuits(dice),
        "mounting_surface": dice.choice(SURFACES),
        "run_length_ft": length,
        "inlet": inlet if dice.random() < 0.6 else _inlet(dice, inlet),
    }
    optional = {
        "name": lambda: f"{dice.choice(NAMES)} {seed}",
        "site": lambda: _site(dice),
        "supply": lambda: _supply(dice),
        "cord_length_ft": lambda: _decimal(dice, 3, 120, 1),
        "transfer": lambda: _transfer(dice, method),
        "load_centre": lambda: _load_centre(dice),
        "runs": lambda: _runs(dice, legs_for(method), Decimal(length)),
        "direct_loads": lambda: [_direct_load(dice) for _ in range(dice.randint(0, 3))],
        "voltage_drop_target_percent": lambda: _decimal(dice, 1, 5, 1),
        "labour": lambda: _labour(dice),
        "terms": lambda: _terms(dice),
        "credit_claim": lambda: _credit_claim(dice),
        "comparison": lambda: _comparison(dice),
        "stock": lambda: [_stock(dice) for _ in range(dice.randint(0, 3))],
    }
    for field, make in optional.items():
        if dice.random() < 0.55 or (field == "transfer" and method != "manual_switch"):
            job[field] = make()
    if "transfer" not in job and "runs" in job:
        job["transfer"] = {"method": method}
    return job


def _some(dice: Random, fields: Json, keep: float = 0.5) -> Json:
    """Each of the fields by chance."""
    return {name: value for name, value in fields.items() if dice.random() < keep}


def _decimal(dice: Random, low: float, high: float, places: int) -> str:
    scale = 10**places
    return str(Decimal(dice.randint(int(low * scale), int(high * scale))) / scale)


def _yes(dice: Random) -> bool:
    return dice.random() < 0.5


def _day(dice: Random) -> str:
    return f"{dice.choice((2022, 2023, 2024, 2025, 2025, 2026))}-{dice.randint(1, 12):02}-11"


def _circuits(dice: Random) -> list[Json]:
    circuits = [
        _circuit(dice, number)
        for number in range(dice.choice((1, 1, 2, 3, 4, 6, 6, 8, 10, 12, 16, 24)))
    ]
    one_pole = [circuit for circuit in circuits if circuit.get("poles", 1) == 1]
    dice.shuffle(one_pole)
    while len(one_pole) >= 2 and dice.random() < 0.3:
        first, second = one_pole.pop(), one_pole.pop()
        first["shared_neutral_with"] = second["name"]
        if _yes(dice):
            second["shared_neutral_with"] = first["name"]
    return circuits


def _circuit(dice: Random, number: int) -> Json:
    poles = dice.choice((1, 1, 1, 2))
    breaker = dice.choice(branch_ratings()) if dice.random() < 0.3 else dice.choice((15, 20))
    running = dice.randint(0, breaker * 120 * poles)
    return {
        "name": f"{dice.choice(NAMES)} {number}",
        "breaker_a": breaker,
        "poles": poles,
        "running_w": running,
        **_some(
            dice,
            {
                "starting_w": running + dice.randint(0, 6000),
                "hours_per_day": _decimal(dice, 0, 24, 1),
                "priority": dice.randint(1, 9),
                "continuous": _yes(dice),
                "single_load": _yes(dice),
                "life_support": dice.random() < 0.1,
                "protection": dice.choice(("standard", "afci", "gfci", "dual")),
                "conductor_size": dice.choice(WIRE_SIZES[2:10]),
                "conductor_material": dice.choice(("cu", "al")),
            },
        ),
    }


def _direct_load(dice: Random) -> Json:
    running = dice.randint(0, 3000)
    return {
        "name": f"{dice.choice(NAMES)} plugged in",
        "outlet": dice.choice(all_configurations()),
        "running_w": running,
        **_some(
            dice,
            {
                "starting_w": running + dice.randint(0, 2000),
                "hours_per_day": _decimal(dice, 0, 24, 1),
                "priority": dice.randint(1, 9),
            },
        ),
    }


def _inlet(dice: Random, configuration: str) -> Json:
    return {
        "configuration": configuration,
        **_some(
            dice,
            {
                "place": dice.choice(("indoor", "outdoor")),
                "exposure": dice.choice(EXPOSURES),
                "surface": dice.choice(SURFACES),
                "mounting": dice.choice(MOUNTINGS),
                "terminal_temp_c": dice.choice((60, 75)),
            },
        ),
    }


def _site(dice: Random) -> Json:
    return _some(
        dice,
        {
            "region": dice.choice(region_codes()),
            "code_edition": dice.choice(get_args(records.CodeEdition)),
            "indoor_ambient_c": _decimal(dice, 10, 50, 0),
            "outdoor_ambient_c": _decimal(dice, -10, 60, 0),
            "residence": dice.choice(RESIDENCES),
            "built_before_sale": _yes(dice),
        },
    )


def _supply(dice: Random) -> Json:
    continuous = dice.randint(500, 15_000)
    usable = dice.randint(1, 30)
    return _some(
        dice,
        {
            "kind": dice.choice(("power_station", "battery", "generator")),
            "portable": _yes(dice),
            "system": dice.choice(("120/240", "120")),
            "continuous_w": continuous,
            "surge_w": continuous + dice.randint(0, 9000),
            "leg_limit_w": dice.randint(100, 500),
            "outlet": dice.choice(all_configurations()),
            "neutral": dice.choice(("bonded", "floating", "unknown")),
            "outlet_gfci": _yes(dice),
            "usable_kwh": usable,
            "nameplate_kwh": usable + dice.randint(0, 9),
            "efficiency": _decimal(dice, 0.5, 1, 2),
            "idle_w": dice.randint(0, 200),
            "cycle_life": dice.randint(1, 9000),
            "capacity_after_cycle_life": _decimal(dice, 0.1, 1, 2),
            "solar_input_w": dice.randint(0, 5000),
            "ac_input_w": dice.randint(0, 5000),
            "price": _decimal(dice, 0, 9000, 2),
        },
    )


def _transfer(dice: Random, method: str) -> Json:
    fields = {
        "spaces": dice.randint(1, 40),
        "factory_whip": _yes(dice),
        "whip_length_ft": _decimal(dice, 0.5, 12, 1),
        "switched_neutral": _yes(dice),
        "surface": dice.choice(SURFACES),
        "mounting": dice.choice(MOUNTINGS),
        "rating_a": dice.choice((15, 30, 50, 60, 100, 125, 200, 225, 400)),
        "terminal_temp_c": dice.choice((60, 75)),
    }
    if method == "automatic_switch":
        fields["load_management"] = _yes(dice)
    return {"method": method, **_some(dice, fields, 0.35)}


def _load_centre(dice: Random) -> Json:
    return _some(
        dice,
        {
            "role": dice.choice(("service", "subpanel")),
            "main_a": dice.choice((60, 100, 125, 200, 400)),
            "bus_a": dice.choice((60, 100, 125, 200, 225, 400)),
            "free_spaces": dice.randint(0, 42),
            "neutral_ground": dice.choice(("bonded", "separate")),
            "gutter_in": _decimal(dice, 0.5, 12, 1),
            "surface": dice.choice(SURFACES),
            "terminal_temp_c": dice.choice((60, 75)),
        },
    )


def _runs(dice: Random, legs: tuple[tuple[str, str], ...], length: Decimal) -> list[Json]:
    pieces = dice.choice((1, 1, 2, 3))
    each = (length / pieces).quantize(Decimal("0.01"))
    lengths = [each] * (pieces - 1) + [length - each * (pieces - 1)]
    runs = [_run(dice, legs[0], piece) for piece in lengths]
    for leg in legs[1:]:
        runs += [
            _run(dice, leg, Decimal(_decimal(dice, 0.5, 60, 1)))
            for _ in range(dice.choice((1, 1, 1, 2)))
        ]
    return runs


def _run(dice: Random, leg: tuple[str, str], length: Decimal) -> Json:
    place = dice.choice(PLACES)
    fields = {
        "wiring_method": dice.choice(METHODS),
        "insulation": dice.choice(INSULATIONS),
        "conductor_material": dice.choice(("cu", "cu", "al")),
        "bends_deg": dice.choice((0, 90, 360, 900, [90, 90], [45, 45, 90, 90, 90, 90, 30])),
        "exposure": dice.choice(EXPOSURES),
        "place": place,
        "sun_exposed": _yes(dice),
        "surface": dice.choice(SURFACES),
        "ambient_c": dice.randint(-20, 60),
        "temperature_change_c": dice.randint(0, 100),
        "wall_penetrations": dice.randint(0, 4),
        "finished_wall": _yes(dice),
    }
    run: Json = {"from": leg[0], "to": leg[1], "length_ft": str(length), **_some(dice, fields)}
    if run.get("place") == "underground" and _yes(dice):
        run["depth_in"] = dice.randint(1, 60)
    return run


def _labour(dice: Random) -> Json:
    factors = list(load_take_off_tables().factors)
    return _some(
        dice,
        {
            "crew": dice.randint(1, 4),
            "hourly_rate": _decimal(dice, 20, 200, 2),
            "wage": _decimal(dice, 10, 80, 2),
            "burden_percent": dice.randint(0, 80),
            "skill": dice.choice(("contractor", "own")),
            "factors": dice.sample(factors, dice.randint(0, 4)),
            "minimum_hours": _decimal(dice, 0, 12, 1),
            "travel_hours": _decimal(dice, 0, 6, 1),
        },
    )


def _terms(dice: Random) -> Json:
    profit = dice.choice((
        {},
        {"markup_percent": _decimal(dice, 0, 120, 2)},
        {"margin_percent": _decimal(dice, 0, 90, 2)},
    ))  # fmt: skip
    return {
        **profit,
        **_some(
            dice,
            {
                "currency": dice.choice(("USD", "USD", "USD", "CAD")),
                "overhead_percent": _decimal(dice, 0, 40, 2),
                "contingency_percent": _decimal(dice, 0, 30, 2),
                "sales_tax_percent": _decimal(dice, 0, 12, 3),
                "taxable": dice.sample(GROUPS, dice.randint(0, 3)),
                "permit_fee": _decimal(dice, 0, 400, 2),
                "discount": _decimal(dice, 0, 300, 2),
                "deposit_percent": dice.randint(0, 100),
                "valid_days": dice.randint(1, 730),
                "price_by": dice.choice(("purchase", "use")),
                "quoted_on": _day(dice),
                "most_suppliers": dice.choice((None, 1, 2)),
            },
        ),
    }


def _credit_claim(dice: Random) -> Json:
    return _some(
        dice,
        {
            "completed_on": _day(dice),
            "placed_in_service_on": _day(dice),
            "paid_on": _day(dice),
            "permanently_wired": _yes(dice),
            "charged_only_by_onsite_solar": _yes(dice),
            "nonbusiness_share": _decimal(dice, 0, 1, 2),
            "tax_before_credit": _decimal(dice, 0, 9000, 2),
            "tax_in_later_years": [_decimal(dice, 0, 3000, 2) for _ in range(dice.randint(0, 4))],
            "carryforward_in": _decimal(dice, 0, 2000, 2),
            "utility_subsidy": _decimal(dice, 0, 900, 2),
            "seller_rebate": _decimal(dice, 0, 900, 2),
            "state_incentive": _decimal(dice, 0, 900, 2),
            "panel_upgrade": _some(
                dice,
                {
                    "cost": _decimal(dice, 0, 4000, 2),
                    "amps": dice.choice((100, 200, 400)),
                    "enables": dice.sample(["heat_pump", "battery_storage"], dice.randint(0, 2)),
                },
            ),
        },
    )


def _comparison(dice: Random) -> Json:
    loan = {
        "amount": _decimal(dice, 0, 9000, 2),
        "annual_rate_percent": _decimal(dice, 0, 30, 2),
        "months": dice.randint(1, 120),
    }
    tools = load_tools().names
    return _some(
        dice,
        {
            "own_hour_value": _decimal(dice, 0, 90, 2),
            "own_speed_factor": _decimal(dice, 0.5, 5, 1),
            "tools_owned": dice.sample(tools, dice.randint(0, 8)),
            "hire_quotes": [_decimal(dice, 0, 9000, 2) for _ in range(dice.randint(0, 3))],
            "loan": loan,
            "outage_hours_per_year": dice.randint(1, 300),
            "years_of_use": dice.randint(1, 30),
        },
    )


def _stock(dice: Random) -> Json:
    kinds = load_part_kinds()
    return dice.choice((
        {"kind": "conductor", "size": "10 AWG", "colour": "green", "unit": "ft",
         "quantity": dice.randint(1, 400)},
        {"kind": "conductor", "size": "12 AWG", "colour": "black", "unit": "ft",
         "quantity": _decimal(dice, 1, 90, 2)},
        {"kind": dice.choice(list(kinds)), "unit": "ea", "quantity": dice.randint(1, 9)},
    ))  # fmt: skip
