"""Many people at one server: `python tests/benchmarks/load.py --users 50 --every 5 --seconds 60`.

Each user is a session of its own, spoken to as a browser would: it opens the check page, gives a weight on bit that
nobody else has, and then types another wave height every few seconds. Timed is from sending an entry to the line
"Computed for" that holds both numbers. A line with a number that this user never sent is a mix-up of sessions. A user
whose connection is lost comes back as a browser does, with the work that the page gave it to keep, and goes on.

`--processes 2` puts several app processes behind the reverse proxy of DEVELOPERS.md, `--kill 20` ends the first of them
after so many seconds; `--address` speaks to a server that is there already. The users take processor of the machine
themselves: one of 50 entries every 5 s some 5 ms an entry.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import statistics
import sys
import threading
import time
import urllib.request
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from subprocess import Popen
from typing import Any, Final

from sessions import Client, app_command, children_of, free_port, memory_of, processor_of, running

HS: Final = "input:sea:systems:0:hs:metric"
WOB: Final = "input:wob:metric"
COMPUTED: Final = "Computed for "
TAKEN_UP: Final = "The connection was lost for long. Taken up where this browser left it"
TO_SIMULATE: Final = "Waiting to be simulated"
"""What the page says once all of it is drawn and only its simulation is left."""

PATIENCE: Final = 120.0
"""Longest wait for an answer [s]."""

_SENT = re.compile(r"Hs ([\d.]+)\u00a0m.*? · WOB ([\d.]+)\u00a0kN ")


@dataclass
class Log:
    """What happened to all users."""

    waits: list[float] = field(default_factory=list)
    """From sending an entry to its own verdict [s]."""

    opened: list[float] = field(default_factory=list)
    """From asking for the page to the first verdict [s]."""

    whole: list[float] = field(default_factory=list)
    """From sending an entry to the end of its page but for its simulation, where the next entry did not end it [s]."""

    missed: int = 0
    """Entries without a verdict, but for those of a connection that was lost."""

    mixed: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    """The process of each user whose connection was lost."""

    restored: int = 0
    """Users that were told so and have their own numbers again."""

    troubles: list[str] = field(default_factory=list)


class User(Client):
    """A person on the check page."""

    def __init__(self, address: str, wob: str, cookie: str = "") -> None:
        super().__init__(address, cookie)
        given = self.socket.response.headers.get_all("Set-Cookie") if self.socket.response else []
        self.cookie = given[-1].partition(";")[0] if given else cookie
        self.wob, self.sent = wob, set[str]()
        self.answered = self.weight = self.told = ""
        self.keep: dict[str, Any] = {}
        self.keeper = ""
        self.begun, self.whole = 0.0, list[float]()
        self.mixed: list[str] = []

    def heard(self, answer: Any) -> None:
        """Note the verdict's own line, what the browser is given to keep and what is said of work taken up."""
        ended = answer.WhichOneof("type") == "script_finished"
        element = answer.delta.new_element
        if (
            (ended and answer.script_finished == answer.FINISHED_SUCCESSFULLY)
            or element.progress.text == TO_SIMULATE
        ) and self.begun:
            self.whole.append(time.perf_counter() - self.begun)
            self.begun = 0.0
        kind = element.WhichOneof("type")
        if kind == "markdown" and element.markdown.body.startswith(COMPUTED):
            self._computed(element.markdown.body.replace("\\", ""))
        elif kind == "alert" and element.alert.body.startswith(TAKEN_UP[:20]):
            self.told = element.alert.body.replace("\\", "")
        elif kind == "bidi_component" and element.bidi_component.component_name.endswith("heave_work"):
            component = element.bidi_component
            self.keep = json.loads(component.json)
            self.keeper = component.id

    def _computed(self, words: str) -> None:
        found = _SENT.search(words)
        self.answered, self.weight = found.groups() if found else ("", "")
        if self.sent and (self.weight != self.wob or self.answered not in self.sent):
            self.mixed.append(f"WOB {self.wob} was told {self.weight} and Hs {self.answered}")

    def open(self) -> float:
        """The first page, to the boxes that are typed into; the time to its verdict, which comes before them [s]."""
        begun = time.perf_counter()
        self.ask()
        self.until(lambda: self.answered != "")
        took = time.perf_counter() - begun
        self.until(lambda: self.knows(HS) and self.knows(WOB))
        return took

    def weigh(self, height: str) -> None:
        """Give the weight on bit that is this user's own, and a wave height."""
        self.ask(**{WOB: self.wob, HS: height})
        self.until(lambda: (self.answered, self.weight) == (height, self.wob))
        self.sent = {height}

    def until(self, holds: Any) -> None:
        """Read until it holds; TimeoutError after `PATIENCE`."""
        deadline = time.monotonic() + PATIENCE
        while not holds():
            self.hear(deadline - time.monotonic())

    def idle(self, seconds: float) -> None:
        """Read what still comes, for so long."""
        deadline = time.monotonic() + seconds
        while (left := deadline - time.monotonic()) > 0:
            try:
                self.hear(left)
            except TimeoutError:
                return

    def type(self, height: str) -> float:
        """Type a wave height: the time to its own verdict [s]."""
        self.sent.add(height)
        begun = self.begun = time.perf_counter()
        self.ask(**{HS: height})
        self.until(lambda: self.answered == height)
        return time.perf_counter() - begun

    def come_back(self, other: User) -> None:
        """As the browser of `other` does when its session is gone: open, and hand over what was kept.

        What was typed after the last page that came to its end was not kept: the page asks to type it again.
        """
        self.open()
        self.until(lambda: bool(self.keep))
        self.answered = ""
        found = {"text": other.keep["text"], "units": other.keep["units"], "at": "12:00", "cut": True}
        self.trigger(self.keeper, "found", found)
        self.until(lambda: self.told != "" and self.answered != "")
        if self.answered not in other.sent:
            self.mixed.append(f"WOB {self.wob} was handed the work of another: Hs {self.answered}")
        if self.weight != self.wob:
            self.weigh(self.answered)
        self.sent = set(other.sent)


