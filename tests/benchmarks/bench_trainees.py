"""How long a changed set-up takes to its new film, alone and with a class: `python tests/benchmarks/bench_trainees.py`.

A server of its own is spoken to as browsers would, one connection for each trainee, from another process on the same
machine, which takes some of its processor. A trainee types another weight on bit, gets a new film, watches it for
some seconds and types again. Timed is from sending the entry to having the whole film of it. Beside the times stand the
processor time and the memory of the server and of its workers; `--workers 0 2` measures without and with two of them.

A benchmark, not a test: nothing fails here.
"""

from __future__ import annotations

import argparse
import random
import statistics
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from itertools import count
from pathlib import Path
from typing import Any

from bench_screens import served, settled
from sessions import ROOT, Client, children_of, processor_of

PAGE = "weight-on-bit"
WOB = "input__wob__metric"
_WEIGHTS = count(1)


class Trainee(Client):
    """A session on the weight-on-bit page, told when its film has come."""

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.film = 0.0

    def heard(self, answer: Any) -> None:
        """Note when a film came and how large it was."""
        element = answer.delta.new_element
        if element.bidi_component.component_name.endswith("heave_film"):
            self.film = time.perf_counter()
            self.size = answer.ByteSize()

    def edit(self) -> tuple[float, float]:
        """Type a weight on bit nobody has typed: time to its film and to the end of the page [s]."""
        weight = 100.0 + 0.1 * next(_WEIGHTS)
        begun, self.film = time.perf_counter(), 0.0
        self.rerun(PAGE, **{WOB: f"{weight:.1f}"})
        return self.film - begun, time.perf_counter() - begun


def class_of(address: str, trainees: int, edits: int, pause: float) -> list[tuple[float, float]]:
    """Times of every edit of a class that watches each film for `pause` seconds on average; 0 is all at one moment."""
    found: list[tuple[float, float]] = []
    ready = threading.Barrier(trainees)

    def one(seed: int) -> None:
        chance = random.Random(seed)
        trainee = Trainee(address)
        trainee.rerun(PAGE)
        for _ in range(edits):
            if pause:
                time.sleep(chance.expovariate(1 / pause))
            else:
                ready.wait()
            found.append(trainee.edit())
        trainee.socket.close()

    threads = [threading.Thread(target=one, args=(seed,)) for seed in range(trainees)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return found


@dataclass(frozen=True)
class Use:
    """Processor time [s], resident memory, and of that what is not shared with another process [MB]."""

    spent: float = 0.0
    memory: float = 0.0
    own: float = 0.0

    def __add__(self, other: Use) -> Use:
        return Use(self.spent + other.spent, self.memory + other.memory, self.own + other.own)


def use_of(process: int) -> Use:
    """What a process has used."""
    folder = Path(f"/proc/{process}")
    lines = (folder / "smaps_rollup").read_text("ascii").splitlines()
    kilobytes = {line.split()[0]: float(line.split()[1]) for line in lines[1:]}
    own = kilobytes["Private_Clean:"] + kilobytes["Private_Dirty:"]
    return Use(processor_of(process), kilobytes["Rss:"] * 1024 / 1e6, own * 1024 / 1e6)


def used(server: int) -> tuple[Use, Use]:
    """What the server has used, and its workers together."""
    return use_of(server), sum(map(use_of, children_of(server)), Use())


def told(name: str, measure: Callable[[], list[tuple[float, float]]], server: int) -> None:
    """Measure, and print one line of the table."""
    before = used(server)
    times = measure()
    after = used(server)
    cells = []
    for place in (0, 1):
        values = sorted(row[place] for row in times)
        cells += [statistics.median(values), values[int(0.95 * (len(values) - 1))], values[-1]]
    spent = [(new.spent - old.spent) / len(times) for old, new in zip(before, after, strict=True)]
    memory = "".join(f"{use.memory:6.0f} ({use.own:4.0f})" for use in after)
    print(f"{name:26s}" + "".join(f"{cell:8.2f}" for cell in (*cells, *spent)) + memory, flush=True)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--trainees", type=int, default=30)
    parser.add_argument("--edits", type=int, default=4)
    parser.add_argument("--pause", type=float, default=10.0, help="mean time between film and edit [s]")
    parser.add_argument(
        "--workers", nargs="*", default=[""], help="numbers of worker processes, one after the other"
    )
    parser.add_argument("--together", action="store_true", help="also all at one moment")
    asked = parser.parse_args()
    heads = ("film: p50, p95, most, s", "page: p50, p95, most, s", "server, workers:")
    print(f"{'':26s}{heads[0]:>24s}{heads[1]:>24s}{heads[2]:>16s} s an edit, MB (own)")
    for workers in asked.workers:
        print(f"workers: {workers or 'as usual'}")
        with served(ROOT, **({"HEAVE_WORKERS": workers} if workers else {})) as (address, runs):
            Client(address).rerun()
            settled(runs, 1)
            (first,), server = runs(), runs()[0]["process"]
            uses = "; ".join(
                f"{name} {use.spent:.2f} s, {use.memory:.0f} MB ({use.own:.0f})"
                for name, use in zip(("server", "workers"), used(server), strict=True)
            )
            print(
                f"first open: {first['verdict_cpu']:.2f} s of processor from the run's start to its verdict; {uses}"
            )
            Trainee(address).rerun(PAGE)
            time.sleep(4.0)  # what the server imports in the background
            crowd = asked.trainees, asked.edits, asked.pause
            told("one alone", partial(class_of, address, 1, 12, 0.5), server)
            told(
                f"{asked.trainees}, each every {asked.pause:g} s", partial(class_of, address, *crowd), server
            )
            if asked.together:
                together = partial(class_of, address, crowd[0], 2, 0.0)
                told(f"{asked.trainees}, all at one moment", together, server)


if __name__ == "__main__":
    main()
