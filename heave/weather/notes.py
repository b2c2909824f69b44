"""What a search for windows says about itself: the rules it used and the cautions that come with them."""

from __future__ import annotations

from heave import fields
from heave.judging import lacks_response, unconfirmed
from heave.planning import Campaign, Operation, Plan
from heave.planning.task import Task, plan_for
from heave.units import counted, significant
from heave.weather.forecast import Forecast
from heave.weather.schedule import row_needed


def notes_for(plan: Plan, forecast: Forecast) -> tuple[str, ...]:
    """Rules and cautions of one search, in words.

    Parameters
    ----------
    plan, forecast : what was asked
    """
    campaign, asked = plan.campaign, plan.weather
    notes = [_period(campaign), *_factor(plan, forecast), *_restricted(campaign), *_step(forecast)]
    best = f"the best of every 10°, turning at most {asked.turn_rate:g}° an hour; wind is not considered."
    own = [f"{step.label} {step.heading:g}°" for step in campaign.steps if step.heading is not None]
    notes += [
        f"Heading: {best if asked.heading == 'best' else f'{plan.heading:g}° throughout.'}"
        + (f" Steps with their own: {', '.join(own)}." if own else ""),
        f"Extremes are over the plan's exposure of {plan.exposure / 3600:g}\u00a0h in each sample's own sea, or T_R of "
        "a step where that is shorter, or the step's own time at risk; exceeded once in "
        f"{significant(1 / plan.risk)} such times.",
    ]
    if any(step.reference > (step.exposure or plan.exposure) for step in campaign.steps):
        notes.append(
            "T_R is longer than the exposure: in a sea that stays near the limit, the chance of exceeding an extreme "
            "over the whole operation is larger than the accepted risk."
        )
    notes += cannot_judge(plan, campaign)
    if any(block.steps[-1].waits_in is None for block in campaign.blocks[:-1]):
        silent = "where the step does not say what it waits in"
        notes.append(f"While the rig waits between steps nothing is checked {silent}.")
    return tuple(notes)


def _period(campaign: Campaign) -> str:
    planned, whole = sum(step.planned for step in campaign.steps) / 3600, campaign.reference / 3600
    words = f"T_R = {planned:g}\u00a0h planned + {whole - planned:g}\u00a0h contingency = {whole:g}\u00a0h"
    if any(step.contingency is None for step in campaign.steps):
        words += "; contingency that was not assessed is taken as long as the planned time"
    return words + "."


def _factor(plan: Plan, forecast: Forecast) -> list[str]:
    asked, campaign = plan.weather, plan.campaign
    alpha = asked.alpha
    if not alpha.applied:
        return ["No forecast factor: the forecast is taken to be exact."]
    silent = "its first time, for the file does not say when it was issued"
    since = silent if forecast.issued is None else "its issue"
    notes = [
        f"Forecast factor α at the design height, by lead time: from {since}, to the hour in question (DNV-ST-N001 "
        f"2.6.9 and 2.6.10, from secondary sources, not read in the standard). Source of the rows: {alpha.source}.",
        f"Beyond the longest row, {alpha.longest / 3600:g}\u00a0h, that row is used and a later forecast must confirm.",
    ]
    if any(block.can_halt for block in campaign.blocks):
        notes.append(
            f"What can be stopped is planned from one forecast to the next, {asked.forecast_interval / 3600:g}\u00a0h, "
            "plus its time to make safe: no longer lead time counts for it."
        )
    for block in campaign.blocks:
        needed = row_needed(plan, block)
        if needed > alpha.longest:
            label = block.steps[0].label
            notes.append(f"{label}: no row of α for {needed / 3600:g}\u00a0h; not to be relied on.")
    return notes


def _restricted(campaign: Campaign) -> list[str]:
    if all(block.weather_restricted for block in campaign.blocks):
        return []
    return [
        "Planned for 72\u00a0h or more, or T_R of 96\u00a0h or more: not a weather-restricted operation, so a forecast "
        "does not decide it (DNV-OS-H101, from memory)."
    ]


def _step(forecast: Forecast) -> list[str]:
    notes = []
    if forecast.step > 3600.0:
        notes.append(
            f"The forecast has a value every {forecast.step / 3600:g}\u00a0h: a short time over a limit between two of "
            "them does not show."
        )
    missing = int(forecast.missing.sum())
    if missing:
        notes.append(f"{missing} of {forecast.size} samples have no sea; no window holds there.")
    gaps = int(forecast.gap_after.sum())
    if gaps:
        which = "it" if gaps == 1 else "one"
        notes.append(f"{counted(gaps, 'gap')} in the series; no window crosses {which}.")
    return notes


def cannot_judge(plan: Plan, campaign: Campaign) -> list[str]:
    """What is not given, a limit, a response or a confirmation: nothing holds without it.

    Parameters
    ----------
    plan, campaign : what was asked
    """
    notes: list[str] = []
    for step in campaign.steps:
        own = plan_for(plan, Task.of(step, plan))
        if asked := unconfirmed(own):
            notes.append(f"Nothing is assessed and there is no window: {asked}.")
        motions = lacks_response(own)
        lacking = [fields.about(Operation, name).label for name in step.operation.missing]
        lacking += [f"the vessel's {motion} response" for motion in motions]
        if lacking:
            notes.append(f"{step.label} is not assessed and has no window; it needs: {', '.join(lacking)}.")
    return list(dict.fromkeys(notes))