def height_of(user: int, turn: int, low: float, high: float) -> str:
    """A wave height that differs from this user's last ones and from that of others at the time [m]."""
    step = (0.618034 * (turn + 0.37 * user)) % 1.0
    return f"{round(low + (high - low) * step, 3):g}"  # as its box shows it


class Crowd:
    """Users that open, and type until they are told to stop."""

    def __init__(self, address: str, users: int, every: float, heights: tuple[float, float]) -> None:
        self.address, self.every, self.heights = address, every, heights
        self.log, self.stop, self._lock = Log(), threading.Event(), threading.Lock()
        self.ready = threading.Barrier(users + 1)
        self.threads = [threading.Thread(target=self._one, args=(number,)) for number in range(users)]
        for thread in self.threads:
            thread.start()
        self.ready.wait(600)

    def finish(self) -> Log:
        """Stop, and what happened."""
        self.stop.set()
        for thread in self.threads:
            thread.join()
        return self.log

    def _one(self, number: int) -> None:
        try:
            user = User(self.address, f"{170 + 0.2 * number:g}", first_cookie(self.address))
            self.log.opened.append(user.open())
            user.weigh(f"{self.heights[0]:g}")
        except Exception as error:
            self.ready.abort()
            self.log.troubles.append(repr(error))
            return
        self.ready.wait(600)
        chance, turn = random.Random(number), 0
        user = self._quiet(user, chance.random() * self.every)
        while not self.stop.is_set():
            turn += 1
            due = time.monotonic() + self.every
            user = self._turn(user, height_of(number, turn, *self.heights))
            user = self._quiet(user, due - time.monotonic())
        with self._lock:
            self.log.mixed += user.mixed
            self.log.whole += user.whole
        user.socket.close()

    def _turn(self, user: User, height: str) -> User:
        from websockets.exceptions import ConnectionClosed

        try:
            self.log.waits.append(user.type(height))
        except TimeoutError:
            self.log.missed += 1
        except ConnectionClosed:
            return self._again(user)
        return user

    def _quiet(self, user: User, seconds: float) -> User:
        from websockets.exceptions import ConnectionClosed

        try:
            user.idle(seconds)
        except ConnectionClosed:
            return self._again(user)
        return user

    def _again(self, user: User) -> User:
        """A new session of a user whose connection is gone, with the work that the browser kept."""
        with self._lock:
            self.log.lost.append(user.cookie)
            self.log.whole += user.whole
            self.log.mixed += user.mixed
        trouble, deadline = "", time.monotonic() + PATIENCE
        while time.monotonic() < deadline:
            try:
                new = User(self.address, user.wob, user.cookie)
                new.come_back(user)
            except Exception as error:  # whatever a server that is gone answers
                trouble = repr(error)
                time.sleep(0.3)
            else:
                if new.told.startswith(TAKEN_UP):
                    self.log.restored += 1
                return new
        self.log.troubles.append(trouble)
        raise RuntimeError(trouble)


