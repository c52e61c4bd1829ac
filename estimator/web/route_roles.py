"""Which role a route asks for: by its method, or as ``route_roles.toml`` says."""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Literal, cast, get_args

from estimator.store.tables.organisations import Role

Asked = Literal["anyone"] | Role
_READING = frozenset({"GET", "HEAD", "OPTIONS"})
_KNOWN = ("anyone", *get_args(Role))


@dataclass(frozen=True, slots=True)
class RouteRole:
    """An exception. path: how the rule begins. methods: empty for all."""

    path: str
    methods: frozenset[str]
    role: Asked
    because: str

    def covers(self, rule: str, method: str) -> bool:
        """Whether a route's rule lies at or below the path."""
        below = rule == self.path or rule.startswith(self.path.rstrip("/") + "/")
        if self.path == "/":
            below = rule == "/"
        return below and (not self.methods or method in self.methods)


@cache
def load_route_roles() -> tuple[RouteRole, ...]:
    """All exceptions, the longest path first."""
    text = files("estimator.web").joinpath("route_roles.toml").read_text("utf-8")
    found = [
        RouteRole(
            row["path"], frozenset(row.get("methods", ())), _known(row["role"]), row["because"]
        )
        for row in tomllib.loads(text)["route"]
    ]
    return tuple(sorted(found, key=lambda each: -len(each.path)))


@cache
def role_asked(rule: str, method: str) -> Asked:
    """The role that a method of a route asks for. rule: as Flask's URL map has it."""
    for each in load_route_roles():
        if each.covers(rule, method):
            return each.role
    return "reader" if method in _READING else "estimator"


def _known(role: str) -> Asked:
    if role not in _KNOWN:
        raise ValueError(f"route_roles.toml: {role!r} is no role")
    return cast(Asked, role)
