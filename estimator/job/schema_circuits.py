"""Schemas of the loads: house circuits and what is plugged straight into the supply."""

from estimator.job.asked import about
from estimator.job.breakers import branch_ratings
from estimator.job.limits import CONFIGURATION, MATERIAL, NAME, WATTS
from estimator.job.number_fields import DecimalText, Whole
from estimator.job.schema_fields import Text, Word, YesNo
from estimator.job.told import Told
from estimator.job.validators import Choice, Within
from estimator.units import WIRE_SIZES


class CircuitSchema(Told):
    """One house circuit to be backed up."""

    name = Text(
        required=True,
        validate=NAME,
        metadata=about("what the circuit feeds", "Kitchen refrigerator"),
    )
    breaker_a = Whole(
        required=True,
        validate=Choice(branch_ratings),
        metadata=about("rating of its breaker [A]", 20),
    )
    poles = Whole(validate=Choice((1, 2)), metadata=about("poles of its breaker", 1))
    running_w = DecimalText(validate=WATTS, metadata=about("power while running [W]", 180))
    starting_w = DecimalText(
        validate=WATTS,
        metadata=about("total power while starting, running power included [W]", 1200),
    )
    hours_per_day = DecimalText(
        validate=Within(0, 24, "h"), metadata=about("hours a day that it runs", 8)
    )
    priority = Whole(
        validate=Within(1, 99), metadata=about("rank, 1 is kept longest when power runs short", 1)
    )
    continuous = YesNo(metadata=about("runs for three hours or more at a time", False))
    single_load = YesNo(metadata=about("one fixed load, not several receptacles", False))
    life_support = YesNo(metadata=about("somebody's life depends on it", False))
    shared_neutral_with = Text(
        allow_none=True,
        validate=NAME,
        metadata=about("circuit that shares its neutral (multiwire pair)", "Dining outlets"),
    )
    protection = Word(
        validate=Choice(("standard", "afci", "gfci", "dual")),
        metadata=about("kind of breaker or outlet protection", "standard"),
    )
    conductor_size = Word(
        validate=Choice(WIRE_SIZES[2:]), metadata=about("wire in the wall today", "12 AWG")
    )
    conductor_material = Word(validate=MATERIAL, metadata=about("metal of that wire", "cu"))


class DirectLoadSchema(Told):
    """A load plugged into the supply itself: in the load study, not in the wiring."""

    name = Text(required=True, validate=NAME, metadata=about("what is plugged in", "Network gear"))
    outlet = Word(
        required=True,
        validate=CONFIGURATION,
        metadata=about("configuration of the supply's outlet that it uses", "5-15"),
    )
    running_w = DecimalText(
        required=True, validate=WATTS, metadata=about("power while running [W]", 30)
    )
    starting_w = DecimalText(
        validate=WATTS,
        metadata=about("total power while starting, running power included [W]", 30),
    )
    hours_per_day = DecimalText(
        validate=Within(0, 24, "h"), metadata=about("hours a day that it runs", 24)
    )
    priority = Whole(
        validate=Within(1, 99), metadata=about("rank, 1 is kept longest when power runs short", 1)
    )
