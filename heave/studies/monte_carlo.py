"""Plans drawn at random over the stated ranges: how likely each check is exceeded, and which input brings it about."""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Indices
from heave.errors import InputError
from heave.judging import CHECK_NAMES, withheld
from heave.planning import Plan
from heave.studies.contributions import Contribution, first_order
from heave.studies.distributions import Truncated, correlated, spread_over
from heave.studies.inputs import Input, Ranged, held, ranged
from heave.studies.points import Judged, Progress, judge

Z_95: Final = 1.959963984540054
"""Standard normal quantile at 0.975."""

INTERVAL: Final = (
    "95\u00a0% interval after Wilson (1927). Where several seas share a draw of the equipment it rests on the "
    "effective number of samples, p(1 − p) over the variance of p between draws (Kish 1965; Korn and Graubard 1998). "
    "From memory."
)
"""What the interval of a probability is, in words."""

MOST_POINTS: Final = 60
"""Points of the running probability."""

ANY: Final = "any"
"""Key of the row that says how often any check at all is exceeded."""


class Interval(NamedTuple):
    """Ends of a 95 % interval."""

    low: float
    high: float


class Samples(NamedTuple):
    """What was drawn.

    columns : values of each input by key, (n,) [SI]
    draws : the draw of the equipment each sample belongs to, counted from 0, (n,)
    cut : share of an input's spread that lies where no such plan can be and was cut off, by key; those with any
    """

    columns: dict[str, FloatArray]
    draws: Indices
    cut: dict[str, float]


@dataclass(frozen=True)
class Exceedance:
    """How often one check, or any of them, was at 1 or above.

    key, name : of the check, `ANY` for any of them
    over, unknown : samples that were, and that could not be assessed, of `samples`
    interval : of the probability: low as if none of the unknown were over, high as if all were
    """

    key: str
    name: str
    over: int
    unknown: int
    samples: int
    interval: Interval

    @property
    def share(self) -> float:
        """Share of all samples that was at 1 or above; a sample that is not known is never counted as a pass."""
        return self.over / self.samples


@dataclass(frozen=True, eq=False)
class Running:
    """Probability that any check is exceeded as it settles: after so many samples, with its interval.

    samples, share, low, high : (k,)
    """

    samples: Indices
    share: FloatArray
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, eq=False)
class MonteCarlo:
    """What came of many plans drawn at random.

    plan : with its study
    varied, held : inputs that were drawn, and that stayed as planned
    drawn, judged : the samples, and every check of each
    exceedances : any check first, then each by how often it is exceeded
    running : of any check
    contributions : of each input to the spread of the highest utilisation, the largest first
    on_ranks : True where a utilisation is endless in some sample, and ranks stand for utilisations
    equipment : how many draws of the equipment there were; 0 where only the sea was varied
    notes : what else has to be known
    """

    plan: Plan
    varied: tuple[Ranged, ...]
    held: tuple[Input, ...]
    drawn: Samples
    judged: Judged
    exceedances: tuple[Exceedance, ...]
    running: Running
    contributions: tuple[tuple[Ranged, Contribution], ...]
    on_ranks: bool
    equipment: int
    notes: tuple[str, ...]

    @property
    def size(self) -> int:
        """Number of samples."""
        return int(self.drawn.draws.size)


