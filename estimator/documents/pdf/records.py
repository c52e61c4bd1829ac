"""Who sends a document, and on what it is printed."""

from dataclasses import dataclass, field
from typing import Literal

PdfKind = Literal["quote", "estimate", "buying_list", "credit_memo", "start_up", "directory"]
Paper = Literal["us-letter", "a4"]


@dataclass(frozen=True, slots=True)
class Letterhead:
    """The head of each document. lines: address, telephone, licence number.

    logo: bytes of a PNG, JPEG or SVG picture, None without one.
    """

    name: str = ""
    lines: tuple[str, ...] = ()
    logo: bytes | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """How a document is laid out. locale: such as "en_US", for money and days."""

    letterhead: Letterhead = field(default_factory=Letterhead)
    paper: Paper = "us-letter"
    locale: str = "en_US"
    number: str = ""
    customer: tuple[str, ...] = ()
