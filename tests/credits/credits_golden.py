"""Claims whose full answers are kept word for word in golden/.

Run this file to write them anew; then read the difference before it is kept.
"""

import json
import sys
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field
from datetime import date
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

from credits_job import MATERIALS, make_job, make_price, make_take_off
from credits_programmes import RATE, text, together
from credits_samples import BATTERY, TODAY, cost, facts

from estimator.credits.assess import assess_credits
from estimator.credits.chain import ClaimOfYear, carry_through, only_carried_in
from estimator.credits.facts import cost_lines
from estimator.credits.panel_rules_file import read_panel_rules
from estimator.credits.programme_facts import read_told
from estimator.credits.programme_file import read_programmes
from estimator.credits.records import CostLine
from estimator.credits.rules_file import load_credit_rules, read_credit_rules
from estimator.credits.year_table import credits_by_year
from estimator.published.sources import load_sources
from estimator.published.tables import package_text

FOLDER = Path(__file__).parent / "golden"
SAMPLES = Path(__file__).parents[2] / "catalog_samples" / "programmes"
EVERY_COST = tuple(
    cost(code, "100.00")
    for code in load_credit_rules().costs
    if not code.startswith("battery_") and code != "generator_fuel"
)
INSTALLED = (
    BATTERY,
    cost("wiring_interconnect", "500.00"),
    cost("sales_tax", "35.00", on="wiring_interconnect"),
    cost("transfer_switch", "600.00"),
    cost("sales_tax", "42.00", on="transfer_switch"),
    cost("labour_install", "900.00"),
    cost("inlet_box", "0.00", priced=False),
    cost("tools", "40.00"),
)
PORTABLE = {
    "supply_kind": "power_station", "portable": True, "permanently_wired": False,
}  # fmt: skip
UTILITY_TOLD = {
    "household_income": "90000",
    "tax_limit": "800",
    "customer_class": "standard",
    "applied_on": "2025-02-01",
    "approved_before_start": "yes",
    "funds_reserved": "yes",
    "customer_of_this_utility": "yes",
}


@dataclass(frozen=True)
class Claim:
    """Changes to the sample facts, costs, and whether the sample programmes are claimed."""

    changes: Mapping[str, Any] = field(default_factory=dict)
    costs: tuple[CostLine, ...] = INSTALLED
    programmes: bool = False
    told: Mapping[str, str] = field(default_factory=dict)
    today: date = TODAY


def on(year: int, month: int = 6, day: int = 1) -> dict[str, Any]:
    when = date(year, month, day)
    return {"completed_on": when, "placed_in_service_on": when, "paid_on": when}


