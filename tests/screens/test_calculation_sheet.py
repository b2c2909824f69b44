"""The calculation sheet: all of the assessment stands on it, its text cannot break out, its plan comes back."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from html import escape, unescape

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import heave
from heave.files.listing import inputs_of
from heave.files.plan import plan_to_json
from heave.files.rigs import demo_compensators
from heave.files.seals import in_hour, signed, text_hash
from heave.judging import assess
from heave.judging.calculation import calculation
from heave.planning import MODEL_VERSION, Operation, Plan, Record
from heave.screens.calculation.hours import hour_words
from heave.screens.calculation.sheet import headline, html_of
from heave.screens.calculation.working import input_text, symbols_html
from heave.screens.figures.printed_curves import Drawn, curves_printed
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.printing import LETTERS, SHORT_HASH, document, figure, page_style
from heave.screens.weather.store import sample
from heave.units import UNIT_SYSTEMS, show
from heave.weather import weather_windows
from heave.weather.in_hour import plan_in_hour

HOSTILE = '<img src=x onerror="alert(1)">&</style></script><script>'
UNITS = {unit.kind: unit for unit in demo_compensators().values()}


def kinds() -> dict[str, Plan]:
    plan = heave.demo_plan()
    path, drawworks = plan.hoisting, UNITS["drawworks"]
    assert path is not None
    return {
        "in-line": plan,
        "active": plan.changed(compensator=UNITS["active-assisted"]),
        "drawworks": plan.changed(
            compensator=drawworks, hoisting=replace(path, lines=int(getattr(drawworks, "lines", 12)))
        ),
        "not assessed": plan.changed(operation=Operation(kind="casing"), hoisting=None),
        "landing": plan.doing("landing"),
    }


def words_of(text: str) -> str:
    """The words of a sheet without its markup."""
    body = re.sub(r"<(style|script)\b.*?</\1>", " ", text, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def tight(text: str) -> str:
    return re.sub(r"[\s_,]+", "", text)


@pytest.mark.parametrize("system", UNIT_SYSTEMS)
@pytest.mark.parametrize("name", kinds())
def test_all_of_the_assessment_stands_on_it(name: str, system: str) -> None:
    plan = kinds()[name]
    result = assess(plan)
    told = tight(words_of(html_of(result, system)))
    for words in (*result.cautions, *plan.operation.about.elsewhere, headline(result)):
        assert tight(words) in told, words
    if result.governing is not None:
        assert tight(f"{result.governing.name} governs: {result.governing.headline(system)}") in told
    for check in (*result.checks, *(result.lost.checks if result.lost else ())):
        row = f"{check.name}{show(check.demand, check.kind, system, 4)}{show(check.capacity, check.kind, system, 4)}"
        assert tight(f"{row}{utilisation_text(check.utilisation)}") in told, check.key
        assert tight(check.source) in told
    for chapter in calculation(result):
        assert tight(chapter.title) in told
        for given_ in chapter.given:
            term = given_.term
            assert tight(f"{given_.symbol}{term.meaning}{term.shown(system)}") in told
        for step in chapter.steps:
            assert tight(step.symbols() + step.numbers(system)) in told, step.symbol
    for group in inputs_of(plan):
        for one in group.inputs:
            assert tight(input_text(one, system)) in told, one.path


def test_what_is_not_judged_is_in_the_headline() -> None:
    plan = heave.demo_plan()
    bare = assess(plan.changed(hoisting=None))
    assert headline(bare).endswith("hoisting path not judged")
    hour = in_hour(plan, "an hour")
    assert headline(assess(hour)).endswith(", wind and current not judged")
    assert "changed since the hour" in headline(assess(hour.changed(heading=200.0)))
    checked = signed(plan, "checked", "B. Checker")
    assert headline(assess(checked)) == headline(assess(plan))
    changed = assess(checked.changed(wob=1.7e5))
    assert headline(changed).endswith(", changed since it was checked")
    assert headline(changed) in words_of(html_of(changed))


def test_names_stand_with_what_they_were_entered_for() -> None:
    record = Record(
        well="7 A", rig="A rig", revision="B", date="2026-11-26", prepared_by="A. Author", note="A\nB"
    )
    plan = signed(heave.demo_plan().changed(record=record), "checked", "B. Checker")
    told = words_of(html_of(assess(plan)))
    for words in ("Well 7 A", "Rig A rig", "Revision B", "Date 2026-11-26", "Prepared A. Author", "A B"):
        assert words in told
    assert f"Checked B. Checker for this plan, model {MODEL_VERSION}" in told
    assert "Checked B. Checker changed since it was checked" in words_of(
        html_of(assess(plan.changed(wob=0.0)))
    )
    assert '<p class="note">A\nB</p>' in html_of(assess(plan))


@pytest.mark.parametrize("system", UNIT_SYSTEMS)
def test_the_plan_comes_back_and_its_hash_is_on_every_page(system: str) -> None:
    plan = heave.demo_plan().changed(record=Record(note=HOSTILE), name=HOSTILE)
    text = html_of(assess(plan), system)
    hashed = text_hash(plan_to_json(plan))
    assert heave.read_plan(text.encode()) == plan
    assert hashed in words_of(text)
    foot = re.search(r'@bottom-left\{content:"([^"]*)"', text)
    assert foot is not None
    read = re.sub(r"\\([0-9a-f]+) ", lambda found: chr(int(found[1], 16)), foot[1])
    assert read == f"{HOSTILE} · plan {hashed[:SHORT_HASH]} · model {MODEL_VERSION}"
    assert "heave-plan" not in html_of(assess(plan), system, with_plan=False)


@pytest.mark.parametrize("name", kinds())
def test_hostile_text_stays_text_and_nothing_is_asked_of_a_network(name: str) -> None:
    plan = kinds()[name]
    record = Record(*[HOSTILE[:40]] * 5, note=HOSTILE)
    vessel = replace(plan.vessel, name=HOSTILE, note=HOSTILE, provenance=HOSTILE)
    plan = plan.changed(
        name=HOSTILE,
        record=record,
        vessel=vessel,
        compensator=replace(plan.compensator, name=HOSTILE, note=HOSTILE),
        operation=replace(plan.operation, limits_from=HOSTILE),
    )
    text = html_of(assess(signed(in_hour(plan, HOSTILE), "checked", HOSTILE)))
    assert "<img" not in text
    assert text.count("<script") == text.count("</script>") == 2  # the plan, and the print button
    assert text.count("</style>") == 1
    assert text.count(escape(HOSTILE)) >= 8
    tags = " ".join(re.findall(r"<[^>]+>", text)).replace('xmlns="http://www.w3.org/2000/svg"', "")
    assert not re.search(r"""https?:|//|src=|href="(?!#)|url\((?!#)|\bon[a-z]+=""", tags)
    assert "@import" not in text
    assert "default-src 'none'" in text


