"""axe-core over every page, tab and theme of the app, everything folded opened: `python tests/browser/audit.py`.

The rules of WCAG 2.0, 2.1 and 2.2, levels A and AA, and what axe calls best practice. axe is a file of the package
axe-playwright-python, read from the disk; nothing is fetched. What is the platform's own and out of our reach stands
in `PLATFORM`, with what was done about it; the run fails on any other finding, and on an entry there that is not
found any more.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from typing import Any, Final

import walk
from axe_playwright_python.base import AXE_SCRIPT

import harness

TAGS: Final = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")

PLATFORM: Final[dict[tuple[str, str], str]] = {}
"""Rule and a selector of ours that holds all it is found in: why it stays, and what was done."""

_RUN: Final = """([tags, rules, allowed]) => axe.run(document, {
    runOnly: rules.length ? {type: 'rule', values: rules} : {type: 'tag', values: tags},
    resultTypes: ['violations'],
}).then(found => found.violations.flatMap(rule => rule.nodes.map(node => {
    const element = document.querySelector(node.target[0]);
    const known = allowed.find(([id, place]) => id === rule.id && element?.closest(place));
    return {rule: rule.id, known: known ? known.join(' ') : '', html: node.html.slice(0, 200),
            why: node.failureSummary, place: node.target.join(' ')};
})))"""


def findings(page: Any, rules: Sequence[str] = ()) -> list[dict[str, str]]:
    """What axe finds on the page as it stands, by all rules or by some; `known` where the platform's table has it."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(AXE_SCRIPT)
    allowed = [list(entry) for entry in PLATFORM]
    found: list[dict[str, str]] = page.evaluate(_RUN, [list(TAGS), list(rules), allowed])
    return found


def unknown(found: Sequence[dict[str, str]]) -> list[str]:
    """The findings that the table does not have, each in a line."""
    return [f"{one['rule']} {one['place']}: {one['html']} {one['why']}" for one in found if not one["known"]]


def main() -> int:
    """Walk through everything in both themes; say what was found, and return 1 if there was anything to mend."""
    reason = harness.why_not()
    if reason:
        print(reason, file=sys.stderr)
        return 1
    wrong: list[str] = []
    seen: set[str] = set()
    places = 0
    with harness.serve() as address, harness.chromium() as browser:
        for scheme in ("light", "dark"):
            with harness.open_context(browser, scheme=scheme) as (context, watch):
                for place in walk.through(page := context.new_page(), address):
                    began, found = time.perf_counter(), findings(page)
                    places += 1
                    seen |= {one["known"] for one in found}
                    wrong += [f"{scheme}, {place}: {line}" for line in unknown(found)]
                    print(
                        f"{scheme}, {place}: {len(found)} in {time.perf_counter() - began:.1f} s", flush=True
                    )
                wrong += watch.troubles
    wrong += [f"not found any more: {entry}" for entry in PLATFORM if " ".join(entry) not in seen]
    print("\n".join([*wrong, f"{places} places, {len(wrong)} to mend"]))
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