PANEL = {"panel_cost": Decimal(1500), "panel_amps": 200, "panel_enables": ("heat_pump",)}
CLAIMS = {
    "fixed_battery_2024": Claim(),
    "every_cost_2025": Claim(on(2025), (BATTERY, *EVERY_COST)),
    "portable_station_2025": Claim(
        {**on(2025), **PORTABLE, "tax_limit": None},
        (cost("battery_portable", "2450.00"), *INSTALLED[1:]),
    ),
    "solar_only_2021": Claim({**on(2021), "charged_only_by_onsite_solar": True}),
    "capped_2007": Claim({**on(2007), "charged_only_by_onsite_solar": True}),
    "ended_with_carry_2026": Claim(
        {**on(2026), "paid_on": date(2025, 11, 1), "carryforward_in": Decimal(2700),
         "tax_limit": Decimal(2000)}
    ),
    "day_unknown": Claim({"completed_on": None, "paid_on": date(2025, 5, 1)}),
    "landlord_of_2030": Claim({**on(2030), "residence": "landlord"}),
    "split_year_second_home": Claim(
        {"completed_on": date(2025, 12, 29), "placed_in_service_on": date(2026, 2, 3),
         "residence": "rented_out", "nameplate_kwh": Decimal("3.2"), "usable_kwh": Decimal("2.9")}
    ),
    "new_home_planned_2025": Claim(
        {"completed_on": date(2024, 11, 20), "placed_in_service_on": date(2025, 2, 1),
         "newly_built_home": True, "planned": True}, today=date(2024, 10, 1),
    ),
    "business_and_incentives_2023": Claim(
        {**on(2023), "nonbusiness_share": Decimal("0.60"), "utility_subsidy": Decimal(500),
         "seller_rebate": Decimal(250), "state_incentive": Decimal(900), "charges_vehicle": True,
         "other_incentives": (("grant_unknown", Decimal(300)), ("luck", Decimal(50)))}
    ),
    "stack_under_3_each_2024": Claim(
        {"nameplate_kwh": Decimal(4)},
        (cost("battery_stack_under_3_each", "5600.00"), *INSTALLED[1:]),
    ),
    "generator_abroad": Claim(
        {"supply_kind": "generator", "region": "CA-ON"}, (cost("generator_fuel", "6500.00"),)
    ),
    "territory_carry_only_2027": Claim(
        {"supply_kind": "none", "completed_on": None, "claim_year": 2027, "region": "US-PR",
         "carryforward_in": Decimal(500), "tax_limit": Decimal(400)}, ()
    ),
    "carry_only_of_no_year": Claim(
        {"supply_kind": "none", "completed_on": None, "carryforward_in": Decimal("0.50"),
         "tax_limit": Decimal(400), "planned": True}, ()
    ),
    "carry_only_of_2026": Claim(
        {"supply_kind": "none", "completed_on": None, "claim_year": 2026,
         "carryforward_in": Decimal("0.50"), "tax_limit": Decimal(400)}, ()
    ),
    "carry_only_before_the_first_year": Claim(
        {"supply_kind": "none", "completed_on": None, "claim_year": 2005,
         "carryforward_in": Decimal(5)}, ()
    ),
    "nothing_claimed": Claim({"supply_kind": "none", "claim_year": 2025}, ()),
    "only_an_open_solar_panel": Claim(
        {"supply_kind": "none", **on(2025)}, (cost("portable_solar_panel", "900.00"), INSTALLED[1])
    ),
    "solar_beside_a_small_battery": Claim(
        {**on(2025), "nameplate_kwh": Decimal("2.9"), "usable_kwh": None},
        (cost("other_clean_energy", "8000.00"), *INSTALLED),
    ),
    "open_solar_panel_beside_a_small_battery": Claim(
        {**on(2025), "nameplate_kwh": Decimal("2.9"), "usable_kwh": None},
        (INSTALLED[1], cost("portable_solar_panel", "900.00"), BATTERY),
    ),
    "used_battery_told_last": Claim({}, (*INSTALLED[1:], cost("battery_used", "4000.00"))),
    "home_of_a_kind_not_known": Claim({"residence": "house_boat", "permanently_wired": False}),
    "generator_with_a_little_carried_in": Claim(
        {"supply_kind": "generator", "carryforward_in": Decimal("0.75"), "tax_limit": None},
        (cost("generator_fuel", "900.00"), INSTALLED[1]),
    ),
    "first_day_of_the_credit": Claim(
        {"completed_on": date(2006, 1, 1), "placed_in_service_on": date(2006, 1, 1),
         "charged_only_by_onsite_solar": True, "nonbusiness_share": Decimal("0.80")}
    ),
    "day_unknown_on_the_last_day": Claim({"completed_on": None}, today=date(2025, 12, 31)),
    "capacity_not_told": Claim({**on(2025), "nameplate_kwh": None, "usable_kwh": None}),
    "wiring_not_told_usable_small": Claim(
        {**on(2025), "permanently_wired": None, "nameplate_kwh": None, "usable_kwh": Decimal(2)}
    ),
    "business_only_2005": Claim({**on(2005), "nonbusiness_share": Decimal(0)}),
    "new_home_not_moved_into": Claim(
        {"newly_built_home": True, "placed_in_service_on": None, "tax_limit": None,
         "carryforward_in": Decimal(10)}
    ),
    "panel_room_not_told_2025": Claim({**on(2025), **PANEL, "utility_subsidy": Decimal(100)}),
    "panel_room_told_2024": Claim(
        {**PANEL, "tax_limit": Decimal(2500), "planned": True},
        told={"other_improvement_credits": "900", "heat_pump_cost": "8000"},
    ),
    "panel_for_nothing_known": Claim(
        {**PANEL, "completed_on": None, "panel_enables": (), "nonbusiness_share": Decimal("0.5"),
         "tax_limit": None, "region": "US-GU"}
    ),
    "panel_planned_no_limit_2023": Claim(
        {**on(2023), **PANEL, "panel_enables": ("battery", "envelope"), "planned": True,
         "tax_limit": None, "residence": "rented_out"},
        told={"other_improvement_credits": "1150.505"},
    ),
    "panel_room_told_2025": Claim(
        {**on(2025), **PANEL, "tax_limit": Decimal(100), "seller_rebate": Decimal(1)},
        told={"other_improvement_credits": "900"},
    ),
    "panel_refused_planned_no_limit": Claim(
        {**on(2025), **PANEL, "panel_amps": 100, "planned": True, "tax_limit": None,
         "utility_subsidy": Decimal(5)},
        told={"other_improvement_credits": "100", "heat_pump_cost": "100"},
    ),
    "panel_small_first_day": Claim(
        {"completed_on": date(2023, 1, 1), "placed_in_service_on": None, **PANEL,
         "panel_amps": 199}
    ),
    "panel_of_2026": Claim({**on(2026), **PANEL}),
    "panel_sure_before_the_battery_2024": Claim(
        {**PANEL, "tax_limit": Decimal(1000)}, told={"other_improvement_credits": "0"},
    ),
    "panel_only_for_battery_2024": Claim({**PANEL, "panel_enables": ("battery",)}),
    "panel_before_2023": Claim(
        {"completed_on": date(2022, 12, 1), "placed_in_service_on": date(2023, 1, 5), **PANEL},
        told={"other_improvement_credits": "0"},
    ),
    "panel_too_small_2030": Claim({**on(2030), **PANEL, "panel_amps": 125}),
    "programmes_all_told_2025": Claim(on(2025), programmes=True, told=UTILITY_TOLD),
    "programmes_nothing_told_2025": Claim(
        {**on(2025), "planned": True, "region": "US", "usable_kwh": None}, programmes=True
    ),
    "programmes_after_their_end_2032": Claim(
        on(2032), programmes=True, told={**UTILITY_TOLD, "applied_on": "2032-01-01"}
    ),
}  # fmt: skip


