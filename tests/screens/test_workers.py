"""Worker processes: the same answers as in the server, stopped and replaced when need be, never left behind."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import fields, is_dataclass
from pathlib import Path
from typing import Any

import naps
import numpy as np
import pytest
from streamlit.testing.v1 import AppTest

from heave.errors import InputError
from heave.files.rigs import demo_plan
from heave.screens import workers
from heave.screens.weight_on_bit import runs
from heave.screens.workers import Superseded, Workers
from heave.simulation import worker
from heave.simulation.comparisons import variants
from heave.simulation.played import play
from heave.simulation.proof import simulated
from heave.simulation.scenario import Happening, Scenario, plan_run
from heave.simulation.simulate import simulate, simulate_seeds

SHORT = Scenario(duration=30.0)
PLAN = demo_plan()
(ALONE,) = variants(PLAN, "alone")


def untold(share: float) -> None:
    """Nobody listens."""


@pytest.fixture(scope="module")
def two() -> Iterator[Workers]:
    """Two workers for all tests that leave them alive."""
    made = Workers(2)
    yield made
    made.end()


@pytest.fixture
def own(root: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., Workers]]:
    """Workers of a test's own, ended after it, whose workers know `naps`."""
    monkeypatch.setenv("PYTHONPATH", str(root / "tests" / "screens"))
    made: list[Workers] = []

    def make(most: int, *command: str) -> Workers:
        made.append(Workers(most, command or workers.COMMAND))
        return made[-1]

    yield make
    for each in made:
        each.end()


def said_by(script: str) -> tuple[str, ...]:
    """Command of a process that runs a script of Python."""
    return sys.executable, "-c", script


def alike(one: Any, other: Any) -> bool:
    """Whether two values hold the same numbers, to the last bit."""
    if isinstance(one, np.ndarray):
        return one.dtype == other.dtype and one.tobytes() == other.tobytes()
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(alike(one[key], other[key]) for key in one)
    if isinstance(one, tuple | list):
        return len(one) == len(other) and all(map(alike, one, other))
    if is_dataclass(one):
        return all(alike(getattr(one, each.name), getattr(other, each.name)) for each in fields(one))
    return bool(one == other)


def gone(process: int, patience: float = 20.0) -> bool:
    """Whether a process has ended, given some time for it."""
    deadline = time.monotonic() + patience
    while time.monotonic() < deadline:
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            return True
        if Path(f"/proc/{process}/stat").exists() and " Z " in Path(f"/proc/{process}/stat").read_text(
            "ascii"
        ):
            return True
        time.sleep(0.05)
    return False


def pids(of: Workers) -> list[int]:
    return [one.process.pid for one in of._workers]


@pytest.mark.parametrize("key", ["alone", "active", "none", "locked"])
def test_runs_are_those_of_the_server_to_the_last_bit(two: Workers, key: str) -> None:
    scenario = Scenario(
        duration=60.0, happenings=(Happening("wave group", 20.0), Happening("power lost", 40.0))
    )
    for variant in variants(PLAN, key):
        there, here = two.ask(play, variant, scenario, tell=untold), play(variant, scenario)
        assert alike(there.result, here.result)
        assert there[1:] == here[1:]


def test_seeds_and_proofs_are_those_of_the_server_to_the_last_bit(two: Workers) -> None:
    asked = PLAN, 120.0, range(1, 4)
    there, here = two.ask(simulate_seeds, *asked, tell=untold, long=True), simulate_seeds(*asked)
    assert alike(there, here)
    assert two.ask(simulated, PLAN, tell=untold, long=True) == simulated(PLAN)


def test_progress_is_heard_from_afar(two: Workers) -> None:
    for most in (13, 100, 800):  # it is told of now and then: a quicker machine is given more to do
        two.ask(simulate_seeds, PLAN, 600.0, range(1, most), tell=(heard := list[float]()).append)
        assert heard == sorted(heard)
        if len(told := set(heard) - {0.0, 1.0}) > 2:
            break
    assert len(told) > 2


def test_errors_come_back_as_themselves(two: Workers) -> None:
    with pytest.raises(InputError) as there:
        two.ask(simulate, PLAN, 60.0, -3, tell=untold)
    with pytest.raises(InputError) as here:
        simulate(PLAN, 60.0, -3)
    assert str(there.value) == str(here.value)
    assert vars(there.value) == vars(here.value)
    with pytest.raises(AttributeError):
        two.ask(simulate, "no plan", tell=untold)
    assert two.ask(play, ALONE, SHORT, tell=untold).result.time[-1] == SHORT.duration


def test_an_error_that_cannot_be_sent_comes_in_words() -> None:
    error = ValueError("bad", threading.Lock())
    back = worker.unpacked(worker.packed(error))
    assert isinstance(back, RuntimeError)
    assert "ValueError" in str(back)


