"""Windows in an ensemble: how likely each hour, each start and each window is to hold."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from heave.planning import AlphaTable, Campaign, Plan
from heave.sea import SeaBatch
from heave.weather.evaluation import batch_for, inside_limits
from heave.weather.forecast import EnsembleForecast, Forecast
from heave.weather.intervals import BoolArray, FloatArray, holds_at, sample_runs
from heave.weather.notes import notes_for
from heave.weather.search import Search
from heave.weather.windows import search_in


@dataclass(frozen=True)
class ProbableWindow:
    """Starts, one after another, of which each works in enough members; times UTC.

    Parameters
    ----------
    start : first of them
    latest_start : last of them
    end : T_R after the latest start, waits not counted
    lowest : lowest share of members in which one of these starts works
    probability : share of the members in which all of them work
    sure : lowest share of members in which one of these starts works at the worst of what is not known as well
    doubtful : members in which all of them work as planned and not at that worst
    """

    start: np.datetime64
    latest_start: np.datetime64
    end: np.datetime64
    lowest: float
    probability: float
    sure: float
    doubtful: int


@dataclass(frozen=True, eq=False)
class EnsembleResult:
    """How an ensemble judges a campaign; a member that is missing at a time does not hold there.

    Parameters
    ----------
    plan, ensemble, campaign, alpha : what was asked
    inside : for each step, whether each member holds at each time, (members, n)
    hour_probability : for each step, share of the members that hold, (n,)
    start_probability : share of the members in which the whole campaign can start at each time, (n,)
    windows : runs of times whose start works in at least `needed` of the members
    needed : that share
    notes : rules and cautions in words
    """

    plan: Plan
    ensemble: EnsembleForecast
    campaign: Campaign
    alpha: AlphaTable
    inside: tuple[BoolArray, ...]
    hour_probability: tuple[FloatArray, ...]
    start_probability: FloatArray
    windows: tuple[ProbableWindow, ...]
    needed: float
    notes: tuple[str, ...]


def ensemble_windows(
    plan: Plan,
    ensemble: EnsembleForecast,
    campaign: Campaign | None = None,
    alpha: AlphaTable | None = None,
    needed: float | None = None,
) -> EnsembleResult:
    """Share of the members of an ensemble in which each time, each start and each window holds.

    Every member is searched by itself, by the rules of `weather_windows`, the vessel on the plan's heading.
    Shares are of all members: one whose sea is missing counts as not holding. They are counts of members, not
    calibrated probabilities. An argument given here takes the place of that choice in `plan.weather`.

    Parameters
    ----------
    plan : vessel, compensator, string, risk, heading and what is asked
    ensemble : members on common times
    campaign : the steps; where the plan has none either, its operation as one step
    alpha : forecast factor table. `NO_FACTOR` leaves uncertainty to the members alone
    needed : share of the members in which a start must work for a window, above 0 to 1

    Raises
    ------
    InputError
        If a block is planned longer than the longest row of α, or `needed` is out of range.
    """
    asked = plan.weather.but(campaign=campaign, alpha=alpha, needed=needed, heading="fixed")
    plan = plan.changed(weather=asked)
    whole = plan.campaign
    members, first = ensemble.members, ensemble.members[0]
    # all members end to end through the checks at once, then apart again
    batch = SeaBatch.stack([batch_for(plan, member) for member in members])
    held = inside_limits(plan, batch, whole, asked.alpha)
    inside, sure = (
        tuple(holds.reshape(len(members), ensemble.size) for holds in together)
        for together in (held.inside, held.sure)
    )
    searches, worst = (
        [search_in(member, whole, [holds[place] for holds in each]) for place, member in enumerate(members)]
        for each in (inside, sure)
    )
    share, sure_share = (
        np.mean([holds_at(searched.starts[0], searched.times) for searched in each], axis=0)
        for each in (searches, worst)
    )
    windows = _probable(first, whole, (searches, worst), (share, sure_share), asked.needed)
    return EnsembleResult(
        plan=plan,
        ensemble=ensemble,
        campaign=whole,
        alpha=asked.alpha,
        inside=inside,
        hour_probability=tuple(holds.mean(axis=0) for holds in inside),
        start_probability=share,
        windows=windows,
        needed=asked.needed,
        notes=(*_notes(ensemble, asked.alpha), *_doubt(windows, len(members)), *notes_for(plan, first)),
    )


def _probable(
    forecast: Forecast,
    campaign: Campaign,
    searches: tuple[list[Search], list[Search]],
    shares: tuple[FloatArray, FloatArray],
    needed: float,
) -> tuple[ProbableWindow, ...]:
    """Runs of starts that work in enough members; searches and shares as planned, and at the worst of the ranges."""
    times, (share, sure) = forecast.elapsed, shares
    windows = []
    # Shares are whole members over their number: the small allowance is for 0.9 × 10 members being 9.
    for first, last in sample_runs(share >= needed - 1e-9, forecast.gap_after):
        span = (times[first], times[last], times[last] + campaign.reference)
        planned, worst = (
            [
                np.any((runs[:, 0] <= span[0]) & (runs[:, 1] >= span[1]))
                for runs in (m.starts[0] for m in each)
            ]
            for each in searches
        )
        lowest, least = (float(each[first : last + 1].min()) for each in (share, sure))
        start, latest, end = map(forecast.when, span)
        doubtful = int(np.sum(planned)) - int(np.sum(worst))
        windows.append(ProbableWindow(start, latest, end, lowest, float(np.mean(planned)), least, doubtful))
    return tuple(windows)


def _doubt(windows: tuple[ProbableWindow, ...], count: int) -> tuple[str, ...]:
    """In how many members a window is in doubt: they are counted at the planned values."""
    most = max((window.doubtful for window in windows), default=0)
    if not most:
        return ()
    return (
        f"Counted at the planned values: with all that is not known at its worst, up to {most} of {count} members lose "
        "a window that they have.",
    )


def _notes(ensemble: EnsembleForecast, alpha: AlphaTable) -> tuple[str, ...]:
    twice = "α is applied to every member as well, which counts forecast uncertainty twice: on the safe side."
    once = "No forecast factor: the uncertainty is the spread of the members alone."
    count = len(ensemble.members)
    return (
        f"Shares of {count} members, as counted: a member without a sea does not hold; not calibrated.",
        twice if alpha.applied else once,
    )
