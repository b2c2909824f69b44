"""The figures beside the answer, and the line that echoes what they were computed for."""

from __future__ import annotations

import numpy as np

from heave.screens.inputs import inside, plain
from heave.screens.pieces import Tile
from heave.screens.weather.clock import Clock, hours, span_words
from heave.screens.weather.summary import ahead, not_covered, reached, wants
from heave.units import per_cent
from heave.weather import Window, WindowResult
from heave.weather.results import seconds
from heave.weather.site_limits import NAMES


def tiles(result: WindowResult, clock: Clock) -> list[Tile]:
    """Figures of the next window and of how things stand now."""
    windows, now = ahead(result), result.outlook.now
    rows: list[Tile] = []
    if windows:
        first, longest = windows[0], max(windows, key=lambda window: window.length)
        begin = max(first.start, now)
        (used, closest), _ = reached(result, first)
        rows.append(("Earliest start", clock.brief(begin), _month(clock, begin)))
        rows.append(_latest(result, first, clock))
        rows.append(("Longest window", hours(longest.length), f"from {clock.stamp(longest.start)}"))
        rows.append(("Margin in the window", per_cent(1.0 - used, 1), f"closest: {inside(NAMES[closest])}"))
        if result.outlook.margin is not None:
            begun = per_cent(result.outlook.margin, 1)
            rows.append(("Margin if begun now", begun, "least of the whole plan, begun now"))
    rows.append(_age(result, clock))
    rows += _now(result)
    whole, planned = result.reference_period, sum(step.planned for step in result.campaign.steps)
    kind = "weather-restricted" if result.weather_restricted else "not weather-restricted"
    under = f"{hours(planned)} planned + {hours(whole - planned)} contingency; {kind}"
    rows.append(("Reference period T_R", hours(whole), under))
    if windows:
        free = "every step can be interrupted"
        under = "after the start: then it must be finished" if windows[0].no_return else free
        rows.append(("Point of no return", _no_return(windows[0]), under))
    return rows


def _latest(result: WindowResult, first: Window, clock: Clock) -> Tile:
    """Latest start that this forecast decides, and the latest if a later one confirms it."""
    firm, latest = first.firm_until, first.latest_start
    if firm is None or firm < result.outlook.now:
        return ("Latest start", clock.brief(latest), "a newer forecast must confirm it")
    later = f"{clock.brief(latest)} if a later forecast confirms it"
    under = later if firm < latest else _month(clock, latest)
    return ("Latest safe start", clock.brief(min(firm, latest)), under)


def _age(result: WindowResult, clock: Clock) -> Tile:
    """How old the forecast is."""
    outlook, issued, title = result.outlook, result.forecast.issued, "Age of the forecast"
    if issued is None or outlook.age is None:
        first = clock.dated(result.forecast.times[0], outlook.now)
        return (title, "not known", f"its file does not say when it was issued; begins {first}")
    made = f"issued {clock.dated(issued, outlook.now)} {clock.name}"
    if outlook.age < 0:
        return (title, "issued after now", made)
    old = outlook.age > result.plan.weather.oldest
    return (title, span_words(outlook.age), made + ("; old" if old else ""))


def _month(clock: Clock, when: np.datetime64) -> str:
    return clock.month(when) if clock.is_utc else f"{clock.month(when)}; {Clock().stamp(when)} UTC"


def _now(result: WindowResult) -> list[Tile]:
    """Hours to the first limit and hours until back within limits, from the present time, for the first step."""
    outlook, limit = result.outlook, result.outlook.limit
    if not outlook.inside and wants(result.plan, result.campaign):
        return [(title, "not assessed", "see above") for title in ("First limit", "Back within limits")]
    if outlook.until_limit is None:
        why = not_covered(result.forecast, outlook.now, outlook.clock) or "the first step is not assessed now"
        first = ("First limit", "not known", why)
    elif not outlook.inside:
        first = ("First limit", "over it now", "the first step is over a limit")
    elif limit is not None and limit.check_name is None:
        first = ("No limit for", hours(outlook.until_limit), f"then {limit.cause}")
    else:
        name = (limit.check_name if limit is not None else None) or ""
        first = ("First limit in", hours(outlook.until_limit), inside(name))
    if outlook.until_back is None:
        back = ("Back within limits", "not in this forecast", "the first step")
    elif outlook.until_back == 0:
        applied = "the first step, α applied" if result.alpha.applied else ""
        back = ("Back within limits", "now", applied)
    else:
        back = ("Back within limits in", hours(outlook.until_back), "the first step, however short")
    return [first, back]


def _no_return(window: Window) -> str:
    if not window.no_return:
        return "none"
    after = [seconds(when - window.start) for when in window.no_return]
    return ", ".join("at the start" if span == 0 else hours(span) for span in after[:3])


def computed_for(result: WindowResult, name: str, clock: Clock) -> str:
    """One line that echoes what the windows were computed for."""
    times = result.forecast.times
    heading = f"heading {result.heading[0]:g}°" if np.ptp(result.heading) == 0 else "best heading"
    steps = "; ".join(
        f"{step.label} {hours(step.planned)} + {hours(step.contingency_used)}"
        + ("" if step.heading is None else f", its own heading {step.heading:g}°")
        for step in result.campaign.steps
    )
    parts = (
        name,
        f"{clock.stamp(times[0])} to {clock.both(times[-1])}",
        f"a value every {hours(result.forecast.step)}",
        steps,
        heading,
        "α applied" if result.alpha.applied else "no α",
        f"now {clock.both(result.outlook.now)}",
        result.plan.name,
        result.plan.vessel.name,
    )
    return "Computed for " + plain(" · ".join(parts))
