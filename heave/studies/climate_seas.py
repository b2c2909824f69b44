"""The seas of a climate and how much of the time each stands for: from a hindcast or from a scatter diagram."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import BoolArray, FloatArray, IntArray
from heave.errors import InputError
from heave.planning.other_seas import BEARINGS, Bearing
from heave.planning.plan import Plan
from heave.sea import SeaBatch
from heave.studies.scatter import SCATTER_SHAPES, CellSeas, Scatter, points_of
from heave.units import significant
from heave.weather.evaluation import batch_for
from heave.weather.forecast import Forecast
from heave.weather.hindcast import MONTH_NAMES
from heave.weather.line_use import YEAR

SPLIT: Final = 5
"""Parts into which a class of a scatter diagram is divided, each way; odd, so that the middle part has its middle."""

ALIKE: Final = 0.8
"""Months of a record are alike where none has less than this share of the samples of another; a February has 0.9 of a
January."""

ROUND: Final = 12
"""Directions that stand for waves from all round."""


@dataclass(frozen=True, eq=False)
class ClassPlaces:
    """Where each sea of a scatter diagram stands in it.

    Parameters
    ----------
    cell : its place in the matrix, heights by periods, one after the other (n,)
    group : seas of one class, sector and month share a number from 0 (n,)
    centre : True for the sea in the middle of its class (n,)
    """

    cell: IntArray
    group: IntArray
    centre: BoolArray


@dataclass(frozen=True, eq=False)
class ClimateSeas:
    """Seas, and the share of the time that each stands for.

    Parameters
    ----------
    batch : n seas; one that is not known has no height
    weight : share of the time, sums to 1 (n,)
    month : calendar month, 1 to 12; 0 where it is not known (n,)
    source : the record or the diagram they are of
    places : where they stand in a diagram; None for a record
    notes : how the seas were made, in words
    lacking : of what time a record has no samples, in words; among the notes as well
    """

    batch: SeaBatch
    weight: FloatArray
    month: IntArray
    source: Forecast | Scatter
    places: ClassPlaces | None = None
    notes: tuple[str, ...] = ()
    lacking: tuple[str, ...] = ()

    @property
    def record(self) -> Forecast | None:
        """The record, which has an order in time; None for a diagram, which has none."""
        return self.source if isinstance(self.source, Forecast) else None


def seas_of_record(plan: Plan, record: Forecast) -> ClimateSeas:
    """Every sample of a record stands for the same share of the time, known or not.

    Parameters
    ----------
    plan : its water depth is taken where the record has none
    record : a hindcast
    """
    month = record.times.astype("datetime64[M]").astype(np.int64) % 12 + 1
    weight = np.full(record.size, 1.0 / record.size)
    years = record.elapsed[-1] / YEAR
    missing = int(record.missing.sum())
    notes = [f"{record.size} samples over {years:.1f} years; each stands for the same share of the time."]
    if missing:
        notes.append(f"{missing} samples have no sea: not assessed, and never counted as workable.")
    lacking = _lacking(record, month)
    return ClimateSeas(batch_for(plan, record), weight, month, record, None, (*notes, *lacking), lacking)


def _lacking(record: Forecast, month: IntArray) -> tuple[str, ...]:
    """Gaps, months without a sample, and months that have much less of the samples than others."""
    told = []
    lengths = np.diff(record.elapsed)[record.gap_after]
    if lengths.size:
        share = float((lengths - record.step).sum() / (record.elapsed[-1] + record.step))
        told.append(
            f"Gaps: {lengths.size}, {significant(100 * share, 2)}\u00a0% of the time from the first sample to the "
            "last: no share counts them, neither as workable nor as not assessed."
        )
    counts = np.bincount(month, minlength=13)[1:]
    absent = [name for name, count in zip(MONTH_NAMES, counts, strict=True) if not count]
    if absent:
        told.append(f"No samples in {', '.join(absent)}: nothing here is of a whole year.")
    elif counts.min() < ALIKE * counts.max():
        ends = [(name, 100 * counts[place] / month.size) for place, name in enumerate(MONTH_NAMES)]
        (few, least), (many, most) = (end(ends, key=lambda one: one[1]) for end in (min, max))
        told.append(
            f"Months are not alike on record, {few} has {significant(least, 2)}\u00a0% of the samples and {many} "
            f"{significant(most, 2)}\u00a0%: shares of all the time lean to the seasons there is more of."
        )
    return tuple(told)


def cell_seas(plan: Plan) -> tuple[CellSeas, str]:
    """The sea that stands for a class of a diagram, of the shape and spreading of the plan's first system.

    Returns it with a sentence. A shape in which a period may have several peak periods is replaced by JONSWAP by rule.

    Parameters
    ----------
    plan : with its sea
    """
    by_rule = "JONSWAP with its peak factor by rule, for the plan's own"
    if not plan.sea.systems:
        return CellSeas(), f"{by_rule} sea is a measured spectrum"
    first = plan.sea.systems[0]
    spread = first.spreading, first.spreading_exponent
    if first.shape not in SCATTER_SHAPES:
        return CellSeas("jonswap", None, *spread), f"{by_rule} shape, {first.shape}, is not of one system"
    factor = "its peak factor by rule" if first.gamma is None else f"peak factor {first.gamma:g}"
    words = "the two-parameter spectrum" if first.shape == "two-parameter" else f"JONSWAP with {factor}"
    return CellSeas(first.shape, first.gamma, *spread), f"{words}, as in the plan's own sea"


def seas_of_scatter(
    plan: Plan, scatter: Scatter, bearing: Bearing | None = None, split: int = SPLIT
) -> ClimateSeas:
    """Every class of a diagram as `split` × `split` seas at the middles of its equal parts, all as likely.

    Periods become peak periods through the shape, `heave.sea.periods.peak_periods`. Where in its class a sea is
    nobody knows, so what is counted is shown beside the class middle alone and the bounds over the parts.

    Parameters
    ----------
    plan : shape, spreading, direction and water depth of its own sea
    scatter : the diagram
    bearing : where waves come from if the diagram has no sectors: 'plan' or 'all round', of 12 directions; None as
        the plan's `other_seas` have it
    split : parts of each class, each way, an odd number from 1 to 25

    Raises
    ------
    InputError
        If `split` or `bearing` is not so.
    """
    if split not in range(1, 26, 2):
        raise InputError("parts of a class", split, None, "an odd number from 1 to 25")
    bearing = plan.other_seas.bearing if bearing is None else bearing
    if bearing not in BEARINGS:
        raise InputError("direction of the waves", bearing, None, "plan or all round")
    shape, words = cell_seas(plan)
    own = float(plan.sea.batch().slots[0].direction_from[0])
    if plan.sea.systems:
        own = plan.sea.systems[0].direction_from
    around = [own] if bearing == "plan" else [360.0 / ROUND * place for place in range(ROUND)]
    hs_parts, period_parts = points_of(scatter.hs_limits, split), points_of(scatter.period_limits, split)
    columns: list[tuple[FloatArray, ...]] = []
    groups = 0
    inner = np.indices((split, split)).reshape(2, -1)
    centre = (inner == split // 2).all(axis=0)
    for part in scatter.parts:
        directions = around if part.direction_from is None else [part.direction_from]
        row, column = np.nonzero(part.cells)
        for direction in directions:
            shares = part.cells[row, column] / scatter.total / len(directions) / split**2
            size = row.size * split**2
            columns.append(
                (
                    hs_parts[row][:, inner[0]].ravel(),
                    period_parts[column][:, inner[1]].ravel(),
                    np.full(size, direction),
                    np.repeat(shares, split**2),
                    np.full(size, part.month or 0),
                    np.repeat(row * scatter.period_limits[1:].size + column, split**2),
                    np.repeat(groups + np.arange(row.size), split**2),
                    np.tile(centre, row.size),
                )
            )
            groups += row.size
    hs, period, whence, weight, month, cell, group, middle = map(np.concatenate, zip(*columns, strict=True))
    tp = shape.peak_periods(hs, period, scatter.period_kind)
    batch = shape.batch(hs, tp, whence, plan.sea.depth)
    lost = float(weight[np.isnan(batch.hs)].sum())
    notes = [
        f"Each class is judged as {split} × {split} seas spread evenly over it; one wave system, {words}.",
        "A diagram of the total sea says nothing of swell from elsewhere: crossed seas are not in it.",
    ]
    if scatter.period_kind != "Tp":
        notes.append(f"{scatter.period_kind} becomes Tp by the moments of that spectrum at each height.")
    if not scatter.directional:
        planned = f"all waves come from {own:g}°, as in the plan's own sea"
        around_ = f"waves come from all round alike, {ROUND} directions"
        notes.append(f"It has no directions: {planned if bearing == 'plan' else around_}.")
    if lost > 0:
        notes.append(
            f"{significant(100 * lost, 2)}\u00a0% of the seas are not assessed: their class has no upper end, or their "
            "peak period is outside 2 to 30\u00a0s."
        )
    places = ClassPlaces(cell.astype(np.int64), group.astype(np.int64), middle.astype(np.bool_))
    return ClimateSeas(batch, weight, month.astype(np.int64), scatter, places, (*scatter.notes, *notes))
