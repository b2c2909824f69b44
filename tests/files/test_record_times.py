"""Times of a heave record: double stamps, jitter, gaps, clocks that jump, and a cubic that is held."""

from __future__ import annotations

import math

import numpy as np
import pytest
from known_records import TIME, file_of, kinds, words
from record_layouts import heave

from heave.errors import FileError
from heave.files.heave_record import read_heave_record
from heave.files.record import stamps


def test_equal_and_nearly_equal_stamps_are_one() -> None:
    """The file of the field: a value written again 5 ms later, of another instant, must not swing the cubic."""
    clean = heave(TIME)
    time = np.insert(TIME, 800, TIME[799] + 0.005)
    values = np.insert(clean, 800, clean[799] + 0.05)
    found = read_heave_record(file_of(values, time))
    assert kinds(found) == ["double stamp"]
    assert "first on line 802" in words(found, "double stamp")
    assert len(found.heave) == len(clean)
    assert found.heave == pytest.approx(clean, abs=0.03)
    assert found.heave.std() == pytest.approx(clean.std(), rel=1e-3)
    time[800] = time[799]
    again = read_heave_record(file_of(values, time))
    assert again.heave == pytest.approx(found.heave, abs=1e-12)


def test_a_file_full_of_double_stamps_is_refused() -> None:
    """Two sensors in one file, each row of the second 5 ms after the first: no mean of them is taken."""
    clean = heave(TIME)
    time = np.sort(np.concatenate((TIME, TIME + 0.005)))
    for values in (np.repeat(clean, 2), np.repeat(clean, 2) + np.tile([0.0, 0.2], len(clean))):
        with pytest.raises(FileError, match="values with the time of another"):
            read_heave_record(file_of(values, time))


@pytest.mark.parametrize("second", ["1e-308", "5e-324", "0.0", "1e-12", "0.049"])
def test_a_second_time_next_to_the_first_gives_no_nonsense(second: str) -> None:
    clean = heave(TIME)
    lines = file_of(np.insert(clean, 1, clean[0]), np.insert(TIME, 1, 0.0)).decode().split("\n")
    lines[2] = f"{second},{clean[0]:.4f}"
    found = read_heave_record("\n".join(lines).encode())
    assert kinds(found) == ["double stamp"]
    assert np.isfinite(found.heave).all()
    assert found.heave == pytest.approx(clean, abs=1e-3)


@pytest.mark.parametrize("odd", ["1e308", "-1e308", "inf", "nan", "", "1e400", "1e14"])
def test_a_time_that_is_none_is_refused_with_its_line(odd: str) -> None:
    lines = file_of(heave(TIME)).decode().split("\n")
    lines[40] = f"{odd},0.1"
    with pytest.raises(FileError) as refused:
        read_heave_record("\n".join(lines).encode())
    assert refused.value.line in (40, 41)


def test_the_cubic_is_held_within_what_was_measured() -> None:
    """Times that wander by a quarter of a step, values that jump about: none beyond a quarter of their range."""
    rng, held = np.random.default_rng(5), 0
    for _ in range(20):
        time = np.arange(200.0) + rng.uniform(-0.25, 0.25, 200)
        values = rng.normal(0, 1, 200)
        series = stamps.Series(time, values, np.arange(200))
        merged, _ = stamps.merged(series)
        even, told = stamps.evened(merged, 1.0, True)
        places = np.arange(len(even)) * 1.0
        own = merged.time - merged.time[0]
        before = np.clip(np.searchsorted(own, places, side="right") - 1, 0, len(own) - 2)
        gaps = np.diff(own) > 1.5
        for place, value in zip(before, even, strict=True):
            about = merged.values[max(place - 1, 0) : place + 3]
            room = stamps.HELD * np.ptp(about)
            if not gaps[place]:
                assert about.min() - room - 1e-9 <= value <= about.max() + room + 1e-9
            assert values.min() - 1e-9 - room <= value <= values.max() + room + 1e-9
        held += [fault.kind for fault in told].count("held")
    assert held > 5


