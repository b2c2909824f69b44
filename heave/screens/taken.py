"""What a plan file does not say and was taken, in the words of the page where it is decided."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Final

from heave.files.codec import Defaulted
from heave.screens.inputs import WORDS, plain, sentence

_PICKED: Final = {
    ("weather", "heading", "fixed"): "Fixed, the plan's",
    ("weather", "heading", "best"): "Best over time",
    ("other_seas", "headings", "fixed"): "The plan's",
    ("other_seas", "headings", "head"): "Bow to the waves",
    ("other_seas", "headings", "sector"): "Best in the bow's sector",
    ("other_seas", "headings", "best"): "Best of all",
    ("other_seas", "bearing", "plan"): "From where the plan's sea comes from",
    ("other_seas", "bearing", "all round"): "From all round alike",
}
"""What is picked, where its key by itself says nothing or another thing: of which part, which field, the key."""

_NAMES: Final = {
    "alpha off": "factors kept while α is off",
    "answers": "exercises answered",
    "campaign": "steps of the work",
    "forecast layouts": "what columns of other forecasts mean",
    "forecast mapping": "what the columns of the forecast mean",
    "hoisting": "hoisting path",
    "inputs": "inputs that are varied",
    "measured": "measured spectrum",
    "now": "present time",
    "origin": "file of the response and how it was read",
    "procedures": "limits of the rig's procedures, by operation",
    "rows": "factors α by length of the work",
    "scenes": "scenes of the lesson done",
    "string": "string of the step",
    "tide": "tide still to move, by time",
    "well": "course of the well",
}
"""What fields are called that no box shows; others are called as they are."""


def rows(taken: Iterable[Defaulted], system: str) -> Iterator[tuple[str, str, str]]:
    """Name, value and place in the file of each, as Markdown.

    Parameters
    ----------
    taken : what was taken
    system : unit system
    """
    for one in taken:
        name = sentence(_NAMES.get(one.label, one.label))
        yield plain(name), plain(_words(one, system)), plain(one.path.removeprefix("plan."))


def _words(one: Defaulted, system: str) -> str:
    if not one.picked:
        return one.words(system)
    *_, part, field = ["", *one.path.split(".")]
    return _PICKED.get((part, field, one.value)) or WORDS.get(one.value, sentence(one.value))
