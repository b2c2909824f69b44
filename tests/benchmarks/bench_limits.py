"""How long limit maps take, and how close their points are on many random plans.

python tests/benchmarks/bench_limits.py              # 40 periods, 36 headings, every check
python tests/benchmarks/bench_limits.py --plans 200  # points of that many random plans assessed again
"""

from __future__ import annotations

import argparse
import math
import time

import numpy as np
from limit_plans import at_limit, random_plans

import heave
from heave.files.rigs import demo_vessels
from heave.judging import limit_map
from heave.judging.limit_curves import HEADINGS, PERIODS, allowed_periods, growths, limits_of
from heave.planning import OPERATIONS

BUDGET = 0.5
"""Of a map of the planned values on two cores [s]."""


def times() -> None:
    """Processor time of whole maps, the best of two, planned and at the worst ends of the ranges [s]."""
    print(f"{len(PERIODS)} periods x {len(HEADINGS)} headings, budget {BUDGET} s")
    for vessel in demo_vessels().values():
        for kind in OPERATIONS:
            plan = heave.demo_plan().changed(vessel=vessel).doing(kind)
            taken = [min(_time(plan, worst) for _ in range(2)) for worst in (False, True)]
            print(f"{vessel.name:28s} {kind:9s} planned {taken[0]:.2f} s, worst ends {taken[1]:.2f} s")


def _time(plan: heave.Plan, worst: bool) -> float:
    start = time.process_time()
    limit_map(plan, PERIODS, HEADINGS, worst=worst)
    return time.process_time() - start


def points(count: int, seed: int) -> None:
    """Utilisation at points of the curves of random plans, each way of growing, assessed again."""
    rng = np.random.default_rng(seed)
    found, jumps = [], 0
    for plan in random_plans(count, seed):
        for growth in growths(plan):
            periods = rng.choice(allowed_periods(plan, growth), 4, replace=False)
            limits = limits_of(plan, growth, periods, rng.uniform(0, 360, 2))
            for i, tp in enumerate(limits.periods):
                for j, heading in enumerate(limits.headings):
                    hs = float(limits.at_most[i, j])
                    if not 0 < hs < math.inf:
                        continue
                    used, _, above = at_limit(plan, growth, hs, tp, heading)
                    if used < 0.998 and above > 1:
                        jumps += 1
                    else:
                        found.append(used)
    low, high = min(found), max(found)
    print(
        f"{len(found)} points of {count} plans: utilisation {low:.6f} to {high:.6f}; {jumps} at a jump past 1"
    )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--plans", type=int, default=0)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    if given.plans:
        points(given.plans, given.seed)
    else:
        times()
