"""What a plan file did not say is told in words: no key of the file where the page has a name for it."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

import pytest

from heave.fields import Choice
from heave.files.plan import plan_to_json, read_plan_file
from heave.files.rigs import demo_plan
from heave.planning import OtherSeas, WeatherChoices
from heave.screens import taken


def absent(*paths: str) -> dict[str, tuple[str, str]]:
    """Name and value of what is taken for fields that a file does not have, by their place in it."""
    document: Any = json.loads(plan_to_json(demo_plan()))
    for path in paths:
        inner = document["plan"]
        *above, last = path.split(".")
        for key in above:
            inner = inner[int(key)] if key.isdigit() else inner[key]
        del inner[last]
    found = read_plan_file(json.dumps(document).encode()).defaulted
    rows = (tuple(cell.replace("\\", "") for cell in row) for row in taken.rows(found, "metric"))
    return {place: (name, words) for name, words, place in rows}


@pytest.mark.parametrize(
    ("path", "name", "words"),
    [
        ("weather.heading", "Vessel heading over time", "Fixed, the plan's"),
        ("other_seas.headings", "Headings over a climate", "The plan's"),
        ("other_seas.bearing", "Waves of a climate come from", "From where the plan's sea comes from"),
        ("other_seas.growth", "Waves that grow to the limit", "One beside the others"),
        ("weather.now", "Present time", "not given"),
        ("weather.alpha_off", "Factors kept while α is off", "not given"),
        ("string.inside", "Inside of the string", "Filled"),
        ("operation.kind", "Operation", "Drilling ahead"),
        ("sea.systems.0.spreading", "Spreading", "cosⁿ θ, ±90°"),
        ("vessel.provenance", "Where the response comes from", "empty"),
        ("risk", "Accepted risk", "1.00\u00a0%"),
    ],
)
def test_what_was_taken_is_told_as_the_page_calls_it(path: str, name: str, words: str) -> None:
    assert absent(path) == {path.replace(".0.", "[0]."): (name, words)}


def test_rows_that_are_taken_read_on_after_the_word_as() -> None:
    """A plan from before there was a forecast factor; where a plan is read by a script it is "taken ... as"."""
    name, words = absent("weather.alpha")["weather.alpha.rows"]
    assert (name, words) == ("Factors α by length of the work", "those of a new plan")


@pytest.mark.parametrize("part", ["weather", "other_seas"])
def test_each_option_of_what_is_asked_of_other_seas_has_words(part: str) -> None:
    """Of these two the keys are short: 'best', 'plan', 'fixed', which elsewhere is a kind of operation."""
    asked = {"weather": WeatherChoices, "other_seas": OtherSeas}[part]
    keys = {
        (part, one.name, option)
        for one in dataclasses.fields(asked)
        if isinstance(about := one.metadata.get("about"), Choice)
        and one.name not in ("growth", "growing_system")
        for option in about.options
    }
    assert keys == {key for key in taken._PICKED if key[0] == part}


def test_no_name_is_a_key_of_the_file() -> None:
    """Every part of a plan that may be absent, all absent at once."""
    whole = (
        "weather",
        "other_seas",
        "study",
        "procedures",
        "record",
        "progress",
        "well",
        "ranges",
        "offsets",
    )
    names = {name for name, _ in absent(*whole).values()}
    assert len(names) > 40
    keys = {"Alpha off", "Now", "Rows", "Scenes", "Answers", "Campaign", "Forecast layouts", "Inputs"}
    assert not names & keys
