"""What a page costs the server, read inside a real server: `python tests/benchmarks/bench_screens.py`.

A server of its own is started and spoken to as a browser would, without a browser beside it that takes the
processor. Inside the server each run of the script is timed from its start to the moment the verdict is handed
over for sending, and to its end with the collection of garbage that follows it.
`--beside PATH` measures another checkout in turn with this one, so that both had the same machine.

A benchmark, not a test: nothing fails here.
"""

from __future__ import annotations

import argparse
import json
import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sessions import ROOT, Client, free_port, memory_of, running

VERDICTS = ("[Within limits]", "[Near a limit]", "[Over a limit]", "[Not assessed]")
EDITS = 25
QUIET = 3.0
"""How long the server is left alone after the first page, for what it does in the background [s]."""


def serve(port: int, told: Path) -> None:
    """Run the app of the current folder with clocks in it; one line of JSON in `told` for each run of the script."""
    from streamlit import config
    from streamlit.runtime.scriptrunner.script_runner import ScriptRunner
    from streamlit.runtime.scriptrunner_utils.script_run_context import ScriptRunContext
    from streamlit.web import bootstrap

    run, enqueue = ScriptRunner._run_script, ScriptRunContext.enqueue
    now: dict[str, Any] = {}

    def timed_run(self: Any, data: Any) -> None:
        started, spent = time.perf_counter(), time.process_time()
        now.update(verdict=None, verdict_cpu=None, messages=0, bytes=0, started=started, spent=spent)
        run(self, data)
        line = {
            "total": time.perf_counter() - started,
            "cpu": time.process_time() - spent,
            "memory": memory_of(os.getpid()),
            "process": os.getpid(),
            **{name: now[name] for name in ("verdict", "verdict_cpu", "messages", "bytes")},
        }
        with told.open("a", encoding="utf-8") as file:
            file.write(json.dumps(line) + "\n")

    def timed_enqueue(self: Any, message: Any) -> None:
        now["messages"] += 1
        now["bytes"] += message.ByteSize()
        if now["verdict"] is None:
            body = message.delta.new_element.markdown.body
            if any(word in body for word in VERDICTS):
                now["verdict"] = time.perf_counter() - now["started"]
                now["verdict_cpu"] = time.process_time() - now["spent"]
        enqueue(self, message)

    ScriptRunner._run_script = timed_run  # type: ignore[method-assign]
    ScriptRunContext.enqueue = timed_enqueue  # type: ignore[method-assign]
    bootstrap.load_config_options({"server_port": port, "browser_serverPort": port})
    config.set_option("server.headless", True)
    bootstrap.run("app.py", False, [], {})


@contextmanager
def served(tree: Path, **environment: str) -> Iterator[tuple[str, Callable[[], list[dict[str, Any]]]]]:
    """A timed server of the checkout `tree`: its address, and a function that reads what its runs took so far.

    `environment` is added to that of this process.
    """
    port = free_port()
    with tempfile.TemporaryDirectory() as folder:
        told = Path(folder) / "runs.jsonl"
        told.touch()
        command = [sys.executable, __file__, "--serve", str(port), str(told)]
        address = f"http://127.0.0.1:{port}"
        with running(command, address, tree, **environment):
            yield address, lambda: [json.loads(line) for line in told.read_text("utf-8").splitlines()]


@dataclass(frozen=True)
class Row:
    """One line of the table, from the runs it summarises."""

    name: str
    runs: list[dict[str, Any]]

    def __str__(self) -> str:
        cells = [self._times(name) for name in ("total", "verdict", "cpu", "verdict_cpu")]
        counts = [statistics.median(run[name] for run in self.runs) for name in ("messages", "bytes")]
        return f"{self.name:26s}{''.join(cells)}{counts[0]:9.0f}{counts[1] / 1e3:8.0f}{self.runs[-1]['memory']:8.0f}"

    def _times(self, name: str) -> str:
        found = [1e3 * run[name] for run in self.runs if run[name] is not None]
        return f"{statistics.median(found):8.0f} ({min(found):5.0f})" if found else " " * 16


def measure(tree: Path) -> list[Row]:
    """First open, new figures on the check page, and the weight-on-bit page drawn again."""
    with served(tree) as (address, runs):
        client = Client(address)
        client.rerun()
        time.sleep(QUIET)
        settled(runs, 1)
        for turn in range(EDITS):
            client.rerun(input__sea__systems__0__hs__metric=f"{2.51 + 0.05 * turn:.2f}")
            settled(runs, turn + 2)
        client.rerun("weight-on-bit")
        settled(runs, EDITS + 2)
        for turn in range(10):
            client.rerun("weight-on-bit")
            settled(runs, EDITS + 3 + turn)
        found = runs()
    edits, again = found[2 : EDITS + 1], found[EDITS + 3 :]
    return [
        Row("first open", found[:1]),
        Row("check page, new figures", edits),
        Row("weight on bit, first", found[EDITS + 1 : EDITS + 2]),
        Row("weight on bit, again", again),
    ]


def settled(runs: Callable[[], list[dict[str, Any]]], count: int) -> None:
    """Wait until `count` runs are told: the collection of garbage comes after the last message."""
    deadline = time.monotonic() + 60
    while len(runs()) < count and time.monotonic() < deadline:
        time.sleep(0.02)


def main() -> None:
    """Measure and print, medians with the least in brackets."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--serve", nargs=2)
    parser.add_argument("--beside", type=Path, help="another checkout to measure in turn with this one")
    parser.add_argument("--rounds", type=int, default=1)
    asked = parser.parse_args()
    if asked.serve:
        serve(int(asked.serve[0]), Path(asked.serve[1]))
        return
    heads = "".join(
        f"{name:>16s}" for name in ("total, ms", "verdict, ms", "processor, ms", "to verdict, ms")
    )
    print(f"{'':26s}{heads}{'messages':>9s}{'kB':>8s}{'MB':>8s}")
    for _ in range(asked.rounds):
        for tree in (asked.beside, ROOT):
            if tree is not None:
                print(tree.resolve())
                print("\n".join(str(row) for row in measure(tree.resolve())))


if __name__ == "__main__":
    main()