YEARS = {
    "years_of_everything": Claim(
        {**PANEL, "charges_vehicle": True, "carryforward_in": Decimal(10)},
        programmes=True,
        told={**UTILITY_TOLD, "applied_on": "2020-01-01", "other_improvement_credits": "900"},
    ),
}


def dated(name: str, value: str, **more: str) -> str:
    """One dated entry that holds on all days of the programme."""
    extra = "".join(f'{key} = "{word}"\n' for key, word in more.items())
    return f'[[{name}]]\nfrom = 2023-01-01\nvalue = "{value}"\n{extra}'


GENERAL, EQUITY = {"class": "general"}, {"class": "equity"}
CLASSES = dated("rate", "0.1", **GENERAL) + dated("rate", "0.5", **EQUITY)
PER_KWH = {"kind": '"per_kwh"'}
INCOME = {"income_measure": '"percent_of_area_median"'}
# By name: tables and fields of a second programme, facts told to it, facts of the claim.
OWN_CLAIMS: dict[str, tuple[str, dict[str, Any], dict[str, str], dict[str, Any]]] = {
    "own_paid_day_unknown": (
        RATE, {"date_basis": '"paid"', "last_day": None}, {}, {"paid_on": None},
    ),
    "own_completed_day_unknown": (RATE, {}, {}, {"completed_on": None}),
    "own_not_begun": (RATE, {}, {}, on(2022)),
    "own_paid_too_late": (RATE, {"date_basis": '"paid"'}, {}, {"paid_on": date(2027, 1, 1)}),
    "own_other_place": (RATE, {}, {}, {"region": "US-OR"}),
    "own_location": (RATE, {"location_flag": '"in_old_town"'}, {"in_old_town": "no"}, {}),
    "own_income_too_high": (
        RATE + dated("income_limit", "80", **GENERAL) + dated("income_limit", "90"), INCOME,
        {"percent_of_area_median": "90.5"}, {},
    ),
    "own_income_unknown": (RATE + dated("income_limit", "80"), INCOME, {}, {}),
    "own_class_unknown": (CLASSES, {}, {"first.customer_class": "general"}, {}),
    "own_class_served": (CLASSES, {}, {"customer_class": "equity"}, {}),
    "own_too_small": (
        dated("tier", "100", up_to_kwh="12") + dated("minimum_kwh", "9.5"),
        {**PER_KWH, "kwh_basis": '"usable"'}, {}, {},
    ),
    "own_nameplate_not_told": (
        dated("tier", "100"), {**PER_KWH, "kwh_basis": '"nameplate"'}, {}, {"nameplate_kwh": None},
    ),
    "own_solar_unknown": (RATE, {"requires_solar": True}, {}, {}),
    "own_no_solar": (RATE, {"requires_solar": True}, {"has_solar": "no"}, {}),
    "own_not_approved": (
        RATE, {"needs_approval_before_start": True},
        {"county_rebate.approved_before_start": "no"}, {},
    ),
    "own_funds_gone": (RATE, {"funding_limited": True}, {"funds_reserved": "no"}, {}),
    "own_all_caps": (
        dated("rate", "1") + dated("cap", "9000") + dated("cap_share_of_base", "0.7")
        + dated("total_incentive_cap_share", "0.5"),
        {"effect_on_federal_base": '"ask"'}, {"funds_reserved": "yes"},
        {"utility_subsidy": Decimal("12.34")},
    ),
    "own_after_an_open_one": (
        dated("rate", "0.3"), {"base_less": '["earlier_programmes", "utility_subsidy"]'}, {},
        {"utility_subsidy": Decimal(7)},
    ),
    "own_caps_by_class": (
        CLASSES + dated("cap", "40", **GENERAL) + dated("cap", "50", **EQUITY)
        + dated("cap_share_of_base", "0.9", **EQUITY)
        + dated("cap_share_of_base", "0.001", **GENERAL)
        + dated("total_incentive_cap_share", "0.5", **GENERAL)
        + dated("total_incentive_cap_share", "0.102", **EQUITY),
        {}, {"customer_class": "equity", "funds_reserved": "yes"}, {},
    ),
    "own_kwh_by_class": (
        dated("tier", "10", **GENERAL) + dated("tier", "20", **EQUITY) + dated("tier", "5")
        + dated("maximum_kwh", "4", **GENERAL) + dated("maximum_kwh", "3", **EQUITY)
        + dated("minimum_kwh", "8", **GENERAL) + dated("minimum_kwh", "9", **EQUITY)
        + dated("minimum_kwh", "9"),
        PER_KWH, {}, {},
    ),
    "own_no_class_is_served": (
        CLASSES + dated("income_limit", "50", **GENERAL) + dated("income_limit", "90", **EQUITY)
        + dated("minimum_kwh", "1", **GENERAL) + dated("minimum_kwh", "20", **EQUITY),
        INCOME, {"percent_of_area_median": "60"}, {},
    ),
    "own_flat_not_refundable": (
        dated("amount", "250"),
        {"kind": '"flat"', "refundable": False, "base_costs": '["tools"]'}, {}, {"planned": True},
    ),
    "own_capped_by_step_and_maximum": (
        dated("tier", "100", up_to_kwh="4") + dated("tier", "50") + dated("maximum_kwh", "6"),
        PER_KWH, {}, {},
    ),
    "own_not_checked_for_the_year": (RATE, {"checked_on": "2023-05-01"}, {}, {}),
}  # fmt: skip
FULL = text(
    dated("tier", "100", up_to_kwh="4", note="first") + dated("tier", "50", **GENERAL)
    + dated("cap", "10") + dated("cap_share_of_base", "0.4") + dated("maximum_kwh", "9")
    + dated("total_incentive_cap_share", "0.6") + dated("minimum_kwh", "1", **GENERAL)
    + dated("income_limit", "80", note="of the county"),
    **PER_KWH, **INCOME, kwh_basis='"nameplate"', stacking_order="9", requires_solar=True,
    location_flag='"in_town"', base_costs='["tools", "inlet_box"]', left_out='["sales_tax"]',
    base_less='["seller_rebate", "earlier_programmes"]', evidence='["One.", "Two."]',
    refundable=False, carryforward_years="3", needs_approval_before_start=True,
    funding_limited=True,
)  # fmt: skip


