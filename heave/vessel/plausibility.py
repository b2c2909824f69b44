"""Whether a response table can be right: long waves carry any hull along, and its two sides answer alike.

Heave goes to 1, pitch and roll to the slope of the wave, each with the phase it must have. A table that fails is
tried with one convention read differently at a time: what brings it right is named, and never done.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any, Final, NamedTuple

import numpy as np

from heave.arrays import ComplexArray, FloatArray
from heave.errors import InputError
from heave.sea.dispersion import wave_number
from heave.units import per_cent
from heave.vessel.origin import ResponseConventions
from heave.vessel.response_table import ResponseTable, long_wave_limit

LONG_WAVE: Final = 25.0
"""Shortest longest period of a table at which the long-wave limit is looked for [s]: waves of nearly a kilometre."""

RESONANCE_CLEAR: Final = 1.4
"""Periods over the heave resonance from which heave is near 1 again: undamped 1/(1 − 1/1.4²) = 2, times a force that
the pontoons have all but taken away again."""

RESONANT: Final = 1.1
"""Highest heave over that at the longest period from which it is a resonance, whatever unit the table is in."""

SHIP_PERIOD: Final = 15.0
"""Longest period at which a ship's heave peaks [s]; a resonance of columns on pontoons is longer."""

HEAVE_TOLERANCE: Final = (0.7, 1.4, 25.0)
PITCH_TOLERANCE: Final = (0.4, 2.0, 60.0)
ROLL_TOLERANCE: Final = (0.3, 3.0, 60.0)
"""Lowest and highest amplitude over that of the wave, and widest phase from it [°], at the longest period."""

DEPTH_TOLERANCE: Final = (0.75, 1.3, 60.0)
"""Of pitch, where the table says its water depth: the slope of the wave is then known."""

SIDES_ALIKE: Final = 0.05
"""Share of the largest motion by which waves from port and starboard may differ."""

AHEAD: Final = 0.7
"""Cosine of the heading from which a sea is ahead or astern, and sine from which it is abeam."""


class Finding(NamedTuple):
    """What is wrong with a motion of a table, in words."""

    motion: str
    words: str


class Repair(NamedTuple):
    """A convention that, read differently, brings a table right: its field, the other reading, and words for it."""

    key: str
    value: str
    words: str


@dataclass(frozen=True)
class Plausibility:
    """What long waves and the two sides say of a table: what is wrong, what would repair it, what cannot be judged."""

    findings: tuple[Finding, ...]
    repairs: tuple[Repair, ...]
    not_judged: tuple[str, ...]


def resonance(table: ResponseTable) -> float | None:
    """Period of the heave resonance of a table, that of its largest heave, if long and high enough to be one [s].

    Parameters
    ----------
    table : motion per wave amplitude

    Returns
    -------
    Period, or None for a hull that does not resonate in heave among long waves, as a ship
    """
    heave = np.abs(table.heave).max(axis=0)
    period = 2 * np.pi / float(table.omega[np.argmax(heave)])
    return period if heave.max() > RESONANT * heave[0] and period > SHIP_PERIOD else None


