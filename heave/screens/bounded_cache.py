"""What was made is kept for whoever asks for the same again, bounded by its bytes and by who asked."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field, is_dataclass
from typing import Any, Final

import numpy as np

LEAST: Final = 1000
"""Bytes that any value counts."""


def size_of(value: Any) -> int:
    """Bytes of the arrays of a value and the texts in lists and dicts of it, at least `LEAST`.

    Parameters
    ----------
    value : what is kept, or a tuple of such; what its arrays are the views of, and values that others hold too, are
        not counted
    """
    parts = value if isinstance(value, tuple) else (value,)
    inner = (vars(part).values() if is_dataclass(part) else (part,) for part in parts)
    return max(sum(_bytes(one) for each in inner for one in each), LEAST)


def _bytes(value: Any) -> int:
    if isinstance(value, np.ndarray):
        return value.nbytes
    if isinstance(value, str):
        return len(value)
    parts = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return sum(map(_bytes, parts))


class _Key:
    """A key that is hashed once: that of a plan takes a millisecond, and a dict asks for it at every look."""

    def __init__(self, made_from: Any) -> None:
        self.made_from, self._hash = made_from, hash(made_from)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and self.made_from == other.made_from


@dataclass
class _Entry:
    """A value, its bytes, and the sessions that asked for it."""

    value: Any
    size: int
    owners: set[str] = field(default_factory=set)


class BoundedCache:
    """Values by what they were made from; what was asked for longest ago makes room.

    A value that many sessions ask for is there once and counts with each of them; the last one made always stays.

    Parameters
    ----------
    most : bytes of all together
    most_of_one : bytes of what one session asked for
    """

    def __init__(self, most: int, most_of_one: int) -> None:
        self.most, self.most_of_one = most, most_of_one
        self._entries: OrderedDict[_Key, _Entry] = OrderedDict()
        self._making: dict[_Key, threading.Lock] = {}
        self._lock = threading.Lock()

    def __contains__(self, key: Any) -> bool:
        return _Key(key) in self._entries

    @property
    def size(self) -> int:
        """Bytes of all that is kept."""
        with self._lock:
            return sum(entry.size for entry in self._entries.values())

    def kept(self, key: Any, make: Callable[[], Any], owner: str = "") -> Any:
        """The value of `key`, made now if it is not there; whoever asks while it is being made waits for it.

        Parameters
        ----------
        key : what it is made from
        make : makes it; what it raises is raised, and nothing is kept
        owner : the session that asks
        """
        key = _Key(key)
        with self._lock:
            turn = self._making.setdefault(key, threading.Lock())
        with turn:
            with self._lock:
                entry = self._entries.get(key)
            try:
                if entry is None:
                    made = make()
                    entry = _Entry(made, size_of(made))
            finally:
                with self._lock:
                    self._making.pop(key, None)
            with self._lock:
                entry.owners.add(owner)
                self._entries[key] = entry
                self._entries.move_to_end(key)
                self._make_room(entry, owner)
        return entry.value

    def forget(self) -> None:
        """Keep nothing."""
        with self._lock:
            self._entries.clear()

    def _make_room(self, newest: _Entry, owner: str) -> None:
        """Let go of what is too much: first of this session's own, then of anyone's."""
        for of, most in (({owner}, self.most_of_one), (None, self.most)):
            mine = [one for one in self._entries.items() if of is None or of <= one[1].owners]
            held = sum(entry.size for _, entry in mine)
            for key, entry in mine:
                if held <= most or entry is newest:
                    break
                held -= entry.size
                entry.owners -= entry.owners if of is None else of
                if not entry.owners:
                    del self._entries[key]