def monte_carlo(plan: Plan, *, progress: Progress = lambda share: None) -> MonteCarlo:
    """Plans drawn at random over the ranges of the plan's study, each judged.

    Source: crude Monte Carlo sampling; with more than one sea to a draw of the equipment, two-stage sampling, whose
    intervals rest on the spread between draws.

    Parameters
    ----------
    plan : with its study: ranges, seed, number of samples
    progress : called with the share done, 0 to 1; what it raises ends the work

    Returns
    -------
    MonteCarlo

    Raises
    ------
    InputError
        If nothing is varied, or a spread is no such one.
    """
    varied = ranged(plan)
    if not varied:
        raise InputError("inputs of the study", "none varied", None, "at least one input with a range")
    drawn = samples(plan, varied)
    found = judge(plan, drawn.columns, progress)
    any_over, asked = found.governing >= 1.0, withheld(plan)
    rows = [_exceedance(ANY, "Any check", any_over, ~found.assessed & ~any_over, drawn.draws)]
    each = []
    for key, used in zip(found.keys, found.used, strict=True):
        # while passes are withheld no figure below 1 is known
        over, unknown = used >= 1.0, ~(used >= 1.0) & (np.isnan(used) | asked)
        each.append(_exceedance(key, CHECK_NAMES[key], over, unknown, drawn.draws))
    shares, on_ranks = _contributions(varied, drawn, found.governing)
    return MonteCarlo(
        plan=plan,
        varied=varied,
        held=held(plan),
        drawn=drawn,
        judged=found,
        exceedances=(*rows, *sorted(each, key=lambda one: (-one.over, one.unknown == one.samples))),
        running=_running(any_over, ~found.assessed & ~any_over, drawn.draws),
        contributions=shares,
        on_ranks=on_ranks,
        equipment=0 if all(one.input.of_sea for one in varied) else int(drawn.draws[-1]) + 1,
        notes=_notes(plan, varied, drawn, found, on_ranks),
    )


def samples(plan: Plan, varied: tuple[Ranged, ...]) -> Samples:
    """The values that are drawn: each input from a stream of its own, so that no other input moves them.

    Inputs of the sea are drawn for every sample. The others are drawn once for `seas_per_draw` samples where the sea
    varies too, and the seas of one draw are independent of each other.

    Parameters
    ----------
    plan : with its study
    varied : its inputs with their ranges

    Raises
    ------
    InputError
        If a spread cannot be, or lies wholly where no plan can.
    """
    study, of_sea = plan.study, [one.input.of_sea for one in varied]
    n, together = study.samples, study.seas_per_draw if any(of_sea) and not all(of_sea) else 1
    draws = np.arange(n) // together
    counts = {one.input.name: n if one.input.of_sea else int(draws[-1]) + 1 for one in varied}
    shares = {name: _stream(study.seed, name, count) for name, count in counts.items()}
    if study.period_correlation is not None and {"sea_height", "sea_period"} <= set(shares):
        both = shares["sea_height"], shares["sea_period"]
        shares["sea_period"] = correlated(*both, study.period_correlation)
    columns, cut = dict[str, FloatArray](), dict[str, float]()
    for one in varied:
        name = one.input.name
        spread = Truncated(spread_over(one.shape, one.low, one.high, one.planned), *one.input.bounds(plan))
        values = spread.quantile(shares[name])
        columns[name] = values if one.input.of_sea else values[draws]
        if spread.kept < 1.0:
            cut[name] = 1.0 - spread.kept
    return Samples(columns, draws, cut)


def _stream(seed: int, name: str, count: int) -> FloatArray:
    """Uniform numbers between 0 and 1, neither of them among them, that rest on seed and name alone."""
    return np.random.default_rng([seed, zlib.crc32(name.encode())]).random(count) + 2.0**-54


def wilson(share: npt.ArrayLike, count: npt.ArrayLike) -> tuple[FloatArray, FloatArray]:
    """Ends of the 95 % score interval of a probability, (p + z²/2n ± z √(p(1 − p)/n + z²/4n²))/(1 + z²/n).

    Source: Wilson 1927, from memory.

    Parameters
    ----------
    share : p, the share that was seen, any shape
    count : n, of so many independent samples, above 0
    """
    p, n = np.asarray(share, dtype=np.float64), np.asarray(count, dtype=np.float64)
    middle, half = p + Z_95**2 / (2 * n), Z_95 * np.sqrt(p * (1 - p) / n + Z_95**2 / (4 * n**2))
    scale = 1 + Z_95**2 / n
    return np.maximum((middle - half) / scale, 0.0), np.minimum((middle + half) / scale, 1.0)