def long_wave_findings(table: ResponseTable, depth: float | None = None) -> tuple[Finding, ...]:
    """What is not as in waves much longer than the hull: heave 1, pitch and roll the wave's slope.

    Looked at at the table's longest period, if that is long enough: LONG_WAVE, and RESONANCE_CLEAR times the period of
    a heave resonance. Pitch is left out where there is one: such hulls may pitch slower still. Roll is looked at only
    where its own resonance is well below the longest period.

    Source: the long-wave limit (`long_wave_limit`), k from the dispersion relation at `depth`; the tolerances are wide
    enough for any hull there and narrow enough for feet read as metres, height as amplitude, degrees as radians, and a
    wrong sign or sense of phase.

    Parameters
    ----------
    table : motion per wave amplitude
    depth : water depth the table is for; None is deep water [m]
    """
    period = 2 * np.pi / float(table.omega[0])
    if not judged(table):
        return ()
    found: list[Finding] = []
    for motion, ratio, (low, high, angle) in _ratios(table, depth):
        size, phase = np.abs(ratio), np.abs(np.degrees(np.angle(ratio)))
        wave = "the wave's" if motion == "heave" else "the wave's slope"
        start = f"At {period:.3g}\u00a0s, the longest period of the response table, {motion} is"
        if not np.all((low <= size) & (size <= high)):
            worst = float(size[np.argmax(np.abs(np.log(np.maximum(size, 1e-12))))])
            words = (
                f"{start} {worst:.2g} times {wave}, where waves carry any hull along and it is nearly 1: look for a "
                "wrong unit, or motion per wave height."
            )
            found.append(Finding(motion, words))
        elif table.phases and np.any(phase > angle):
            words = (
                f"{start} {float(phase.max()):.0f}° from {wave}, where waves carry any hull along: look for a wrong "
                "sign, or lead and lag taken for each other."
            )
            found.append(Finding(motion, words))
    return tuple(found)


def judged(table: ResponseTable) -> bool:
    """Whether a table goes to waves long enough for any hull to be carried along."""
    return 2 * np.pi / float(table.omega[0]) >= max(LONG_WAVE, RESONANCE_CLEAR * (resonance(table) or 0.0))


def _ratios(
    table: ResponseTable, depth: float | None
) -> Iterator[tuple[str, ComplexArray, tuple[float, float, float]]]:
    """Motions at the longest period over those of the wave, at the headings that tell, and their tolerance."""
    limit = long_wave_limit(table.omega[:1], table.heading)
    steeper = (
        1.0
        if depth is None
        else float(wave_number(table.omega[:1], depth)[0] / wave_number(table.omega[:1])[0])
    )
    angle = np.radians(table.heading)
    yield "heave", table.heave[:, 0] / limit.heave[:, 0], HEAVE_TOLERANCE
    ahead, abeam = np.abs(np.cos(angle)) > AHEAD, np.abs(np.sin(angle)) > AHEAD
    if table.knows("pitch") and ahead.any() and resonance(table) is None:
        tolerance = PITCH_TOLERANCE if depth is None else DEPTH_TOLERANCE
        yield "pitch", _over(table.pitch[ahead, 0], limit.pitch[ahead, 0] * steeper, table), tolerance
    if table.knows("roll") and abeam.any() and _rolls_faster(table, abeam):
        yield "roll", _over(table.roll[abeam, 0], limit.roll[abeam, 0] * steeper, table), ROLL_TOLERANCE


def _over(motion: ComplexArray, wave: ComplexArray, table: ResponseTable) -> ComplexArray:
    return motion / (wave if table.phases else np.abs(wave))


def _rolls_faster(table: ResponseTable, abeam: Any) -> bool:
    """Whether the roll over the wave's slope peaks at a period well below the longest, or nowhere."""
    slope = np.abs(table.roll[abeam]).max(axis=0) / table.omega**2
    period = 2 * np.pi / float(table.omega[np.argmax(slope)])
    return RESONANCE_CLEAR * period <= 2 * np.pi / float(table.omega[0])


def plausibility(table: ResponseTable, conventions: ResponseConventions | None = None) -> Plausibility:
    """What is wrong with a table, which one convention read differently would bring right, and what cannot be judged.

    Source: the long-wave limit (`long_wave_limit`) and symmetry; thresholds are common practice, no other source.

    Parameters
    ----------
    table : motion per wave amplitude
    conventions : that it was read with; None names repairs without saying how it was read
    """
    given = conventions or ResponseConventions()
    findings = (*long_wave_findings(table, given.depth), *side_findings(table))
    repairs = tuple(_repairs(table, given)) if findings else ()
    return Plausibility(findings, repairs, tuple(_not_judged(table)))


