"""What the ranges of what is not known can do to ensembles and long records: counted by hand, and said."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from heave.judging import utilisations
from heave.planning import NO_FACTOR, Operation, Plan
from heave.planning.ranges import CLOSED
from heave.weather import ensemble_windows, hindcast_windows
from heave.weather.forecast import EnsembleForecast, Forecast

HOUR = 3600.0
CALM, ROUGH = 0.8, 7.5
Maker = Callable[..., Forecast]


@pytest.fixture
def short(plan: Plan) -> Plan:
    """An hour of drilling and one of contingency: a step is judged over no more than that."""
    return plan.changed(operation=Operation(duration=HOUR), exposure=2 * HOUR)


@pytest.fixture
def doubtful(short: Plan, make: Maker) -> float:
    """A height that is inside as planned, and over at the worst of the ranges."""
    heights = np.arange(1.0, 7.0, 0.1)
    found = utilisations(short, make(heights.tolist()).batch)
    return float(heights[(found.governing < 1) & (found.high >= 1)][0])


def test_share_of_the_open_samples_that_the_worst_would_close(
    short: Plan, make: Maker, doubtful: float
) -> None:
    """Each day twelve hours calm, six in doubt, six rough: a third of what is open; in March none is in doubt."""
    days = [CALM] * 12 + [doubtful] * 6 + [ROUGH] * 6
    calm = [CALM] * 12 + [ROUGH] * 12
    record = make(days * 29 + calm * 31, start="2028-02-01T00:00:00")
    found = hindcast_windows(short, record)
    february, march = found.months
    assert february.availability == pytest.approx(18 / 24)
    assert february.doubtful == pytest.approx(6 / 18)
    assert march.doubtful == 0.0
    assert found.overall.doubtful == pytest.approx(6 * 29 / (18 * 29 + 12 * 31))
    assert any("19\u00a0% of the samples inside would be over" in note for note in found.notes)
    sure = hindcast_windows(short.changed(ranges=CLOSED), record)
    assert sure.overall.doubtful == 0.0
    assert sure.overall.availability == found.overall.availability
    assert not any("not known" in note for note in sure.notes)
    closed = hindcast_windows(short, make([ROUGH] * 48))
    assert np.isnan(closed.overall.doubtful)


def test_members_whose_window_is_in_doubt_are_counted(short: Plan, make: Maker, doubtful: float) -> None:
    """Two hours are needed. All five members can start in the first two hours; two of them not at the worst."""
    height = {"#": CALM, "~": doubtful, ".": ROUGH}
    members = tuple(
        make([height[mark] for mark in text]) for text in ("####", "####", "###~", "##~#", "####")
    )
    ensemble = EnsembleForecast(members, tuple("abcde"))
    found = ensemble_windows(short, ensemble, alpha=NO_FACTOR, needed=0.8)
    (window,) = found.windows
    assert window.start == ensemble.times[0]
    assert window.latest_start == ensemble.times[1]
    assert (window.lowest, window.probability) == (1.0, 1.0)
    assert window.doubtful == 2
    assert window.sure == pytest.approx(0.6)
    assert any("up to 2 of 5 members" in note for note in found.notes)
    sure = ensemble_windows(short.changed(ranges=CLOSED), ensemble, alpha=NO_FACTOR, needed=0.8)
    assert sure.windows[0].doubtful == 0
    assert sure.windows[0].sure == 1.0
    assert not any("not known" in note for note in sure.notes)
