"""Take the pictures the guide shows: of every page whose picture README.md names, on the demo plan.

Run `python tests/browser/make_screenshots.py`; the pictures go to `heave/screens/images/`, named after
the page's title in lower case with underscores.
Run it with `--all` to take every page at every width, light and dark, into `tests/browser/shots/`.
"""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

import harness

IMAGES = harness.ROOT / "heave" / "screens" / "images"


def page_paths() -> dict[str, str]:
    """The address of every page by a name fit for a file, the page that opens first at the root."""
    from heave.screens.pages import PAGES

    named = {re.sub(r"\W+", "_", page.title.lower()).strip("_"): f"/{page.address}" for page in PAGES}
    return {**named, next(iter(named)): "/"}


def shown_in_guide() -> set[str]:
    """Names of the pictures README.md shows."""
    guide = (harness.ROOT / "README.md").read_text("utf-8")
    return set(re.findall(r"\(heave/screens/images/(\w+)\.png\)", guide))


def guide_picture(browser: Any, address: str, name: str) -> list[str]:
    """Take one picture for the guide, the top of the page only, and tell what went wrong."""
    with harness.open_context(browser, height=1250) as (context, watch):
        page = context.new_page()
        harness.open_page(page, address)
        print(harness.shot(page, IMAGES / f"{name}.png", full=False).relative_to(harness.ROOT))
        return [f"{name}: {trouble}" for trouble in watch.troubles]


def shots(
    browser: Any, address: str, name: str, *, folder: Path = harness.SHOTS, path: str = "/"
) -> tuple[dict[str, Path], list[str]]:
    """Pictures of one page at every width in light and dark, and whatever went wrong meanwhile."""
    pictures: dict[str, Path] = {}
    troubles: list[str] = []
    for scheme in ("light", "dark"):
        for width in harness.WIDTHS:
            with harness.open_context(browser, width=width, scheme=scheme) as (context, watch):
                page = context.new_page()
                harness.open_page(page, address + path)
                key = f"{name}_{width}_{scheme}"
                if harness.sideways_overflow(page) > 1:
                    troubles.append(f"{key}: {harness.sideways_overflow(page):g} px too wide")
                pictures[key] = harness.shot(page, folder / f"{key}.png")
                troubles += [f"{key}: {trouble}" for trouble in watch.troubles]
    return pictures, troubles


def main(every: bool) -> int:
    """Take the pictures; say what went wrong and return 1 if anything did."""
    reason = harness.why_not()
    if reason:
        print(reason, file=sys.stderr)
        return 1
    with harness.serve() as address, harness.chromium() as browser:
        paths = page_paths()
        troubles = [
            f"README.md shows {name}, and no page is called that" for name in shown_in_guide() - set(paths)
        ]
        for name, path in paths.items():
            if every:
                troubles += shots(browser, address, name, path=path)[1]
            elif name in shown_in_guide():
                troubles += guide_picture(browser, address + path, name)
    print("\n".join(troubles), file=sys.stderr)
    return 1 if troubles else 0


if __name__ == "__main__":
    sys.exit(main("--all" in sys.argv[1:]))
