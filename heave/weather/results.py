"""What a search for weather windows holds: windows, what ends them, and how things stand now."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from heave.arrays import BoolArray, FloatArray, Times
from heave.planning import AlphaTable, Campaign, Plan
from heave.weather.endings import Ending
from heave.weather.evaluation import StepEvaluation
from heave.weather.forecast import Forecast
from heave.weather.schedule import ScheduledStep, ScheduledWait, Top, row_needed
from heave.weather.work_now import WorkPlan


@dataclass(frozen=True)
class Window:
    """A time in which the whole campaign can be done, times UTC.

    Parameters
    ----------
    start : earliest start
    latest_start : latest safe start
    end : when the campaign ends at the latest, contingency used, if begun at `latest_start`
    margin : 1 − the highest utilisation in the window, waits with it, α applied
    closest : key of the check that comes closest to its limit, or of a wait
    doubt : highest utilisation over the plan's ranges of what is not known, α applied
    doubtful : key of the check it is of
    ending : what stops a start later than `latest_start`
    lead : from the issue of the forecast to `start` [s]
    firm_until : latest start that this forecast decides; None where a later one must confirm every start
    confirm : issue of the oldest forecast that may confirm `start`; None where this one does
    schedule : the steps, if begun at `start`
    waits : the waits between them
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
    lead: float
    firm_until: np.datetime64 | None
    confirm: np.datetime64 | None
    schedule: tuple[ScheduledStep, ...]
    waits: tuple[ScheduledWait, ...]
    no_return: tuple[np.datetime64, ...]

    @property
    def length(self) -> float:
        """From the earliest start to the end [s]."""
        return seconds(self.end - self.start)

    @property
    def slack(self) -> float:
        """How long the start can be put off [s]."""
        return seconds(self.latest_start - self.start)


Clock = Literal["in the forecast", "before it starts", "after it ended", "in a gap", "sea not known"]
"""Where the present time stands to a forecast."""


@dataclass(frozen=True)
class Outlook:
    """How things stand at one time, for the first step of the campaign.

    Parameters
    ----------
    now : the time, UTC
    inside : whether the first step is inside its limits; None where the forecast does not say or it is not assessed
    until_limit : time until the last sample before a limit, so how long it is known to hold [s]; 0 where it
        does not hold now, None where not known
    limit : why it stops holding; None where it does not hold now
    until_back : time until it holds again [s]; 0 where it holds now, None where it never does in the forecast
    until_start : time until the whole campaign can start [s]; None where it never can
    clock : where the present time stands to the forecast
    age : time since the forecast was issued [s]; None where the file does not say
    margin : 1 − the highest utilisation of the campaign if begun now, α applied; None where it cannot be
    ahead : highest utilisation of what the starts to come of the window that is open, or else of the next, come to,
        and the key of its check, α applied: as planned, and over the plan's ranges; None where none is to come
    start_calm_for : how long a start stays one from which all can be done within limits and near none of them, over
        all that is known not to be known, waits with it [s]; minus infinity where that is not so now
    calm_done_in : time until the campaign is done if begun now and kept so [s]; infinite where it cannot be
    put_off_in : time until a start is so only where a later step is put off for it [s]; infinite where none has to be
    calm_for : how long the first step stays so [s]; minus infinity as above
    """

    now: np.datetime64
    inside: bool | None
    until_limit: float | None
    limit: Ending | None
    until_back: float | None
    until_start: float | None
    clock: Clock = "in the forecast"
    age: float | None = None
    margin: float | None = None
    ahead: tuple[Top, Top] | None = None
    start_calm_for: float = -math.inf
    calm_done_in: float = math.inf
    put_off_in: float = math.inf
    calm_for: float = -math.inf


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
    schedule, waits : steps and waits of the campaign begun at its earliest from now on; empty where it cannot be
    work : ways of doing the campaign from now on, the one that is finished first at the front
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
    schedule: tuple[ScheduledStep, ...]
    waits: tuple[ScheduledWait, ...]
    work: tuple[WorkPlan, ...]
    notes: tuple[str, ...]

    def bow(self, step: int) -> FloatArray:
        """Heading in a step: its own, or the one the vessel has at each sample, (n,) [deg].

        Parameters
        ----------
        step : its place
        """
        own = self.steps[step].asked.task.heading
        return self.heading if own is None else np.full(self.heading.shape, own)

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

        def left(lost: Window) -> bool:
            pairs = ((kept.start, kept.latest_start) for kept in self.windows)
            return any(start <= lost.latest_start and lost.start <= latest for start, latest in pairs)

        return tuple(lost for lost in self.without_factor if not left(lost))

    @property
    def reference_period(self) -> float:
        """T_R of all steps, without waits [s]."""
        return self.campaign.reference

    @property
    def missing_rows(self) -> tuple[tuple[str, float], ...]:
        """Steps for whose length the table of α has no row, whatever the forecast, and the period it is for [s]."""
        longest = self.alpha.longest
        pairs = [(block.steps[0].label, row_needed(self.plan, block)) for block in self.campaign.blocks]
        return tuple(pair for pair in pairs if pair[1] > longest)

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
