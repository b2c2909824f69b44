"""Faults of a heave record: each found by its rule, told with line and number, and never passed on in silence."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from known_records import SENSE, STEP, TIME, file_of, kinds, words
from record_layouts import acceleration, heave

from heave.errors import FileError
from heave.files.heave_record import read_heave_record
from heave.files.record import faults, integrate
from heave.files.record.faults import mean_period, resolution, runs, spread, without_spikes
from heave.units import STANDARD_GRAVITY


def test_a_sound_record_has_no_fault() -> None:
    for seed in range(6):
        for step in (0.1, 0.5, 1.0):
            time = np.arange(0.0, 1200.0, step)
            found = read_heave_record(file_of(heave(time, seed), time))
            assert found.faults == ()
            assert found.heave == pytest.approx(heave(time, seed), abs=1e-4)


@pytest.mark.parametrize("digits", [1, 2, 3])
def test_coarse_steps_and_noise_are_no_fault(digits: int) -> None:
    """Values to a decimetre, as some sensors give them, and white noise of a fiftieth of the motion."""
    noise = np.random.default_rng(4).normal(0, 0.015, len(TIME))
    for values in (heave(TIME), heave(TIME) + noise):
        found = read_heave_record(file_of(values, digits=digits))
        assert found.faults == ()


def test_six_spikes_a_stuck_sensor_and_an_offset_are_each_told() -> None:
    values = heave(TIME) + 2.5
    places = [100, 333, 500, 700, 1201, 1600]
    values[places] += [6.0, -4.0, 9.0, 3.0, -50.0, 5.0]
    values[2000:2060] = values[2000]
    found = read_heave_record(file_of(values))
    assert kinds(found) == ["stuck", "spike", "offset"]
    assert words(found, "spike").startswith(
        "6 spikes, on lines 102, 335, 502, 702, 1203, 1602; the largest stands 5"
    )
    stuck = words(found, "stuck")
    assert "line 2002" in stuck
    assert "29.5\u00a0s" in stuck
    assert "1\u202f000\u00a0s" in stuck
    assert "its mean is 2.5" in words(found, "offset").replace("2.49", "2.5").replace("2.51", "2.5")
    assert all(fault.words in found.notes for fault in found.faults)
    # what is used is the motion before the sensor stuck, its spikes gone and its offset kept
    assert len(found.heave) == 2000
    assert found.heave == pytest.approx(heave(TIME)[:2000] + 2.5, abs=0.02)
    assert found.given_up == pytest.approx((0.0, 1199.5 - 999.5))


@pytest.mark.parametrize("size", [1, 2, 3])
@pytest.mark.parametrize("height", [1.5, -4.0, 30.0])
def test_spikes_of_up_to_three_values_are_replaced(size: int, height: float) -> None:
    clean = heave(TIME)
    spoilt = clean.copy()
    for start in (50, 400, 1000, 1500, 2300):
        spoilt[start : start + size] += height
    found = read_heave_record(file_of(spoilt))
    assert kinds(found) == ["spike"]
    assert found.heave == pytest.approx(clean, abs=0.12)
    away = np.ones(len(clean), dtype=bool)
    for start in (50, 400, 1000, 1500, 2300):
        away[start : start + size] = False
    assert found.heave[away] == pytest.approx(clean[away], abs=1e-4), "nothing else is changed"


def test_what_replaces_a_spike_is_the_cubic_through_its_neighbours() -> None:
    time = np.arange(200.0)
    clean = 0.001 * (time - 90) ** 3 / 1000 + np.sin(
        time
    )  # any motion; the cubic is exact at its polynomial part
    spoilt = clean.copy()
    spoilt[120] += 40.0
    found, told = without_spikes(time, spoilt, np.arange(200), "m")
    a, b, c, d = clean[[118, 119, 121, 122]]
    assert found[120] == pytest.approx((-a + 4 * b + 4 * c - d) / 6)
    assert told[0].times == (120.0,)


def test_too_many_spikes_are_refused() -> None:
    clean = heave(TIME)
    for count, read in ((24, True), (25, False)):
        spoilt = clean.copy()
        spoilt[np.arange(count) * 90 + 20] += 8.0
        if read:
            assert f"{count} spikes" in words(read_heave_record(file_of(spoilt)), "spike")
        else:
            with pytest.raises(FileError, match="spikes: 25"):
                read_heave_record(file_of(spoilt))


def test_a_stuck_sensor_is_bridged_where_short_and_refused_where_long() -> None:
    period = mean_period(heave(TIME), STEP)
    quick = np.arange(0.0, 1200.0, 0.1)
    short = heave(quick, least=3.0, most=6.0)
    own = mean_period(short, 0.1)
    values = short.copy()
    stop = int(1.1 * faults.STUCK * own / 0.1) + 2
    values[5000 : 5000 + stop] = values[5000]
    found = read_heave_record(file_of(values, quick))
    assert "left out and bridged" in words(found, "stuck")
    assert len(found.heave) == len(quick)
    assert found.heave == pytest.approx(short, abs=0.1)
    values = short.copy()
    values[5000 : 5000 + int(0.8 * faults.STUCK * own / 0.1)] = values[5000]
    assert "stuck" not in kinds(read_heave_record(file_of(values, quick)))
    values = heave(TIME)
    values[900:1400] = values[900]  # more than half of either side is gone
    with pytest.raises(FileError, match="sensor stuck: 249") as refused:
        read_heave_record(file_of(values))
    assert refused.value.line == 902
    assert 5.0 < period < 15.0


def test_a_sensor_that_never_moves_is_refused() -> None:
    for values in (np.zeros(600), np.full(600, 1.25)):
        with pytest.raises(FileError, match="stood still"):
            read_heave_record(file_of(values))


@pytest.mark.parametrize("share", [0.4, 0.5, 0.6])
@pytest.mark.parametrize("digits", [2, 4])
def test_a_motion_cut_off_by_a_limit_is_refused(share: float, digits: int) -> None:
    clean = heave(TIME)
    limit = share * float(clean.max())
    for cut in (np.minimum(clean, limit), np.maximum(clean, -limit), np.clip(clean, -limit, limit)):
        with pytest.raises(FileError, match="at its limit"):
            read_heave_record(file_of(cut, digits=digits))


def test_a_regular_wave_is_not_taken_for_a_limit() -> None:
    """Every crest of a sine stands at the same highest value, for as long as its steps are coarse."""
    for step, digits in ((0.05, 1), (0.1, 2), (0.5, 3), (0.5, 1)):
        time = np.arange(0.0, 600.0, step)
        found = read_heave_record(file_of(1.2 * np.sin(2 * math.pi * time / 10), time, digits=digits))
        assert found.faults == ()


def test_drift_is_taken_out_offset_is_kept_and_both_are_told() -> None:
    drift = np.linspace(-1.0, 1.0, len(TIME))
    found = read_heave_record(file_of(heave(TIME) + drift + 1.0))
    assert kinds(found) == ["drift", "offset"]
    assert "over the record" in words(found, "drift")
    assert found.heave == pytest.approx(heave(TIME) + 1.0, abs=0.06)
    little = read_heave_record(file_of(heave(TIME) + 0.1 * drift))
    assert little.faults == ()


def test_a_slow_wander_is_taken_out_and_the_ends_given_up() -> None:
    wander = 0.8 * np.sin(2 * math.pi * TIME / 200.0)
    found = read_heave_record(file_of(heave(TIME) + wander))
    assert "wander" in kinds(found)
    assert found.given_up == pytest.approx((integrate.EDGE, integrate.EDGE))
    inner = heave(TIME)[120:-120]
    assert len(found.heave) == len(inner)
    assert found.heave == pytest.approx(inner, abs=0.05)
    assert read_heave_record(file_of(heave(TIME) + 0.1 * wander)).faults == ()


def test_a_jump_of_the_level_is_refused_with_its_line() -> None:
    values = heave(TIME)
    values[1200:] += 4.0
    with pytest.raises(FileError, match="jump of the motion") as refused:
        read_heave_record(file_of(values))
    assert refused.value.line == 1202


# --- small parts


def test_robust_deviation_resolution_and_runs() -> None:
    normal = np.random.default_rng(1).normal(3.0, 2.0, 200_000)
    assert spread(normal) == pytest.approx(2.0, rel=0.01)
    assert resolution(np.array([0.1, 0.3, 0.30000000001, 0.7])) == pytest.approx(0.2)
    assert resolution(np.full(5, 2.0)) == 0.0
    starts, counts = runs(np.array([True, True, False, True, False, False, True]))
    assert starts.tolist() == [0, 3, 6]
    assert counts.tolist() == [2, 1, 1]


def test_the_mean_period_does_not_count_noise_about_the_middle() -> None:
    time = np.arange(0.0, 600.0, 0.1)
    noise = np.random.default_rng(2).normal(0, 0.05, len(time))
    assert mean_period(np.sin(2 * math.pi * time / 9.0) + noise, 0.1) == pytest.approx(9.0, rel=0.01)
    assert math.isnan(mean_period(np.sin(2 * math.pi * time / 350.0), 0.1))
    assert all(one < two for one, two in pairwise((faults.PERIODS[0], faults.PERIODS[1])))


# --- both sides of every bound


def test_the_least_spike_that_is_found() -> None:
    """The bound worked out anew: eight robust deviations of how far values stand off the cubic by their neighbours."""
    clean = np.round(heave(TIME), 4)
    off = clean[2:-2] - (-clean[:-4] + 4 * clean[1:-3] + 4 * clean[3:-1] - clean[4:]) / 6
    bounds = [
        share * 1.4826 * float(np.median(np.abs(values - np.median(values))))
        for share, values in ((8.0, off), (0.1, clean))
    ]
    place = int(np.argmin(np.abs(off[100:2000]))) + 102
    for share, found in ((0.97, []), (1.03, ["spike"])):
        spoilt = clean.copy()
        spoilt[place] += share * max(bounds)
        assert kinds(read_heave_record(file_of(spoilt))) == found


def test_spikes_that_cannot_be_told_from_waves_are_said_to_be() -> None:
    for step, told in ((0.5, []), (2.0, ["few values a wave"])):
        time = np.arange(0.0, 1200.0, step)
        found = read_heave_record(file_of(heave(time, least=5.0, most=12.0), time))
        assert kinds(found) == told


def test_bounds_of_offset_drift_and_wander() -> None:
    clean = heave(TIME) - heave(TIME).mean()
    clean -= np.polyval(np.polyfit(TIME, clean, 1), TIME)
    sigma = float(clean.std())
    slow = np.sin(2 * math.pi * TIME / 400.0) * math.sqrt(2) * sigma
    for change, kind in (
        (lambda share: share * 0.1 * sigma, "offset"),
        (lambda share: share * 0.5 * sigma * (TIME / TIME[-1] - 0.5), "drift"),
        (lambda share: math.sqrt(share * 0.05) * slow, "wander"),
    ):
        assert kind not in kinds(read_heave_record(file_of(clean + change(0.85))))
        assert kind in kinds(read_heave_record(file_of(clean + change(1.2))))


def test_bounds_of_a_jump() -> None:
    values, time, lines = heave(TIME), TIME, np.arange(2, len(TIME) + 2)
    change = np.diff(values)
    limit = max(12 * spread(change), 0.5 * spread(values))
    place = int(np.argmin(np.abs(change)))
    for share in (0.98, 1.02):
        jumped = values.copy()
        jumped[place + 1 :] += share * limit
        if share < 1:
            faults.check_jumps(time, jumped, lines, "m")
            continue
        with pytest.raises(FileError, match="jump of the motion") as refused:
            faults.check_jumps(time, jumped, lines, "m")
        assert refused.value.line == place + 3


def test_bounds_of_double_stamps() -> None:
    clean = heave(TIME)
    for apart, told in ((0.049, True), (0.051, False)):
        time = np.insert(TIME, 800, TIME[799] + apart)
        values = np.insert(clean, 800, clean[799])
        assert ("double stamp" in kinds(read_heave_record(file_of(values, time)))) == told
    for count in (24, 25):
        places = np.arange(count) * 90 + 10
        data = file_of(np.insert(clean, places + 1, clean[places]), np.insert(TIME, places + 1, TIME[places]))
        if count == 24:
            assert "24 values with the time" in words(read_heave_record(data), "double stamp")
            continue
        with pytest.raises(FileError, match="values with the time of another: 25"):
            read_heave_record(data)


def test_bounds_of_what_is_believed() -> None:
    clean = heave(TIME)
    top = float(clean.max())
    assert read_heave_record(file_of(clean + 29.9 - top)).heave.max() == pytest.approx(29.9, abs=0.01)
    with pytest.raises(FileError, match="from -30 to 30"):
        read_heave_record(file_of(clean + 30.1 - top))
    time = np.arange(0.0, 600.0, 0.25)
    a = acceleration(time)
    a -= a.mean()
    for share, read in (
        (0.09, True),
        (0.11, False),
        (0.89, False),
        (0.91, True),
        (1.09, True),
        (1.11, False),
    ):
        data = file_of(a + share * STANDARD_GRAVITY, time, "heave acceleration (m/s2)", 6)
        if read:
            assert "integrated" in kinds(read_heave_record(data, answers={SENSE: "up"}))
            continue
        with pytest.raises(FileError, match="mean of the acceleration"):
            read_heave_record(data, answers={SENSE: "up"})


@pytest.mark.parametrize(("rate", "read"), [(2.03, True), (2.05, False), (1.97, True), (1.95, False)])
def test_bounds_of_a_stated_rate(rate: float, read: bool) -> None:
    data = f"Rate: {rate} Hz\n".encode() + file_of(heave(TIME))
    if read:
        assert read_heave_record(data).step == pytest.approx(0.5)
        return
    with pytest.raises(FileError, match="values a second"):
        read_heave_record(data)


def test_half_of_a_record_beside_a_stuck_sensor_is_enough() -> None:
    for start, read in ((1210, True), (1190, False)):
        values = heave(TIME)
        values[start:] = values[start]
        if read:
            assert len(read_heave_record(file_of(values)).heave) == start
            continue
        with pytest.raises(FileError, match="sensor stuck"):
            read_heave_record(file_of(values))
