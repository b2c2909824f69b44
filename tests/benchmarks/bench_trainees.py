"""How long a changed set-up takes to its new film, alone and with a class: `python tests/benchmarks/bench_trainees.py`.

A server of its own is spoken to as browsers would, one connection for each trainee, from another process on the same
machine, which takes some of its processor. A trainee types another weight on bit, gets a new film, watches it for
some seconds and types again. Timed is from sending the entry to having the whole film of it.

A benchmark, not a test: nothing fails here.
"""

from __future__ import annotations

import argparse
import random
import statistics
import threading
import time
from itertools import count
from typing import Any

from bench_screens import served
from sessions import ROOT, Client

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


def told(name: str, times: list[tuple[float, float]], memory: float) -> None:
    """One line of the table."""
    cells = []
    for place in (0, 1):
        values = sorted(row[place] for row in times)
        cells += [statistics.median(values), values[int(0.95 * (len(values) - 1))], values[-1]]
    print(f"{name:36s}" + "".join(f"{cell:8.2f}" for cell in cells) + f"{memory:8.0f}")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--trainees", type=int, default=30)
    parser.add_argument("--edits", type=int, default=4)
    asked = parser.parse_args()
    print(f"{'':36s}{'film: p50, p95, most, s':>24s}{'page: p50, p95, most, s':>24s}{'MB':>8s}")
    with served(ROOT) as (address, runs):
        Trainee(address).rerun(PAGE)
        time.sleep(4.0)  # what the server imports in the background
        told("one alone", class_of(address, 1, 12, 0.5), runs()[-1]["memory"])
        for pause in (10.0,):
            times = class_of(address, asked.trainees, asked.edits, pause)
            told(f"{asked.trainees}, each every {pause:.0f} s", times, runs()[-1]["memory"])
        times = class_of(address, asked.trainees, 2, 0.0)
        told(f"{asked.trainees}, all at one moment", times, runs()[-1]["memory"])


if __name__ == "__main__":
    main()
