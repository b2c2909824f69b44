"""What printed sheets are made of: one HTML file that asks nothing of a network and prints on A4 and Letter.

Every text is escaped here, and nowhere else; what is handed on as markup was made by these functions.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from html import escape
from typing import Final

from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.planning import MODEL_DATE, MODEL_VERSION, Plan
from heave.screens.figures.look import LIGHT, mark_parts
from heave.screens.inputs import JOINER
from heave.screens.own_files import text_of

LETTERS: Final = {WITHIN: "within", NEAR: "near", OVER: "over", NOT_ASSESSED: "none"}
"""Each state as the name of a class and of its mark."""

LONGEST_NAME: Final = 60
"""Most letters of the plan's name at the foot of every page; the first page has all of it."""

SHORT_HASH: Final = 12
"""Digits of the plan's hash at the foot of every page."""

OTHERS: Final = (
    "station keeping, cranes and helicopters: the master and their own limits",
    "a planning aid: the rig's procedures, local rules and the decision of the master or offshore installation "
    "manager come first",
)
"""What no sheet judges, and who decides it."""

_PRINT: Final = (
    "var b=document.getElementById('print');b.parentNode.hidden=false;b.onclick=function(){window.print()}"
)

_POLICY: Final = "default-src 'none';style-src 'unsafe-inline';script-src 'unsafe-inline'"
"""What the file may ask for: nothing; a browser that reads this refuses the rest."""


def style_of(*names: str) -> str:
    """Style sheets of paper one after the other, by the names of their files in `sheets`."""
    return "".join(f"\n{text_of(f'sheets/{name}.css')}" for name in names)


def document(title: str, style: str, body: str, *, fit: float = 1.0, data: str = "") -> str:
    """The whole file, with a button that prints it; without scripts the button is not there and all else is.

    Parameters
    ----------
    title : its title, escaped here
    style : style sheet of its own, after that of every sheet
    body : markup
    fit : for the style, how much smaller than a full page it is printed
    data : block of data for machines, markup that shows nothing
    """
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        '<meta name="viewport" content="width=device-width,initial-scale=1">'
        f"<title>{escape(title)}</title><style>{style_of('base')}{style}</style></head>"
        f'<body style="--fit:{fit:.3f}">{_symbols()}'
        f'<p class="screen" hidden><button id="print">Print this sheet</button></p>'
        f"{body}{data}<script>{_PRINT}</script></body></html>"
    )


def page_style(foot: str) -> str:
    """The style that sets margins and puts words, page number and number of pages on every page of the print.

    Chromium prints margin boxes of pages from version 131 on (CSS Paged Media Level 3, section 4); a browser that
    does not has a foot of its own with page numbers.

    Parameters
    ----------
    foot : words at the foot on the left of every page
    """
    box = "font:7.4pt system-ui,'DejaVu Sans','Liberation Sans',Arial,sans-serif;color:#3c4653;white-space:nowrap"
    return (
        "@page{size:auto;margin:15mm 13mm 16mm 18mm;"
        f"@bottom-left{{content:{_css_text(foot)};{box}}}"
        f'@bottom-right{{content:"Page " counter(page) " of " counter(pages);{box}}}}}'
    )


def foot(plan: Plan, hashed: str) -> str:
    """What stands at the foot of every page of a plan: its name, its text in short, and the model.

    Parameters
    ----------
    plan : the plan
    hashed : SHA-256 of its plan file
    """
    revision = f" · revision {plan.record.revision}" if plan.record.revision else ""
    name = plan.name if len(plan.name) <= LONGEST_NAME else f"{plan.name[: LONGEST_NAME - 1]}…"
    return f"{name}{revision} · plan {hashed[:SHORT_HASH]} · model {MODEL_VERSION}"


