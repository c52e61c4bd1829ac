"""Limits and settings of the outer edges, in one place, from the environment."""

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from pathlib import Path
from typing import Any

import platformdirs

from estimator.finding import Fault, InputRefused

MIB = 1024 * 1024
PREFIX = "ESTIMATOR_"
_FOLDER = "house-backup-estimator"
_FILE = "estimator.sqlite"
_HIDDEN = "(set)"


def default_database_url() -> str:
    """A file of SQLite where the platform keeps what belongs to one user's programs."""
    return f"sqlite:///{Path(platformdirs.user_data_path(_FOLDER, appauthor=False)) / _FILE}"


def _setting(
    default: Any,
    meaning: str,
    *,
    least: int = 1,
    most: int = 0,
    secret: bool = False,
    choices: tuple[str, ...] = (),
) -> Any:
    about = {"meaning": meaning, "least": least, "most": most, "secret": secret}
    about["choices"] = choices
    if callable(default):
        return field(default_factory=default, metadata=about)
    return field(default=default, metadata=about)


@dataclass(frozen=True, slots=True)
class Config:
    """Settings of the service. Each can be set by ESTIMATOR_ and its name in capitals."""

    mode: str = _setting(
        "local",
        "local: one person, loopback only, no login. shared: people sign in, programs use tokens.",
        choices=("local", "shared"),
    )
    host: str = _setting(
        "127.0.0.1", "Address to listen on. In local mode loopback only, since there is no login."
    )
    port: int = _setting(8460, "Port to listen on.", most=65_535)
    max_body_bytes: int = _setting(24 * MIB, "Largest request, in bytes.", least=1024)
    max_price_lists: int = _setting(
        20, "Most price lists in one request or one command.", most=1000
    )
    database_url: str = _setting(
        default_database_url,
        "Where everything is kept: sqlite:///FILE, or postgresql://USER@HOST/NAME.",
        secret=True,
    )
    database_busy_ms: int = _setting(
        30_000, "How long to wait for a database that is busy, in milliseconds.", most=600_000
    )
    database_pool: int = _setting(5, "Connections that a process keeps open.", most=100)
    public_url: str = _setting(
        "",
        "Shared mode: the address that people use, such as https://estimates.example.org. "
        "Cookies go over https only, unless it begins with http://.",
    )
    proxies: int = _setting(
        0, "Balancers in front that tell the caller's address and scheme.", least=0, most=5
    )
    workers: int = _setting(2, "Processes that answer requests.", most=64)
    threads: int = _setting(4, "Threads of each of them.", most=64)
    stop_seconds: int = _setting(
        30, "How long requests and tasks may go on after a stop was asked for.", most=600
    )
    session_hours: int = _setting(12, "How long a sign-in lasts, in hours.", most=720)
    sign_in_tries: int = _setting(
        10, "Failed sign-ins of one address, or from one place, in 15 minutes.", most=1000
    )
    requests_per_minute: int = _setting(
        1200, "Requests of one token or session in a minute, in shared mode.", most=1_000_000
    )
    metrics_token: str = _setting(
        "",
        "Shared mode: the secret that /metrics asks for as a bearer token; not set: no /metrics.",
        secret=True,
    )
    metrics_folder: str = _setting(
        "",
        "An empty folder in which the processes add up their metrics, not on a disk that may "
        "get full; if not set a new one, in memory where the system has a place for it.",
    )

    @classmethod
    def from_environment(cls, environment: Mapping[str, str] | None = None) -> "Config":
        """The settings of the environment. Raises InputRefused with every fault."""
        given = os.environ if environment is None else environment
        faults: list[Fault] = []
        values: dict[str, Any] = {}
        for each in fields(cls):
            variable = PREFIX + each.name.upper()
            text = given.get(variable, "").strip()
            if not text:
                continue
            choices = each.metadata["choices"]
            if choices and text not in choices:
                faults.append(Fault(variable, f"{text[:20]!r} is not one of {', '.join(choices)}"))
                continue
            if each.type is not int:
                values[each.name] = text
                continue
            number = _whole(text, each.metadata["least"], each.metadata["most"])
            if isinstance(number, str):
                faults.append(Fault(variable, number))
            else:
                values[each.name] = number
        if faults:
            raise InputRefused("settings", tuple(faults))
        return cls(**values)


@dataclass(frozen=True, slots=True)
class SettingRow:
    """One setting as it is documented. now: its value, hidden where it may hold a password."""

    variable: str
    default: str
    now: str
    meaning: str


def settings_table(config: Config) -> Iterator[SettingRow]:
    """Every setting with its default, its value and its meaning."""
    defaults = Config()
    for each in fields(Config):
        default, now = getattr(defaults, each.name), getattr(config, each.name)
        hidden = each.metadata["secret"] and now != default
        yield SettingRow(
            variable=PREFIX + each.name.upper(),
            default=str(default),
            now=_HIDDEN if hidden else str(now),
            meaning=each.metadata["meaning"],
        )


def _whole(text: str, least: int, most: int) -> int | str:
    top = f" to {most}" if most else " up"
    wanted = f"{text[:20]!r} is not a whole number from {least}{top}"
    if not (text.isascii() and text.isdigit() and len(text) <= 12):
        return wanted
    number = int(text)
    return number if number >= least and (not most or number <= most) else wanted
