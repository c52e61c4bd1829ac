"""Short price lists that were read before, by their bytes and all that decides how they are read.

Whoever sends the same lists with each request has them read once. What is remembered is what
reading them again would give; nothing of it can be changed.
"""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from hashlib import sha256
from threading import Lock

from estimator.catalogue.records import PriceList

MOST_BYTES = 2_000_000
_LONGEST = 500_000


class ReadingMemo:
    """Readings of files of so many bytes in all, those that were asked for last."""

    def __init__(self, most_bytes: int = MOST_BYTES, longest: int = _LONGEST) -> None:
        self._most = most_bytes
        self._longest = longest
        self._lock = Lock()
        self._known: OrderedDict[Hashable, tuple[PriceList, int]] = OrderedDict()
        self._bytes = 0

    def read(self, data: bytes, how: Hashable, read: Callable[[], PriceList]) -> PriceList:
        """The reading of a file. how: all that decides it besides. What read raises is not kept."""
        if len(data) > self._longest:
            return read()
        key = (sha256(data).digest(), how)
        with self._lock:
            if key in self._known:
                self._known.move_to_end(key)
                return self._known[key][0]
        found = read()
        with self._lock:
            if key not in self._known:
                self._known[key] = (found, len(data))
                self._bytes += len(data)
            while self._bytes > self._most:
                _, (_, size) = self._known.popitem(last=False)
                self._bytes -= size
        return found

    def clear(self) -> None:
        """Forget all."""
        with self._lock:
            self._known.clear()
            self._bytes = 0


READINGS = ReadingMemo()
