"""Fill one object of the job from what was told and the defaults, keeping account of each."""

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from estimator.finding import Assumption
from estimator.job.defaults import default_text, load_defaults


class Filling:
    """One object of the job being completed.

    told: its fields as the user gave them. where: its JSON pointer. path: the same with * for
    an index. assumptions: the account, shared by all objects of a job.
    """

    __slots__ = ("_assumptions", "_path", "_told", "_where")

    def __init__(
        self,
        told: Mapping[str, Any],
        where: str,
        path: str,
        assumptions: list[Assumption],
    ) -> None:
        self._told = told
        self._where = where
        self._path = path
        self._assumptions = assumptions

    def tells(self, field: str) -> bool:
        """Whether the user gave the field and not as null."""
        return self._told.get(field) is not None

    def told(self, field: str) -> Any:
        """The field as the user gave it, None when it was not given."""
        return self._told.get(field)

    def constant(self, field: str) -> Any:
        """The field as told, or its constant default, which is then an assumption."""
        if field in self._told:
            return self._told[field]
        value, assumption = _constant(self._where, self._path, field)
        self._assumptions.append(assumption)
        return value

    def default(self, field: str) -> Any:
        """The constant default whatever was told: an assumption."""
        value, assumption = _constant(self._where, self._path, field)
        self._assumptions.append(assumption)
        return value

    def derived(
        self,
        field: str,
        value: Any,
        because: str,
        source: str = "own_convention",
        says: str | None = None,
    ) -> Any:
        """The field as told, or a value that follows from other facts: an assumption."""
        if field in self._told:
            return self._told[field]
        return self.implied(field, value, because, source, says)

    def implied(
        self, field: str, value: Any, because: str, source: str, says: str | None = None
    ) -> Any:
        """A value that follows from other facts whatever was told: an assumption."""
        self._assumptions.append(
            Assumption(f"{self._where}/{field}", says or default_text(value), because, source)
        )
        return value


@lru_cache(maxsize=8192)
def _constant(where: str, path: str, field: str) -> tuple[Any, Assumption]:
    default = load_defaults()[f"{path}/{field}"]
    assumption = Assumption(f"{where}/{field}", default.text, default.because, default.source)
    return default.value, assumption
