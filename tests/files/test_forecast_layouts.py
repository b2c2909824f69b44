"""Every layout a forecast is sent in: written from a known sea, read back as that sea or asked about."""

from __future__ import annotations

import random
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from known_sea import NAMES, SYSTEMS, TIMES, ZONES, Layout, drawn, sea_of
from refusals import tells_what_to_change
from written import read_as_asked, same_sea, written

from heave.errors import FileError
from heave.files.forecast.fixed import groups_over
from heave.files.forecast.reader import read_forecast
from heave.weather.forecast import Forecast

COMBINATIONS = 2400
PLAIN = Layout(
    seed=1,
    systems="total",
    names="plain",
    unit="m",
    unit_place="brackets",
    times="iso",
    zone="column UTC",
    sides=",",
    sense="from",
    points=False,
    title=0,
    footer=False,
    blank=False,
    again=False,
    extra=False,
    encoding="utf-8",
    missing="none",
    period="said",
)
"""One thing is changed at a time."""

CHANGES = [
    *[("systems", one) for one in SYSTEMS],
    *[("names", one) for one in NAMES],
    *[("unit", one) for one in ("m", "ft", "cm")],
    *[("unit_place", one) for one in ("brackets", "row", "nowhere")],
    *[("times", one) for one in TIMES],
    *[("zone", one) for one in ZONES],
    *[("sides", one) for one in (",", ";", "\t", "fixed", "xlsx")],
    *[("encoding", one) for one in ("utf-8", "utf-16", "cp1252")],
    *[("missing", one) for one in ("-", "N/A", "-999", "")],
    *[("title", 2), ("footer", True), ("blank", True), ("again", True), ("extra", True)],
    *[("wind", one) for one in ("from", "to", "silent", "points", "to last", "silent last")],
    *[("points", True), ("sense", "to"), ("period", "silent")],
]


@pytest.mark.parametrize(("what", "value"), CHANGES, ids=lambda one: str(one).strip() or "tab")
@pytest.mark.parametrize("across", [False, True])
@pytest.mark.parametrize("seed", [3, 4])
def test_each_layout_gives_the_same_sea(what: str, value: object, seed: int, across: bool) -> None:
    layout = Layout(**{**PLAIN.__dict__, "seed": seed, "across": across, what: value})  # type: ignore[arg-type]
    sea = sea_of(layout)
    found, asked = read_as_asked(layout, written(layout, sea))
    same_sea(layout, sea, found)
    assert asked <= 6, "answers a file may need"


def test_a_plain_file_is_read_without_a_question() -> None:
    sea = sea_of(PLAIN)
    assert read_as_asked(PLAIN, written(PLAIN, sea))[1] == 0


OUTCOMES: Counter[str] = Counter()


@settings(max_examples=COMBINATIONS, deadline=None, derandomize=True)
@given(st.integers(0, 2**62))
def _composed(seed: int) -> None:
    layout = drawn(random.Random(seed))
    sea = sea_of(layout)
    data = written(layout, sea)
    try:
        found, asked = read_as_asked(layout, data)
    except FileError as problem:
        tells_what_to_change(problem)
        OUTCOMES["refused"] += 1
        return
    same_sea(layout, sea, found)
    OUTCOMES["asked" if asked else "at once"] += 1
    OUTCOMES["most"] = max(OUTCOMES["most"], asked)


def test_layouts_composed_at_random_give_the_same_sea_or_are_refused_or_asked() -> None:
    """A clear refusal is allowed, another sea never is; nearly all must be read once what is asked is answered."""
    OUTCOMES.clear()
    _composed()
    every = OUTCOMES["refused"] + OUTCOMES["asked"] + OUTCOMES["at once"]
    assert every >= COMBINATIONS
    assert OUTCOMES["refused"] <= 0.02 * every
    assert OUTCOMES["at once"] >= 0.2 * every
    assert OUTCOMES["most"] <= 6


MIDDLES = """                       Wind             Wind sea             Swell
Date        UTC   dir  kts gust    Hs(m) Tp(s) Dir to   Hs(m) Tp(s) Dir to
02/03/2026  06:00  SW   22   30    1.8    6     45     1.5    12    90
02/03/2026  18:00  SW   25   33    2.1    7     45     1.6    12    90
31/03/2026  18:00  SW   25   33    2.1    7     45     1.6    12    90
"""


def test_a_group_may_stand_over_the_middle_of_its_columns() -> None:
    found = read_forecast(MIDDLES.encode())
    assert isinstance(found, Forecast)
    assert found.system_names == ("wind sea", "swell")
    assert found.batch.slots[0].hs == pytest.approx([1.8, 2.1, 2.1])
    assert found.batch.slots[1].hs == pytest.approx([1.5, 1.6, 1.6])
    assert found.batch.slots[1].direction_from == pytest.approx(270.0)


def test_a_group_off_the_middle_of_its_columns_is_refused() -> None:
    with pytest.raises(FileError, match="put over their middle") as refused:
        read_forecast(
            MIDDLES.replace(" Wind sea ", "Wind sea  ", 1)
            .replace("        Swell", "     Swell   ", 1)
            .encode()
        )
    assert refused.value.what == "names over groups of columns"
    assert refused.value.line == 1


def test_groups_that_can_stand_over_the_middle_in_two_ways_are_refused() -> None:
    """X over aa to cc and Y over dd to ff, or X over bb and Y over cc to gg."""
    below = "aa  bb  cc  dd  ee  ff  gg"
    spans = [(start, start + 2) for start in range(0, 28, 4)]
    with pytest.raises(FileError, match="put over their middle"):
        groups_over("     X           Y", below, below.split(), spans, 3)
    # where nothing is named under the first place there is one way only
    names = ["", *below.split()[1:]]
    found = groups_over("     X           Y", "    " + below[4:], names, spans, 3)
    assert found == ["", "X", "Y", "Y", "Y", "Y", "Y"]