def chain_text() -> str:
    """Years in a row of an open claim, as JSON text."""
    day = date(2025, 3, 15)
    told = facts(
        completed_on=day, placed_in_service_on=day, tax_limit=Decimal(1800),
        residence="rented_out", carryforward_in=Decimal(50), **PANEL,
    )  # fmt: skip
    limits = {2026: Decimal(2000), 2027: None, 2028: Decimal(10)}
    claims = [ClaimOfYear(2025, told, INSTALLED)]
    claims += [only_carried_in(told, year, limit) for year, limit in limits.items()]
    links = carry_through(claims, load_credit_rules(), TODAY)
    return _json([asdict(link) for link in links])


def text_of(name: str) -> str:
    """The full answers to a claim, or its table of years, as JSON text."""
    if name in MORE:
        return MORE[name]()
    claim = {**CLAIMS, **YEARS}[name]
    rules = load_credit_rules()
    files = sorted(SAMPLES.glob("*.toml")) if claim.programmes else []
    programmes = read_programmes([(path.name, path.read_bytes()) for path in files], rules.costs)
    told = read_told(claim.told.items(), programmes)
    assess = credits_by_year if name in YEARS else assess_credits
    found = assess(facts(**claim.changes), claim.costs, rules, claim.today, programmes, told)
    return _json([asdict(one) for one in found])


