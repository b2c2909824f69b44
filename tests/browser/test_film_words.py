"""Gauges, words and table of the film in Chromium: every figure against the data sent, in both unit systems."""

from __future__ import annotations

import itertools
import re
from typing import Any

import pytest
from known_film import alike, dots, drawn, mounted, number, plain, plain_film, seek, value_at, words_of

import harness
from heave.units import display_value, unit_of

pytestmark = pytest.mark.browser


def test_gauges_point_at_the_data(page: Any) -> None:
    film = plain_film(2)
    kinds = {"hook_load": "force", "bit_force": "force", "stroke": "length", "gas_pressure": "pressure"}
    for width in (390, 1440):
        mounted(page, film, width)
        for time in (25.0, 42.4, 86.42):
            page.evaluate("window.written.length = 0")
            seek(page, time)
            gauges = drawn(page)["gauges"]["gauges"]
            said = {plain(word["text"]) for word in words_of(page, "gauges")}
            assert set(gauges) == set(kinds)
            for (name, gauge), side in itertools.product(gauges.items(), (0, 1)):
                value = value_at(film, side, name, time)
                share = (value - gauge["low"]) / (gauge["high"] - gauge["low"])
                wanted = gauge["left"] + share * (gauge["right"] - gauge["left"])
                assert gauge["pointers"]["AB"[side]] == pytest.approx(wanted, abs=0.5)
                decimals = 2 if kinds[name] == "length" else 1
                shown = f"{'AB'[side]} {display_value(value, kinds[name], 'metric'):.{decimals}f}"
                assert any(text == shown or text.startswith(shown + " ") for text in said), (shown, said)
        found = dots(page, "gauges")
        for name, levels in (
            ("stroke", (-3.0, 3.0)),
            ("bit_force", (20e3, 200e3)),
            ("gas_pressure", (200e5,)),
        ):
            gauge = gauges[name]
            for level in levels:
                x = gauge["left"] + (level - gauge["low"]) / (gauge["high"] - gauge["low"]) * (
                    gauge["right"] - gauge["left"]
                )
                column = found[int(gauge["y"]) + 5 : int(gauge["y"]) + 9, int(x) - 1 : int(x) + 2]
                assert alike(column, film["look"]["over"]).any(), (name, level)


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_words_of_an_instant_are_those_of_the_data(page: Any, system: str) -> None:
    film = plain_film(2, system)
    mounted(page, film)
    named = {"stroke": "length", "hook load": "force", "weight on bit": "force", "gas pressure": "pressure"}
    signals = {"weight on bit": "bit_force"}
    for time, holds in (
        (21.0, "the seals hold the unit still"),
        (40.5, "the bit is off bottom"),
        (51.0, "against an end"),
        (110.0, "the unit is locked"),
        (25.0, ""),
    ):
        page.evaluate(
            "time => { const p = document.querySelector('.film').filmPlayer; p.step(time - p.time) }", time
        )
        harness.wait_until(
            page,
            lambda at=time: f"At {at:.2f} s" in plain(page.locator(".film-words").inner_text()),
            "the words",
        )
        text = plain(page.locator(".film-words").inner_text())
        heave = re.search(r"Heave (\S+) (\S+?)\.? A, as planned", text)
        assert heave
        assert [heave[2].rstrip(".")] == [unit_of("length", system).symbol]
        assert float(heave[1]) == pytest.approx(
            display_value(value_at(film, 0, "heave", time), "length", system), abs=0.0051
        )
        for side, said in enumerate(re.split(r"B, no compensator", text.split("A, as planned")[1])):
            for name, kind in named.items():
                unit = unit_of(kind, system)
                found = re.search(rf"{name} (-?[\d.]+) {unit.symbol}\b", said)
                assert found, (name, said)
                wanted = display_value(
                    value_at(film, side, signals.get(name, name.replace(" ", "_")), time), kind, system
                )
                slack = {
                    "length": 0.0051,
                    "force": 0.051,
                    "pressure": 0.51 if unit.symbol == "psi" else 0.051,
                }[kind]
                assert float(found[1]) == pytest.approx(wanted, abs=slack)
            assert holds in said
            assert ("still" in said) == (time == 21.0)
    assert "The block rises." in text
    assert "In the last second" not in text


@pytest.mark.parametrize("system", ["metric", "oilfield"])
def test_the_table_holds_the_data(page: Any, system: str) -> None:
    film = plain_film(2, system)
    mounted(page, film)
    page.locator(".film-table summary").click()
    table = page.locator(".film-table table")
    harness.wait_until(page, lambda: table.count() == 1, "the table")
    assert plain(table.locator("caption").inner_text()).startswith("Traces from 0 to 60 s")
    head = [plain(text) for text in table.locator("thead th").all_inner_texts()]
    length, force, pressure = (unit_of(kind, system).symbol for kind in ("length", "force", "pressure"))
    columns = [
        f"Stroke [{length}]",
        f"Hook load [{force}]",
        f"Weight on bit [{force}]",
        f"Gas pressure [{pressure}]",
        "What holds",
    ]
    first = ["Time [s]", f"Heave [{length}]", "A: as planned", "B: no compensator", "Happens"]
    assert head == first + columns * 2
    assert table.locator("th:not([scope])").count() == 0
    rows = table.locator("tbody tr").evaluate_all(
        "rows => rows.map(row => [...row.cells].map(cell => cell.textContent))"
    )
    assert [number(row[0]) for row in rows] == list(range(61))
    kinds = {"stroke": "length", "hook_load": "force", "bit_force": "force", "gas_pressure": "pressure"}
    for row in rows:
        time = number(row[0])
        assert number(row[1]) == pytest.approx(
            display_value(value_at(film, 0, "heave", time), "length", system), abs=0.0051
        )
        for side, (place, (name, kind)) in itertools.product((0, 1), enumerate(kinds.items())):
            wanted = display_value(value_at(film, side, name, time), kind, system)
            slack = {"length": 0.0051, "force": 0.051, "pressure": 0.51}[kind]
            assert number(row[2 + 5 * side + place]) == pytest.approx(wanted, abs=slack)
    assert rows[22][6] == "the seals hold the unit still"
    assert rows[41][6] == "the bit is off bottom"
    assert rows[52][6] == "" == rows[53][6]
    assert rows[51][6] == "the unit is against an end of its stroke"
    assert [row[-1] for row in rows if row[-1]] == ["Gas bank shut", "A: Bit lifts off", "A: Bit lands"]


def test_a_landing_is_told_with_how_far_its_blow_can_be_trusted(page: Any) -> None:
    # 5 % and 14 %: against a finer step, as `simulate` states.
    film = plain_film(system="oilfield")
    film["marks"] = [
        {"time": 42.0, "word": "Bit lands, 103 klbf", "kind": "landing", "side": "A", "made": False}
    ]
    film["opens"] = 42.5
    mounted(page, film, 1440)
    text = plain(page.locator(".film-words").inner_text())
    trusted = "blow of a landing right to some 5 % on 9843 ft of string, 14 % on 22966 ft"
    assert f"In the last second: Bit lands, 103 klbf ({trusted})." in text
    assert f"bit off bottom; {trusted}" in [plain(word["text"]) for word in words_of(page, "traces")]
