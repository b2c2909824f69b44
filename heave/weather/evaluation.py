"""A forecast through the checks of its operations: utilisation hour by hour, with and without α."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from operator import attrgetter
from typing import Any, Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray
from heave.judging.utilisation import Utilisations, utilisations, utilisations_of
from heave.planning import Campaign, OperationStep, Plan
from heave.planning.alpha import AlphaRow, AlphaSeries, AlphaTable
from heave.planning.task import plan_for, with_tide
from heave.sea import SeaBatch
from heave.sea.arguments import MAX_HS
from heave.weather.asked import Asked, TideSeries, asked_for, waits_for
from heave.weather.forecast import Forecast
from heave.weather.site_limits import beside

Progress = Callable[[float], None]

COLUMNS: Final = ("governing", "governed_by", "assessed", "heave_sigma", "high", "high_by")
"""What `Utilisations` has for each case, beside its checks."""


class CancelledError(Exception):
    """The user asked to stop before the end: what is told of the progress raises it."""


@dataclass(frozen=True, eq=False)
class StepEvaluation:
    """One step of a campaign over all samples of a forecast, arrays of shape (n,).

    Parameters
    ----------
    step : the step
    asked : what was judged: its task, the rows of α that were applied, the tide
    plain : utilisations in the sea as forecast
    reduced : utilisations in the sea the forecast must be taken for, α applied; the same where none is
    design_hs : total height of that sea [m]
    waiting : utilisations of what the rig waits in after the step, α applied; None where that is not said
    waiting_plain : the same in the sea as forecast
    """

    step: OperationStep
    asked: Asked
    plain: Utilisations
    reduced: Utilisations
    design_hs: FloatArray
    waiting: Utilisations | None = None
    waiting_plain: Utilisations | None = None

    @property
    def inside(self) -> BoolArray:
        """Samples inside every limit, α applied; a sea not known or not assessed is not inside."""
        return self.reduced.inside

    def as_forecast(self, hs: FloatArray) -> StepEvaluation:
        """The step and the wait after it in the sea as forecast, of total height `hs` [m], with no α applied."""
        exact = self.asked.exact
        return replace(self, asked=exact, reduced=self.plain, design_hs=hs, waiting=self.waiting_plain)


def evaluate_forecast(
    plan: Plan,
    forecast: Forecast,
    campaign: Campaign,
    alpha: AlphaTable,
    heading: npt.ArrayLike | None = None,
) -> tuple[StepEvaluation, ...]:
    """Utilisation of every check of every step at every sample, with and without α.

    Each sample's own spectrum, all systems in, goes through the checks of the step's operation. α lowers the
    wave limit, not the utilisation: the checks are made again in the sea scaled, all systems together and
    periods held, to the design height H with α(H)·H equal to the forecast height. The row of α goes by lead
    time, see `asked_for`. Wind, current and the riser's own limits stand beside the checks.

    Parameters
    ----------
    plan : the plan; its own sea and operation are not used, its water depth is where the forecast has none
    forecast : seas in time order
    campaign : the steps
    alpha : table of α
    heading : vessel heading [deg], scalar or (n,); None takes the plan's

    Returns
    -------
    One StepEvaluation for each step

    Raises
    ------
    InputError
        If a step does not fit the plan.
    """
    asked, batch = asked_for(plan, forecast, campaign, alpha), batch_for(plan, forecast)
    waits = waits_for(plan, forecast, campaign, alpha)
    every = [*asked, *(one for one in waits if one is not None)]
    plain = judged(plan, batch, [one.exact for one in every], heading)
    reduced = judged(plan, batch, every, heading, plain)
    found = []
    for step, one, wait in zip(campaign.steps, asked, waits, strict=True):
        exact, raised = plain[one.exact], reduced[one]
        design_hs = design_height(batch, one.factor)
        found.append(
            StepEvaluation(
                step,
                one,
                beside(plan, step, [forecast], exact, batch.hs),
                beside(plan, step, [forecast], _over_already(exact, raised), design_hs),
                design_hs,
                None if wait is None else reduced[wait],
                None if wait is None else plain[wait.exact],
            )
        )
    return tuple(found)


def judged(
    plan: Plan,
    batch: SeaBatch,
    asked: Iterable[Asked],
    heading: npt.ArrayLike | None = None,
    known: Mapping[Asked, Utilisations] | None = None,
    progress: Progress | None = None,
) -> dict[Asked, Utilisations]:
    """Utilisations of what is asked in a sea as forecast or raised by α; seas raised alike are worked once.

    Parameters
    ----------
    plan : the plan; its own sea and operation are not used
    batch : n seas as forecast
    asked : tasks, each with its rows of α and its tide
    heading : as for `judging.utilisations`
    known : what has been worked already
    progress : called now and then with the share done, 0 to 1; what it raises ends the work
    """
    found = dict(known or {})
    groups: dict[tuple[AlphaSeries | AlphaRow | None, float | None], list[Asked]] = {}
    for one in dict.fromkeys(one for one in asked if one not in found):
        groups.setdefault((one.factor, one.task.heading), []).append(one)
    bow = np.asarray(plan.heading if heading is None else heading, dtype=np.float64)
    for done, ((factor, own), members) in enumerate(groups.items()):
        sea = batch if factor is None else scaled_for(batch, factor)
        held = bow if own is None else np.full_like(bow, own)
        together = [one for one in members if one.tide is None]
        plans = [plan_for(plan, one.task) for one in together]
        if plans:
            tell = part_of(progress, done, len(groups))
            found |= zip(together, utilisations_of(plans, sea, held, tell), strict=True)
        found |= {one: _in_tide(plan, one, sea, held) for one in members if one.tide is not None}
    return found


class Held(NamedTuple):
    """Where steps hold with α applied, over n sea states.

    inside : for each step, True where it is inside every limit as planned, (n,)
    sure : the same at the worst of the ranges of what is not known as well
    known : True where the first step could be assessed, (n,)
    """

    inside: tuple[BoolArray, ...]
    sure: tuple[BoolArray, ...]
    known: BoolArray


def _in_tide(plan: Plan, one: Asked, sea: SeaBatch, heading: FloatArray) -> Utilisations:
    """Utilisations of one task, each sea judged with the tide that can have moved by then; as `judged` has them."""
    tide, base = one.tide or TideSeries((), ()), plan_for(plan, one.task)
    many = heading.shape[1] if heading.ndim == 2 else 1
    parts, rows = [], []
    for place, (rise, fall) in enumerate(tide.pairs):
        samples = np.flatnonzero(np.array(tide.of) == place)
        known = not np.isnan(rise)
        seas = sea.take(samples)
        tidal = with_tide(base, rise, fall) if known else base
        bow = heading[samples] if heading.ndim else heading
        # where the tide is not known nothing is: a sea without a height is not assessed
        parts.append(utilisations(tidal, seas if known else seas.times(np.full(samples.size, np.nan)), bow))
        rows.append((samples[:, None] * many + np.arange(many)).ravel())
    back = np.argsort(np.concatenate(rows))
    return by_column(lambda *columns: np.concatenate(columns)[back], *parts)


def by_column(make: Callable[..., Any], *tables: Utilisations) -> Utilisations:
    """The first of some tables with every column as `make` has it of the columns of all.

    Parameters
    ----------
    make : of one column of each table
    tables : of the same checks
    """
    columns: dict[str, Any] = {name: make(*(getattr(one, name) for one in tables)) for name in COLUMNS}
    by_check = {key: make(*(one.by_check[key] for one in tables)) for key in tables[0].keys}
    return replace(tables[0], by_check=by_check, **columns)


def inside_limits(
    plan: Plan,
    forecast: Forecast,
    campaign: Campaign,
    asked: Sequence[Asked],
    heading: npt.ArrayLike | None = None,
    *,
    progress: Progress | None = None,
) -> Held:
    """Where each step holds, and where the first could be assessed; each different task is worked once.

    Parameters
    ----------
    plan : the plan; its own sea and operation are not used
    forecast : n seas in time order
    campaign : the steps
    asked : what each asks of the seas, see `asked_for`
    heading : vessel heading [deg], scalar or (n,); None takes the plan's
    progress : called with the share done, 0 to 1; what it raises ends the work

    Returns
    -------
    Held

    Raises
    ------
    InputError
        If a task does not fit the plan.
    """
    batch = batch_for(plan, forecast)
    found = judged(plan, batch, asked, heading, progress=progress)
    tables = [
        beside(plan, step, [forecast], found[one], design_height(batch, one.factor))
        for step, one in zip(campaign.steps, asked, strict=True)
    ]
    inside, sure = (tuple(map(attrgetter(name), tables)) for name in ("inside", "sure"))
    return Held(inside, sure, tables[0].assessed)


def part_of(progress: Progress | None, done: int, parts: int) -> Progress | None:
    """Tells the progress of one of several equal parts of some work as that of the whole.

    Parameters
    ----------
    progress : of the whole, called with the share done
    done : parts done before this one
    parts : how many there are
    """
    if progress is None:
        return None
    tell = progress
    return lambda share: tell((done + share) / parts)


def _over_already(plain: Utilisations, reduced: Utilisations) -> Utilisations:
    """`reduced`, with the sea as forecast where the design height is beyond the planner and that sea is over.

    A sea that is over a limit as it stands is over it when raised; anything else stays not assessed.
    """
    rows = np.isnan(reduced.governing) & (plain.governing >= 1.0)
    if not rows.any():
        return reduced
    return by_column(lambda raised, exact: np.where(rows, exact, raised), reduced, plain)


def raised_or_over(plan: Plan, batch: SeaBatch, asked: Asked, reduced: Utilisations) -> Utilisations:
    """`reduced`, with the sea as forecast where its design height is beyond the planner and that sea is over a limit.

    As `evaluate_forecast` has it, where utilisations in the sea as forecast are not at hand.

    Parameters
    ----------
    plan : the plan
    batch : n seas as forecast
    asked : what was judged
    reduced : what was found of it
    """
    rows = np.flatnonzero(np.isnan(design_height(batch, asked.factor)) & ~np.isnan(batch.hs))
    if not rows.size:
        return reduced
    exact = asked.exact.take(rows)
    plain = judged(plan, batch.take(rows), [exact])[exact]
    mended = _over_already(plain, by_column(lambda column: column[rows], reduced))

    def put_back(column: Any, part: Any) -> Any:
        column = column.copy()
        column[rows] = part
        return column

    return by_column(put_back, reduced, mended)


def batch_for(plan: Plan, forecast: Forecast) -> SeaBatch:
    """The seas of a forecast in the plan's depth of water, where the forecast has none of its own.

    Parameters
    ----------
    plan : the plan
    forecast : the forecast
    """
    if forecast.batch.depth is not None or plan.sea.depth is None:
        return forecast.batch
    return replace(forecast.batch, depth=plan.sea.depth)


def scaled_for(batch: SeaBatch, row: AlphaRow | AlphaSeries) -> SeaBatch:
    """The seas raised to the design height that α asks for, all systems by one factor, periods held.

    A sea that would be higher than the planner takes, all systems together, is unknown, never a lower one.

    Parameters
    ----------
    batch : seas as forecast
    row : the row of α, or the rows of all seas
    """
    total = batch.hs
    calm = total == 0.0
    factor = np.where(calm, 1.0, row.design_height(total) / np.where(calm, 1.0, total))
    return batch.times(np.where(total * factor > MAX_HS, np.nan, factor))


def design_height(batch: SeaBatch, factor: AlphaRow | AlphaSeries | None) -> FloatArray:
    """Total height of the seas that α asks for [m], shape (n,); as forecast where there is no factor.

    Parameters
    ----------
    batch : seas as forecast
    factor : as for `scaled_for`
    """
    return batch.hs if factor is None else scaled_for(batch, factor).hs
