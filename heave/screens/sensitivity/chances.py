"""Plans drawn at random on the page: a run beside it with progress and cancel, and what came of it."""

from __future__ import annotations

import math
from functools import partial

import streamlit as st

from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN, unjudged_path
from heave.planning import Plan
from heave.screens import every_page, job, pieces, state
from heave.screens.figures.monte_carlo import MOST_SHARES, running_figure, shares_figure
from heave.screens.figures.tables import of_shares
from heave.screens.inputs import button, inside, plain, sentence
from heave.screens.weather.table import Rows, save
from heave.studies.contributions import ESTIMATOR
from heave.studies.monte_carlo import INTERVAL, Exceedance, MonteCarlo, monte_carlo
from heave.units import per_cent, round_number
from heave.weather.evaluation import Progress

_PAGE, _DONE = "study", "study:result"


def draw() -> None:
    """The button, or how far the run is; and the last result."""
    st.caption(
        "All inputs that are varied are drawn together, each over its range, and every plan drawn is judged. "
        "Inputs other than height and period of the sea are taken as independent of each other."
    )
    if job.running(_PAGE, "", _keep):
        return
    study = state.plan().study
    words = f"Draw {round_number(study.samples)} plans, seed {study.seed}"
    button(words, "study:run", _begin, type="primary")
    done: MonteCarlo | None = state.kept(_DONE)
    if done is not None:
        _show(done)


def _begin() -> None:
    plan = state.plan()
    state.keep(_DONE, None)
    job.begin(_PAGE, f"{plan.study.samples} plans", partial(drawn, plan))


def drawn(plan: Plan, progress: Progress) -> MonteCarlo:
    """The plans drawn, telling how far it is."""
    return monte_carlo(plan, progress=progress)


def _keep(_: str, found: MonteCarlo) -> None:
    state.keep(_DONE, found)


def verdict_of(whole: Exceedance) -> str:
    """The word for a chance: over a limit in half of the plans or more, near in any, not assessed where any is not."""
    if 2 * whole.over >= whole.samples:
        return OVER
    if whole.unknown:
        return NOT_ASSESSED
    return NEAR if whole.over else WITHIN


def headline_words(result: MonteCarlo) -> str:
    """The chance that any check is exceeded, in a few words."""
    whole = result.exceedances[0]
    if whole.unknown == whole.samples:
        return "Not assessed"
    least = "at least " if whole.unknown else ""
    return f"Over a limit in {least}{percent(whole.share)} of the plans"


def percent(share: float) -> str:
    """A share in per cent, to two figures."""
    least = min(share, 1 - share)  # 99.98 % is not 100 %
    if least <= 0:
        return per_cent(share)
    return per_cent(share, max(0, 1 - math.floor(math.log10(100 * least))))


def interval_words(row: Exceedance) -> str:
    """The interval of a chance."""
    return f"{percent(row.interval.low if row.over else 0.0)} to {percent(row.interval.high)}"


def label(result: MonteCarlo) -> str:
    """What stands under every figure: plan, number, seed, draws of the equipment."""
    shared = result.equipment not in (0, result.size)
    drawn = f", {result.equipment} draws of the equipment" if shared else ""
    return f"{result.plan.name}: {result.size} plans drawn, seed {result.plan.study.seed}{drawn}"


def _show(result: MonteCarlo) -> None:
    if result.plan.as_studied != state.plan().as_studied:
        st.warning("The plan has changed since: draw again for the plan as it is now.")
    whole = result.exceedances[0]
    lines = (
        f"95\u00a0% interval {interval_words(whole)}; not assessed in {percent(whole.unknown / whole.samples)}.",
        f"{label(result)}.",
        *filter(None, (unjudged_path(result.plan),)),
    )
    every_page.verdict(verdict_of(whole), headline_words(result), "  \n".join(map(plain, lines)))
    head, rows, under = table(result)
    pieces.wide_table("chances", head, rows, plain(under))
    save(check_rows(result), "chances", "chances.csv", "Save the chances (CSV)")
    st.subheader("How the chance settles")
    words = "Share of the plans drawn that is over a limit, with its interval, as more are drawn"
    drawn = running_figure(result.running, every_page.look())
    pieces.chart(drawn, "running", words, name="How the chance settles")
    st.caption(plain(f"{INTERVAL} {label(result)}."))
    st.subheader("Which input brings it about")
    _contributions(result)
    if result.notes:
        st.subheader("Notes")
        every_page.cautions(result.notes)


