"""Processor time and bytes of the weather-window page: a rerun with the plan unchanged, and one after an edit.

python tests/benchmarks/bench_weather_page.py [another checkout]

The script runs in this process, without browser and network. Bytes are those of all messages of one run; the
server sends a message over 10 kB only once to a browser that keeps it. With another checkout both are run in turn
and compared.
"""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PAGE = "heave/screens/weather/page.py"
TARGETS = {"rerun_ms": "80 ms", "rerun_kb": "150 kB"}
RUNS = 12


def measure(root: Path) -> dict[str, float]:
    """Shortest processor time [ms] and bytes sent [kB] of the checkout at `root`."""
    sys.path.insert(0, str(root))
    from streamlit.testing.v1 import AppTest, local_script_runner

    sizes: list[int] = []
    charts: list[int] = []
    runner = local_script_runner.LocalScriptRunner
    plain = runner.run

    def run(self: Any, *args: Any, **more: Any) -> Any:
        tree = plain(self, *args, **more)
        messages = self.forward_msgs()
        sizes.append(sum(message.ByteSize() for message in messages))
        charts.append(
            sum(
                message.ByteSize()
                for message in messages
                if message.WhichOneof("type") == "delta"
                and message.delta.new_element.WhichOneof("type") == "plotly_chart"
            )
        )
        return tree

    runner.run = run  # type: ignore[method-assign]
    page = AppTest.from_file(str(root / "app.py"), default_timeout=60).run()
    page.switch_page(PAGE).run()

    def timed() -> float:
        start = time.process_time()
        page.run()
        assert not page.exception
        return 1e3 * (time.process_time() - start)

    again = [timed() for _ in range(RUNS)]
    rerun_bytes, chart_bytes = sizes[-1], charts[-1]
    edited = []
    for turn in range(RUNS // 2):
        next(box for box in page.text_input if box.label == "Heading (°)").set_value(str(201 + turn))
        edited.append(timed())
    return {
        "rerun_ms": min(again),
        "rerun_kb": rerun_bytes / 1e3,
        "chart_kb": chart_bytes / 1e3,
        "edit_ms": min(edited),
        "edit_kb": sizes[-1] / 1e3,
    }


def measured_apart(root: Path) -> dict[str, float]:
    """The same in a process of its own."""
    words = subprocess.run(
        [sys.executable, __file__, "--measure", str(root)], capture_output=True, text=True, check=True
    ).stdout
    found: dict[str, float] = json.loads(words.splitlines()[-1])
    return found


def main() -> None:
    if sys.argv[1:2] == ["--measure"]:
        print(json.dumps(measure(Path(sys.argv[2]))))
        return
    other = Path(sys.argv[1]).resolve() if len(sys.argv) > 1 else None
    rounds = [
        (measured_apart(ROOT), measured_apart(other) if other else None) for _ in range(3 if other else 1)
    ]
    for name in rounds[0][0]:
        here = min(mine[name] for mine, _ in rounds)
        line = f"{name:9} {here:7.1f}"
        if other is not None:
            there = min(theirs[name] for _, theirs in rounds if theirs is not None)
            line += f"   other {there:7.1f}   here over other {here / there:.2f}"
        if name in TARGETS:
            line += f"   (target {TARGETS[name]})"
        print(line)


if __name__ == "__main__":
    main()
