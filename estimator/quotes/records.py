"""What a revision holds, as frozen records."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any, Literal

Json = Mapping[str, Any]
ShortcomingKind = Literal["error_finding", "proposed_match", "unpriced_part"]


@dataclass(frozen=True, slots=True)
class Shortcoming:
    """Why a revision cannot be sent as it is. where: JSON pointer into the result."""

    kind: ShortcomingKind
    message: str
    where: str


@dataclass(frozen=True, slots=True)
class Used:
    """Something of the organisation's own that a revision rests on.

    id: of its version in the store. name: as a person knows it. version: its number.
    """

    id: str
    name: str
    version: int
    digest: str


@dataclass(frozen=True, slots=True)
class Basis:
    """What a revision was computed with. tables: digest of each room's tables and rules."""

    program: str
    tables: tuple[tuple[str, str], ...]
    catalogues: tuple[Used, ...] = ()
    labour_table: Used | None = None
    rate_sheet: Used | None = None
    programmes: tuple[Used, ...] = ()
    job: Used | None = None


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A revision, whole and immutable.

    text: JSON of job, result and basis; what is kept, byte for byte. total: with tax, to the
    cent. complete: every part has a price. stated: the kinds of shortcoming that the document
    itself states, so that it may be sent with them.
    """

    text: str
    digest: str
    basis: Basis
    currency: str
    total: Decimal
    complete: bool
    valid_until: date
    shortcomings: tuple[Shortcoming, ...]
    stated: tuple[ShortcomingKind, ...]
