"""Pieces that pages are built of: charts, tables, tiles, tabs, the box of a file, the button that saves one."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import partial
from typing import Any, Final

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave.errors import short
from heave.files.tables import neutral
from heave.screens import state, uploaded
from heave.screens.figures.chart import HOVER, Chart
from heave.screens.figures.svg import Picture
from heave.screens.figures.tables import Across, Table, of_chart
from heave.screens.inputs import folded, plain
from heave.screens.run_queue import RUN_QUEUE

MOST_MEGABYTES: Final = 5
"""Largest file of a box that is not for a long record [MB]; the server takes as much as the largest box."""

LONGEST_NAME: Final = 60
"""Most characters of a plan's name in that of a file."""

_KINDS: Final = {"csv": "text/csv", "html": "text/html", "json": "application/json"}
"""Of saved files by their ending."""

MakeTables = Callable[[], Sequence[Table]]
"""What makes the tables of a figure when they are asked for."""

Tile = tuple[str, str, str]
"""Title, figure and the line under it."""


_DRAWN: Final = "figures drawn"
MOST_ROWS: Final = 24
"""Rows of a table of a figure that stand on the page; the file has all of them."""


def chart(
    figure: Chart,
    key: str,
    alt: str,
    *,
    name: str,
    across: Across | None = None,
    made: MakeTables | None = None,
    **more: Any,
) -> Any:
    """A figure that is read by pointing; `alt` says in words what it shows, `name` what its table is called.

    The table is read off what is drawn, its places changed to those of `across`, unless `made` makes it.
    """
    _note(name, made or partial(of_chart, figure, across))
    return st.plotly_chart(figure, key=key, config=HOVER, theme=None, alt=alt, **more)


def picture(drawing: Picture, name: str, made: MakeTables, place: DeltaGenerator | None = None) -> None:
    """A still picture, as wide as its place; `made` makes the table called `name`."""
    _note(name, made)
    (st if place is None else place).image(drawing, width="stretch", alt=drawing.words)


def _note(name: str, made: MakeTables) -> None:
    RUN_QUEUE.pause()
    drawn: dict[str, MakeTables] = state.kept(_DRAWN) or {}
    state.keep(_DRAWN, drawn | {name: made})


@contextmanager
def figures_as_tables() -> Iterator[None]:
    """Around the drawing of a page: at its foot, what its figures show as tables, made when somebody opens it."""
    state.keep(_DRAWN, None)
    yield
    drawn: dict[str, MakeTables] = state.kept(_DRAWN) or {}
    state.keep(_DRAWN, None)
    if drawn:
        folded("Figures of this page as tables", "figures", partial(_tables, drawn))


def _tables(drawn: Mapping[str, MakeTables]) -> None:
    for place, (name, made) in enumerate(drawn.items()):
        st.markdown(f"## {plain(name)}")
        for part, table in enumerate(made()):
            rows = [[plain(cell) for cell in row] for row in table.texts(MOST_ROWS)]
            few = f"{len(rows)} of {len(table.rows)} rows, in even steps."
            under = few if len(rows) < len(table.rows) else ""
            wide_table(f"figure-{place}-{part}", [plain(title) for title in table.head], rows, under)
            key = f"heave:figure:{place}:{part}"
            data = partial(csv_of, (table.head, *table.rows))
            save("Save all rows (CSV)", data, f"figure_{place + 1}_{part + 1}.csv", key)


def csv_of(lines: Iterable[Iterable[str | float]]) -> str:
    """Lines as CSV, figures to nine digits; words that a spreadsheet would take for a formula are made harmless."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    for line in lines:
        writer.writerow(neutral(cell) if isinstance(cell, str) else f"{cell:.9g}" for cell in line)
    return stream.getvalue()


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
        f"- :gray[{plain(title)}]\n\n    **{plain(value)}**\n\n    :small[:gray[{plain(under)}]]\n"
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


def tell(message: state.Message) -> None:
    """Draw a message; it is not left any more."""
    (st.success if message.tone == "good" else st.error)(plain(message.words))
    state.said(message)


def told(place: str) -> None:
    """What the last action left to be said at a place, drawn there.

    Parameters
    ----------
    place : as `state.acting` had it
    """
    for message in list(state.messages()):
        if message.place == place:
            tell(message)


def save(
    label: str,
    data: Callable[[], str | bytes],
    file_name: str,
    key: str,
    *,
    mime: str = "",
    of_the_plan: bool = True,
    **how: Any,
) -> None:
    """A button that saves a file, made only when it is pressed: outside the session, so `data` holds what it needs.

    What is of the plan carries its name and the day, so that two files in one folder can be told apart. `mime` is its
    kind where the ending does not say it.
    """
    name = dated(file_name, state.plan().name) if of_the_plan else file_name
    kind = mime or _KINDS[file_name.rpartition(".")[2]]
    st.download_button(label, data, name, kind, key=key, on_click="ignore", **how)


def one_page(what: str, text: str, file_name: str, name: str, height: int) -> None:
    """A page of HTML, a `what` with a `name`: a button that saves it, and the page in a frame as it prints."""
    words = "One page, A4 or Letter. Print it from the button on it, or save it: the file opens without a network."
    st.caption(words)
    save(f"Save the {what} (HTML)", text.encode, file_name, f"heave:save:{what}")
    st.iframe(text, height=height, alt=f"{name} as it prints")


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

    What came of it is said under the box. That gets another key after each file, which empties it, so no rerun reads
    a file twice.
    """
    turn = state.kept(f"upload:{name}") or 0
    key = f"heave:upload:{name}:{turn}"

    def taken() -> None:
        file = st.session_state.get(key)
        if file is None:
            return
        state.keep(f"upload:{name}", turn + 1)
        with state.noted(f"{short(file.name, 120)} {refused}. "):
            take(file.name, file.getvalue())
        uploaded.release(file.file_id)

    place = f"upload:{name}"
    act = state.acting(place, taken)
    uploaded.bound()
    st.file_uploader(label, types, key=key, on_change=act, max_upload_size=max_upload_size, **how)
    told(place)
