"""Schemas of the equipment: site, supply, inlet, transfer equipment and load centre."""

from collections.abc import Mapping
from functools import partial
from typing import Any, get_args

from marshmallow import fields

from estimator.job import records
from estimator.job.asked import about
from estimator.job.configurations import (
    Configuration,
    inlet_configurations,
    load_configurations,
)
from estimator.job.faults import listed, shown
from estimator.job.limits import (
    AMBIENT_C,
    CONFIGURATION,
    EXPOSURE,
    FRACTION,
    LENGTH_FT,
    MONEY,
    MOUNTING,
    SOME_WATTS,
    SURFACE,
    TERMINAL_C,
    WATTS,
)
from estimator.job.number_fields import DecimalText, Whole
from estimator.job.regions import region_codes
from estimator.job.schema_fields import NumberWord, Part, Word, YesNo
from estimator.job.told import Told
from estimator.job.validators import Choice, Within


class InletChoice(Choice):
    """A configuration that can be a power inlet; others are refused with their reason."""

    def __init__(self) -> None:
        super().__init__(inlet_configurations)

    def _message(self, value: Any) -> str:
        known = load_configurations().get(value) if isinstance(value, str) else None
        if known is None:
            return super()._message(value)
        others = [
            row
            for row in load_configurations().values()
            if row.accepted_as_inlet and row.amps == known.amps
        ]
        others.sort(key=partial(_unlike, known))
        words = [row.configuration for row in others]
        return (
            f"{shown(value)} cannot be the inlet: {known.refused_because}; "
            f"use {listed(words or self.choices)}"
        )


def _unlike(known: Configuration, other: Configuration) -> tuple[bool, bool, bool]:
    family = known.configuration[:2]
    return (
        other.system == "120",
        other.locking != known.locking,
        not other.configuration.startswith(family),
    )


class SiteSchema(Told):
    """Where the house is."""

    region = Word(
        validate=Choice(region_codes),
        metadata=about("state (ISO 3166-2 code), or US when it is not known", "US-OH"),
    )
    code_edition = NumberWord(
        validate=Choice(get_args(records.CodeEdition)),
        metadata=about("edition of NFPA 70 in force", "2023"),
    )
    indoor_ambient_c = DecimalText(
        validate=AMBIENT_C, metadata=about("hottest air indoors where wires run [°C]", 25)
    )
    outdoor_ambient_c = DecimalText(
        validate=AMBIENT_C, metadata=about("hottest air outdoors [°C]", 38)
    )
    residence = Word(
        validate=Choice(get_args(records.Residence)),
        metadata=about("what the house is to the taxpayer", "main_home"),
    )
    built_before_sale = YesNo(metadata=about("newly built home, bought with it", False))


class SupplySchema(Told):
    """What feeds the house."""

    kind = Word(
        validate=Choice(("power_station", "battery", "generator")),
        metadata=about("kind of supply", "power_station"),
    )
    portable = YesNo(metadata=about("portable, not fixed to the house", True))
    system = NumberWord(
        validate=Choice(get_args(records.System)),
        metadata=about("nominal volts that it gives", "120/240"),
    )
    continuous_w = DecimalText(
        allow_none=True, validate=SOME_WATTS, metadata=about("continuous rating [W]", 5000)
    )
    surge_w = DecimalText(
        allow_none=True, validate=SOME_WATTS, metadata=about("rating for starting [W]", 8000)
    )
    leg_limit_w = DecimalText(
        allow_none=True, validate=SOME_WATTS, metadata=about("most that one leg gives [W]", 2500)
    )
    outlet = Word(
        validate=CONFIGURATION,
        metadata=about("configuration that the cord plugs into", "L14-30"),
    )
    neutral = Word(
        validate=Choice(("bonded", "floating", "unknown")),
        metadata=about("neutral bonded to its frame or floating", "floating"),
    )
    outlet_gfci = YesNo(metadata=about("the outlet has ground-fault protection", False))
    usable_kwh = DecimalText(
        allow_none=True,
        validate=Within(0, 10_000, "kWh", above=True),
        metadata=about("energy that it can give on one charge [kWh]", 5.1),
    )
    nameplate_kwh = DecimalText(
        allow_none=True,
        validate=Within(0, 10_000, "kWh", above=True),
        metadata=about("energy on its nameplate [kWh]", 5.4),
    )
    efficiency = DecimalText(
        validate=FRACTION, metadata=about("share of the stored energy that arrives, 0 to 1", 0.9)
    )
    idle_w = DecimalText(
        validate=WATTS, metadata=about("own use while switched on, without a load [W]", 25)
    )
    cycle_life = Whole(
        allow_none=True,
        validate=Within(1, 1_000_000),
        metadata=about("charges until it has lost the stated capacity", 3500),
    )
    capacity_after_cycle_life = DecimalText(
        validate=FRACTION, metadata=about("share of capacity left after those charges, 0 to 1", 0.8)
    )
    solar_input_w = DecimalText(
        allow_none=True, validate=WATTS, metadata=about("charging power from solar [W]", 1500)
    )
    ac_input_w = DecimalText(
        allow_none=True, validate=WATTS, metadata=about("charging power from an outlet [W]", 1400)
    )
    price = DecimalText(
        places=2, allow_none=True, validate=MONEY, metadata=about("price of the supply", "2450.00")
    )


