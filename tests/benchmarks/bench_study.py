"""Processor time of a study of the demo plan: inputs one at a time, and 10,000 plans drawn.

python tests/benchmarks/bench_study.py

Once each; a draw of the equipment costs its own model and its own rules, its seas next to nothing.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from heave.files.rigs import demo_plan
from heave.judging import assess
from heave.planning import STUDIED, Plan, StudiedInput
from heave.studies.inputs import INPUTS
from heave.studies.monte_carlo import monte_carlo
from heave.studies.sensitivity import sensitivity


def sea_only(plan: Plan) -> Plan:
    """The plan with nothing but the sea and the heading varied."""
    still = (StudiedInput(name, 0.0, 1.0, varied=False) for name in STUDIED if not INPUTS[name].of_sea)
    return plan.changed(study=replace(plan.study, inputs=tuple(still)))


def timed(what: str, work: Callable[[], object]) -> None:
    """Print the processor time of one call."""
    start = time.process_time()
    work()
    print(f"{what:<60} {time.process_time() - start:8.3f} s")


if __name__ == "__main__":
    plan = demo_plan()
    assess(plan)
    timed("one assessment", lambda: assess(plan.changed(wob=170e3)))
    timed("every input one at a time", lambda: sensitivity(plan))
    timed("10,000 plans, sea and heading varied", lambda: monte_carlo(sea_only(plan)))
    timed("10,000 plans, all inputs varied, 1,000 draws of equipment", lambda: monte_carlo(plan))