def effective(counted: BoolArray, draws: Indices) -> float:
    """How many independent samples a share is worth: p(1 − p)/v, v the variance of p from draw to draw.

    v = Σ (n_k/n̄ (p_k − p))²/(K(K − 1)) over K draws, the ratio estimator of a share; never more than there are samples,
    and of a share of 0 or 1 the number of draws. Source: Kish 1965, design effect; from memory.

    Parameters
    ----------
    counted : whether each sample counts, (n,)
    draws : the draw each belongs to, counted from 0, (n,)
    """
    n, many = counted.size, int(draws[-1]) + 1
    if many == n or many < 2:
        return float(n) if many == n else 1.0
    share = float(counted.mean())
    if share in (0.0, 1.0):
        return float(many)
    off = np.bincount(draws, counted.astype(np.float64) - share) * many / n
    between = float(np.sum(off**2)) / (many * (many - 1))
    return min(float(n), share * (1 - share) / between) if between > 0 else float(n)


def _interval(over: BoolArray, unknown: BoolArray, draws: Indices) -> Interval:
    """Of the share that is over: the low end as if no unknown sample were, the high end as if all were."""
    most = over | unknown
    low, _ = wilson(over.mean(), effective(over, draws))
    _, high = wilson(most.mean(), effective(most, draws))
    return Interval(float(low), float(high))


def _exceedance(key: str, name: str, over: BoolArray, unknown: BoolArray, draws: Indices) -> Exceedance:
    counts = int(over.sum()), int(unknown.sum()), over.size
    return Exceedance(key, name, *counts, _interval(over, unknown, draws))


def _running(over: BoolArray, unknown: BoolArray, draws: Indices) -> Running:
    """The share after more and more whole draws, first and last among them."""
    last = np.flatnonzero(np.diff(draws, append=draws[-1] + 1)) + 1
    ends = np.unique(last[np.linspace(0, last.size - 1, MOST_POINTS).astype(np.intp)])
    found = [_interval(over[:end], unknown[:end], draws[:end]) for end in ends.tolist()]
    low, high = np.array(found).T
    return Running(ends, np.cumsum(over)[ends - 1] / ends, low, high)


def _contributions(
    varied: tuple[Ranged, ...], drawn: Samples, used: FloatArray
) -> tuple[tuple[tuple[Ranged, Contribution], ...], bool]:
    """Share of each input in the spread of the highest utilisation, over the samples that have one."""
    known = ~np.isnan(used)
    y, on_ranks = used[known], bool(np.isinf(used[known]).any())
    if on_ranks:  # a variance needs figures that end
        y = np.unique(y, return_inverse=True)[1].ravel().astype(np.float64)
    draws = np.unique(drawn.draws[known], return_inverse=True)[1].ravel()
    found = []
    for one in varied:
        shared = None if one.input.of_sea else draws
        found.append((one, first_order(drawn.columns[one.input.name][known], y, shared)))
    return tuple(sorted(found, key=lambda pair: -np.nan_to_num(pair[1].share))), on_ranks


def _notes(
    plan: Plan, varied: tuple[Ranged, ...], drawn: Samples, found: Judged, on_ranks: bool
) -> tuple[str, ...]:
    labels = {one.input.name: one.input.about.label for one in varied}
    notes = [
        f"{labels[name]}: {100 * share:.2g}\u00a0% of its spread lies where no such plan can be, and was cut off."
        for name, share in drawn.cut.items()
    ]
    if {"sea_height", "sea_period"} <= set(labels) and plan.study.period_correlation is None:
        apart = "Wave height and period were drawn independently of each other"
        notes.append(f"{apart}: give their correlation if it is known.")
    if plan.hookload_to_confirm:
        notes.append("The hookload is not confirmed to be this string's, so no sample counts as assessed.")
    if plan.vessel.unknown_at_hoist:
        notes.append("The motion at the hoist is not known, so no sample counts as assessed.")
    if found.refused:
        first = next(iter(found.refused.values()))
        notes.append(f"{len(found.refused)} samples can be no plan and are not assessed. The first: {first}.")
    if on_ranks:
        why = "In some samples nothing is left of a capacity"
        notes.append(f"{why}, so contributions are to the ranks of the utilisation.")
    missing = int(np.isnan(found.governing).sum())
    if missing:
        notes.append(f"Contributions leave out the {missing} samples without a utilisation.")
    return tuple(notes)