def first_cookie(address: str) -> str:
    """What a browser is given with the page itself, to send along from then on."""
    with urllib.request.urlopen(f"{address}/", timeout=PATIENCE) as answer:
        given = answer.headers.get_all("Set-Cookie") or []
    return str(given[-1]).partition(";")[0] if given else ""


@contextmanager
def served(processes: int) -> Iterator[tuple[str, list[Popen[bytes]]]]:
    """The address of so many app processes, behind the guide's proxy where there are several, and the processes."""
    from proxy import proxied

    with ExitStack() as stack:
        ports = [free_port() for _ in range(processes)]
        outside = ports[0] if processes == 1 else free_port()
        apps = [
            stack.enter_context(running(app_command(port, outside), f"http://127.0.0.1:{port}"))
            for port in ports
        ]
        if processes > 1:
            stack.enter_context(proxied(outside, ports))
        yield f"http://127.0.0.1:{outside}", apps


def told(log: Log, apps: list[Popen[bytes]], spent: list[float], memory: list[float]) -> list[str]:
    """What happened, in lines."""
    waits, count = sorted(log.waits), len(log.waits)
    lines = [
        f"entries answered {count}, missed {log.missed}, mixed up {len(log.mixed)}; "
        f"connections lost {len(log.lost)}, taken up again and told {log.restored}",
        f"open to first verdict: p50 {statistics.median(log.opened):.2f} s, most {max(log.opened):.2f} s",
    ]
    if waits:
        p95 = waits[int(0.95 * (count - 1))]
        lines.append(
            f"entry to its verdict: p50 {waits[count // 2]:.3f} s, p95 {p95:.3f} s, most {waits[-1]:.3f} s"
        )
    if log.whole:
        lines.append(
            f"pages drawn to their end before the next entry: {len(log.whole)}, "
            f"after {statistics.median(log.whole):.2f} s (p50)"
        )
    for place, app in enumerate(apps):
        if app.poll() is not None:
            lines.append(f"process {place + 1}: ended")
            continue
        own, helpers = processor_of(app.pid), sum(map(processor_of, children_of(app.pid)))
        lines.append(
            f"process {place + 1}: memory {memory[place]:.0f} to {memory_of(app.pid):.0f} MB; "
            f"processor {own - spent[place]:.1f} s, workers {helpers:.1f} s in all; "
            f"{1e3 * (own - spent[place]) / max(count, 1):.0f} ms for each of all entries"
        )
    return lines + [f"MIXED UP: {one}" for one in log.mixed] + log.troubles


def main() -> int:
    """Run, print, and fail where sessions were mixed up or an entry was never answered."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--users", type=int, default=50)
    parser.add_argument("--every", type=float, default=5.0, help="seconds between a user's entries")
    parser.add_argument("--seconds", type=float, default=60.0, help="how long they type")
    parser.add_argument("--processes", type=int, default=1, help="of the app, behind a proxy where above 1")
    parser.add_argument("--address", help="of a server that is there already")
    parser.add_argument("--kill", type=float, help="end the first process after so many seconds")
    parser.add_argument(
        "--heights", type=float, nargs=2, default=(1.0, 4.0), help="wave heights typed, from and to [m]"
    )
    asked = parser.parse_args()
    with ExitStack() as stack:
        address, apps = asked.address, list[Popen[bytes]]()
        if address is None:
            address, apps = stack.enter_context(served(asked.processes))
        crowd = Crowd(address, asked.users, asked.every, tuple(asked.heights))
        spent, memory = ([of(app.pid) for app in apps] for of in (processor_of, memory_of))
        if asked.kill is None:
            time.sleep(asked.seconds)
        else:
            time.sleep(asked.kill)
            apps[0].kill()
            time.sleep(max(asked.seconds - asked.kill, 0))
        log = crowd.finish()
        print("\n".join(told(log, apps, spent, memory)))
    return 1 if log.mixed or log.missed or log.troubles or not log.waits else 0


if __name__ == "__main__":
    sys.exit(main())
