"""The fuzz run does not pass where it tested nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from types import SimpleNamespace
from typing import Any

import fuzz
import pytest
from fuzz import ENOUGH, Tally, untested
from fuzzed import Came


class Here:
    """Works in this process instead of others."""

    def __init__(self, processes: int) -> None: ...

    def __enter__(self) -> Here:
        return self

    def __exit__(self, *_: Any) -> None: ...

    def map(self, work: Callable[..., Tally], *given: Iterable[Any]) -> Iterator[Tally]:
        """As a pool maps."""
        return map(work, *given)


@pytest.fixture
def reader(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Makes a reader of tides of which every file has one outcome."""
    monkeypatch.setattr(fuzz, "ProcessPoolExecutor", Here)

    def made(outcome: str) -> None:
        def attempt(name: str, draw: Any) -> Came:
            if outcome == "wrong":
                raise AssertionError("another number")
            return Came(outcome, "row gone", b"")

        module = SimpleNamespace(attempt=attempt, sources=lambda name: 1)
        monkeypatch.setitem(fuzz.MODULES, "tide", module)

    return made


@pytest.mark.parametrize(
    ("outcome", "count", "status", "told"),
    [
        ("read", 5, 0, ""),
        ("refused", 5, 2, "tide read nothing at all of 5 files"),
        ("asked", 5, 2, "tide read nothing at all of 5 files"),
        ("wrong", 5, 1, "another number"),
        ("read", 0, 2, "tide was not reached"),
    ],
)
def test_a_run_that_tests_nothing_is_no_pass(
    reader: Callable[[str], None],
    capsys: pytest.CaptureFixture[str],
    outcome: str,
    count: int,
    status: int,
    told: str,
) -> None:
    reader(outcome)
    assert fuzz.spoil(["tide"], count) == status
    printed = capsys.readouterr().out
    assert told in printed
    assert ("not tested" in printed) == (status == 2 or outcome == "wrong")


def test_a_run_of_no_reader_is_no_pass() -> None:
    assert fuzz.spoil([], 5) == 2


@pytest.mark.parametrize(
    ("count", "places", "told"),
    [
        (ENOUGH, {0, 1}, ""),
        (ENOUGH, {0}, "heave record read nothing of its file 2"),
        (ENOUGH - 1, {0}, ""),
    ],
)
def test_each_file_that_is_spoilt_must_have_been_read(count: int, places: set[int], told: str) -> None:
    tally = Tally(Counter(read=count), places=places)
    assert untested("heave record", tally).startswith(told)
    assert bool(untested("heave record", tally)) == bool(told)
