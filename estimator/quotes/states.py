"""The states of a quote's revision and which may follow which."""

from collections.abc import Mapping
from datetime import date
from typing import Literal

QuoteState = Literal["draft", "sent", "accepted", "declined", "expired", "superseded"]

# What was accepted stays as it is: a change after that is a quote of its own.
MAY_FOLLOW: Mapping[QuoteState, tuple[QuoteState, ...]] = {
    "draft": ("sent", "superseded"),
    "sent": ("accepted", "declined", "expired", "superseded"),
    "declined": ("superseded",),
    "expired": ("superseded",),
    "accepted": (),
    "superseded": (),
}
# In these the customer may still say yes or no, or a newer price list still matters.
OPEN: tuple[QuoteState, ...] = ("draft", "sent")


class NotAllowed(Exception):
    """A step that a quote in its state cannot take; the message says what can be done."""


def state_on(state: QuoteState, valid_until: date, today: date) -> QuoteState:
    """The state on a day: a sent revision is expired from the day after its last valid one."""
    return "expired" if state == "sent" and today > valid_until else state


def check_step(before: QuoteState, after: QuoteState) -> None:
    """Raises NotAllowed where the one state cannot follow the other."""
    if after not in MAY_FOLLOW[before]:
        raise NotAllowed(f"A quote that is {before} cannot become {after}. {_REMEDY[before]}")


_REMEDY: Mapping[QuoteState, str] = {
    "draft": "Send it first.",
    "sent": "Wait for the customer's answer, or make a new revision.",
    "declined": "Make a new revision.",
    "expired": "Make a new revision with a new date.",
    "accepted": "It stays as it is; duplicate it for a change.",
    "superseded": "Use the newest revision.",
}
