"""The morning sheet: what the windows, the next two days and the settings are, on one page of paper."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from heave.arrays import FloatArray, Indices, IntArray, Times
from heave.errors import InputError
from heave.judging import Assessment
from heave.judging.checks import VERDICTS
from heave.planning import MODEL_DATE, MODEL_VERSION, Plan
from heave.screens.check.tiles import WOB_TILE, tile_texts
from heave.screens.figures.bow import bow_cell
from heave.screens.figures.strips import cells_of
from heave.screens.figures.two_days import two_days_figure
from heave.screens.figures.utilisation import utilisation_text
from heave.screens.inputs import inside
from heave.screens.pieces import Tile
from heave.screens.printing import OTHERS
from heave.screens.weather import ensemble, summary
from heave.screens.weather.changes import AHEAD, changes, coming
from heave.screens.weather.clock import Clock, hours, span_words
from heave.screens.weather.sheet_steps import UNKNOWN, Row, steps_of
from heave.screens.weather.summary import Headline
from heave.units import counted, per_cent, unit_of
from heave.weather import EnsembleResult, Forecast, WindowResult
from heave.weather.headings import off_bow
from heave.weather.results import seconds
from heave.weather.site_limits import NAMES

BANDS: Final = 6
"""Most steps that have a band of their own in the picture."""

_FOR_LATER: Final = ("Set pressure, gauge", "Start position", WOB_TILE)
"""What is told of the settings of steps after the first."""


@dataclass(frozen=True)
class Hour:
    """One hour of the sheet: its cells under the head, and the state of the step it is told for."""

    cells: Row
    state: str


@dataclass(frozen=True)
class Sheet:
    """All that stands on the sheet, as text; `headline` alone is Markdown.

    Parameters
    ----------
    plan, forecast : what was asked, in a line each
    present : the present time, and the age of the forecast
    headline : the answer
    steps_head, steps : when each step starts and stops, for the next window
    picture : the next two days as SVG
    hours_head, hours : the next two days
    legend : what the columns and marks of the hours mean
    settings : what to set, for the step and the hour named in `settings_for`
    later : what to set for the steps after it
    sure : what governs, and how sure it is
    changed : what is other than in the forecast before
    elsewhere : what is not judged here, and who decides
    footer : sources and versions
    """

    plan: str
    forecast: str
    present: str
    headline: Headline
    steps_head: Row
    steps: tuple[Row, ...]
    picture: str
    hours_head: Row
    hours: tuple[Hour, ...]
    legend: str
    settings_for: str
    settings: tuple[Tile, ...]
    later: tuple[str, ...]
    sure: tuple[str, ...]
    changed: tuple[str, ...]
    elsewhere: tuple[str, ...]
    footer: tuple[str, ...]


def sheet_of(
    result: WindowResult,
    clock: Clock,
    system: str,
    worst_hours: Sequence[Assessment | InputError],
    before: WindowResult | None = None,
    chance: EnsembleResult | None = None,
) -> Sheet:
    """The sheet of one forecast.

    Parameters
    ----------
    result : the windows
    clock : zone of local times
    system : unit system
    worst_hours : the plan doing each step in the hour of its `worst_sample`, for the settings, or why there are none
    before : the windows by the forecast that was used before this one
    chance : the windows of the ensemble that the forecast is a member of
    """
    plan = result.plan
    places = list(_by_the_hour(result))
    return Sheet(
        plan=f"{plan.name} · {plan.vessel.name} · {plan.compensator.name}",
        forecast=f"{result.forecast.name}: {clock.stamp(result.forecast.times[0])} to "
        f"{clock.both(result.forecast.times[-1])}, a value every {hours(result.forecast.step)}",
        present=_present(result, clock),
        headline=_headline(result, clock, chance),
        steps_head=("Step", "Start", "Planned end", "Contingency used", "Begin making safe by", "Then"),
        steps=steps_of(result, clock),
        picture=_picture(result, clock, system),
        hours_head=_hours_head(result, system),
        hours=tuple(_hour(result, place, clock, system) for place in places),
        legend=_legend(result),
        settings_for=_settings_for(result, clock),
        settings=() if isinstance(worst_hours[0], InputError) else tuple(tile_texts(worst_hours[0], system)),
        later=_later(worst_hours, system),
        sure=_sure(result, clock, chance, worst_hours[0]),
        changed=changes(before, result, clock, system),
        elsewhere=_elsewhere(result),
        footer=_footer(result),
    )


def _headline(result: WindowResult, clock: Clock, chance: EnsembleResult | None) -> Headline:
    """The answer: of an ensemble that of all its members, as on the page, and never that of one of them."""
    if chance is None:
        return summary.headline(result, clock)
    return ensemble.headline(chance, clock, result.outlook.now)


def _present(result: WindowResult, clock: Clock) -> str:
    """Now, and how old the forecast is."""
    outlook = result.outlook
    said = f"Now {clock.both(outlook.now)}, {clock.local(outlook.now).year}"
    if outlook.age is None or outlook.age < 0:
        return f"{said}; age of the forecast not known" if outlook.age is None else said
    return f"{said}; forecast {span_words(outlook.age)} old"


def _picture(result: WindowResult, clock: Clock, system: str) -> str:
    """Sea, heave and the state of each step over the coming hours."""
    places, now = coming(result), result.outlook.now
    unit = unit_of("length", system)
    begin, end = cells_of(result.forecast)
    first = result.steps[0]
    days = zip(*clock.days(now, now + np.timedelta64(AHEAD, "h")), strict=True)
    ticks = [(seconds(at - now) / 3600, words.replace("<br>", " ")) for at, words in days]
    return two_days_figure(
        _after(begin[places], now),
        _after(end[places], now),
        (
            ("Hs", result.forecast.batch.hs[places] / unit.factor, unit.symbol),
            ("heave, dashed", 4 * first.plain.heave_sigma[places] / unit.factor, unit.symbol),
        ),
        _bands(result, places),
        [
            (seconds(window.start - now) / 3600, seconds(window.latest_start - now) / 3600)
            for window in summary.ahead(result)
            if seconds(window.start - now) < AHEAD * 3600
        ],
        [(0.0, "now"), *(tick for tick in ticks if tick[0] > 3)],
        AHEAD,
        f"Sea, heave and the state of each step over the next {AHEAD} h; the table below has the numbers.",
        _arrows(result, places),
    )


def _arrows(result: WindowResult, places: IntArray) -> list[tuple[float, float]]:
    """The wind every few hours: hours after the present time, and its angle off the bow; nothing where unknown."""
    way, found = result.forecast.wind_direction_from, list[tuple[float, float]]()
    if way is None:
        return found
    for place in places.tolist():
        when = result.forecast.times[place]
        hour = seconds(when - result.outlook.now) / 3600
        if hour >= 0 and not np.isnan(way[place]) and (not found or hour - found[-1][0] >= 3):
            bow = result.bow(_step_at(result, when))[place]
            found.append((hour, float(off_bow(way[place], bow))))
    return found


def _bands(result: WindowResult, places: Indices) -> list[tuple[str, list[str]]]:
    """The state of each step at the coming samples; of many steps that of the one under way."""
    states = [np.array(step.reduced.verdicts(result.plan.caution_level)) for step in result.steps]
    if len(states) <= BANDS:
        named = zip(result.steps, states, strict=True)
        return [(step.step.label, found[places].tolist()) for step, found in named]
    under_way = [str(states[_step_at(result, result.forecast.times[at])][at]) for at in places]
    return [("step under way", under_way)]


def _after(times: Times, now: np.datetime64) -> FloatArray:
    """Hours after the present time, never before it."""
    return np.maximum((times - now).astype(np.float64) / 3600, 0.0)


def _by_the_hour(result: WindowResult) -> Iterator[int]:
    """One sample of each hour that has any: where they are closer, the worst for the step it is told for; one that is
    not assessed is the worst.
    """
    places, times = coming(result), result.forecast.times
    states = [step.reduced.verdicts(result.plan.caution_level) for step in result.steps]

    def bad(place: int) -> tuple[int, float]:
        step = _step_at(result, times[place])
        used = float(result.steps[step].reduced.governing[place])
        return VERDICTS.index(states[step][place]), np.inf if np.isnan(used) else used

    hour = (times[places] - result.outlook.now) // np.timedelta64(1, "h")
    for one in np.unique(hour):
        yield max(places[hour == one].tolist(), key=bad)


def _hours_head(result: WindowResult, system: str) -> Row:
    metre = unit_of("length", system).symbol
    forecast = result.forecast
    wind: Row = () if forecast.wind_speed is None else (f"Wind {unit_of('speed', system).symbol}",)
    # either tells the wind's own direction, and a page has no room for both
    bow: Row = ("Bow °",) if np.ptp(result.heading) > 0 else ()
    if forecast.wind_direction_from is not None:
        bow = (*(bow or ("Wind from °",)), "Off bow °")
    step = ("Step",) if len(result.steps) > 1 else ()
    return ("Time", f"Hs {metre}", "Tp s", f"Heave {metre}", *wind, *bow, *step, "Governs", "Used")


def _hour(result: WindowResult, place: int, clock: Clock, system: str) -> Hour:
    forecast, at = result.forecast, _step_at(result, result.forecast.times[place])
    judged = result.steps[at]
    metre, table = unit_of("length", system).factor, judged.reduced
    used = float(table.governing[place])
    cells = [clock.brief(forecast.times[place])]
    cells += [_number(float(forecast.batch.hs[place]) / metre, 1), _number(_main_period(forecast, place), 0)]
    cells.append(_number(4 * float(judged.plain.heave_sigma[place]) / metre, 1))
    if forecast.wind_speed is not None:
        cells.append(_number(float(forecast.wind_speed[place]) / unit_of("speed", system).factor, 0))
    bow, turns = float(result.bow(at)[place]), np.ptp(result.heading) > 0
    if turns:
        cells.append(f"{bow:.0f}")
    if forecast.wind_direction_from is not None:
        way = float(forecast.wind_direction_from[place])
        cells += [] if turns else [_number(way, 0)]
        cells.append(UNKNOWN if np.isnan(way) else bow_cell(float(off_bow(way, bow))))
    if len(result.steps) > 1:
        cells.append(str(at + 1))
    known = not np.isnan(used)
    cells.append(NAMES[table.keys[int(table.governed_by[place])]] if known else "")
    cells.append(utilisation_text(used) if known else UNKNOWN)
    return Hour(tuple(cells), table.verdicts(result.plan.caution_level)[place])


def _step_at(result: WindowResult, when: np.datetime64) -> int:
    """The step under way at a time if the next window is begun as early as it can be; before and after, the nearest."""
    starts = [step.start for step in result.schedule]
    return max(sum(1 for start in starts if start <= when) - 1, 0)


def _main_period(forecast: Forecast, place: int) -> float:
    """Tp of the highest of the wave systems; NaN where the sea is not known or calm."""
    slots = [slot for slot in forecast.batch.slots if slot.hs[place] > 0]
    highest = max(slots, key=lambda slot: float(slot.hs[place]), default=None)
    return float(getattr(highest, "tp", {place: np.nan})[place]) if highest is not None else np.nan


def _number(value: float, decimals: int) -> str:
    return UNKNOWN if np.isnan(value) else f"{value:.{decimals}f}"


def _legend(result: WindowResult) -> str:
    closer = " The worst of each hour is told." if result.forecast.step < 3600 else ""
    step = " of the step under way if begun as above" if len(result.steps) > 1 else ""
    factor = "with α applied" if result.alpha.applied else "in the sea as forecast"
    wind = " Off bow: angle of the wind to the bow, P port, S starboard; its arrows have the bow up."
    blown = wind if result.forecast.wind_direction_from is not None else ""
    return (
        f"Tp of the highest wave system; heave is the significant double amplitude at the hoist. The check that "
        f"governs{step}, and its use of the limit, 1 is full, {factor}. Picture: plain within, dotted near, hatched "
        f"over a limit, empty not assessed.{blown}{closer}"
    )


def worst_sample(result: WindowResult, step: int = 0) -> int:
    """The coming sample in which a step is used most, or where nothing says that the one with the highest sea: the hour
    that its settings are told for.

    Raises
    ------
    InputError
        If the forecast has no hour from the present time on.
    """
    places = coming(result)
    if not places.size:
        raise InputError("forecast", f"none of the next {AHEAD} h", None, "one that goes on from now")
    used, height = result.steps[step].reduced.governing[places], result.forecast.batch.hs[places]
    first = height if np.isnan(used).all() else used
    return int(places[np.argmax(np.nan_to_num(first, nan=-1.0))])


def _later(worst_hours: Sequence[Assessment | InputError], system: str) -> tuple[str, ...]:
    """What to set for the steps after the first, steps that share it together."""
    same: dict[str, list[str]] = {}
    for number, found in enumerate(worst_hours[1:], start=2):
        tiles = [] if isinstance(found, InputError) else tile_texts(found, system)
        told = [f"{inside(title)} {figure}" for title, figure, _ in tiles if title in _FOR_LATER]
        same.setdefault(", ".join(told) or "nothing to set, or not known", []).append(str(number))
    return tuple(
        f"{'Step' if len(steps) == 1 else 'Steps'} {', '.join(steps)}: {words}"
        for words, steps in same.items()
    )


def _settings_for(result: WindowResult, clock: Clock) -> str:
    label = result.campaign.steps[0].label
    if not coming(result).size:
        return f"{label}: the forecast has no hour of the next {AHEAD} h"
    when = clock.both(result.forecast.times[worst_sample(result)])
    return f"{label}, in the worst hour of the next {AHEAD} h as forecast, {when}"


def _sure(
    result: WindowResult, clock: Clock, chance: EnsembleResult | None, worst: Assessment | InputError
) -> tuple[str, ...]:
    """What governs the next window and how sure that is."""
    lines: list[str] = []
    windows = summary.ahead(result)
    if windows:
        (used, closest), _ = summary.reached(result, windows[0])
        lines.append(f"Least margin in the window: {per_cent(1.0 - used, 1)}, {inside(NAMES[closest])}.")
    if isinstance(worst, InputError) and coming(result).size:
        lines.append(f"No settings: {worst}.")
    if result.alpha.applied:
        lines.append(f"Forecast factor α by lead time: {result.alpha.source}.")
        if result.lost_to_factor:
            lost = counted(len(result.lost_to_factor), "window")
            lines.append(f"{lost} more if the forecast were exact.")
    else:
        lines.append("No forecast factor: the forecast is taken to be exact.")
    if chance is not None:
        lines += [_chance(chance, result, clock)]
        lines.append(f"Steps, hours and settings are of its highest sea to come: {result.forecast.name}.")
    return tuple(lines)


def _chance(chance: EnsembleResult, result: WindowResult, clock: Clock) -> str:
    """In how many members of an ensemble the campaign can start now."""
    times, count = chance.ensemble.times, len(chance.ensemble.members)
    now = min(max(result.outlook.now, times[0]), times[-1])
    return f"Can start at {clock.brief(now)} in {chance.members_at(now)} of {count} members."


def _elsewhere(result: WindowResult) -> tuple[str, ...]:
    """What is not judged here and who decides it, each said once."""
    every = [words for step in result.campaign.steps for words in step.operation.about.elsewhere]
    return (*dict.fromkeys(every), *summary.unjudged(result), *OTHERS)


def _footer(result: WindowResult) -> tuple[str, ...]:
    plan: Plan = result.plan
    return (
        f"Extremes over {plan.exposure / 3600:g} h at an accepted risk of {plan.risk:g}; every check with its formula "
        "and source stands on the pages Compensator check and Method and sources.",
        f"Limits of the operation: {plan.operation.limits_from or 'as entered in the plan'}.",
        f"Model {MODEL_VERSION} of {MODEL_DATE}.",
    )
