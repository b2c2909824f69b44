"""One bound of a sea's height, all its systems together, wherever a sea comes from: a file, a plan, a link, a study."""

from __future__ import annotations

import base64
import math
import zlib
from typing import Any

import numpy as np
import pytest

from heave.errors import FileError, InputError
from heave.files.buoy import read_buoy_spectra
from heave.files.forecast.reader import read_forecast
from heave.files.json_text import json_text
from heave.files.link import named, plan_to_link, read_link
from heave.files.plan import KeptForecast, plan_document, plan_file_of, plan_to_json, read_plan_file
from heave.files.rigs import demo_plan
from heave.planning import AlphaRow
from heave.screens.memory import unpacked
from heave.sea import SeaBatch, SeaState, SystemSlot, WaveSystem
from heave.sea.arguments import MAX_HS, too_high
from heave.studies.inputs import INPUTS
from heave.weather import scaled_for
from heave.weather.forecast import Forecast

HEAD = "time_utc,wind_sea_hs_m,wind_sea_tp_s,wind_sea_direction_from_deg,swell_hs_m,swell_tp_s,swell_direction_from_deg"


def file_of(*heights: tuple[float, float]) -> bytes:
    rows = [f"2026-01-{day:02d}T00:00Z,{a:g},14,200,{b:g},18,220" for day, (a, b) in enumerate(heights, 1)]
    return "\n".join([HEAD, *rows]).encode()


@pytest.mark.parametrize(("pair", "total"), [((20.0, 20.0), "28.284"), ((20.0, 15.1), "25.06")])
def test_a_forecast_whose_systems_are_too_high_together_is_refused_at_its_row(
    pair: tuple[float, float], total: str
) -> None:
    with pytest.raises(
        FileError, match=rf"height of the sea: {total}\u00a0m.*at most 25\u00a0m, all"
    ) as caught:
        read_forecast(file_of((2.0, 1.0), pair))
    assert (caught.value.line, caught.value.column) == (3, "wind_sea_hs_m, swell_hs_m")


def test_the_highest_sea_allowed_is_read() -> None:
    found = read_forecast(file_of((15.0, 20.0), (7.0, 24.0)))
    assert isinstance(found, Forecast)
    assert found.batch.hs == pytest.approx([25.0, 25.0])
    assert found.sea_state(0).hs == pytest.approx(25.0)


def test_a_member_of_an_ensemble_is_held_to_it_as_well() -> None:
    rows = [
        f"2026-01-01T00:00Z,{member},{height},14,200,20,18,220"
        for member, height in (("1", 2), ("2", 16), ("3", 2))
    ]
    with pytest.raises(FileError, match=r"25\.612\u00a0m") as caught:
        read_forecast("\n".join([HEAD.replace("utc,", "utc,member,"), *rows]).encode())
    assert caught.value.line == 3


def test_a_row_whose_sea_is_not_known_is_missing_and_not_refused() -> None:
    text = file_of((2.0, 1.0), (20.0, 20.0)).decode().replace("20,18,220", "20,,220")
    found = read_forecast(text.encode())
    assert isinstance(found, Forecast)
    assert found.missing.tolist() == [False, True]


def test_seas_that_no_file_brought_are_held_to_it_at_their_hour() -> None:
    slots = tuple(SystemSlot(np.array([1.0, 18.0]), np.full(2, 14.0), np.full(2, 200.0)) for _ in range(2))
    times = np.array(["2026-01-01T00:00:00", "2026-01-01T03:00:00"], dtype="datetime64[s]")
    with pytest.raises(InputError, match=r"sea at 2026-01-01T03:00:00Z: 25\.456\u00a0m.*at most 25\u00a0m"):
        Forecast(times, SeaBatch(slots), ("wind sea", "swell"), 10800.0, np.array([False]))


def test_a_measured_spectrum_is_held_to_it_on_its_line() -> None:
    head = "#YY MM DD hh mm .0500 .0600 .0700 .0800 .0900"
    for value, good in ((780.0, True), (782.0, False)):  # 4 √(5 · 0.01 Hz · S) is 25 m at 781.25 m²/Hz
        data = "\n".join([head, "2026 01 01 00 00 1 1 1 1 1", "2026 01 01 01 00" + f" {value}" * 5]).encode()
        if good:
            assert read_buoy_spectra(data)[1].hs == pytest.approx(4 * math.sqrt(0.05 * value))
            continue
        with pytest.raises(FileError, match=r"height: 25\.01.*to 25\u00a0m") as caught:
            read_buoy_spectra(data)
        assert caught.value.line == 3


def _high_document() -> dict[str, Any]:
    document = plan_document(demo_plan())
    for system in document["plan"]["sea"]["systems"][:2]:
        system["hs_m"] = 20.0
    return document


def test_a_plan_in_a_file_in_a_link_and_in_the_browser_is_held_to_it() -> None:
    said = r"height of the sea: 28\.284\u00a0m.*at most 25\u00a0m"
    with pytest.raises(FileError, match=said):
        plan_file_of(_high_document())
    text = json_text(named(_high_document()), compact=True).encode()
    with pytest.raises(FileError, match=said):
        read_link(base64.urlsafe_b64encode(zlib.compress(text)).decode().rstrip("="))
    with pytest.raises(FileError, match=said):
        unpacked(base64.b64encode(zlib.compress(text)).decode())


def test_what_the_planner_writes_of_the_highest_sea_is_read_again() -> None:
    """Systems whose squares add up to a hair over the bound by rounding, in all three ways a plan travels."""
    share = MAX_HS / math.sqrt(3.0)
    sea = SeaState(tuple(WaveSystem(share, 12.0 + place, "Tp", 200.0) for place in range(3)), 300.0)
    plan = demo_plan().changed(sea=sea)
    assert read_plan_file(plan_to_json(plan).encode()).plan == plan
    assert read_link(plan_to_link(plan)).plan == plan
    kept = KeptForecast("seas.csv", file_of((15.0, 20.0)))
    again = read_plan_file(plan_to_json(plan, kept).encode()).forecast
    assert again == kept
    assert too_high(np.array([MAX_HS, MAX_HS * (1 + 1e-12), MAX_HS + 1e-6, np.nan])).tolist() == [
        False
    ] * 2 + [
        True,
        False,
    ]


def test_a_forecast_factor_makes_no_sea_that_could_not_be_planned() -> None:
    """Both systems raised alike: 17 m each is 24.04 m, and 26.71 m with a factor of 0.9; 15 m each 23.57 m."""
    slots = tuple(SystemSlot(np.array([17.0, 15.0]), np.full(2, 14.0), np.full(2, 200.0)) for _ in range(2))
    row = AlphaRow(24 * 3600.0, 0.9, 0.9, 0.9, 0.9)
    assert scaled_for(SeaBatch(slots), row).hs == pytest.approx(
        [np.nan, 15.0 * math.sqrt(2) / 0.9], nan_ok=True
    )


def test_a_study_varies_a_sea_up_to_it() -> None:
    low, high = INPUTS["sea_height"].bounds(demo_plan())
    assert high == MAX_HS
    assert 0.0 < low < demo_plan().sea.hs
