"""Scripts, style sheets and components of our own: files of this folder, each read once; nothing is fetched."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from streamlit.components.v2 import component

_FOLDER: Final = Path(__file__).parent


@lru_cache
def text_of(name: str) -> str:
    """The text of a file.

    Parameters
    ----------
    name : its place in this folder
    """
    return (_FOLDER / name).read_text("utf-8")


@lru_cache
def own_component(name: str, *scripts: str, **how: Any) -> Any:
    """A component of scripts of ours, which draws it when it is called.

    Parameters
    ----------
    name : under which the browser knows it
    scripts : files of its JavaScript, joined in this order
    how : its HTML and its style sheet
    """
    return component(name, js="\n".join(map(text_of, scripts)), **how)
