"""Print every page of the app through the browser's own print, and tell what is wrong on paper.

Run `python tests/browser/print_pages.py FOLDER`: a PDF of every page and tab on A4 and Letter, from the light and the
dark theme, goes to the folder, and where `pdftoppm` (poppler) is installed a picture of every sheet in colour and in
grey. `--only` prints the pages whose names hold that; `--width` is that of the window [px].
"""

from __future__ import annotations

import argparse
import re
import shutil
import subprocess
import sys
import unicodedata
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pdf_text import pages_of

import harness
from make_screenshots import page_paths

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

PAPERS: Final = {"A4": (595, 842), "Letter": (612, 792)}
"""Width and height [pt]."""

EDGES: Final = (13.0, 16.0)
"""White at the right and at the left of every sheet [mm]."""

_TEXTS: Final = """() => {
    // every word of the page that is on the screen, by what it stands in
    const main = document.querySelector('[data-testid=stMain]');
    const away = '[data-testid=stDownloadButton],[data-testid=stButton],[data-testid=stFileUploader],'
        + '[data-testid=stElementToolbar],[data-testid=stIconMaterial],[data-testid=stTooltipIcon],'
        + '[data-testid=stButtonGroup],[data-testid=stHeaderActionElements],[class*=st-key-paper-],'
        + '.st-key-start,.st-key-brand,'
        + 'button,svg,canvas,style';
    const seen = element => element.checkVisibility() && !element.closest(away);
    // a formula stands in the page twice, once for readers of the screen: only the words about it are compared
    const about = one => !one.querySelector('.katex') ? [one.innerText]
        : [...one.childNodes].filter(node => node.nodeType === 3).map(node => node.textContent);
    const texts = selector => [...main.querySelectorAll(selector)].filter(seen).flatMap(about);
    return {
        lines: texts('h1,h2,h3,h4,p,li'),
        rows: texts('tr'),
        typed: [...main.querySelectorAll('input[type=text],textarea')]
            .filter(one => one.checkVisibility()).map(one => one.value),
        charts: [...main.querySelectorAll('.js-plotly-plot')].flatMap(one =>
            [...one.querySelectorAll('.xtitle,.ytitle,.legendtext')].map(title => title.textContent)),
        cells: [...main.querySelectorAll('canvas :is([role=gridcell],[role=columnheader])')]
            .map(one => one.textContent),
        framed: [...main.querySelectorAll('iframe')].map(one => one.contentDocument.body.innerText).join(' '),
        sheets: [...main.querySelectorAll('iframe')].flatMap(one =>
            [...one.contentDocument.querySelectorAll('tr,li,h1,h2,p:not(.screen)')].map(line => line.innerText)),
        side: [...document.querySelectorAll('[data-testid=stSidebar] label,[data-testid^=stTopNav]')]
            .map(one => one.innerText),
    };
}"""


_LAID_OUT: Final = """() => {
    // what reaches past the paper's width, and words too pale for white paper, while the page is for paper
    dispatchEvent(new Event('beforeprint'));
    const main = document.querySelector('[data-testid=stMain]');
    const block = main.querySelector('[data-testid=stMainBlockContainer]').getBoundingClientRect();
    const words = one => one.textContent.slice(0, 60);
    const light = text => {
        const parts = (text.match(/[\\d.]+/g) ?? [0, 0, 0]).slice(0, 3).map(part => part / 255);
        const [r, g, b] = parts.map(part => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
        return 0.2126 * r + 0.7152 * g + 0.0722 * b;
    };
    const found = [];
    for (const one of main.querySelectorAll('*')) {
        if (!one.checkVisibility() || one.closest('.katex-mathml')) continue;
        const place = one.getBoundingClientRect();
        const drawn = one.closest('svg') && !one.matches('svg,text');
        if (!drawn && place.width && place.right > block.right + 2)
            found.push(`${one.tagName}, ${Math.round(place.right - block.right)} px past the paper: ${words(one)}`);
        const own = [...one.childNodes].some(node => node.nodeType === 3 && node.textContent.trim());
        if (!own || one.closest('style,canvas')) continue;
        const style = getComputedStyle(one), colour = one.closest('svg') ? style.fill : style.color;
        const onFill = one.closest('svg') && colour === 'rgb(255, 255, 255)';
        if (!onFill && 1.05 / (light(colour) + 0.05) < 4.4) 
            found.push(`${colour} on white: ${words(one)}`);
    }
    dispatchEvent(new Event('afterprint'));
    return found;
}"""


