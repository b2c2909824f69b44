"""Random plans through all that is made of a plan; prints how many of each verdict, and every class of fault.

    python tests/benchmarks/storm_of_plans.py [--count 1000] [--seed 0] [--slow 0.1] [--sheets 0.3]

Every plan goes through checks, headlines, cautions and its file. `--sheets` is the share that also goes through the
calculation sheet and its file, `--slow` the share that goes through limits card, windows, morning sheet and film.
"""

# ruff: noqa: E402

from __future__ import annotations

import argparse
import random
import re
import sys
import time
import traceback
import warnings
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "judging")]

from plans_through import drawn, through


def main() -> None:
    about = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    about.add_argument("--count", type=int, default=1000)
    about.add_argument("--seed", type=int, default=0)
    about.add_argument("--slow", type=float, default=0.1)
    about.add_argument("--sheets", type=float, default=0.3)
    given = about.parse_args()
    warnings.simplefilter("error", RuntimeWarning)
    came: Counter[str] = Counter()
    faults: Counter[str] = Counter()
    first: dict[str, str] = {}
    began = time.process_time()
    for number in range(given.seed, given.seed + given.count):
        draw = random.Random(f"plan {number}")
        plan = drawn(draw)
        try:
            slow, sheets = (draw.random() < share for share in (given.slow, given.sheets))
            came[through(plan, slow=slow, sheets=sheets)] += 1
        except Exception as problem:
            name = re.sub(r"[0-9.]+", "~", f"{type(problem).__name__}: {problem}")[:160]
            faults[name] += 1
            first.setdefault(
                name, f"seed {number}: " + "".join(traceback.format_exception(problem, limit=-3))
            )
    print(f"{given.count} plans in {time.process_time() - began:.0f} s of processor: {dict(came)}")
    for name, count in faults.most_common():
        print(f"{count:5} {name}\n{first[name]}")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