def title_pairs(plan: Plan, system: str) -> tuple[tuple[str, str], ...]:
    """The title block of a plan: what each thing is called, and what it is.

    Parameters
    ----------
    plan : the plan
    system : units on the paper
    """
    record = plan.record
    return (
        ("Plan", plan.name),
        ("Revision", record.revision or "none given"),
        ("Rig", record.rig or plan.vessel.name),
        ("Date", record.date or "none given"),
        ("Well", record.well or "none given"),
        ("Operation", plan.operation.about.label),
        ("Vessel", plan.vessel.name),
        ("Compensator", plan.compensator.name),
        ("Model", f"{MODEL_VERSION} of {MODEL_DATE}"),
        ("Units", system),
    )


def _css_text(words: str) -> str:
    """A string of CSS: whatever is not a letter or a figure by its number, so nothing in it ends anything."""
    inner = "".join(one if one.isalnum() and one.isascii() else f"\\{ord(one):x} " for one in words)
    return f'"{inner}"'


def tag(name: str, content: str, kind: str = "") -> str:
    """An element around markup, of a class or none."""
    return f'<{name} class="{kind}">{content}</{name}>' if kind else f"<{name}>{content}</{name}>"


def words(name: str, text: str, kind: str = "") -> str:
    """An element around text, which is escaped."""
    return tag(name, escape(text), kind)


def items(lines: Iterable[str]) -> str:
    """A list of texts."""
    return tag("ul", "".join(words("li", line) for line in lines))


def section(title: str, content: str) -> str:
    """Markup under a heading."""
    return words("h2", title) + content


def table(
    head: Sequence[str], rows: Iterable[Sequence[str]], kind: str = "", states: Sequence[str] | None = None
) -> str:
    """A table of texts whose head is repeated on every page.

    Parameters
    ----------
    head : names of the columns
    rows : cells
    kind : class of the table
    states : of each row, with its mark in a last column; None for a table without
    """
    marked_head = "".join(words("th", name) for name in head) + ("<th></th>" if states is not None else "")
    body = []
    for place, row in enumerate(rows):
        cells, kind_ = "".join(words("td", cell) for cell in row), ""
        if states is not None:
            cells, kind_ = f"{cells}<td>{mark(states[place])}</td>", LETTERS[states[place]]
        body.append(tag("tr", cells, kind_))
    return tag("table", tag("thead", tag("tr", marked_head)) + tag("tbody", "".join(body)), kind)


def figure(svg: str, caption: str, name: str) -> str:
    """A picture of our own with its caption, never cut; its names get `name` before them, for a sheet has several.

    Parameters
    ----------
    svg : from `heave.screens.figures`
    caption : words under it
    name : letters that no other figure of the sheet has
    """
    own = re.sub(r'( id="| href="#|="url\(#)', rf"\g<1>{name}-", svg)
    own = own.replace('="title desc"', f'="{name}-title {name}-desc"')
    return tag("figure", own + words("figcaption", caption))


def mark(state: str, size: int | None = None) -> str:
    """The mark of a state, in a line of text or `size` pixels large."""
    if size is not None:
        return f'<svg width="{size}" height="{size}"><use href="#{LETTERS[state]}"/></svg>'
    return f'<svg class="mark" role="img" aria-label="{state}"><use href="#{LETTERS[state]}"/></svg>'


def _symbols() -> str:
    """The marks of the states, defined once for the whole sheet."""
    marks = "".join(
        f'<symbol id="{letters}" viewBox="-12 -12 24 24"><g transform="scale(1,-1)">{mark_parts(state, LIGHT)}</g>'
        "</symbol>"
        for state, letters in LETTERS.items()
    )
    return f'<svg width="0" height="0" style="position:absolute">{marks}</svg>'


def marked(markdown: str) -> str:
    """A line of the page's Markdown as HTML: bold kept, escaped marks plain, all else text.

    Parameters
    ----------
    markdown : the line
    """
    pieces: list[str] = []
    bold = False
    for escaped, stars, text in re.findall(r"\\(.)|(\*\*)|([^\\*]+|.)", markdown, re.DOTALL):
        if stars:
            bold = not bold
            pieces.append("<b>" if bold else "</b>")
        else:
            pieces.append(escape((escaped or text).replace(JOINER, "")))
    return "".join(pieces) + "</b>" * bold