def _json(documents: list[dict[str, Any]]) -> str:
    return json.dumps(documents, indent=1, default=_plain, ensure_ascii=False) + "\n"


def _plain(value: object) -> object:
    return sorted(value) if isinstance(value, frozenset) else str(value)


def own_claim_text(name: str) -> str:
    """The answers to a claim with programmes written for the purpose, as JSON text."""
    tables, fields, told, changes = OWN_CLAIMS[name]
    first = text(RATE, code='"first"', funding_limited=True)
    second = text(tables, **{"stacking_order": "2", **fields})
    programmes = together(first, second)
    given = read_told(told.items(), programmes)
    found = assess_credits(
        facts(**changes), INSTALLED, load_credit_rules(), TODAY, programmes, given
    )
    # The federal credit and the first programme are the same in all of them.
    return _json([asdict(found[-1])])


def rules_text(name: str) -> str:
    """What the readers make of the package's rule files and of the samples, as JSON text.

    Read anew, not from the copy that a process keeps.
    """
    sources, package = load_sources(), "estimator.credits"
    if name == "read_programmes":
        files = [(path.name, path.read_bytes()) for path in sorted(SAMPLES.glob("*.toml"))]
        files.append(("full.toml", FULL.encode()))
        return _json([asdict(one) for one in read_programmes(files, load_credit_rules().costs)])
    if name == "read_federal_rules":
        toml = package_text(package, "rules/federal_residential_clean_energy.toml")
        lines = package_text(package, "rules/form_5695_lines.csv")
        return _json([asdict(read_credit_rules(toml, lines, sources, name="federal"))])
    toml = package_text(package, "rules/federal_home_improvement_panel.toml")
    lines = package_text(package, "rules/form_5695_panel_lines.csv")
    return _json([asdict(read_panel_rules(toml, lines, sources, name="panel"))])


def job_text() -> str:
    """The costs of several jobs by cost code, as JSON text."""
    jobs = {
        "as_it_is": make_job(),
        "fixed": make_job(credit_claim={"permanently_wired": None}, supply={"portable": False}),
        "wired_though_portable": make_job(credit_claim={"permanently_wired": True}),
        "not_told_portable": make_job(credit_claim={"permanently_wired": None}),
        "generator": make_job(supply={"kind": "generator", "price": None}),
        "own_work_all_taxed": make_job(
            labour={"skill": "own"},
            terms={"taxable": ("materials", "labour", "permit"), "permit_fee": None},
        ),
    }
    documents = []
    for name, job in jobs.items():
        unpriced = (*MATERIALS, ("cord_set", None), ("cord_set", None), ("tools", None))
        price = make_price(job, materials=unpriced)
        found = cost_lines(job, make_take_off(), price)
        documents.append({"job": name, "costs": [asdict(one) for one in found]})
    return _json(documents)


MORE: dict[str, Callable[[], str]] = {
    "chain_of_years": chain_text,
    "costs_of_jobs": job_text,
    **{
        name: partial(rules_text, name)
        for name in ("read_programmes", "read_federal_rules", "read_panel_rules")
    },
    **{name: partial(own_claim_text, name) for name in OWN_CLAIMS},
}
KEPT = (*CLAIMS, *YEARS, *MORE)

if __name__ == "__main__":
    for one in sys.argv[1:] or KEPT:
        (FOLDER / f"{one}.json").write_text(text_of(one), encoding="utf-8")
