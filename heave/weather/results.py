"""What a search for weather windows holds: windows, what ends them, and how things stand now."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from heave.planning import AlphaTable, Campaign, Plan
from heave.units import significant
from heave.weather.evaluation import StepEvaluation
from heave.weather.forecast import Forecast, Times
from heave.weather.intervals import BoolArray, FloatArray

Cause = Literal["a limit", "end of the forecast", "gap in the forecast", "sea not known", "not assessed"]
"""Why a window ends."""


@dataclass(frozen=True)
class Ending:
    """Why a window ends: the cause, and for a limit which check, in which step, by which waves.

    Parameters
    ----------
    cause : why
    sample : index of the first sample that does not hold, or of the last sample where the series ends
    time : its time, UTC
    step : label of the step it stops
    check : key of the governing check; None unless a limit
    check_name : its name
    utilisation : its utilisation at that sample; NaN unless a limit
    system : wave system whose removal lowers the highest utilisation most; None unless a limit
    system_alone : True where the sea without that system is inside every limit
    """

    cause: Cause
    sample: int
    time: np.datetime64
    step: str
    check: str | None = None
    check_name: str | None = None
    utilisation: float = float("nan")
    system: str | None = None
    system_alone: bool = False

    @property
    def words(self) -> str:
        """The ending in words, for example 'Stroke, vessel rising at 1.12: swell 1'."""
        if self.cause != "a limit":
            return self.cause
        words = f"{self.check_name} at {significant(self.utilisation)}"
        if self.system is None:
            return words
        return f"{words}: {self.system}" + (", inside without it" if self.system_alone else "")


@dataclass(frozen=True)
class ScheduledStep:
    """When one step is done if the campaign starts at a window's earliest start; times UTC.

    `latest_end` counts all contingency up to and including this step.
    """

    label: str
    start: np.datetime64
    planned_end: np.datetime64
    latest_end: np.datetime64


@dataclass(frozen=True)
class Window:
    """A time in which the whole campaign can be done, times UTC.

    Parameters
    ----------
    start : earliest start
    latest_start : latest safe start
    end : when the campaign ends at the latest, contingency used, if begun at `latest_start`
    margin : 1 − the highest utilisation in the window, α applied
    closest : key of the check that comes closest to its limit
    doubt : highest utilisation over the plan's ranges of what is not known, α applied
    doubtful : key of the check it is of
    ending : what stops a start later than `latest_start`
    schedule : the steps, if begun at `start`
    no_return : times from which a block of steps must be finished, if begun at `start`
    """

    start: np.datetime64
    latest_start: np.datetime64
    end: np.datetime64
    margin: float
    closest: str
    doubt: float
    doubtful: str
    ending: Ending
    schedule: tuple[ScheduledStep, ...]
    no_return: tuple[np.datetime64, ...]

    @property
    def length(self) -> float:
        """From the earliest start to the end [s]."""
        return seconds(self.end - self.start)

    @property
    def slack(self) -> float:
        """How long the start can be put off [s]."""
        return seconds(self.latest_start - self.start)


@dataclass(frozen=True)
class Outlook:
    """How things stand at one time, for the first step of the campaign.

    Parameters
    ----------
    now : the time, UTC
    inside : whether the first step is inside its limits; None where the forecast does not say
    until_limit : time until the last sample before a limit, so how long it is known to hold [s]; 0 where it
        does not hold now, None where not known
    limit : why it stops holding; None where it does not hold now
    until_back : time until it holds again [s]; 0 where it holds now, None where it never does in the forecast
    until_start : time until the whole campaign can start [s]; None where it never can
    """

    now: np.datetime64
    inside: bool | None
    until_limit: float | None
    limit: Ending | None
    until_back: float | None
    until_start: float | None


@dataclass(frozen=True, eq=False)
class WindowResult:
    """Everything found about a campaign in a forecast; arrays of shape (n,) on the forecast's times.

    Parameters
    ----------
    plan, forecast, campaign, alpha : what was asked
    steps : utilisations of each step
    heading : vessel heading used [deg]
    start_works : True where the campaign can start at that sample
    windows : windows with α applied, in time order
    without_factor : windows there would be if the forecast were exact
    outlook : how things stand now
    notes : rules and cautions in words
    """

    plan: Plan
    forecast: Forecast
    campaign: Campaign
    alpha: AlphaTable
    steps: tuple[StepEvaluation, ...]
    heading: FloatArray
    start_works: BoolArray
    windows: tuple[Window, ...]
    without_factor: tuple[Window, ...]
    outlook: Outlook
    notes: tuple[str, ...]

    @property
    def starts(self) -> Times:
        """Times of the forecast at which the campaign can start."""
        return self.forecast.times[self.start_works]

    @property
    def earliest(self) -> Window | None:
        """The first window."""
        return self.windows[0] if self.windows else None

    @property
    def longest(self) -> Window | None:
        """The longest window, the earlier of two alike."""
        return max(self.windows, key=lambda window: window.length, default=None)

    @property
    def latest_start(self) -> np.datetime64 | None:
        """Latest safe start in the whole forecast."""
        return self.windows[-1].latest_start if self.windows else None

    @property
    def lost_to_factor(self) -> tuple[Window, ...]:
        """Windows there would be without α of which nothing is left with it."""
        return tuple(
            lost
            for lost in self.without_factor
            if not any(
                lost.start <= kept.latest_start and kept.start <= lost.latest_start for kept in self.windows
            )
        )

    @property
    def reference_period(self) -> float:
        """T_R of all steps, without waits [s]."""
        return self.campaign.reference

    @property
    def weather_restricted(self) -> bool:
        """True where every block of steps is short enough for a forecast to decide."""
        return all(block.weather_restricted for block in self.campaign.blocks)


def seconds(span: np.timedelta64) -> float:
    """A span of time as seconds.

    Parameters
    ----------
    span : difference of two times
    """
    return float(span / np.timedelta64(1, "s"))
