"""A clock that jumps: every module of ours reads it, as does whoever asks for ``time.time``."""

import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta, tzinfo
from typing import Any

import pytest

_REAL_TIME, _REAL_TIME_NS = time.time, time.time_ns


class Clock:
    """How far the clock is off at present."""

    def __init__(self) -> None:
        self.ahead = timedelta()


def moved_class(clock: Clock) -> type:
    """A datetime that tells the moved time, and takes every datetime for one of its own."""

    class Same(type):
        def __instancecheck__(cls, thing: object) -> bool:
            return isinstance(thing, datetime)

    class Moved(datetime, metaclass=Same):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> Any:
            return datetime.now(tz) + clock.ahead

    return Moved


@contextmanager
def moved_clock() -> Iterator[Clock]:
    """A clock to be moved while it lasts; at first it is right."""
    clock = Clock()
    moved = moved_class(clock)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(time, "time", lambda: _REAL_TIME() + clock.ahead.total_seconds())
        patch.setattr(
            time, "time_ns", lambda: _REAL_TIME_NS() + int(clock.ahead.total_seconds() * 10**9)
        )
        for name, module in list(sys.modules.items()):
            # Column types look their class up; they are no clock.
            ours = name.startswith("estimator.") and not name.startswith("estimator.store.tables")
            if ours and getattr(module, "datetime", None) is datetime:
                patch.setattr(module, "datetime", moved)
        yield clock
