"""Values that are made once for each content, or for each of those who cannot change."""

from collections.abc import Callable, Hashable
from threading import Lock
from typing import TypeVar

_Kept = TypeVar("_Kept")


class Kept(dict[Hashable, _Kept]):
    """The values last made, by what they follow from; the oldest makes room for the newest."""

    def __init__(self, most: int) -> None:
        super().__init__()
        self._most = most
        self._lock = Lock()

    def of(self, key: Hashable, make: Callable[[], _Kept]) -> _Kept:
        """The value of a content, made where it is new."""
        found = self.get(key)
        if found is None:
            found = make()
            with self._lock:
                while len(self) >= self._most:
                    del self[next(iter(self))]
                self[key] = found
        return found
