"""Connector configurations: what a power inlet, an outlet or a cord end can be.

From NEMA WD 6, with the 50 A forms that stand outside it marked common practice.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from estimator.published.sources import load_sources
from estimator.published.tables import package_text, read_table

_TABLE = "tables/configurations.csv"


@dataclass(frozen=True, slots=True)
class Configuration:
    """One configuration of plug and receptacle.

    configuration: the key used in jobs ("L14-30"). system: nominal volts that it carries.
    poles, wires: as the standard counts them. plug and connector: names of the male end and
    of the receptacle end. refused_because: why it cannot be a power inlet, None when it can.
    """

    configuration: str
    system: Literal["120", "120/240", "240"]
    amps: int
    poles: int
    wires: int
    has_neutral: bool
    has_equipment_ground: bool
    locking: bool
    plug: str
    connector: str
    accepted_as_inlet: bool
    refused_because: str | None
    source: str


@cache
def load_configurations() -> Mapping[str, Configuration]:
    """All configurations by key, in the order of the table; read once in a process.

    Raises TableError when the table is broken.
    """
    rows = read_table(
        package_text("estimator.job", _TABLE),
        Configuration,
        name=_TABLE,
        key=("configuration",),
        sources=load_sources(),
    )
    return MappingProxyType({row.configuration: row for row in rows})


@cache
def all_configurations() -> tuple[str, ...]:
    """Keys of every configuration."""
    return tuple(load_configurations())


@cache
def inlet_configurations() -> tuple[str, ...]:
    """Keys of the configurations that can be a power inlet."""
    return tuple(key for key, row in load_configurations().items() if row.accepted_as_inlet)