def test_holding_leaves_a_well_sampled_crest_alone() -> None:
    """Down to four values a period the cubic through a sine is within a quarter of the range about it."""
    for share in (0.0, 0.1, 0.25, 0.5):
        for each in (4.5, 6.0, 10.0, 20.0):
            time = np.arange(300.0) + np.where(np.arange(300) % 2, 0.03, 0.0)
            values = np.sin(2 * math.pi * (time + share) / each)
            _, told = stamps.evened(stamps.Series(time, values, np.arange(300)), 1.0, True)
            assert [fault.kind for fault in told] == ["jitter"]


def test_jitter_is_told_with_its_size() -> None:
    time = TIME + np.random.default_rng(3).uniform(-0.1, 0.1, len(TIME))
    found = read_heave_record(file_of(heave(time), time))
    assert kinds(found) == ["jitter"]
    assert "up to 0.2" in words(found, "jitter").replace("0.19", "0.2")
    even = np.linspace(0.0, time[-1] - time[0], len(found.heave)) + time[0]
    assert found.heave == pytest.approx(heave(even), abs=0.02)


def test_gaps_are_told_and_jumps_of_the_clock_refused() -> None:
    kept = np.delete(np.arange(len(TIME)), [300, 301, 900])
    found = read_heave_record(file_of(heave(TIME)[kept], TIME[kept]))
    assert words(found, "gap").startswith(
        "2 gaps of at most 1.50\u00a0s, first after line 301, 1.50\u00a0s in all"
    )
    one = np.delete(np.arange(len(TIME)), [300])
    assert words(read_heave_record(file_of(heave(TIME)[one], TIME[one])), "gap").startswith("1 gap of")
    for shift, said in ((60.0, "gap after this row"), (-60.0, "put back by 59.5\u00a0s")):
        time = TIME.copy()
        time[1000:] += shift
        with pytest.raises(FileError, match=said) as refused:
            read_heave_record(file_of(heave(TIME), time))
        assert refused.value.line in (1001, 1002)


@pytest.mark.parametrize(("factor", "said"), [(0.1, "mean period"), (8.0, "between"), (3.9, "mean period")])
def test_a_rate_that_is_absurd_for_heave_is_refused(factor: float, said: str) -> None:
    with pytest.raises(FileError, match=said):
        read_heave_record(file_of(heave(TIME, least=11.0, most=13.0), factor * TIME))


def test_too_short_a_record_is_refused() -> None:
    with pytest.raises(FileError, match="3 waves"):
        read_heave_record(file_of(heave(TIME)[:40]))


@pytest.mark.parametrize("wander", [0.0, 0.001, 0.05, 0.2])
@pytest.mark.parametrize("step", [0.5, 1.0, 2.0])
def test_times_that_wander_keep_their_mean_step(step: float, wander: float) -> None:
    """The median step of a record that wanders by 5 % was off by up to 0.2 %, and its values half a step by its end."""
    time = np.arange(600) * step
    time[1:-1] += step * np.random.default_rng(0).uniform(-wander, wander, 598)
    found = read_heave_record(file_of(heave(time), time))
    assert found.step == pytest.approx(step, rel=1e-9)
    assert len(found.heave) == 600
    where = np.arange(600) * step
    assert np.std(found.heave) == pytest.approx(np.std(heave(where)), rel=0.01 if step < 2.0 else 0.03)
    if step == 0.5:
        assert found.heave == pytest.approx(heave(where), abs=0.03)


def test_a_gap_leaves_the_step_of_the_rest() -> None:
    kept = np.delete(np.arange(600), [300])
    time = np.arange(600) * 0.5 + np.where(np.arange(600) % 2, 0.02, 0.0)
    found = read_heave_record(file_of(heave(time)[kept], time[kept]))
    assert found.step == pytest.approx(time[-1] / 599, rel=1e-6)
    assert len(found.heave) == 600