@pytest.mark.parametrize("name", kinds())
def test_no_two_parts_of_it_have_one_name(name: str) -> None:
    text = html_of(assess(kinds()[name]))
    names = re.findall(r'\sid="([^"]+)"', text)
    assert len(names) == len(set(names))
    used = set(re.findall(r'href="#([^"]+)"|url\(#([^)]+)\)', text))
    assert {one or other for one, other in used} <= set(names)
    assert set(LETTERS.values()) <= set(names)


@given(st.text(max_size=60))
def test_words_at_the_foot_cannot_end_their_string(words: str) -> None:
    style = page_style(words)
    inner = re.search(r'@bottom-left\{content:"(.*?)";font', style, re.DOTALL)
    assert inner is not None
    assert re.fullmatch(r"(?:[A-Za-z0-9]|\\[0-9a-f]+ )*", inner[1])
    assert style.count("{") == style.count("}") == 3


def test_a_figure_keeps_its_words_and_gets_names_of_its_own() -> None:
    svg = '<svg aria-labelledby="title desc"><title id="title">a</title><use href="#m"/><rect fill="url(#m)"/></svg>'
    told = figure(svg + 'id=&quot;x&quot; href="#no"', "words", "one")
    assert 'id="one-title"' in told
    assert 'href="#one-m"' in told
    assert 'fill="url(#one-m)"' in told
    assert 'aria-labelledby="one-title one-desc"' in told
    assert "id=&quot;x&quot;" in told


