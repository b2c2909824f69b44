"""Text of the method page about weather windows; every number in it is read from the code that uses it."""

from __future__ import annotations

from typing import Final

from heave.planning import AS_NEW, BASE_CASE
from heave.planning.alpha import HEIGHTS
from heave.planning.campaign import RESTRICTED_PLANNED, RESTRICTED_REFERENCE
from heave.screens.pieces import markdown_table
from heave.weather.asked import TIDE_STEP
from heave.weather.headings import HEADING_STEP
from heave.weather.work_now import LEAST_PIECE


def _rows() -> str:
    """The built-in rows of α as a Markdown table."""
    head = ("Planned period up to", *(f"Hs {height:g} m" for height in HEIGHTS))
    rows = (
        (f"{row.period / 3600:g} h", *(f"{factor:.2f}" for factor in row.factors)) for row in BASE_CASE.rows
    )
    return markdown_table((*head[:-1], f"{head[-1]} and more"), rows)


CHAPTERS: Final = (
    (
        "Weather windows",
        "- Every sample of the forecast, with all its wave systems, goes through every check of the operation: no "
        "fixed height stands for a limit. A sample is inside when every required check could be made and the highest "
        "utilisation is below 1.\n"
        "- Both ends of a window are inside. Between two samples it holds only if both do, and never across a gap. A "
        "sea that is missing, or not assessed, never counts as inside.\n"
        "- $T_R = T_{POP} + T_C$, planned plus contingency time; contingency that is not assessed is as long as the "
        "planned time. Step after step, the limits must hold from the earliest a step can begin to the latest it can "
        f"end. A forecast decides only operations planned for less than {RESTRICTED_PLANNED / 3600:g} h with $T_R$ "
        f"below {RESTRICTED_REFERENCE / 3600:g} h (DNV-OS-H101, ISO 19901-6; from memory).\n"
        "- A wait may stand only between two steps that can both be interrupted. Until the rig is made safe the "
        "step's own limits hold, from then on those of the state it waits in. The point of no return is the start of "
        "the first step that cannot be stopped. One that can has a last moment to begin making safe: the time that "
        "takes before its limits end.\n"
        f"- Work in pieces: a step that can be stopped is worked until that moment, and again where at least "
        f"{LEAST_PIECE / 3600:g} h, or getting back and securing, is left; getting back takes as long as making "
        "safe. Each piece is confirmed by itself, from when the rig begins to get back to it.\n"
        "- Tide: half a cosine from high to low water (common practice), or the column of the forecast. At each hour "
        "the most it can have moved since the step can have been spaced out counts, up to the next step of "
        f"{TIDE_STEP:g} m or an eighth of its range.\n"
        "- Wind, gusts, current and the riser's own Hs and offset are held to the rig's limits for the step; α lowers "
        "the riser's Hs and nothing else of these.\n"
        "- A window ends at the first sample that does not hold. The wave system named is the one without which the "
        "highest utilisation falls most.\n"
        f"- Best heading: each {HEADING_STEP:g}° is tried at each sample, and the sequence with the fewest samples "
        "outside, then the lowest utilisations, is found by dynamic programming under the largest turn per hour "
        f"({AS_NEW.turn_rate:g}° unless given; invented), from the present heading. Wind and current do not count; the "
        "wind is drawn against the bow: it is from its direction and a current sets to its own, unless the file says "
        "otherwise (common practice).\n"
        "- A period of unknown kind is in each hour that with the worst governing check, of any step or wait, on the "
        "plan's heading or, where the vessel may choose, on any in its sector.\n"
        "- Members of an ensemble are searched one by one; shares are counts of members, not calibrated probabilities. "
        f"A window is where each start works in at least {100 * AS_NEW.needed:.0f} % of them, unless another share is "
        "picked.\n"
        "- Hindcast: the same rules on years of seas. The wait at a sample is the time to the next start; P50 and P90 "
        "are the waits not exceeded in half and in nine tenths of the samples. Windows are counted in the series "
        "itself: fitted persistence laws have been found far too long against data.\n"
        "- A value every 3 h or 6 h hides short times over a limit.",
    ),
    (
        "Forecast factor α",
        "A forecast can be wrong, so the wave height an operation stands is lowered, "
        "$H_{forecast} \\le \\alpha(H)\\,H$, before the forecast is compared with it. "
        "The checks are not linear in height, so they are made again in the "
        "sea raised, all systems together and periods held, to the height $H$ with $\\alpha(H)\\,H$ equal to the "
        f"forecast.\n\n{_rows()}\n\n"
        f"Source: {BASE_CASE.source}. Between the heights α is linear; it is constant outside them. At each hour the "
        "shortest row that covers its lead time counts: from the issue of the forecast (its first time where the file "
        "does not say) to that hour. What can be stopped counts no more than the time between two forecasts, "
        f"{AS_NEW.forecast_interval / 3600:g} h unless given, plus its time to make safe; what cannot is planned from "
        "the issue to its end (DNV-ST-N001 2.6.9 and 2.6.10, from secondary sources, not read in the standard). Hours "
        "beyond the longest row take that row, and a window in them is to be confirmed by a later forecast. "
        f"**Limits:** no row is built in for more than {BASE_CASE.rows[-1].period / 3600:g} h: for what is planned for "
        "longer both answers are shown, with the longest row and without any, and neither is to be relied on until its "
        "row is entered; the base case knows no monitoring, no alternative forecasts and no other sea area. Whoever "
        "holds the standard should check the numbers and enter their own.",
    ),
)
"""Headings and text."""
