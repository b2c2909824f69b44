"""Pieces that pages are built of: charts, tables, tiles, tabs, the box of a file, the button that saves one."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, Final

import streamlit as st

from heave.screens import state, uploaded
from heave.screens.figures import HOVER, Chart
from heave.screens.inputs import plain

MOST_MEGABYTES: Final = 5
"""Largest file of a box that is not for a long record [MB]; the server takes as much as the largest box."""

LONGEST_NAME: Final = 60
"""Most characters of a plan's name in that of a file."""

Tile = tuple[str, str, str]
"""Title, figure and the line under it."""


def chart(figure: Chart, key: str, alt: str, config: Any = HOVER, **more: Any) -> Any:
    """A figure that is read by pointing; `alt` says in words what it shows."""
    return st.plotly_chart(figure, key=key, config=config, theme=None, alt=alt, **more)


def markdown_table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A small table as Markdown: the first column to the left, figures to the right."""
    lines = (head, ("---", *["--:"] * (len(head) - 1)), *rows)
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


def wide_table(name: str, head: Sequence[str], rows: Iterable[Sequence[str]], under: str = "") -> None:
    """A table that scrolls sideways where it is wider than its place, with a caption under it."""
    with st.container(key=f"wide-{name}"):
        st.markdown(markdown_table(head, rows))
        if under:
            st.caption(under)


def tiles(rows: Iterable[Tile], name: str = "") -> None:
    """Tiles as the items of one list: all of them together are one piece to send; `name` parts two lists of a page."""
    items = (
        f"- :gray[{plain(title)}]\n\n    #### {plain(value)}\n\n    :small[:gray[{plain(under)}]]\n"
        for title, value, under in rows
    )
    with st.container(key=f"tile-list{name}"):
        st.markdown("\n".join(items))


def tabs(name: str, parts: Mapping[str, Callable[[], None]]) -> None:
    """Tabs of a page; only what is on the open one is drawn."""
    drawn = st.tabs(tuple(parts), key=f"heave:tab:{name}", on_change="rerun")
    for tab, draw in zip(drawn, parts.values(), strict=True):
        if tab.open:
            with tab:
                draw()


def save(
    label: str,
    data: Callable[[], str | bytes],
    file_name: str,
    key: str,
    mime: str = "text/csv",
    *,
    of_the_plan: bool = True,
    **how: Any,
) -> None:
    """A button that saves a file, made only when it is pressed: outside the session, so `data` holds what it needs.

    What is of the plan carries its name and the day, so that two files in one folder can be told apart.
    """
    name = dated(file_name, state.plan().name) if of_the_plan else file_name
    st.download_button(label, data, name, mime, key=key, on_click="ignore", **how)


def dated(file_name: str, plan_name: str) -> str:
    """The name of a file of a plan: its plan, what it is, and the day in UTC; letters and digits of any script.

    Parameters
    ----------
    file_name : what it is, such as plan.json
    plan_name : as typed, so it may be anything
    """
    stem, _, ending = file_name.rpartition(".")
    slug = re.sub(r"[\W_]+", "-", plan_name)[:LONGEST_NAME].strip("-")
    return "_".join(filter(None, (slug, stem, f"{datetime.now(UTC):%Y-%m-%d}"))) + f".{ending}"


def upload(
    name: str,
    label: str,
    types: Sequence[str],
    take: Callable[[str, bytes], None],
    *,
    refused: str = "was not read and nothing was changed",
    max_upload_size: int = MOST_MEGABYTES,
    **how: Any,
) -> None:
    """A box whose file is handed to `take` at once, as its name and bytes; a file it refuses says why.

    The box gets another key after each file, which empties it, so no rerun reads a file twice.
    """
    turn = state.kept(f"upload:{name}") or 0
    key = f"heave:upload:{name}:{turn}"

    def taken() -> None:
        file = st.session_state.get(key)
        if file is None:
            return
        state.keep(f"upload:{name}", turn + 1)
        with state.noted(f"{file.name} {refused}. "):
            take(file.name, file.getvalue())
        uploaded.release(file.file_id)

    uploaded.bound()
    st.file_uploader(label, types, key=key, on_change=taken, max_upload_size=max_upload_size, **how)
