"""Every page at five widths: words over words, lines through words, and words that are cut.

    python tests/browser/overlap.py [--plans demo crowded extreme slight random:3] [--pages check weather ...]
        [--widths 1920 1440 1024 768 390] [--units oilfield]

Boxes are those of the letters as the browser drew them; lines are followed point by point. A still picture is read as
SVG, a film by what it writes on its canvases. Prints one line for each finding, the widths it was found at behind it,
and ends with 1 if there are any.
"""

from __future__ import annotations

import argparse
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

import harness

sys.path.insert(0, str(harness.ROOT / "tests" / "judging"))

import crowded
from limit_plans import random_plans

from heave.files.link import plan_to_link
from heave.files.rigs import demo_plan
from heave.planning import Plan

if TYPE_CHECKING:
    from playwright.sync_api import Page

WIDTHS: Final = (1920, 1440, 1024, 768, 390)
PAGES: Final = {
    "check": "",
    "weather": "weather-window",
    "bit": "weight-on-bit",
    "hoisting": "hoisting",
    "limits": "operating-limits",
    "sensitivity": "sensitivity",
    "climate": "climate",
    "compare": "compare",
    "rig": "rig",
    "sheet": "calculation-sheet",
    "method": "method",
}
LOOKED: Final = (Path(__file__).parent / "overlap.js").read_text("utf-8")
_FORGET: Final = "() => window.canvasForget?.()"
_AT_REST: Final = """() => {
  const width = element => element.getBoundingClientRect().width
  const charts = [...document.querySelectorAll('.js-plotly-plot')].filter(chart => width(chart))
  const told = charts.map(chart => `${width(chart)} ${[...chart.querySelectorAll('text')].map(width)}`).join()
  const drawn = charts.every(chart => Math.abs(width(chart) - width(chart.querySelector('.main-svg'))) < 2)
  const rest = drawn && window.before === told
  window.before = told
  return rest
}"""
"""Whether every chart has drawn itself for its width, and stands as it stood when last asked."""

LISTENING: Final = (Path(__file__).parent / "canvas_words.js").read_text("utf-8")


def plans_named(names: Sequence[str]) -> Iterator[tuple[str, Plan]]:
    """The plans asked for: demo, one of `crowded.py`, or so many random ones as random:3."""
    made = {
        "demo": demo_plan,
        "crowded": crowded.crowded,
        "extreme": crowded.extreme,
        "slight": crowded.slight,
    }
    for name in names:
        if name.startswith("random:"):
            yield from (
                (f"random {n}", plan)
                for n, plan in enumerate(random_plans(int(name.removeprefix("random:")), 13))
            )
        else:
            yield name, made[name]()


def found_on(page: Page, widths: Sequence[int]) -> dict[str, list[int]]:
    """Findings on the page as it stands, each with the widths it was found at."""
    found: dict[str, list[int]] = defaultdict(list)
    for width in widths:
        page.evaluate(_FORGET)
        page.set_viewport_size({"width": width, "height": 1000})
        page.wait_for_timeout(500)
        harness.wait_until(page, lambda: _rests(page), "the charts to come to rest", timeout=30)
        for finding in page.evaluate(LOOKED):
            found[finding].append(width)
    return found


def _rests(page: Page) -> bool:
    page.wait_for_timeout(250)
    return bool(page.evaluate(_AT_REST))


def unfolded(page: Page) -> None:
    """Open every disclosure of the page's own part, also those that come to light by it."""
    closed = '[data-testid="stMain"] [data-testid="stExpander"] details:not([open]) > summary'
    for _ in range(40):
        if not page.locator(closed).count():
            return
        page.locator(closed).first.click()
        page.wait_for_timeout(150)
        harness.wait_settled(page)


def findings(
    page: Page, address: str, widths: Sequence[int], *, unfold: bool = True, oilfield: bool = False
) -> Iterator[tuple[str, dict[str, list[int]]]]:
    """Findings of every tab of a page, opened at the first width: name of the tab, and what was found on it."""
    page.set_viewport_size({"width": widths[0], "height": 1000})
    harness.open_page(page, address)
    if oilfield:
        with harness.rerun(page):
            page.get_by_text("Oilfield", exact=True).first.click()
    count = page.locator('[data-testid="stMain"] [role="tab"]').count()
    for place in range(max(count, 1)):
        name = ""
        if count:
            page.set_viewport_size({"width": widths[0], "height": 1000})
            tab = page.locator('[data-testid="stMain"] [role="tab"]').nth(place)
            name = tab.inner_text()
            tab.click()
            page.wait_for_timeout(300)
            harness.wait_settled(page)
        if unfold:
            unfolded(page)
        yield name, found_on(page, widths)


def main() -> int:
    """Look at what was asked for; 1 if anything was found."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--plans", nargs="+", default=["demo"])
    asked.add_argument("--pages", nargs="+", default=list(PAGES), choices=list(PAGES))
    asked.add_argument("--widths", nargs="+", type=int, default=list(WIDTHS))
    asked.add_argument("--units", default="metric", choices=("metric", "oilfield"))
    given = asked.parse_args()
    total = 0
    with harness.serve() as address, harness.chromium() as browser:
        for name, plan in plans_named(given.plans):
            with harness.open_context(browser) as (context, watch):
                context.add_init_script(LISTENING)
                page = context.new_page()
                for key in given.pages:
                    path = f"{address}/{PAGES[key]}?plan={plan_to_link(plan)}"
                    try:
                        for tab, found in findings(
                            page, path, given.widths, oilfield=given.units == "oilfield"
                        ):
                            for finding, widths in found.items():
                                total += 1
                                print(f"{name} · {key} {tab} · {finding} · {widths}", flush=True)
                    except Exception as error:  # one page that cannot be looked at does not end the run
                        total += 1
                        print(f"{name} · {key} · could not be looked at: {str(error)[:200]}", flush=True)
                for trouble in watch.troubles:
                    print(f"{name} · trouble: {trouble[:200]}", flush=True)
            print(f"{name}: done", flush=True)
    return 1 if total else 0


if __name__ == "__main__":
    sys.exit(main())
