"""Take the pictures the guide shows, one of each page on the demo plan.

Run `python tests/browser/make_screenshots.py`; the pictures go to `heave/screens/images/`.
Run it with `--all` to take every page at every width, light and dark, into `tests/browser/shots/`.
"""

from __future__ import annotations

import re
import sys
from typing import Any

import harness

IMAGES = harness.ROOT / "heave" / "screens" / "images"


def page_paths(browser: Any, address: str) -> dict[str, str]:
    """The path of every page by a name fit for a file, as the app's own menu lists them."""
    with harness.open_context(browser) as (context, _):
        page = context.new_page()
        harness.open_page(page, address)
        links = page.get_by_test_id("stSidebarNavLink")
        found = [(link.inner_text().strip(), link.get_attribute("href") or "") for link in links.all()]
    named = {re.sub(r"\W+", "_", name.lower()).strip("_"): href for name, href in found}
    return {name: "/" + href.removeprefix(address).lstrip("./") for name, href in named.items()}


def main(every: bool) -> int:
    """Take the pictures; say what went wrong and return 1 if anything did."""
    reason = harness.why_not()
    if reason:
        print(reason, file=sys.stderr)
        return 1
    troubles: list[str] = []
    with harness.serve() as address, harness.chromium() as browser:
        for name, path in page_paths(browser, address).items():
            if every:
                troubles += harness.shots(browser, address, name, path=path)[1]
                continue
            with harness.open_context(browser, height=900) as (context, watch):
                page = context.new_page()
                harness.open_page(page, address + path)
                print(harness.shot(page, IMAGES / f"{name}.png").relative_to(harness.ROOT))
                troubles += [f"{name}: {trouble}" for trouble in watch.troubles]
    print("\n".join(troubles), file=sys.stderr)
    return 1 if troubles else 0


if __name__ == "__main__":
    sys.exit(main("--all" in sys.argv[1:]))
