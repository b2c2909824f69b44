"""Spoils files for every reader and holds what comes of each: read rightly, refused in short words, or asked.

    python tests/benchmarks/fuzz.py [--count 5000] [--seed 0] [--reader "heave record"] [--limit 5] [--processes 1]
        [--keep FOLDER]

Prints files by reader: read, refused, asked, wrong; slowest file in seconds of processor and largest memory of the
process; then every class of fault with its number, one seed that makes it, and what it says. With `--keep` one file of
each class is written to a folder. A file is wrong if it takes more than `--limit` seconds, and if its process takes
over 3 GB.

The exit status is 1 where a file was wrong, and 2 where a reader was not tested: no file came to it, it read none at
all, or, of a thousand and more, none of one of the files that were spoilt for it.
"""

# ruff: noqa: E402

from __future__ import annotations

import argparse
import random
import re
import resource
import signal
import sys
import time
import warnings
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "files")]

import fuzz_others
import fuzzed
import fuzzed_plans
import fuzzed_typed

from heave.files.rigs import demo_plan

MOST_MEMORY = 3_000_000_000
"""Memory of a process above which allocations fail [bytes]."""

MODULES: Any = {
    **dict.fromkeys(fuzzed.kinds(), fuzzed),
    **dict.fromkeys(fuzzed_plans.READERS, fuzzed_plans),
    **dict.fromkeys(fuzzed_typed.READERS, fuzzed_typed),
}
"""Every reader, and where its files are spoilt."""

READERS = tuple(MODULES)

MORE = {
    "string": 10_000,
    "spectra": 15_000,
    "scatter diagram": 12_000,
    "tide": 13_000,
    "typed number": 20_000,
    "edited table": 10_000,
}
"""Files of quick readers where `--count` is not given; any other has FEWEST."""

FEWEST = 5_000

ENOUGH = 1_000
"""Files of a reader from which each of those that are spoilt for it is read some time."""


@dataclass
class Tally:
    """What came of the files of a reader."""

    outcomes: Counter[str] = field(default_factory=Counter)
    slowest: tuple[float, str] = (0.0, "")
    faults: dict[str, tuple[int, str, str, bytes]] = field(default_factory=dict)
    """By class: how many, the seed of the first, what it says, its file."""

    memory: float = 0.0
    """Largest memory of the process so far [MB]."""

    places: set[int] = field(default_factory=set)
    """Of the files that are spoilt, those of which one was read."""

    def add(self, other: Tally) -> None:
        self.outcomes += other.outcomes
        self.places |= other.places
        self.slowest = max(self.slowest, other.slowest)
        self.memory = max(self.memory, other.memory)
        for name, (count, *first) in other.faults.items():
            before = self.faults.get(name)
            self.faults[name] = (before[0] + count, *before[1:]) if before else (count, *first)  # type: ignore[assignment]


def run(reader: str, first: int, count: int, limit: float) -> Tally:
    """`count` spoilt files of a reader; the same seed makes the same file."""
    tally = Tally()
    module = MODULES[reader]
    signal.signal(signal.SIGPROF, _too_long)
    with suppress(Exception):
        module.attempt(
            reader, random.Random(f"{reader} warm")
        )  # what is read once a process is no file's time
    with warnings.catch_warnings():
        warnings.simplefilter("error", RuntimeWarning)
        for number in range(first, first + count):
            began = time.process_time()
            signal.setitimer(signal.ITIMER_PROF, limit)
            try:
                came = module.attempt(reader, random.Random(f"{reader} {number}"))
                outcome, what = came.outcome, came.what
                tally.places |= {came.place} if outcome == "read" else set()
            except Exception as problem:
                outcome, what = "wrong", (getattr(problem, "__notes__", None) or ["?"])[-1]
                _fault(tally, what, str(number), problem)
            finally:
                signal.setitimer(signal.ITIMER_PROF, 0)
            tally.outcomes[outcome] += 1
            tally.slowest = max(tally.slowest, (time.process_time() - began, f"{what}, seed {number}"))
    tally.memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    return tally


