"""The work while it is being gathered: quantities by task, before any hours."""

from dataclasses import dataclass
from decimal import Decimal

from estimator.basis import Because


@dataclass(slots=True)
class Work:
    """So much of one task. masonry: it is done on a masonry wall."""

    code: str
    masonry: bool
    quantity: Decimal
    because: list[Because]


class WorkList:
    """Quantities by task and wall, in the order in which they were first asked for."""

    __slots__ = ("_work",)

    def __init__(self) -> None:
        self._work: dict[tuple[str, bool], Work] = {}

    def add(
        self, code: str, quantity: Decimal | int, reason: Because, *, masonry: bool = False
    ) -> None:
        """Count work in the unit of its task; nothing happens for a quantity of zero."""
        if not quantity:
            return
        key = (code, masonry)
        work = self._work.get(key)
        if work is None:
            self._work[key] = Work(code, masonry, Decimal(quantity), [reason])
            return
        work.quantity += quantity
        if reason not in work.because:
            work.because.append(reason)

    def all(self) -> tuple[Work, ...]:
        """Everything gathered."""
        return tuple(self._work.values())
