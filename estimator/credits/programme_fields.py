"""Reading one table of a programme file: every fault with the line it stands on."""

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any

from estimator.credits.rule_fields import Fields
from estimator.credits.toml_lines import Path
from estimator.units import plain

_NAMED = re.compile(r"(?:unknown field |field )?([a-z_]+)")


class LinedFields(Fields):
    """As Fields, for a table at a path of a text whose lines are known."""

    def __init__(
        self, path: Path, table: object, faults: list[str], lines: Mapping[Path, int]
    ) -> None:
        self._path = path
        self._lines = lines
        super().__init__("", table, faults, ())

    def fault(self, what: str) -> None:
        """Note a fault on the line of the field that it names first, or of its table."""
        named = _NAMED.match(what)
        field = self._path if named is None else (*self._path, named[1])
        line = self._lines.get(field) or self._lines.get((*field, 0)) or self.line
        name = ".".join(str(word) for word in self._path if isinstance(word, str))
        place = f"line {line}, {name}" if name else f"line {line}"
        self._faults.append(f"{place}: {what}")

    @property
    def line(self) -> int:
        """Line of the table itself."""
        return self._lines.get(self._path, 1)

    def number(self, name: str, most: Decimal | None) -> Decimal:
        """A number written as text, from zero to most."""
        text = self.text(name)
        if not text:
            return Decimal(0)
        try:
            value = Decimal(text)
        except InvalidOperation:
            value = Decimal("NaN")
        if not value.is_finite():
            self.fault(f"{name} {text!r} is not a number")
            return Decimal(0)
        if value < 0:
            self.fault(f"{name} {text} is below zero")
        elif most is not None and value > most:
            self.fault(f"{name} {text} is above {plain(most)}, which is all of it")
        return value

    def is_whole(self, name: str) -> bool:
        """Whether the field is there as a whole number."""
        return type(self._table.get(name)) is int

    def optional_number(self, name: str) -> Decimal | None:
        """As number without a limit; None when the field is absent."""
        self._known.add(name)
        return self.number(name, None) if self.has(name) else None

    def optional_flag(self, name: str) -> bool:
        """true or false; false when the field is absent."""
        self._known.add(name)
        return self.flag(name) if self.has(name) else False

    def optional_texts(self, name: str) -> tuple[str, ...]:
        """A list of at least one text; empty when the field is absent."""
        self._known.add(name)
        return self.texts(name) if self.has(name) else ()

    def optional_rows(self, name: str) -> Sequence[Any]:
        """A list of tables; empty when the field is absent."""
        self._known.add(name)
        return self.rows(name) if self.has(name) else ()

    def optional_one_of(self, name: str, allowed: object) -> str:
        """One text of a Literal; empty when the field is absent."""
        self._known.add(name)
        return self.one_of(name, allowed) if self.has(name) else ""