def table(result: MonteCarlo) -> tuple[tuple[str, ...], list[tuple[str, ...]], str]:
    """Head and rows of the checks that are exceeded or unknown in some plan; under it those that never are."""
    shown = [row for row in result.exceedances if row.over or 0 < row.unknown < row.samples]
    shown = shown or [result.exceedances[0]]
    never = [row for row in result.exceedances if not row.over and not row.unknown]
    blank = [row for row in result.exceedances if row.unknown == row.samples]
    head = ("Check", "Over its limit", "95\u00a0% interval", "Not assessed")
    rows: list[tuple[str, ...]] = []
    for row in shown:
        cells = (row.name, percent(row.share), interval_words(row), percent(row.unknown / row.samples))
        rows.append(tuple(map(plain, cells)))
    under = []
    if never:
        names = "; ".join(inside(row.name) for row in never)
        most = max(row.interval.high for row in never)
        under.append(f"In none of the plans, at most {percent(most)} (95\u00a0%): {names}.")
    if blank:
        under.append(f"Not assessed in any: {'; '.join(inside(row.name) for row in blank)}.")
    return head, rows, " ".join(under)


def _contributions(result: MonteCarlo) -> None:
    contributed = result.contributions
    known = [(one.input.about.label, *share) for one, share in contributed if not math.isnan(share.share)]
    if known:
        drawing, made = shares_figure(known, every_page.look()), partial(of_shares, known[:MOST_SHARES])
        pieces.picture(drawing, "Which input brings it about", made)
    else:
        st.markdown("The highest utilisation does not vary, so nothing brings it about.")
    what = "the ranks of the highest utilisation" if result.on_ranks else "the highest utilisation"
    st.caption(
        plain(
            f"Share of the variance of {what} that each input brings by itself, with its standard error; what is left "
            f"of 100\u00a0% comes from inputs together. {ESTIMATOR} {label(result)}."
        )
    )
    if result.held:
        left = ", ".join(inside(one.about.label) for one in result.held)
        st.caption(plain(f"Not varied, taken as planned: {left}."))
    save(share_rows(result), "shares", "contributions.csv", "Save the contributions (CSV)")


def check_rows(result: MonteCarlo) -> Rows:
    """The chances as a table, each row with seed and number of samples."""
    return [
        {
            "Check": row.name,
            "Over its limit": f"{row.share:.6g}",
            "Interval low": f"{row.interval.low:.6g}",
            "Interval high": f"{row.interval.high:.6g}",
            "Not assessed": f"{row.unknown / row.samples:.6g}",
            **_labels(result),
        }
        for row in result.exceedances
    ]


def share_rows(result: MonteCarlo) -> Rows:
    """The contributions as a table, with the range of each input in SI, seed and number of samples."""
    return [
        {
            "Input": sentence(one.input.about.label),
            "Share of variance": f"{share.share:.6g}",
            "Standard error": f"{share.error:.6g}",
            "Spread": one.shape,
            "Low end, SI": f"{one.low:.9g}",
            "High end, SI": f"{one.high:.9g}",
            "Range from": one.source,
            **_labels(result),
        }
        for one, share in result.contributions
    ]


def _labels(result: MonteCarlo) -> dict[str, str]:
    study, correlation = result.plan.study, result.plan.study.period_correlation
    return {
        "Plan": result.plan.name,
        "Samples": str(result.size),
        "Draws of the equipment": str(result.equipment),
        "Seed": str(study.seed),
        "Rank correlation Hs, Tp": "" if correlation is None else f"{correlation:g}",
    }