class InletSchema(Told):
    """The power inlet on the house, long form."""

    configuration = Word(
        required=True, validate=InletChoice(), metadata=about("its configuration", "L14-30")
    )
    place = Word(
        validate=Choice(("indoor", "outdoor")), metadata=about("where it is mounted", "outdoor")
    )
    exposure = Word(validate=EXPOSURE, metadata=about("dry, damp or wet place", "wet"))
    surface = Word(validate=SURFACE, metadata=about("what it is fastened to", "brick"))
    mounting = Word(validate=MOUNTING, metadata=about("on the surface or flush in it", "surface"))
    terminal_temp_c = Whole(
        validate=TERMINAL_C, metadata=about("marked temperature of its terminals [°C]", 75)
    )


class InletForm(Part):
    """The inlet: its configuration alone, or an object that says more about it."""

    wanted = "a configuration such as 'L14-30', or an object with configuration"

    def _deserialize(
        self, value: Any, attr: Any, data: Any, partial: Any = None, **kwargs: Any
    ) -> Any:
        if isinstance(value, Mapping):
            return super()._deserialize(value, attr, data, partial=partial, **kwargs)
        if not isinstance(value, str):
            raise self.refuse(value)
        field: fields.Field[Any] = self.schema.fields["configuration"]
        return {"configuration": field.deserialize(value)}

    def json_schema(self, known: dict[str, Any]) -> dict[str, Any]:
        """Either form."""
        short = {"type": "string", "enum": list(inlet_configurations())}
        return {"anyOf": [short, {"$ref": known.pop("$ref")}]} if "$ref" in known else {}


class TransferSchema(Told):
    """The transfer equipment."""

    method = Word(
        validate=Choice(get_args(records.TransferMethod)),
        metadata=about("kind of transfer equipment", "manual_switch"),
    )
    spaces = Whole(
        allow_none=True,
        validate=Within(1, 84),
        metadata=about("circuit positions of the equipment", 6),
    )
    factory_whip = YesNo(
        metadata=about("comes with a whip (conduit and conductors attached)", True)
    )
    whip_length_ft = DecimalText(
        validate=LENGTH_FT, metadata=about("way from there to the load centre [ft]", 1.5)
    )
    switched_neutral = YesNo(metadata=about("switches the neutral too", False))
    surface = Word(validate=SURFACE, metadata=about("what it is fastened to", "concrete_block"))
    mounting = Word(validate=MOUNTING, metadata=about("on the surface or flush in it", "surface"))
    rating_a = Whole(
        validate=Within(15, 400, "A"), metadata=about("rating of the equipment [A]", 30)
    )
    terminal_temp_c = Whole(
        validate=TERMINAL_C, metadata=about("marked temperature of its terminals [°C]", 60)
    )
    load_management = YesNo(metadata=about("sheds loads by itself (automatic switch only)", False))


class LoadCentreSchema(Told):
    """The existing panel."""

    role = Word(
        validate=Choice(("service", "subpanel")), metadata=about("what the panel is", "service")
    )
    main_a = Whole(validate=Within(15, 1200, "A"), metadata=about("main rating [A]", 200))
    bus_a = Whole(validate=Within(15, 1200, "A"), metadata=about("bus rating [A]", 200))
    free_spaces = Whole(
        allow_none=True, validate=Within(0, 84), metadata=about("free breaker spaces", 2)
    )
    neutral_ground = Word(
        validate=Choice(("bonded", "separate")),
        metadata=about("neutral and ground bars", "bonded"),
    )
    gutter_in = DecimalText(
        validate=Within(0, 24, "in", above=True),
        metadata=about("clear wiring space beside the breakers [in]", 4),
    )
    surface = Word(validate=SURFACE, metadata=about("what it is fastened to", "concrete_block"))
    terminal_temp_c = Whole(
        validate=TERMINAL_C, metadata=about("marked temperature of its terminals [°C]", 75)
    )
