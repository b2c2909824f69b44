"""Plans drawn at random: how a probability settles, and how much of the spread each input brings by itself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from heave.screens.figures.chart import UNREAD, Chart, faint, figure, line, reading
from heave.screens.figures.look import Look
from heave.screens.figures.svg import Across, Picture, box, text, upright
from heave.screens.figures.swings import between
from heave.studies.monte_carlo import Running
from heave.units import fixed, per_cent

_ROW, _GUTTER = 40, 96

MOST_SHARES: Final = 10
"""Most inputs that are drawn; the words and the table of the page have them all."""


def shares_figure(rows: Sequence[tuple[str, float, float]], look: Look) -> Picture:
    """The first shares of a variance as bars with their standard error, as SVG.

    Parameters
    ----------
    rows : name, share and standard error of each, in the order drawn
    look : colours
    """
    shown = rows[:MOST_SHARES]
    reach = max((min(share + error, 1.0) for _, share, error in shown), default=1.0) or 1.0

    def at(value: float) -> Across:
        share = min(max(value, 0.0), 1.0) / reach
        return Across(share, -_GUTTER * share)

    parts = []
    for place, (name, share, error) in enumerate(shown):
        y = _ROW * place + 27.0
        parts.append(text(Across(0.0), y - 16, name[:1].upper() + name[1:], look.text))
        parts.append(box(Across(0.0), Across(1.0, -_GUTTER), y - 5, y + 5, look.track))
        parts.append(box(Across(0.0), at(share), y - 5, y + 5, look.sea))
        low, high = at(share - error), at(share + error)
        parts += [upright(end, y - 4, y + 4, look.text, 1.5) for end in (low, high)]
        parts.append(between(low, high, y, 1.5, look.text))
        parts.append(text(Across(1.0, -4), y, share_text(share, error), look.text, anchor="end"))
    words = "; ".join(f"{name} {share_text(share, error)}" for name, share, error in rows)
    return Picture(_ROW * len(shown) + 4, "Contributions", words, *parts)


def share_text(share: float, error: float) -> str:
    """A share in per cent with its standard error."""
    return f"{fixed(100 * max(share, 0.0), 0)} ± {per_cent(max(error, 0.01))}"


def running_figure(running: Running, look: Look) -> Chart:
    """The share of the plans drawn so far that is over a limit, and its 95 % interval."""
    x = running.samples
    told = reading("%", decimals=2)
    band = {"fill": "tonexty", "fillcolor": faint(look.sea, 0.22)}
    traces = [
        line("", look.sea, 1, x=x, y=100 * running.low, **UNREAD),
        line(
            "95\u00a0% interval", look.sea, 1, x=x, y=100 * running.high, **band, hovertemplate="to " + told
        ),
        line("any check over its limit", look.sea, 2.2, x=x, y=100 * running.share, hovertemplate=told),
    ]
    along = {"title": "plans drawn", "rangemode": "tozero"}
    up = {"title": "share over a limit, %", "rangemode": "tozero"}
    return figure(look, traces, height=280, xaxis=along, yaxis=up)
