"""The film on a page: our own component, plain HTML, CSS and JavaScript of this folder, nothing fetched."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import streamlit as st
from streamlit.components.v2 import component

FOLDER: Final = Path(__file__).parent

FILES: Final = (
    *("film", "player", "brush", "layout", "vessel", "parts", "machine"),
    *("scales", "panels", "traces", "gauges", "words", "main"),
)
"""Files of `js/` in the order they are joined: each may use what those before it declare; the last one exports."""


def module() -> str:
    """The JavaScript of the film: its files in order, one module."""
    return "\n".join((FOLDER / "js" / f"{name}.js").read_text("utf-8") for name in FILES)


def markup() -> str:
    """The HTML of the film."""
    return (FOLDER / "film.html").read_text("utf-8")


def style() -> str:
    """Its style sheet, which reaches nothing else on the page."""
    return (FOLDER / "film.css").read_text("utf-8")


@st.cache_resource(show_spinner=False)
def _component() -> Any:
    return component("heave_film", html=markup(), css=style(), js=module())


def show(film: dict[str, Any], key: str) -> float | None:
    """Draw the film and give the time at which it was last brought to rest.

    Parameters
    ----------
    film : what `payload.film_of` makes of the runs
    key : of the element; the film keeps its time while this stays the same

    Returns
    -------
    Time in the run [s]; None until it was paused, stepped or scrubbed for the first time
    """
    result = _component()(key=key, data=film, default={"at": None}, on_at_change=lambda: None)
    return None if result.at is None else float(result.at)
