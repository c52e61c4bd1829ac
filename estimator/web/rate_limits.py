"""How often something may be tried, counted in the database that all hosts share: failed
sign-ins, wrong tokens, guesses at addresses with a secret, requests of a token or session.
"""

import hashlib
import time
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime

from flask import current_app
from limits import RateLimitItem, RateLimitItemPerMinute
from limits.storage import MemoryStorage, Storage
from limits.strategies import FixedWindowRateLimiter

from estimator.config import Config
from estimator.store.errors import DatabaseUnavailable, StorageFull, StoreError
from estimator.store.rate_counters import (
    count,
    find_counter,
    forget_counter,
    forget_old_counters,
)
from estimator.web.app_database import database

_MINUTES = 15
# Many people may be behind one address; one may be tried from many places.
_WIDER = 10
_REQUEST = "request"
_LUMPS = 50


class TooMany(Exception):
    """Too many tries. The message may be shown. retry_after_s: when the next one counts."""

    def __init__(self, retry_after_s: int) -> None:
        minutes = max(1, -(-retry_after_s // 60))
        super().__init__(f"Too many tries. Wait {minutes} min, then try again.")
        self.retry_after_s = retry_after_s


class DatabaseStorage(Storage):
    """Counters of the library ``limits`` in the database of the current application."""

    STORAGE_SCHEME = ["estimator"]

    @property
    def base_exceptions(self) -> type[Exception]:
        """What a counter may raise."""
        return StoreError

    def incr(self, key: str, expiry: int, amount: int = 1) -> int:
        """Count; how many there are now."""
        with database().writing() as session:
            return count(session, _digest(key), amount, expiry, datetime.now(UTC))

    def get(self, key: str) -> int:
        """How many there are."""
        with database().reading() as session:
            row = find_counter(session, _digest(key), datetime.now(UTC))
            return row.hits if row else 0

    def get_expiry(self, key: str) -> float:
        """When the counter begins anew, as a time stamp."""
        with database().reading() as session:
            row = find_counter(session, _digest(key), datetime.now(UTC))
            return row.ends_at.timestamp() if row else time.time()

    def check(self) -> bool:
        """Whether the database answers."""
        database().check_connection()
        return True

    def reset(self) -> int | None:
        """Forget the counters whose time is up."""
        with database().writing() as session:
            forget_old_counters(session, datetime.now(UTC))
        return None

    def clear(self, key: str) -> None:
        """Begin a counter anew."""
        with database().writing() as session:
            forget_counter(session, _digest(key))


def _digest(key: str) -> str:
    # Addresses of people are kept nowhere but with their account.
    return hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()


@dataclass(frozen=True, slots=True)
class Tries:
    """Tries of one kind. wider: how many times the number of the settings."""

    kind: str
    wider: int = 1

    def check(self, *who: str) -> None:
        """Raises TooMany where there were too many already; counts nothing."""
        if not _shared.test(self._limit(), self.kind, *who):
            raise TooMany(_wait(self._limit(), self.kind, *who))

    def hit(self, *who: str) -> None:
        """Count a try. Raises TooMany where it is one too many."""
        if not _shared.hit(self._limit(), self.kind, *who):
            raise TooMany(_wait(self._limit(), self.kind, *who))

    def forget(self, *who: str) -> None:
        """Begin anew, after a try that was right."""
        _shared.clear(self._limit(), self.kind, *who)

    def _limit(self) -> RateLimitItem:
        settings: Config = current_app.config["ESTIMATOR"]
        return RateLimitItemPerMinute(settings.sign_in_tries * self.wider, _MINUTES)


_shared = FixedWindowRateLimiter(DatabaseStorage())
_of_process = MemoryStorage()
_person_there, _person, _place = (
    Tries("person there"),
    Tries("person", _WIDER),
    Tries("place", _WIDER),
)
bad_tokens = Tries("token", _WIDER)
bad_addresses = Tries("address", _WIDER)


def begin_sign_in(email_key: str, place: str) -> None:
    """Count a try to sign in before it is looked at. Raises TooMany."""
    _place.check(place)
    _person.check(email_key)
    # Counted first, so that many tries at the same time are no way around it.
    _person_there.hit(email_key, place)


def wrong_sign_in(email_key: str, place: str) -> None:
    """Count a wrong one for the place and for the person, too."""
    for tries, who in ((_place, place), (_person, email_key)):
        with suppress(TooMany):
            tries.hit(who)


def end_sign_in(email_key: str, place: str) -> None:
    """Forget the tries of somebody who knew the password."""
    _person_there.forget(email_key, place)


def count_request(way: str, per_minute: int) -> None:
    """Count a request of a token or session. Raises TooMany.

    Each process tells the shared counter in lumps: a transaction for every request would make
    all requests of SQLite wait for each other. So many processes let in a few requests more.
    """
    limit = RateLimitItemPerMinute(per_minute)
    key = limit.key_for(_REQUEST, way)
    mine = _of_process.incr(key, limit.get_expiry())
    if mine > per_minute:
        raise TooMany(_seconds_to(_of_process.get_expiry(key)))
    lump = max(1, per_minute // _LUMPS)
    if mine % lump == 0 and not _counted(limit, way, lump):
        # Kept here too, so that those who go on asking do not go on writing.
        _of_process.incr(key, limit.get_expiry(), per_minute)
        raise TooMany(_wait(limit, _REQUEST, way))


def _counted(limit: RateLimitItem, way: str, lump: int) -> bool:
    """Count a lump of requests; False for too many.

    Where nothing can be kept each process goes by its own counter, so that reading goes on.
    """
    try:
        return _shared.hit(limit, _REQUEST, way, cost=lump)
    except (StorageFull, DatabaseUnavailable):
        return True


def _wait(limit: RateLimitItem, *who: str) -> int:
    return _seconds_to(_shared.get_window_stats(limit, *who).reset_time)


def _seconds_to(ends_at: float) -> int:
    return max(1, int(ends_at - time.time()) + 1)
