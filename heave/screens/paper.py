"""The page on paper: a title block, what is drawn on a canvas as a table, and the script that the browser's print runs.

Whatever asks the browser to print says so just before. Then `paper.js` gives the page the class that `print.css` hangs
on, draws charts again at the paper's width and in its colours, puts sheets out of their frames and the title block over
the page; afterwards it takes all of that away.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

import streamlit as st

from heave.files.plan import plan_to_json
from heave.files.rigs import demo_plan
from heave.files.seals import stale, text_hash
from heave.planning import Plan
from heave.screens import every_page, pieces, state
from heave.screens.figures.look import DARK, LIGHT
from heave.screens.inputs import plain
from heave.screens.own_files import own_component
from heave.screens.printing import SHORT_HASH, foot, title_pairs


def draw() -> None:
    """Hand the browser what stands on paper beside the page; at the foot of the page, where it shows nothing.

    No lists: of a list the server looks whether it is a table, and imports pandas for it, 72 MB before the first page.
    """
    plan = state.plan()
    hashed = _hashed(plan.without_progress)
    own_component("heave_paper", "paper.js")(
        key="heave:paper",
        data={
            "product": every_page.NAME,
            "title": title(plan, state.system()),
            "work": work_words(plan, hashed),
            "foot": foot(plan, hashed),
            "cautions": state.assessment().cautions,
            "colours": colours() if every_page.look() is DARK else (),
        },
    )


def title(plan: Plan, system: str) -> tuple[tuple[str, str], ...]:
    """The title block, short enough to stand over any page: what each thing is called, and what it is.

    Parameters
    ----------
    plan : of the session
    system : units on the page
    """
    return tuple(pair for pair in title_pairs(plan, system) if pair[0] not in ("Date", "Vessel"))


def work_words(plan: Plan, hashed: str) -> str:
    """Whether this is the demo plan, which text of a plan file it is, and what its names are no more good for.

    Parameters
    ----------
    plan : of the session
    hashed : SHA-256 of its plan file
    """
    demo = ["The demo plan, invented equipment."] if plan.without_progress == demo_plan() else []
    return " ".join([*demo, f"Plan file {hashed[:SHORT_HASH]}.", *(f"{one}." for one in stale(plan))])


@lru_cache(maxsize=32)
def _hashed(plan: Plan) -> str:
    return text_hash(plan_to_json(plan))


@lru_cache(maxsize=1)
def colours() -> tuple[tuple[str, str], ...]:
    """Each colour of the dark look with the one that stands for it on paper, and the one name with the other."""
    # of pages that few look at first
    from heave.screens.figures.limit_curves import COLOURS
    from heave.screens.figures.strips import scale

    names = ("text", "muted", "line", "track", "ground", "sea", "heave", "ink", "name")
    pairs = [(getattr(DARK, name), getattr(LIGHT, name)) for name in names]
    pairs += [(DARK.words(verdict), LIGHT.words(verdict)) for verdict in DARK.state_text]
    pairs += zip(COLOURS["dark"], COLOURS["light"], strict=True)
    pairs += [(dark, light) for (_, dark), (_, light) in zip(scale(DARK), scale(LIGHT), strict=True)]
    return tuple((dark.lower(), light.lower()) for dark, light in pairs)


def twin(name: str, rows: Sequence[Mapping[str, Any]]) -> None:
    """On paper only, all of a table that is edited in place: that one is drawn on a canvas, as far as it is in view.

    Parameters
    ----------
    name : of the table, one of its own on every page
    rows : cells by the names of the columns
    """
    if not rows:
        return
    shown = ([plain(_cell(cell)) for cell in row.values()] for row in rows)
    with st.container(key=f"paper-{name}"):
        st.markdown(pieces.markdown_table([plain(head) for head in rows[0]], shown))


def _cell(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return re.sub(r"^-(?=\d)", "\u2212", str(value))
