"""What the estimator has to tell the user about the job, as values."""

from dataclasses import dataclass
from typing import Literal

from estimator.record import quick

Severity = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True)
class Finding:
    """Something to tell the user.

    severity: "error" means not buildable, or against the code as described.
    code: stable upper-case name. where: JSON pointer into the job ("" is the whole job).
    source: a key of published/sources.toml. remedy: what to change, as an instruction.
    """

    severity: Severity
    code: str
    message: str
    where: str
    source: str
    remedy: str


@quick
@dataclass(frozen=True, slots=True)
class Assumption:
    """A default that was used because the job did not say.

    field: JSON pointer of the field. value: as text. because: why this default.
    """

    field: str
    value: str
    because: str
    source: str = "common_practice"


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong with outside input that stops it from being used.

    where: JSON pointer, or "row 14, column price". message: what was read, why it cannot
    stand and what can. All faults of an input are reported together.
    """

    where: str
    message: str


class InputRefused(Exception):
    """Outside input cannot be used; carries every fault found, at least one."""

    def __init__(self, what: str, faults: tuple[Fault, ...]) -> None:
        super().__init__(f"{what}: {len(faults)} fault{'s' if len(faults) != 1 else ''}")
        self.what = what
        self.faults = faults