def _not_judged(table: ResponseTable) -> Iterator[str]:
    """What a table does not reach far enough to be judged by."""
    period, own = 2 * np.pi / float(table.omega[0]), resonance(table)
    if period < LONG_WAVE:
        yield (
            f"Units and signs cannot be judged from this table: it ends at {period:.3g}\u00a0s, and waves "
            "carry every hull "
            f"along only from {LONG_WAVE:g}\u00a0s up."
        )
    elif own is not None and period < RESONANCE_CLEAR * own:
        yield (
            f"Units and signs cannot be judged from this table: it ends at {period:.3g}\u00a0s, too near its "
            "own period in "
            f"heave, {own:.3g}\u00a0s."
        )
    elif own is not None and table.knows("pitch"):
        yield "Pitch cannot be judged: a hull that heaves so slowly may pitch more slowly still."
    abeam = np.abs(np.sin(np.radians(table.heading))) > AHEAD
    if judged(table) and table.knows("roll") and abeam.any() and not _rolls_faster(table, abeam):
        yield "Roll cannot be judged: the table ends too near its own period in roll."
    if not table.phases:
        yield "Signs and phases cannot be judged: the table has none."


def side_findings(table: ResponseTable) -> tuple[Finding, ...]:
    """What is not as in waves from port and starboard alike: heave and pitch the same, and roll opposite.

    Source: symmetry of a hull about its centreline; SIDES_ALIKE is common practice.

    Parameters
    ----------
    table : motion per wave amplitude; one that holds one side only has nothing to compare
    """
    return () if table.symmetric else tuple(_sides(table))


def _sides(table: ResponseTable) -> Iterator[Finding]:
    pairs = [
        (place, other)
        for place, heading in enumerate(table.heading)
        for other, mirror in enumerate(table.heading)
        if 0 < heading < 180 and abs(mirror - (360.0 - heading)) < 0.01
    ]
    one, other = [pair[0] for pair in pairs], [pair[1] for pair in pairs]
    if not pairs:
        return
    sign = -1.0 if table.phases else 1.0
    for motion, turned in (("heave", 1.0), ("pitch", 1.0), ("roll", sign)):
        values: ComplexArray = getattr(table, motion)
        most = float(np.abs(values).max())
        apart = float(np.abs(values[one] - turned * values[other]).max())
        if apart > SIDES_ALIKE * most:
            same = float(np.abs(values[one] + turned * values[other]).max()) <= SIDES_ALIKE * most
            how = (
                "with the sign of the other side"
                if same
                else f"different by {per_cent(apart / most)} of the largest"
            )
            must = "opposite" if motion == "roll" and table.phases else "alike"
            words = f"Waves from port and from starboard give {motion} that must be {must}, and it is {how}."
            yield Finding(motion, words)


def _depth_of(table: ResponseTable) -> float | None:
    """Water depth in which the pitch at the longest period is the wave's slope: ω² = g k tanh(k d) with that k [m]."""
    ratios = [ratio for motion, ratio, _ in _ratios(table, None) if motion == "pitch"]
    size = float(np.abs(ratios[0]).mean()) if ratios else 0.0
    if size <= 1.0:
        return None
    k = size * float(wave_number(table.omega[:1])[0])
    return float(np.arctanh(1.0 / size)) / k


Change = Callable[[ResponseTable], ResponseTable]


def _repairs(table: ResponseTable, given: ResponseConventions) -> Iterator[Repair]:
    """Each convention, read the other way, that leaves nothing to find."""
    for key, value, words, change in _readings(given):
        try:
            trial = change(table)
        except InputError:
            continue
        depth = float(value) if key == "depth" else given.depth
        if not (*long_wave_findings(trial, depth), *side_findings(trial)):
            yield Repair(key, value, words)
    shallow = _depth_of(table) if given.depth is None and judged(table) else None
    if (
        shallow is not None
        and shallow >= 5.0
        and not (*long_wave_findings(table, shallow), *side_findings(table))
    ):
        yield Repair("depth", f"{shallow:.6g}", f"a water depth of about {shallow:.2g}\u00a0m")