def test_what_is_stopped_stops_and_the_worker_is_free_again(own: Callable[..., Workers]) -> None:
    one = own(1)
    one.ask(play, ALONE, SHORT, tell=untold)
    before = pids(one)

    class Enough(BaseException):
        pass

    def stop(share: float) -> None:
        if share > 0:
            raise Enough

    with pytest.raises(Enough):
        one.ask(simulate_seeds, PLAN, 10_800.0, range(1, 51), tell=stop)
    begun = time.thread_time()
    one.ask(play, ALONE, SHORT, tell=untold)
    assert time.thread_time() - begun < 2.0
    assert pids(one) == before  # not killed for it: another would have to start


def test_a_worker_that_does_not_stop_is_ended(
    own: Callable[..., Workers], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workers, "TO_STOP", 0.2)
    one = own(1)
    ticks = iter([None] * 3)

    def stop(share: float) -> None:
        if one._workers[0].ready and one._workers[0].busy:
            next(ticks)

    with pytest.raises(StopIteration):
        one.ask(naps.sleep, 600.0, tell=stop)
    (deaf,) = pids(one)
    assert one.ask(play, ALONE, SHORT, tell=untold).result.time[-1] == SHORT.duration
    assert gone(deaf)
    assert pids(one) != [deaf]


def test_a_killed_worker_is_replaced_and_asked_again(
    own: Callable[..., Workers], caplog: pytest.LogCaptureFixture
) -> None:
    one = own(1)
    killed: list[int] = []

    def kill(share: float) -> None:
        if share > 0 and not killed:
            killed.extend(pids(one))
            one._workers[0].process.kill()

    for most in (4, 40):  # a quicker machine is given more to do
        if not killed:
            there = one.ask(simulate_seeds, *(asked := (PLAN, 600.0, range(1, most))), tell=kill)
    assert alike(there, simulate_seeds(*asked))
    assert killed
    assert pids(one) != killed
    assert "ended in the middle" in caplog.text
    assert "server's own process" not in caplog.text


@pytest.mark.parametrize(
    "babble",
    [
        "print('hello, how are you today?')",
        "import sys; sys.stdout.buffer.write((9).to_bytes(8, 'big') + b'no pickle')",
        "import sys; sys.stdout.buffer.write((30).to_bytes(8, 'big') + b'too short')",
        "",
        "raise SystemExit(3)",
    ],
)
def test_a_worker_that_is_none_leaves_the_work_to_the_server(
    own: Callable[..., Workers], caplog: pytest.LogCaptureFixture, babble: str
) -> None:
    odd = own(2, *said_by(babble))
    there = odd.ask(play, ALONE, SHORT, tell=untold)
    assert alike(there.result, play(ALONE, SHORT).result)
    assert odd.most == 0
    assert "no more than 0 from now on" in caplog.text


def test_a_worker_that_babbles_instead_of_answering_is_ended(
    own: Callable[..., Workers], caplog: pytest.LogCaptureFixture
) -> None:
    script = (
        "import pickle, sys; from heave.simulation import worker; "
        "worker.send(sys.stdout.buffer, (0, 'ready', None)); worker.received(sys.stdin.buffer); "
        "sys.stdout.buffer.write(b'x' * 400); sys.stdout.flush(); sys.stdin.buffer.read()"
    )
    odd = own(1, *said_by(script))
    there = odd.ask(play, ALONE, SHORT, tell=untold)
    assert alike(there.result, play(ALONE, SHORT).result)
    assert caplog.text.count("ended in the middle") == workers.TRIES
    assert "worked out in the server's own process" in caplog.text
    assert PLAN.vessel.name not in caplog.text


@pytest.mark.parametrize(
    "error", [OSError("no processes here"), PermissionError("read only"), ValueError("empty")]
)
def test_where_no_process_can_be_started_the_server_does_it(
    own: Callable[..., Workers],
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    error: Exception,
) -> None:
    def refused(*args: Any, **how: Any) -> None:
        raise error

    monkeypatch.setattr(subprocess, "Popen", refused)
    none = own(2)
    none.warm()
    there = none.ask(play, ALONE, SHORT, tell=untold)
    assert alike(there.result, play(ALONE, SHORT).result)
    assert caplog.text.count("cannot be started") == 1


def test_nothing_is_forked(monkeypatch: pytest.MonkeyPatch, own: Callable[..., Workers]) -> None:
    monkeypatch.delattr(os, "fork")
    one = own(1)
    one.ask(play, ALONE, SHORT, tell=untold)
    assert len(pids(one)) == 1


