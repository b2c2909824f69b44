"""Calendar counting against pandas, a general-purpose library for time series."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from heave.planning import Operation, Plan
from heave.weather import hindcast_windows


def test_months_and_runs_are_those_pandas_counts(plan: Plan, make) -> None:
    """Two years of hours with a slow wander: availability by calendar month and the length of every run."""
    rng = np.random.default_rng(11)
    hours = 2 * 366 * 24
    heights = 3.0 + 2.5 * np.sin(np.arange(hours) / 40.0) + np.cumsum(rng.normal(0, 0.05, hours))
    record = make(np.clip(heights, 0.2, 12.0), start="2027-11-20T00:00:00")
    short = plan.changed(operation=Operation(duration=3600.0))
    result = hindcast_windows(short, record)

    inside = pd.Series(result.inside[0], index=pd.DatetimeIndex(record.times))
    by_month = inside.groupby(inside.index.month).mean()
    assert [month.name for month in result.months] == [
        pd.Timestamp(2000, month, 1).strftime("%b") for month in by_month.index
    ]
    assert [month.availability for month in result.months] == pytest.approx(by_month.tolist(), abs=1e-12)
    assert [month.samples for month in result.months] == inside.groupby(inside.index.month).size().tolist()

    runs = inside.ne(inside.shift()).cumsum()[inside]
    spans = runs.index.to_series().groupby(runs.to_numpy()).agg(lambda times: times.max() - times.min())
    needed = pd.Timedelta(hours=2)  # planned plus as much contingency
    wanted = sorted(span.total_seconds() for span in spans if span >= needed)
    assert sorted(result.lengths.tolist()) == pytest.approx(wanted)
