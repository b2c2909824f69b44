"""The film's files are all joined, in an order that declares before it uses, and stay short; the hull is the plan's."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from heave.files.rigs import closed_form_vessels, demo_plan, demo_vessels
from heave.screens.film import component
from heave.screens.film.component import FILES, markup, module, style
from heave.screens.film.machine import hull_of
from heave.screens.own_files import text_of
from heave.simulation.comparisons import Variant

SCRIPTS = sorted(Path(component.__file__).with_name("js").glob("*.js"))


def test_every_file_is_joined_once_and_only_the_last_exports() -> None:
    assert sorted(FILES) == [path.stem for path in SCRIPTS]
    assert module().count("export ") == 1
    assert "export default function" in text_of(f"film/js/{FILES[-1]}.js")


def test_names_at_top_level_are_declared_once() -> None:
    names = re.findall(r"^(?:function|class|const|let) (\w+)", module(), re.MULTILINE)
    assert len(names) == len(set(names))


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_files_are_short(path: object) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= 400  # type: ignore[attr-defined]


def test_nothing_is_fetched() -> None:
    for text in (module(), markup(), style()):
        assert not re.search(r"https?://|\bfetch\(|\bimport\b|@import|url\(|XMLHttpRequest|WebSocket", text)


def test_hull_is_drawn_as_what_the_plan_has() -> None:
    drawn = {
        name: hull_of(Variant(name, demo_plan().changed(vessel=vessel)))
        for name, vessel in {**demo_vessels(), **closed_form_vessels()}.items()
    }
    assert drawn == {
        "Demo drillship": "ship",
        "Demo semisubmersible": "columns",
        "Box-hull ship, closed form": "ship",
        "Semisubmersible, closed form": "columns",
    }
