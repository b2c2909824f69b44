"""The film on a page: our own component, plain HTML, CSS and JavaScript of this folder, nothing fetched."""

from __future__ import annotations

from typing import Any, Final

from heave.screens.own_files import own_component, text_of

FILES: Final = (
    *("film", "player", "brush", "layout", "vessel", "parts", "machine"),
    *("scales", "panels", "traces", "gauges", "words", "main"),
)
"""Files of `js/` in the order they are joined: each may use what those before it declare; the last one exports."""

_SCRIPTS: Final = tuple(f"film/js/{name}.js" for name in FILES)


def module() -> str:
    """The JavaScript of the film: its files in order, one module."""
    return "\n".join(map(text_of, _SCRIPTS))


def markup() -> str:
    """The HTML of the film."""
    return text_of("film/film.html")


def style() -> str:
    """Its style sheet, which reaches nothing else on the page."""
    return text_of("film/film.css")


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
    drawn = own_component("heave_film", *_SCRIPTS, html=markup(), css=style())
    result = drawn(key=key, data=film, default={"at": None}, on_at_change=lambda: None)
    return None if result.at is None else float(result.at)