def tight(text: str) -> str:
    """Words as they are compared: no spaces, no joiners, letters that a font joins apart."""
    return re.sub(r"[\s\u2060\u200b\ufe0e\u202f]+", "", unicodedata.normalize("NFKC", text))


def tabs_of(page: Page) -> list[str]:
    """Names of the tabs of the page; one without a name where it has none."""
    names = page.get_by_test_id("stMain").locator("[role=tab]").all_inner_texts()
    return [name.strip() for name in names] or [""]


def open_tab(page: Page, name: str) -> None:
    """Open a tab and wait until it is drawn."""
    tab = page.get_by_test_id("stMain").get_by_role("tab", name=name, exact=True)
    if tab.get_attribute("aria-selected") != "true":
        with harness.rerun(page):
            tab.click()


def print_page(page: Page, paper: str) -> bytes:
    """The page as the browser prints it."""
    pdf: bytes = page.pdf(format=paper, print_background=True, prefer_css_page_size=False)
    return pdf


def troubles_of(page: Page, paper: str, pdf: bytes) -> list[str]:
    """What is on the screen and not on paper, on paper and should not be, or missing from the title block.

    Parameters
    ----------
    page : as it was printed
    paper : its name
    pdf : the print
    """
    found: list[str] = []
    sheets = [tight(words) for words in pages_of(pdf)]
    whole = "".join(sheets)
    boxes = [[float(side) for side in box.split()] for box in re.findall(rb"/MediaBox \[([^\]]+)\]", pdf)]
    if any(max(abs(a - b) for a, b in zip(box[2:], PAPERS[paper], strict=True)) > 1 for box in boxes):
        found.append(f"sheets of {boxes}")
    told = page.evaluate(_TEXTS)
    for kind in ("lines", "rows", "typed", "charts", "cells", "sheets"):
        found += [f"{kind}, not on paper: {text!r}" for text in told[kind] if tight(text) not in whole]
    for row in told["rows"]:
        if tight(row) in whole and not any(tight(row) in sheet for sheet in sheets):
            found.append(f"row cut by the end of a sheet: {row!r}")
    for number, sheet in enumerate(sheets, 1):
        if f"Page{number}of{len(sheets)}" not in sheet:
            found.append(f"sheet {number}: no page number")
        if not re.search(r"plan[0-9a-f]{12}·model[\d.]+·printed\d{4}-\d\d-\d\d\d\d:\d\dUTC", sheet):
            found.append(f"sheet {number}: no foot with plan, model and time")
    for words in ("Plan", "Well", "Model", "Printed", "Work", "Planfile"):
        if words not in sheets[0]:
            found.append(f"title block without {words}")
    if "Cautions" not in whole:
        found.append("no cautions")
    page_words = tight(" ".join((*told["lines"], *told["rows"], told["framed"])))
    found += [f"of the sidebar: {label!r}" for label in told["side"] if _only_there(label, page_words, whole)]
    return found


def too_wide_or_pale(page: Page) -> list[str]:
    """What of the page, laid out for paper, is wider than it, and words with less contrast to it than 4.4 : 1.

    White words of a chart stand on what is filled.
    """
    found: list[str] = page.evaluate(_LAID_OUT)
    return found


def _only_there(label: str, page_words: str, whole: str) -> bool:
    """Whether a label of the sidebar is on paper though the page does not say it; short ones are within other words."""
    return len(label) > 9 and tight(label) in whole and tight(label) not in page_words