def test_without_scripts_only_the_button_is_gone() -> None:
    text = document("a title", "", "<p>all</p>")
    assert '<p class="screen" hidden><button id="print">' in text
    assert "<p>all</p>" in text


def test_indices_stand_low_and_formulas_stay_whole() -> None:
    assert symbols_html("F_d = F_g × x²") == "F<sub>d</sub> = F<sub>g</sub> × x²"
    assert symbols_html("σ_z_1 < 2") == "σ<sub>z,1</sub> &lt; 2"
    assert symbols_html("kN·s²/m²") == "kN·s²/m²"
    assert symbols_html("√(Hs_1² + η3_c)") == "√(Hs<sub>1</sub>² + η3<sub>c</sub>)"


def test_curves_stand_where_their_numbers_are() -> None:
    """Three points on axes from 0 to 10 and 0 to 100: ends of the box, and half way up."""
    one = Drawn("a & b", np.array([0.0, 5.0, 10.0]), np.array([0.0, 50.0, 100.0]))
    svg = curves_printed("<title>", [one], "x", "y")
    points = re.search(r'points="([^"]+)"', svg)
    assert points is not None
    (x0, y0), (x1, y1), (x2, y2) = (map(float, pair.split(",")) for pair in points[1].split())
    assert x1 == pytest.approx((x0 + x2) / 2, abs=0.1)
    assert y1 == pytest.approx((y0 + y2) / 2, abs=0.1)
    marks = {
        words: float(y)
        for y, anchor, words in re.findall(r'y="([\d.]+)" text-anchor="(\w+)"[^>]*>([^<]+)<', svg)
    }
    assert marks["0"] > marks["100"]
    assert marks["50" if "50" in marks else "40"] < marks["0"]
    assert "a &amp; b" in svg
    assert "&lt;title&gt;" in svg


def test_an_hour_says_which_it_is() -> None:
    result = weather_windows(heave.demo_plan(), sample().forecast)
    place = 5
    made = plan_in_hour(heave.demo_plan(), result, 0, place)
    own, height = float(result.forecast.batch.hs[place]), made.sea.hs
    assert math.isclose(height, float(result.steps[0].design_hs[place]))
    words = hour_words(result, 0, place, made, True, True)
    assert "05:00" in words
    assert str(result.forecast.times[place])[:4] in words
    assert "invented sample" in words
    assert "step 1, Drilling ahead" in words
    assert f"raised by the forecast factor from Hs {own:.2f} m to {height:.2f} m" in words
    assert words.isprintable()
    plain_ = hour_words(
        result, 0, place, plan_in_hour(heave.demo_plan(), result, 0, place, raised=False), False
    )
    assert plain_.endswith("sea as forecast, forecast factor not applied")


def test_a_value_is_told_as_its_box_shows_it_with_its_unit() -> None:
    told = {one.path: input_text(one, "oilfield") for one in inputs_of(heave.demo_plan())[0].inputs}
    assert told["heading"] == "220°"
    assert told["wob"] == f"{180e3 / 4448.2216152605:.6g}\u00a0klbf"  # 1 klbf is 4448.2216 N, NIST SP 811
    assert told["risk"] == "1\u00a0%"
    assert told["active"] == "yes"
    assert told["hookload_entered"] == ""
