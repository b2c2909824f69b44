"""Response table files: every convention gives the motions it should, and none is guessed."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from response_text import response_table_text

from heave.errors import FileError
from heave.files.conventions import ConventionNeeded
from heave.files.response.reader import read_response_file
from heave.files.response_table import read_response_table
from heave.vessel.response_table import ResponseTable

ROOT = Path(__file__).resolve().parents[2]

STATED = {
    "format": "heave-response-table 1",
    "phase": "lead",
    "rotation_per": "wave_amplitude",
    "symmetric": "yes",
    "reference_x_m": "2.5",
    "reference_y_m": "-1",
    "heading_convention": "travel_from_bow (180 head)",
    "source": "made up for a test",
}
HEADER = (
    "period_s,heading_deg,heave_m_per_m,heave_phase_deg,"
    "roll_deg_per_m,roll_phase_deg,pitch_deg_per_m,pitch_phase_deg"
)


def table_text(
    header: str = HEADER,
    rows: list[str] | None = None,
    periods: tuple[float, ...] = (8.0, 10.0, 14.0),
    headings: tuple[float, ...] = (0.0, 60.0, 120.0, 180.0),
    **changes: str | None,
) -> bytes:
    """A small table, with its stated conventions changed or (None) left out."""
    stated = {key: value for key, value in (STATED | changes).items() if value is not None}
    lines = [f"# {key}: {value}" for key, value in stated.items()]
    if rows is None:
        rows = [
            f"{t:g},{h:g},{t / 20},{t + h / 10},{0 if h in (0, 180) else 0.5},30,{t / 30},-90"
            for t in periods
            for h in headings
        ]
    return "\n".join([*lines, header, *rows, ""]).encode()


def test_values_phases_and_reference_of_a_stated_table() -> None:
    table = read_response_table(table_text())
    assert table.omega == pytest.approx([2 * math.pi / t for t in (14, 10, 8)])
    assert list(table.heading) == [0.0, 60.0, 120.0, 180.0]
    assert (table.reference_x, table.reference_y, table.symmetric) == (2.5, -1.0, True)
    assert table.source == "made up for a test"
    assert table.heave[1, 1] == pytest.approx(0.5 * np.exp(1j * math.radians(16)))
    assert table.roll[2, 0] == pytest.approx(math.radians(0.5) * np.exp(1j * math.radians(30)))
    assert table.pitch[3, 2] == pytest.approx(-1j * math.radians(8 / 30))


def test_a_lag_is_the_conjugate_of_a_lead() -> None:
    lead, lag = read_response_table(table_text()), read_response_table(table_text(phase="lag"))
    for name in ("heave", "roll", "pitch"):
        assert getattr(lag, name) == pytest.approx(np.conj(getattr(lead, name)))


def test_frequency_in_three_measures() -> None:
    expected = read_response_table(table_text())
    for header, turn in (("omega_rad_per_s", 2 * math.pi), ("frequency_hz", 1.0)):
        rows = table_text().decode().splitlines()[-12:]
        changed = [f"{turn / float(row.split(',')[0])!r},{row.split(',', 1)[1]}" for row in rows]
        table = read_response_table(table_text(HEADER.replace("period_s", header), changed))
        assert table.omega == pytest.approx(expected.omega, rel=1e-14)
        assert table.heave == pytest.approx(expected.heave)


def test_rotation_per_wave_slope_is_brought_to_per_metre_in_deep_water() -> None:
    header = HEADER.replace("deg_per_m", "deg_per_deg")
    table = read_response_table(table_text(header, rotation_per="wave_slope"))
    slope = (2 * math.pi / 10) ** 2 / 9.80665
    assert abs(table.pitch[0, 1]) == pytest.approx(10 / 30 * slope)
    with pytest.raises(FileError, match="wave_slope, as the columns say"):
        read_response_table(table_text(header))


def test_bearing_from_the_bow_becomes_travel() -> None:
    """Waves from ahead are head seas (180); from the starboard beam (90) they travel to port (90)."""
    rows = [f"{t},{b},{b / 100},0,0,0,0,0" for t in (8, 10) for b in (0, 45, 90, 135, 180, 225, 270, 315)]
    table = read_response_table(
        table_text(rows=rows, symmetric="no", heading_convention="from_bow_clockwise (0 head)")
    )
    heave = dict(zip(table.heading.tolist(), table.heave[:, 0].real, strict=True))
    assert heave[180.0] == 0.0
    assert heave[90.0] == pytest.approx(0.9)
    assert heave[0.0] == pytest.approx(1.8)
    assert heave[270.0] == pytest.approx(2.7)  # from port, travelling to starboard


def test_rows_in_any_order() -> None:
    lines = table_text().decode().splitlines()
    shuffled = "\n".join([*lines[:9], *reversed(lines[9:])]).encode()
    assert read_response_table(shuffled) == read_response_table(table_text())


def test_what_is_not_stated_is_asked() -> None:
    bare = table_text(**dict.fromkeys(STATED))
    with pytest.raises(ConventionNeeded) as caught:
        read_response_table(bare)
    keys = [question.key for question in caught.value.questions]
    assert keys == ["phase", "symmetric", "heading_convention", "reference_x_m", "reference_y_m"]
    assert all(question.words.endswith("?") for question in caught.value.questions)
    assert caught.value.questions[0].options == ("lead", "lag")
    table = read_response_table(
        bare,
        phase="lead",
        symmetric=True,
        heading_convention="travel_from_bow",
        reference_x=2.5,
        reference_y=-1.0,
    )
    assert table.heave == pytest.approx(read_response_table(table_text()).heave)


@pytest.mark.parametrize(
    "key", ["phase", "symmetric", "heading_convention", "reference_x_m", "reference_y_m"]
)
def test_one_missing_convention_is_one_question(key: str) -> None:
    with pytest.raises(ConventionNeeded) as caught:
        read_response_table(table_text(**{key: None}))
    assert [question.key for question in caught.value.questions] == [key]


@pytest.mark.parametrize(
    ("answer", "words"),
    [
        ({"phase": "lag"}, "lead, as line 2"),
        ({"symmetric": False}, "yes, as line 4"),
        ({"reference_x": 0.0}, "2.5, as line 5"),
        ({"phase": "leads"}, "lead or lag"),
        ({"reference_y": math.nan}, "finite"),
        ({"reference_y": 501.0}, "within 500"),
    ],
)
def test_an_answer_against_the_file_or_against_sense_is_refused(answer: dict[str, Any], words: str) -> None:
    with pytest.raises(FileError, match=words):
        read_response_table(table_text(), **answer)


def test_an_answer_that_agrees_with_the_file_is_no_contradiction() -> None:
    table = read_response_table(table_text(), phase="lead", symmetric=True, reference_x=2.5)
    assert table == read_response_table(table_text())


def test_written_tables_come_back(tmp_path: Path) -> None:
    table = read_response_table(table_text())
    path = tmp_path / "table.csv"
    path.write_text(response_table_text(table), "utf-8")
    again = read_response_table(path)
    assert np.array_equal(again.omega, table.omega)
    assert np.array_equal(again.heading, table.heading)
    for name in ("heave", "roll", "pitch"):
        assert getattr(again, name) == pytest.approx(getattr(table, name), rel=1e-14, abs=1e-17)
    assert (again.source, again.reference_x, again.symmetric) == (table.source, table.reference_x, True)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.floats(0.05, 3.0), min_size=2, max_size=6, unique_by=lambda w: round(w, 3)),
    st.integers(0, 2**32 - 1),
    st.booleans(),
)
def test_any_table_comes_back(omega: list[float], seed: int, symmetric: bool) -> None:
    draw = np.random.default_rng(seed)
    heading = np.arange(0.0, 181.0 if symmetric else 360.0, 45.0)
    shape = (heading.size, len(omega))
    heave, roll, pitch = (
        draw.uniform(0, limit, shape) * np.exp(1j * draw.uniform(-3.1, 3.1, shape))
        for limit in (2.0, 0.1, 0.1)
    )
    if symmetric:
        roll[[0, -1]] = 0.0
    table = ResponseTable(
        np.sort(omega), heading, heave, roll, pitch, symmetric=symmetric, source="any, thing"
    )
    again = read_response_table(response_table_text(table).encode())
    assert np.array_equal(again.omega, table.omega)
    assert again.heave == pytest.approx(table.heave, rel=1e-14, abs=1e-17)
    assert again.roll == pytest.approx(table.roll, rel=1e-14, abs=1e-17)
    assert again.source == table.source


def test_demo_tables_are_read_whole() -> None:
    paths = sorted((ROOT / "heave" / "rigs").glob("*_response.csv"))
    assert len(paths) >= 2
    for path in paths:
        table = read_response_table(path)
        assert table.heading[0] == 0.0
        assert table.heading[-1] == 180.0
        assert table.omega.size >= 30
        assert "invented" in table.source


def test_the_damping_a_table_was_made_with_is_kept(tmp_path: Path) -> None:
    text = table_text()
    assert read_response_table(text).damping_speed is None
    stated = b"# damping_speed_m_per_s: 0.25\n" + text
    table = read_response_table(stated)
    assert table.damping_speed == 0.25
    assert table != read_response_table(text)
    (tmp_path / "table.csv").write_text(response_table_text(table), "utf-8")
    assert read_response_table(tmp_path / "table.csv").damping_speed == 0.25
    for wrong in (b"fast", b"-1", b"nan"):
        with pytest.raises(FileError, match=r"damping"):
            read_response_table(stated.replace(b"0.25", wrong))


def test_the_demo_rig_says_the_speed_its_damping_follows_from() -> None:
    """B = 0.5 rho Cd A sqrt(8/pi) sigma_v, with the figures of its own header."""
    path = ROOT / "heave" / "rigs" / "demo_semisubmersible_response.csv"
    speed = read_response_table(path).damping_speed
    assert speed is not None
    drag = 0.5 * 1025.0 * 2.2 * 3300.0 * (8 / np.pi) ** 0.5
    assert drag * speed == pytest.approx(1.5205e6, rel=3e-4)


def test_a_name_that_cannot_be_shown_is_refused_in_any_layout_and_never_asked_about() -> None:
    """A mark that turns the direction of writing stands before the name of a column."""
    rows = "".join(f"{period},0,0.5,10\n" for period in (7, 10, 14))
    with pytest.raises(FileError, match="printable text") as refused:
        read_response_file(f"Period (s),Heading (deg),Heave amp (m/m),\u202edue\n{rows}".encode())
    assert not isinstance(refused.value, ConventionNeeded)
    assert refused.value.line == 1
