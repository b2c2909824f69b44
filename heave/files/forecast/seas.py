"""From the numbers of a forecast file to seas: periods to peak periods, and what is missing or not there.

Rules, row by row:
- a height of 0 is a system that is not there; its period and direction are not looked at;
- a system needs height, period and direction; a period is a missing one where the peak period it gives is
  outside 2 to 30 s, as a period of 0 s is;
- a part without any number is missing, unless the file's total height is accounted for by the other parts to
  within 0.05 m and 1 %, or it is a swell and the mapping says an empty swell is not there;
- a row whose parts hold less than the total height by more than 0.1 m and 5 % lacks a system: missing;
- a row whose partitions of swell hold as much less than all swell lacks one of them: missing;
- where anything is missing the whole sea is, since an unknown swell is not a calm one;
- a part higher than the total by more than 0.1 m and 1 % is refused at its row, and so is a sea that is higher, all its
  systems together, than a plan's may be;
- where the total stands beside some of its parts, the rest of it is a system: Hs² = total² − Σ parts². A part without
  any number is not there then: whatever it held is in the rest.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.forecast.compose import Composition
from heave.files.forecast.mapping import Roles
from heave.files.rows import Flags
from heave.planning.columns import WAVES, ColumnMeaning, ForecastMapping
from heave.sea import PERIOD_RANGE, SeaBatch, SystemSlot, peak_periods
from heave.sea.arguments import ALL_TOGETHER, too_high
from heave.sea.spectra import GAUSSIAN_SWELL_SHORTEST
from heave.sea.two_peak import TORSETHAUGEN_LONGEST
from heave.units import counted

ACCOUNTED: Final = (0.05, 0.01)
"""Parts account for the total when they come within this much [m] and this share of it."""

LACKING: Final = (0.1, 0.05)
"""Parts lack a system when they fall short of the total by more than this much [m] and this share of it."""

LARGER: Final = (0.1, 0.01)
"""A part is larger than the total when it is by more than this much [m] and this share of it: both are rounded."""

TOO_LARGE: Final = "correct the heights of this row, or ask the forecaster which of them are right"
"""What to change where parts hold more than the total."""

FULLY_DEVELOPED: Final = 6.6
"""Peak period of a fully developed wind sea over Hs^⅓ [s/m^⅓] (Torsethaugen; see `heave.sea.two_peak`)."""

STAND_IN_PERIOD: Final = 10.0
"""Peak period of a system that is not there [s]; with a height of 0 it has no effect."""


@dataclass(frozen=True)
class _Waves:
    """The numbers of waves by quantity and system, the columns they are from, and what is to be said of them.

    line : gives the line of the file a row stood on
    """

    values: dict[tuple[str, str], FloatArray]
    roles: Roles
    mapping: ForecastMapping
    line: Callable[[int], int]
    notes: list[str] = field(default_factory=list)

    def refuse(self, what: str, value: object, allowed: str, row: int, columns: str) -> FileError:
        """The error about a height in a row, in metres."""
        return FileError(what, value, "m", allowed, line=self.line(row), column=columns)

    def columns(self, parts: Iterable[str]) -> str:
        """Names of the columns that hold the heights of systems."""
        return ", ".join(self.roles["height", part].column for part in parts)


@dataclass
class SystemRows:
    """One wave system in every row of the file."""

    name: str
    shape: str
    hs: FloatArray
    tp: FloatArray
    direction: FloatArray
    empty: Flags
    incomplete: Flags


@dataclass
class Seas:
    """Every row of the file as a sea, and what was done on the way."""

    batch: SeaBatch
    names: tuple[str, ...]
    seen: Flags
    """True in rows that hold at least one wave number."""

    notes: list[str] = field(default_factory=list)


def make_seas(
    numbers: dict[str, FloatArray],
    made: Composition,
    roles: Roles,
    mapping: ForecastMapping,
    depth: float | None,
    line: Callable[[int], int],
) -> Seas:
    """The seas of all rows.

    Parameters
    ----------
    numbers : column name to numbers in SI, NaN where missing, shape (rows,)
    made : the wave systems the sea is made of
    roles : the column of each quantity
    mapping : how the file is to be read
    depth : water depth [m]; None is deep water
    line : gives the line of the file a row stood on

    Returns
    -------
    Seas, with one row of the batch for each row of the file

    Raises
    ------
    FileError
        If a period cannot be converted for the chosen spectral shape, a part is larger than the total, or a sea is
        higher than any may be.
    """
    values = {role: numbers[meaning.column] for role, meaning in roles.items() if meaning.column in numbers}
    waves = _Waves(values, roles, mapping, line)
    waves = _with_rest(made, waves) if made.rest else waves
    values, notes = waves.values, waves.notes
    parts = [_system(name, waves) for name in made.all]
    seen = [~np.isnan(cells) for (quantity, _), cells in values.items() if quantity in WAVES]
    height = None if made.all == ("total",) else values.get(("height", "total"))
    if height is not None:
        for part in (part for part in parts if part.name != made.rest):
            _not_larger(part.name, part.hs, height, waves.columns([part.name]), waves)
    missing = _missing(parts, height, waves, checked=not made.rest)
    if made.checks_swell and ("height", "swell") in values:
        missing |= _swell_lacks(parts, values["height", "swell"], notes)
    slots = [slot for part in parts for slot in _slots(part, missing, mapping)]
    if missing.any():
        notes.append(f"Sea not known in {int(missing.sum())} of {missing.size} rows: missing, not calm.")
    batch = SeaBatch(tuple(slot for _, slot in slots), depth)
    for row in np.flatnonzero(too_high(batch.hs))[:1]:
        what, hs = "significant wave height of the sea", round(float(batch.hs[row]), 3)
        allowed = f"{ALL_TOGETHER}: correct the heights of this row"
        raise waves.refuse(what, hs, allowed, row, waves.columns(made.systems))
    return Seas(batch, tuple(name for name, _ in slots), np.logical_or.reduce(seen), notes)


def _with_rest(made: Composition, waves: _Waves) -> _Waves:
    """All columns, with those of the rest of the total; parts without any number are not there."""
    values, roles = waves.values, waves.roles
    name, total = made.rest, values["height", "total"]
    heights = np.array([values["height", part] for part in made.systems])
    known = np.array(
        [~np.isnan([values[q, part] for q in ("height", "period")]).all(axis=0) for part in made.systems]
    )
    sum_squared = np.sum(np.where(known, np.nan_to_num(heights, nan=0.0), 0.0) ** 2, axis=0)
    _not_larger("parts", np.sqrt(sum_squared), total, waves.columns(made.systems), waves)
    hs = np.sqrt(np.maximum(total**2 - sum_squared, 0.0))
    found = dict(values)
    own = ("period", name) in roles
    column = roles.get(("period", name)) or roles.get(("period", "total"))
    settled = np.sqrt(sum_squared) >= total - ACCOUNTED[0] - ACCOUNTED[1] * total
    if waves.mapping.rest_period == "fully developed" and not own:
        period = np.maximum(FULLY_DEVELOPED * np.cbrt(hs), PERIOD_RANGE[0])
        column, said = ColumnMeaning("rest", "period", name, "s", "Tp"), "6.6 Hs^⅓, fully developed"
    else:
        assert column is not None
        period = values["period", name if own else "total"]
        said = f"column {column.column}" if own else "that of the total"
        hs = np.where(np.isnan(period) & settled, 0.0, hs)
    for part, there in zip(made.systems, known, strict=True):
        gone = ~there & ~np.isnan(total)
        found["height", part] = np.where(gone, 0.0, values["height", part])
    found |= {("height", name): hs, ("period", name): period}
    new = roles | {("period", name): column}
    way = roles.get(("direction", name)) or roles.get(("direction", "total"))
    if way is not None:
        found["direction", name] = values["direction", name if ("direction", name) in roles else "total"]
        new["direction", name] = way
    of = ", ".join(made.systems)
    note = f"{_title(name)}: what the total holds beyond {of}, √(total² − Σ parts²); its period: {said}."
    return replace(waves, values=found, roles=new, notes=[note])


def _not_larger(what: str, hs: FloatArray, total: FloatArray, columns: str, waves: _Waves) -> None:
    """Refuse a part that is larger than the total, or parts that are together."""
    for row in np.flatnonzero(_over(hs, total, LARGER))[:1]:
        most = f"at most the total height, {total[row]:.3g}\u00a0m: {TOO_LARGE}"
        allowed = f"together {most}" if what == "parts" else most
        raise waves.refuse(f"height of {what}", f"{hs[row]:.3g}", allowed, row, columns)


def _over(hs: FloatArray, total: FloatArray, by: tuple[float, float]) -> Flags:
    """True where a height is over the total by more than so much [m] and that share of it."""
    with np.errstate(invalid="ignore"):
        return np.asarray(hs > total + by[0] + by[1] * total)


def _under(hs: FloatArray, total: FloatArray, by: tuple[float, float]) -> Flags:
    """True where a height is under the total by more than so much [m] and that share of it."""
    with np.errstate(invalid="ignore"):
        return np.asarray(hs < total - by[0] - by[1] * total)


def _system(name: str, waves: _Waves) -> SystemRows:
    values, roles, mapping = waves.values, waves.roles, waves.mapping
    hs, period = values["height", name], values["period", name]
    given = values.get(("direction", name))
    empty = np.isnan(hs) & np.isnan(period) & (given is None or np.isnan(given))
    fixed = np.nan if mapping.direction_from is None else mapping.direction_from
    turned = 180.0 if given is not None and roles["direction", name].sense == "to" else 0.0
    direction = np.full(hs.shape, fixed) if given is None else (given + turned) % 360.0  # 360 is 0
    there = hs > 0.0
    period = np.where(there, period, np.nan)
    column = roles["period", name]
    shape = "gaussian-swell" if name.startswith("swell") else mapping.sea_shape
    kind = column.period_kind or "Tp"
    if shape == "torsethaugen" and kind != "Tp":
        allowed = "Tp, for a Torsethaugen spectrum; or choose another spectral shape for it"
        raise FileError("kind of period", kind, None, allowed, column=column.column)
    tp = _peak(period, kind, shape, np.where(there, hs, np.nan), mapping.swell_width)
    if kind != "Tp":
        waves.notes.append(f"{_title(name)}: {kind} to peak period through the {shape} spectrum.")
    high = min(PERIOD_RANGE[1], TORSETHAUGEN_LONGEST) if shape == "torsethaugen" else PERIOD_RANGE[1]
    outside = there & ~np.isnan(period) & ~((tp >= PERIOD_RANGE[0]) & (tp <= high))
    if outside.any():
        what = f"a peak period outside {PERIOD_RANGE[0]:g} to {high:g}\u00a0s"
        waves.notes.append(f"{_title(name)}: {what} in {counted(outside.sum(), 'row')}: missing.")
    incomplete = np.isnan(hs) | (there & (outside | np.isnan(tp + direction)))
    return SystemRows(name, shape, hs, tp, direction, empty, incomplete)


def _peak(period: FloatArray, kind: str, shape: str, hs: FloatArray, width: float) -> FloatArray:
    """Peak period [s]; a swell too short for the Gaussian form is converted as a wind sea would be."""
    tp = peak_periods(period, kind, shape, hs, width)
    if shape == "gaussian-swell" and kind != "Tp":
        short = np.isnan(tp) & (period <= GAUSSIAN_SWELL_SHORTEST)
        tp = np.where(short, peak_periods(period, kind, "jonswap", hs), tp)
    return tp


def _missing(parts: list[SystemRows], total: FloatArray | None, waves: _Waves, *, checked: bool) -> Flags:
    """True in the rows whose sea is not known."""
    height = np.sqrt(np.sum([np.nan_to_num(part.hs) ** 2 for part in parts], axis=0))
    missing: Flags = np.logical_and.reduce([part.empty for part in parts])
    settled, absent = np.zeros((2, height.size), dtype=np.bool_)
    if total is not None:
        with np.errstate(invalid="ignore"):
            settled = height >= total - ACCOUNTED[0] - ACCOUNTED[1] * total
        lacking, beyond = _under(height, total, LACKING), _over(height, total, LACKING)
        known = ~np.logical_or.reduce([part.incomplete for part in parts])
        for flags, how, done in ((lacking, "less", "missing"), (beyond, "more", "kept")):
            if (known & flags).any():
                rows = counted((known & flags).sum(), "row")
                waves.notes.append(
                    f"Parts hold by over 0.1\u00a0m and 5\u00a0% {how} than the total height, {rows}: {done}."
                )
        difference = np.abs(height - total)[known & ~np.isnan(total)]
        if difference.size and checked:
            waves.notes.append(
                f"The total height checks the parts: largest difference {difference.max():.2g}\u00a0m."
            )
        missing |= lacking
    for part in parts:
        swell = part.name.startswith("swell") and waves.mapping.empty_swell == "not there"
        gone = part.empty & (settled | swell)
        absent |= gone
        missing |= part.incomplete & ~gone
    if (absent & ~missing).any():
        reason = "the file's total height is accounted for" if total is not None else "as the mapping says"
        waves.notes.append(
            f"Empty parts in {counted((absent & ~missing).sum(), 'row')} are not there: {reason}."
        )
    return missing


def _swell_lacks(parts: list[SystemRows], swell: FloatArray, notes: list[str]) -> Flags:
    """True in the rows whose partitions of swell hold less than all swell, so that one of them is lacking."""
    swells = [np.nan_to_num(part.hs) for part in parts if part.name.startswith("swell")]
    held = np.sqrt(np.sum(np.square(swells), axis=0))
    lacking = _under(held, swell, LACKING)
    if lacking.any():
        count = counted(lacking.sum(), "row")
        notes.append(
            f"Partitions of swell hold by over 0.1\u00a0m and 5\u00a0% less than all swell, {count}: missing."
        )
    return lacking


def _slots(part: SystemRows, missing: Flags, mapping: ForecastMapping) -> list[tuple[str, SystemSlot]]:
    """One system in every sea, with its name; of a swell those too short for its form by themselves."""
    there = ~missing & (part.hs > 0.0)
    tp = np.where(there, part.tp, STAND_IN_PERIOD)
    direction = np.where(there, part.direction, 0.0)
    hs = np.where(missing, np.nan, np.where(there, part.hs, 0.0))
    if part.shape != "gaussian-swell":
        sea = SystemSlot(hs, tp, direction, part.shape, spreading_exponent=mapping.sea_exponent)
        return [(_title(part.name).lower(), sea)]
    exponent = mapping.swell_exponent
    short = there & (tp < GAUSSIAN_SWELL_SHORTEST)
    long_hs, long_tp = np.where(short, 0.0, hs), np.where(short, STAND_IN_PERIOD, tp)
    width = mapping.swell_width
    swell = SystemSlot(long_hs, long_tp, direction, part.shape, width=width, spreading_exponent=exponent)
    if not short.any():
        return [(part.name, swell)]
    low = SystemSlot(
        np.where(missing | short, hs, 0.0), tp, direction, "jonswap", spreading_exponent=exponent
    )
    return [(part.name, swell), (f"{part.name}, below {GAUSSIAN_SWELL_SHORTEST:g} s", low)]  # a name


def _title(name: str) -> str:
    return "Total sea" if name == "total" else name.capitalize()
