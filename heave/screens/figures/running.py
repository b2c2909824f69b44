"""How a probability settles as more plans are drawn."""

from __future__ import annotations

from heave.screens.figures.chart import UNREAD, Chart, faint, figure, line, reading
from heave.screens.figures.look import Look
from heave.studies.monte_carlo import Running


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