def test_many_sessions_at_once_get_each_its_own(two: Workers) -> None:
    plans = [PLAN.changed(wob=PLAN.wob + 1000.0 * place) for place in range(12)]

    def ask(place: int) -> Any:
        (variant,) = variants(plans[place], "alone")
        return two.ask(play, variant, SHORT, tell=untold, owner=str(place))

    with ThreadPoolExecutor(12) as pool:
        found = list(pool.map(ask, range(12)))
    assert [one.result.plan for one in found] == plans
    assert len(pids(two)) == 2


class Slow:
    """Questions from threads of their own, put to one worker that is held by another one until it is let go."""

    def __init__(self, of: Workers) -> None:
        self.of, self.order, self.go = of, list[str](), threading.Event()
        self.pool = ThreadPoolExecutor(8)
        self.of.ask(play, ALONE, SHORT, tell=untold)
        self.held = self.pool.submit(self.hold)
        self.until(lambda: any(one.busy for one in self.of._workers))

    def hold(self) -> None:
        def tell(share: float) -> None:
            if self.go.is_set():
                raise Superseded

        self.of.ask(naps.naps, tell=tell, owner="holder", long=True)

    def ask(self, name: str, owner: str) -> Any:
        def work() -> None:
            self.of.ask(play, ALONE, SHORT, tell=untold, owner=owner)
            self.order.append(name)

        old = list(self.of._queue)
        asked = self.pool.submit(work)
        self.until(lambda: set(self.of._queue) > set(old) or asked.done() or any(o.dropped for o in old))
        return asked

    @staticmethod
    def until(what: Callable[[], bool]) -> None:
        deadline = time.monotonic() + 60
        while not what():
            assert time.monotonic() < deadline
            time.sleep(0.01)


def test_first_come_first_served_and_one_place_a_session(own: Callable[..., Workers]) -> None:
    slow = Slow(own(1))
    first, other = slow.ask("first of a", "a"), slow.ask("of b", "b")
    with pytest.raises(TimeoutError):
        other.result(timeout=0.3)
    again = slow.ask("second of a", "a")  # in the place of its first, behind b
    with pytest.raises(Superseded):
        first.result(timeout=60)
    slow.go.set()
    other.result(timeout=60)
    again.result(timeout=60)
    assert slow.order == ["of b", "second of a"]
    with pytest.raises(Superseded):
        slow.held.result(timeout=60)


def test_long_work_keeps_off_one_worker(own: Callable[..., Workers]) -> None:
    slow = Slow(own(2))
    second = slow.pool.submit(lambda: slow.of.ask(naps.sleep, 0.0, tell=untold, owner="c", long=True))
    slow.until(lambda: bool(slow.of._queue))
    slow.ask("film", "b").result(timeout=60)  # goes past what is long
    assert not second.done()
    slow.go.set()
    second.result(timeout=60)


def test_none_is_left_when_the_server_ends(root: Path) -> None:
    script = (
        "import sys, time; from heave.screens.workers import WORKERS; WORKERS.warm(); "
        "print(WORKERS._workers[0].process.pid, flush=True); sys.stdin.read(1); {end}"
    )
    for end in ("", "import os; os.kill(os.getpid(), 9)"):
        server = subprocess.Popen(
            said_by(script.format(end=end)),
            cwd=root,
            env={**os.environ, workers.NUMBER: "1"},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )
        assert server.stdout is not None
        child = int(server.stdout.readline())
        server.communicate(b"x", timeout=60)
        assert gone(child)


def test_it_works_from_a_folder_with_spaces_and_another_cwd(root: Path, tmp_path: Path) -> None:
    there = tmp_path / "heave ü and stroke"
    shutil.copytree(root / "heave", there / "heave", ignore=shutil.ignore_patterns("__pycache__"))
    script = (
        "from heave.screens.workers import WORKERS\n"
        "from heave.simulation.simulate import simulate\n"
        "from heave.files.rigs import demo_plan\n"
        "found = WORKERS.ask(simulate, demo_plan(), 30.0, tell=lambda share: None)\n"
        "print(len(WORKERS._workers), WORKERS.most, found.time[-1])\n"
    )
    told = subprocess.run(
        said_by(script),
        cwd=tmp_path,
        env={**os.environ, workers.NUMBER: "1", "PYTHONPATH": str(there)},
        capture_output=True,
        text=True,
        check=True,
        timeout=300,
    )
    assert told.stdout.split() == ["1", "1", "30.0"]


def test_the_page_plays_what_a_worker_ran(
    app: AppTest, two: Workers, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workers, "WORKERS", two)
    runs.forget()
    app.session_state["heave:wob:minutes:metric"] = "0.5"
    app.switch_page("heave/screens/weight_on_bit/page.py").run()
    assert not app.exception
    (key,) = (key.made_from for key in runs.KEPT._entries if key.made_from[0] != "film")
    kept = runs.KEPT.kept(key, lambda: None)
    assert alike(kept.result, play(ALONE, key[2]).result)
    assert kept.result.plan == plan_run(ALONE, key[2])
    runs.forget()