def pictures(pdf: Path, dots: int = 60) -> list[Path]:
    """A picture of every sheet, in colour and in grey, beside the PDF; none where poppler is not installed."""
    if not shutil.which("pdftoppm"):
        return []
    for kind in ([], ["-gray"]):
        stem = pdf.with_suffix("").with_name(pdf.stem + ("_grey" if kind else ""))
        command = ["pdftoppm", "-r", str(dots), "-png", *kind, str(pdf), str(stem)]
        subprocess.run(command, check=True)
    return sorted(pdf.parent.glob(f"{pdf.stem}*.png"))


def ink_at_the_edges(pdf: bytes, folder: Path, paper: str) -> list[str]:
    """Sheets on which something stands in the margin at the left or right, where it would be cut; needs poppler."""
    path = folder / "edges.pdf"
    path.write_bytes(pdf)
    subprocess.run(["pdftoppm", "-r", "36", "-gray", str(path), str(folder / "edges")], check=True)
    found = []
    for picture in sorted(folder.glob("edges-*.pgm")):
        wide, rows = _grey(picture.read_bytes())
        left, right = (int(edge / 25.4 * 36) - 1 for edge in EDGES[::-1])
        dark = [row for row in rows if min((*row[:left], *row[wide - right :])) < 200]
        if dark:
            found.append(f"{paper}, {picture.stem}: something in the margin on {len(dark)} lines")
        picture.unlink()
    path.unlink()
    return found


def _grey(data: bytes) -> tuple[int, list[bytes]]:
    """Width and rows of a picture in the portable grey format."""
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    assert head
    wide, body = int(head[1]), data[head.end() :]
    return wide, [body[at : at + wide] for at in range(0, len(body), wide)]


def printed(page: Page, address: str, path: str, papers: tuple[str, ...]) -> Iterator[tuple[str, str, bytes]]:
    """Of every tab of a page and every paper: name of the tab, paper, and the print."""
    harness.open_page(page, address + path)
    for tab in tabs_of(page):
        if tab:
            open_tab(page, tab)
        for paper in papers:
            yield tab, paper, print_page(page, paper)


def kept(page: Page, file: Path, paper: str, pdf: bytes) -> tuple[int, int]:
    """Write a print with its pictures, say what is wrong with it, and give how many sheets and faults it has."""
    file.write_bytes(pdf)
    troubles = [*troubles_of(page, paper, pdf), *too_wide_or_pale(page)]
    if pictures(file):
        troubles += ink_at_the_edges(pdf, file.parent, paper)
    count = len(pages_of(pdf))
    print(f"{file.name}: {count} sheets, {len(pdf) / 1e3:.0f} kB, {len(troubles)} wrong")
    print("".join(f"    {trouble[:300]}\n" for trouble in troubles), end="", flush=True)
    return count, len(troubles)


def main(options: argparse.Namespace) -> int:
    """Print everything; say how many sheets each is and what is wrong, and return 1 if anything is."""
    options.folder.mkdir(parents=True, exist_ok=True)
    told, troubles = [], list[str]()
    with harness.serve() as address, harness.chromium() as browser:
        paths = page_paths()
        names = [name for name in paths if any(part in name for part in options.only)]
        for scheme in options.theme:
            with harness.open_context(browser, width=options.width, scheme=scheme) as (context, watch):
                page = context.new_page()
                for name in names:
                    for tab, paper, pdf in printed(page, address, paths[name], options.paper):
                        part = re.sub(r"\W+", "_", f"{name} {tab}".lower()).strip("_")
                        file = options.folder / f"{part}_{scheme}_{paper}.pdf"
                        told.append(kept(page, file, paper, pdf))
                troubles += watch.troubles
    wrong = sum(faults for _, faults in told) + len(troubles)
    print("\n".join((*troubles, f"{sum(count for count, _ in told)} sheets, {wrong} wrong")))
    return 1 if wrong else 0


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else None)
    asked.add_argument("folder", type=Path)
    asked.add_argument("--only", nargs="*", default=("",))
    asked.add_argument("--width", type=int, default=1440)
    asked.add_argument("--paper", choices=tuple(PAPERS), nargs="*", default=tuple(PAPERS))
    asked.add_argument("--theme", choices=("light", "dark"), nargs="*", default=("light", "dark"))
    sys.exit(main(asked.parse_args()))
