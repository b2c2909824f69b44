"""A forecast: seas in time order, and which column of its file meant what."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.arrays import BoolArray, FloatArray, Times
from heave.errors import InputError
from heave.sea import SeaBatch, SeaState, SystemSlot, WaveSystem
from heave.sea.arguments import ALL_TOGETHER, too_high

MAX_MEMBERS: Final = 200

FURTHEST_ISSUE: Final = np.timedelta64(30, "D")
"""Longest believed between the issue of a forecast and its first time, either way; seasonal outlooks are not read."""
_BESIDE: Final = {
    **{"wind_speed": "m/s", "gust_speed": "m/s", "current_speed": "m/s", "tide": "m"},
    **{"wind_direction_from": "°", "current_direction_to": "°"},
}
"""What a forecast may hold beside its seas, and its unit."""


@dataclass(frozen=True, eq=False)
class Forecast:
    """Seas in time order, as read from a forecast or hindcast file.

    A missing sea has NaN for the height of every system, so that it can never pass for a calm; a system that
    is not there has height 0 and stand-in values for period and direction. No sea is higher than a plan's may be, all
    its systems together.

    Parameters
    ----------
    times : UTC, strictly increasing, shape (n,) [datetime64, whole seconds]
    batch : the n seas
    system_names : name of each slot of the batch
    step : the most common time between samples [s]
    gap_after : True where the time to the next sample is a gap and not a step, shape (n−1,)
    wind_speed : carried along, NaN where missing, shape (n,) [m/s]; None where the file has none
    name : what to call it
    notes : what the reader did, in words
    issued : when the forecast was issued, UTC [datetime64, whole seconds]; None where that is not known. Its first
        time may lie before (an analysis, hours that are past) or after it, by no more than `FURTHEST_ISSUE`.
    gust_speed, current_speed : as `wind_speed` [m/s]
    tide : height above any one datum, as `wind_speed` [m]
    wind_direction_from, current_direction_to : compass direction the wind comes from and the current sets towards, as
        `wind_speed` [degrees]; nothing is judged by them
    """

    times: Times
    batch: SeaBatch
    system_names: tuple[str, ...]
    step: float
    gap_after: BoolArray
    wind_speed: FloatArray | None = None
    name: str = "forecast"
    notes: tuple[str, ...] = ()
    issued: np.datetime64 | None = None
    gust_speed: FloatArray | None = None
    current_speed: FloatArray | None = None
    tide: FloatArray | None = None
    wind_direction_from: FloatArray | None = None
    current_direction_to: FloatArray | None = None

    def __post_init__(self) -> None:
        times = np.array(self.times, dtype="datetime64[s]")
        size = self.batch.size
        if times.shape != (size,) or size < 1:
            raise InputError("times", f"shape {times.shape}", None, f"one for each of the {size} seas")
        if np.isnat(times).any() or np.any(np.diff(times) <= np.timedelta64(0, "s")):
            raise InputError("times", "not in order", None, "strictly increasing, none missing")
        if (beyond := too_high(heights := self.batch.hs)).any():
            row = int(np.argmax(beyond))
            what = f"significant wave height of the sea at {times[row]}Z"
            raise InputError(what, round(float(heights[row]), 3), "m", ALL_TOGETHER)
        gaps = np.array(self.gap_after, dtype=np.bool_)
        if gaps.shape != (size - 1,):
            raise InputError("gaps", f"shape {gaps.shape}", None, f"one for each of {size - 1} intervals")
        if len(self.system_names) != len(self.batch.slots):
            raise InputError("names of systems", len(self.system_names), None, "one for each slot")
        beside: dict[str, npt.NDArray[np.generic]] = {"times": times, "gap_after": gaps}
        for name, unit in _BESIDE.items():
            if (given := getattr(self, name)) is not None:
                values = np.array(given, dtype=np.float64)
                if values.shape != (size,):
                    words = f"one for each of the {size} seas"
                    raise InputError(name.replace("_", " "), f"shape {values.shape}", unit, words)
                beside[name] = values
        for name, value in beside.items():
            value.setflags(write=False)
            object.__setattr__(self, name, value)
        if self.issued is not None:
            object.__setattr__(self, "issued", _issue(self.issued, times))

    @property
    def counted_from(self) -> np.datetime64:
        """From when lead time counts: the issue, or the first sample where the file does not say."""
        return np.datetime64(self.times[0] if self.issued is None else self.issued)

    @property
    def size(self) -> int:
        """Number of samples."""
        return self.batch.size

    @property
    def elapsed(self) -> FloatArray:
        """Times after the first sample, shape (n,) [s]."""
        return np.asarray((self.times - self.times[0]).astype(np.float64))

    def when(self, elapsed: float) -> np.datetime64:
        """The time, UTC, at `elapsed` seconds after the first sample, to the second."""
        return np.datetime64(self.times[0] + np.timedelta64(round(elapsed), "s"))

    @property
    def missing(self) -> BoolArray:
        """True where the sea is not known, shape (n,)."""
        return np.isnan(self.batch.hs)

    def with_depth(self, depth: float | None) -> Forecast:
        """The same forecast in water of `depth` [m]; None is deep water."""
        return replace(self, batch=replace(self.batch, depth=depth))

    def sea_state(self, index: int) -> SeaState:
        """The sea of sample `index`, counted from 0, as the check page takes it.

        Raises
        ------
        InputError
            If there is no such sample, its sea is missing, or it is flat calm.
        """
        if not 0 <= index < self.size:
            raise InputError("forecast sample", index, None, f"from 0 to {self.size - 1}")
        when = str(self.times[index]) + "Z"
        if self.missing[index]:
            raise InputError("sea state", f"missing at {when}", None, "a sample with every wave number")
        systems = []
        for name, slot in zip(self.system_names, self.batch.slots, strict=True):
            if isinstance(slot, SystemSlot) and slot.hs[index] > 0.0:
                gamma = slot.gamma[index] if isinstance(slot.gamma, np.ndarray) else slot.gamma
                systems.append(
                    WaveSystem(
                        hs=float(slot.hs[index]),
                        period=float(slot.tp[index]),
                        direction_from=float(slot.direction_from[index]) % 360.0,
                        shape=slot.shape,
                        gamma=None if gamma is None else float(gamma),
                        width=slot.width,
                        spreading=slot.spreading,
                        spreading_exponent=slot.spreading_exponent,
                        label=name,
                    )
                )
        if not systems:
            raise InputError("sea state", f"flat calm at {when}", None, "a sample with waves")
        return SeaState(tuple(systems), self.batch.depth)


@dataclass(frozen=True, eq=False)
class EnsembleForecast:
    """Members of one forecast on common times; a member without a sample at a time is missing there.

    Parameters
    ----------
    members : one Forecast each, at least one
    member_names : their names in the file
    name : what to call it
    notes : what the reader did, in words
    """

    members: tuple[Forecast, ...]
    member_names: tuple[str, ...]
    name: str = "forecast"
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "members", tuple(self.members))
        if not 1 <= len(self.members) <= MAX_MEMBERS:
            raise InputError("members", len(self.members), None, f"from 1 to {MAX_MEMBERS}")
        if len(self.member_names) != len(self.members):
            raise InputError("names of members", len(self.member_names), None, "one for each member")
        first = self.members[0]
        if any(not np.array_equal(first.times, member.times) for member in self.members):
            raise InputError("members", "different times", None, "members on common times")

    @property
    def times(self) -> Times:
        """Common times, UTC, shape (n,)."""
        return self.members[0].times

    @property
    def size(self) -> int:
        """Number of times."""
        return self.members[0].size

    @property
    def issued(self) -> np.datetime64 | None:
        """When the forecast was issued, UTC; None where that is not known."""
        return self.members[0].issued

    def with_depth(self, depth: float | None) -> EnsembleForecast:
        """The same ensemble in water of `depth` [m]; None is deep water."""
        return replace(self, members=tuple(member.with_depth(depth) for member in self.members))


def _issue(given: np.datetime64, times: Times) -> np.datetime64:
    """The issue time to the second, refused where it is none or lies far from the forecast's first time."""
    issued, first = np.array([given, times[0]], dtype="datetime64[s]")
    if np.isnat(issued) or abs(issued - first) > FURTHEST_ISSUE:
        allowed = f"a time within {FURTHEST_ISSUE.astype(int)} days of the first time, {first}Z"
        raise InputError("issue time", f"{issued}Z", None, allowed)
    return np.datetime64(issued)
