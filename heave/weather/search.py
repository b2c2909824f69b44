"""Finding the starts from which a whole campaign can be done, and the steps that follow from one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from heave.arrays import BoolArray, FloatArray, IntArray
from heave.planning.campaign import Block, Campaign
from heave.weather.intervals import (
    common,
    ends_before,
    next_start,
    sample_runs,
    starts_within,
)


@dataclass(frozen=True, eq=False)
class Search:
    """A campaign against the samples of a forecast; times in seconds after the first sample.

    Parameters
    ----------
    campaign : the steps
    times : times of the samples, shape (n,) [s]
    gap_after : True where a gap follows a sample, shape (n−1,)
    runs : for each step, first and last sample of every run that holds, (m, 2)
    waits : for each step, the same of the state it then waits in
    own : for each block, starts from which it alone can be done, (m, 2) [s]
    starts : for each block, starts from which it and all that follows can be done, (m, 2) [s]
    """

    campaign: Campaign
    times: FloatArray
    gap_after: BoolArray
    runs: tuple[IntArray, ...]
    waits: tuple[IntArray, ...]
    own: tuple[FloatArray, ...]
    starts: tuple[FloatArray, ...]

    def begins(self, start: float) -> tuple[float, ...]:
        """Start of every block if the campaign begins at `start` [s], each as early as it can be.

        Parameters
        ----------
        start : a start from which the campaign works [s]
        """
        return tuple(self.begins_of(np.array([start]))[:, 0].tolist())

    def begins_of(self, starts: FloatArray) -> FloatArray:
        """The same of many starts, (blocks, n) [s].

        Parameters
        ----------
        starts : starts from which the campaign works, (n,) [s]
        """
        begun = [starts]
        for block, later in zip(self.campaign.blocks, self.starts[1:], strict=False):
            begun.append(next_start(later, begun[-1] + block.reference))
        return np.stack(begun)

    def finish(self, start: float) -> float:
        """When the campaign ends if begun at `start`, contingency used [s].

        Parameters
        ----------
        start : a start from which the campaign works [s]
        """
        return self.begins(start)[-1] + self.campaign.blocks[-1].reference


def search(
    campaign: Campaign,
    times: FloatArray,
    gap_after: BoolArray,
    known: BoolArray,
    inside: Sequence[BoolArray],
    waiting: Sequence[BoolArray | None] | None = None,
) -> Search:
    """All starts from which the campaign can be done.

    A step needs its limits held without a break from the earliest it can begin to the latest it can end.
    Steps of a block follow each other; blocks may have a wait between them, not longer than the campaign
    allows and not across a time without a forecast. Before it the last step's own limits hold while the rig is
    made safe, and over it those of the state it waits in.

    Parameters
    ----------
    campaign : the steps
    times : times of the samples, shape (n,) [s]
    gap_after : True where a gap follows a sample, shape (n−1,)
    known : True where the sea is known, shape (n,)
    inside : for each step, True where it is inside its limits, shape (n,)
    waiting : for each step, True where the state it then waits in is inside its own; None where that is not said,
        and then the sea has only to be known
    """
    runs = tuple(sample_runs(holds, gap_after) for holds in inside)
    states = [None] * len(inside) if waiting is None else waiting
    waits = tuple(sample_runs(known if holds is None else known & holds, gap_after) for holds in states)
    own = tuple(_block_starts(block, times, runs) for block in campaign.blocks)
    later = [own[-1]]
    for block, starts in zip(reversed(campaign.blocks[:-1]), reversed(own[:-1]), strict=True):
        last = block.first + len(block.steps) - 1
        ends = ends_before(
            later[0], times[runs[last]], times[waits[last]], block.steps[-1].secured_in, campaign.longest_wait
        )
        later.insert(0, common(starts, ends - block.reference))
    return Search(campaign, times, gap_after, runs, waits, own, tuple(later))


def _block_starts(block: Block, times: FloatArray, runs: tuple[IntArray, ...]) -> FloatArray:
    starts: FloatArray | None = None
    for offset, (early, late) in enumerate(block.spans):
        fits = starts_within(times[runs[block.first + offset]], early, late)
        starts = fits if starts is None else common(starts, fits)
    return np.empty((0, 2)) if starts is None else starts