def untested(reader: str, tally: Tally) -> str:
    """What of a reader a run has not tested, in words; empty where it has tested all."""
    count = sum(tally.outcomes.values())
    if not count:
        return f"{reader} was not reached: no file came to it"
    if not tally.outcomes["read"]:
        return f"{reader} read nothing at all of {count} files"
    left = set(range(MODULES[reader].sources(reader))) - tally.places
    if left and count >= ENOUGH:
        return f"{reader} read nothing of its file {min(left) + 1}, spoilt, of {count} files"
    return ""


def _too_long(*_: Any) -> None:
    raise TimeoutError("too long")


def _fault(tally: Tally, what: str, seed: str, problem: Exception) -> None:
    words = f"{type(problem).__name__}: {problem}"[:300]
    name = (
        what.partition(", ")[2].partition(" ")[0]
        + " | "
        + re.sub(r"[0-9.]+|'[^']*'|\([^)]*\)", "~", words)[:60]
    )
    count, *first = tally.faults.get(name, (0, seed, f"{what}: {words}", getattr(problem, "spoilt", b"")))
    tally.faults[name] = (count + 1, *first)  # type: ignore[assignment]


def main() -> None:
    about = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    about.add_argument(
        "--count", type=int, help="files for each reader; if not given, 100,000 and 35,000 that are typed"
    )
    about.add_argument("--seed", type=int, default=0, help="number of the first file")
    about.add_argument("--reader", action="append", choices=READERS)
    about.add_argument("--limit", type=float, default=5.0, help="seconds of processor a file")
    about.add_argument("--processes", type=int, default=1)
    about.add_argument("--keep", type=Path)
    given = about.parse_args()
    resource.setrlimit(resource.RLIMIT_DATA, (MOST_MEMORY, MOST_MEMORY))
    sys.exit(
        spoil(given.reader or READERS, given.count, given.seed, given.limit, given.processes, given.keep)
    )


def spoil(
    readers: Sequence[str],
    count: int | None,
    seed: int = 0,
    limit: float = 5.0,
    processes: int = 1,
    keep: Path | None = None,
) -> int:
    """Spoil files for each reader and print what comes of them; the exit status."""
    fuzz_others.judged(demo_plan())  # what every reader's process has of its parent
    together, lacking = Tally(), []
    print(
        f"{'reader':18} {'files':>7} {'read':>7} {'refused':>8} {'asked':>6} {'wrong':>6} {'slowest':>8} {'MB':>6}"
    )
    for reader in readers:
        tally = Tally()
        every = MORE.get(reader, FEWEST) if count is None else count
        shares = [every // processes + (part < every % processes) for part in range(processes)]
        firsts = [seed + sum(shares[:part]) for part in range(processes)]
        # a process of its own for each reader, so that its memory is its own
        with ProcessPoolExecutor(processes) as pool:
            for one in pool.map(run, [reader] * processes, firsts, shares, [limit] * processes):
                tally.add(one)
        _print(reader, tally, keep)
        together.add(tally)
        lacking += filter(None, [untested(reader, tally)])
    _print("all", Tally(together.outcomes, together.slowest, {}, together.memory), None)
    for words in lacking:
        print(f"not tested: {words}")
    return 1 if together.outcomes["wrong"] else 2 if lacking or not together.outcomes else 0


def _print(reader: str, tally: Tally, keep: Path | None) -> None:
    counts = [tally.outcomes[name] for name in ("read", "refused", "asked", "wrong")]
    read, refused, asked, wrong = counts
    slowest = f"{tally.slowest[0]:.2f}"
    print(
        f"{reader:18} {sum(counts):7} {read:7} {refused:8} {asked:6} {wrong:6} {slowest:>8} {tally.memory:6.0f}"
    )
    for name, (count, seed, words, data) in sorted(tally.faults.items(), key=lambda item: -item[1][0]):
        print(f"    {count:5} seed {seed}: {words}")
        if keep is not None:
            keep.mkdir(parents=True, exist_ok=True)
            (keep / re.sub(r"\W+", "_", f"{reader} {name}")[:100]).write_bytes(data)
    sys.stdout.flush()


if __name__ == "__main__":
    main()