def _readings(given: ResponseConventions) -> Iterator[tuple[str, str, str, Change]]:
    """The other reading of each convention: field, value, words and what it does to the table."""
    other = {"lead": "lag", "lag": "lead"}.get(given.phase or "lead", "lag")
    turn = {"crest": 0.0, "trough": np.pi, "rise": np.pi / 2, "fall": -np.pi / 2}
    zero = given.phase_zero or "crest"
    yield "phase", other, f"phases as {other}s", lambda t: _turned(_conjugate(t), 2 * turn[zero])
    head = "0" if (given.head_sea or "180") == "180" else "180"
    yield "head_sea", head, f"a head sea at {head}°", _head_for_following
    for sign, first, second in (
        ("heave", "up", "down"),
        ("pitch", "bow down", "bow up"),
        ("roll", "starboard down", "port down"),
    ):
        value = second if (getattr(given, sign) or first) == first else first
        yield sign, value, f"{sign} positive {value}", _scaled(**{sign: -1.0})
    side = "port" if (given.side or "starboard") == "starboard" else "starboard"
    yield "side", side, f"waves at 90° from {side}", _other_side
    for moment, angle in turn.items():
        if moment != zero:
            words = f"phases counted from the wave's {moment}"
            yield "phase_zero", moment, words, lambda t, a=angle - turn[zero]: _turned(t, a)  # type: ignore[misc]
    per, factor = ("wave amplitude", 0.5) if given.per == "wave height" else ("wave height", 2.0)
    yield "per", per, f"motions per {per}", _scaled(heave=factor, roll=factor, pitch=factor)
    yield from _other_units(given)


def _other_units(given: ResponseConventions) -> Iterator[tuple[str, str, str, Change]]:
    """Rotations in another unit, and another water depth."""
    per = {"deg/m": np.pi / 180, "rad/m": 1.0, "deg/ft": np.pi / 180 / 0.3048, "rad/ft": 1 / 0.3048}
    now = given.rotation or "deg/m"

    def slope(table: ResponseTable) -> FloatArray:
        return wave_number(table.omega, given.depth)

    for unit in (*per, "wave slope"):
        if unit != now:
            yield (
                "rotation",
                unit,
                f"roll and pitch in {unit}",
                lambda t, u=unit: _times(  # type: ignore[misc]
                    t,
                    (slope(t) if u == "wave slope" else per[u])
                    / (slope(t) if now == "wave slope" else per[now]),
                ),
            )
    if given.depth is not None:
        for depth in (given.depth * 0.3048, given.depth / 0.3048):
            if depth >= 5.0:
                yield "depth", f"{depth:.6g}", f"a water depth of {depth:.4g}\u00a0m", lambda t: t


def _times(table: ResponseTable, factor: FloatArray | float) -> ResponseTable:
    return replace(table, roll=table.roll * factor, pitch=table.pitch * factor)


def _scaled(**factors: float) -> Change:
    return lambda table: replace(table, **{name: getattr(table, name) * one for name, one in factors.items()})


def _turned(table: ResponseTable, angle: float) -> ResponseTable:
    turn = np.exp(1j * angle)
    return replace(table, heave=table.heave * turn, roll=table.roll * turn, pitch=table.pitch * turn)


def _conjugate(table: ResponseTable) -> ResponseTable:
    return replace(table, heave=np.conj(table.heave), roll=np.conj(table.roll), pitch=np.conj(table.pitch))


def _head_for_following(table: ResponseTable) -> ResponseTable:
    return _at(table, np.mod(180.0 - table.heading, 360.0))


def _other_side(table: ResponseTable) -> ResponseTable:
    if table.symmetric:
        return replace(table, roll=-table.roll)
    return _at(table, np.mod(360.0 - table.heading, 360.0))


def _at(table: ResponseTable, heading: FloatArray) -> ResponseTable:
    """The table with its rows at other headings."""
    order = np.argsort(heading)
    parts = {name: getattr(table, name)[order] for name in ("heave", "roll", "pitch")}
    return replace(table, heading=heading[order], **parts)
