"""What a search for windows says about itself: the rules it used and the cautions that come with them."""

from __future__ import annotations

from heave import fields
from heave.judging import lacks_response, unconfirmed
from heave.planning import AlphaTable, Campaign, Operation, Plan
from heave.weather.forecast import Forecast


def notes_for(plan: Plan, forecast: Forecast) -> tuple[str, ...]:
    """Rules and cautions of one search, in words.

    Parameters
    ----------
    plan, forecast : what was asked
    """
    campaign, asked = plan.campaign, plan.weather
    notes = [_period(campaign), _factor(campaign, asked.alpha), *_restricted(campaign), *_step(forecast)]
    best = f"the best of every 10°, turning at most {asked.turn_rate:g}° an hour; wind is not considered."
    notes += [
        f"Heading: {best if asked.heading == 'best' else f'{plan.heading:g}° throughout.'}",
        f"Extremes are over the plan's exposure of {plan.exposure / 3600:g} h in each sample's own sea, exceeded "
        f"once in {1 / plan.risk:.0f} such exposures.",
    ]
    if any(block.reference > plan.exposure for block in campaign.blocks):
        notes.append(
            "T_R is longer than the exposure: in a sea that stays near the limit, the chance of exceeding an extreme "
            "over the whole operation is larger than the accepted risk."
        )
    notes += cannot_judge(plan, campaign)
    if len(campaign.blocks) > 1:
        notes.append(
            "While the rig waits between steps nothing is checked; add a step of waiting to check it."
        )
    return tuple(notes)


def _period(campaign: Campaign) -> str:
    planned = sum(step.planned for step in campaign.steps) / 3600
    contingency = campaign.reference / 3600 - planned
    words = f"T_R = {planned:g} h planned + {contingency:g} h contingency = {campaign.reference / 3600:g} h"
    if any(step.contingency is None for step in campaign.steps):
        words += "; contingency that was not assessed is taken as long as the planned time"
    return words + "."


def _factor(campaign: Campaign, alpha: AlphaTable) -> str:
    if not alpha.applied:
        return "No forecast factor: the forecast is taken to be exact."
    hours = sorted({row.period / 3600 for block in campaign.blocks if (row := alpha.row_for(block.planned))})
    rows = " and ".join(f"{period:g} h" for period in hours)
    return f"Forecast factor α from the row for {rows} at the design height. Source: {alpha.source}."


def _restricted(campaign: Campaign) -> list[str]:
    if all(block.weather_restricted for block in campaign.blocks):
        return []
    return [
        "Planned for 72 h or more, or T_R of 96 h or more: not a weather-restricted operation, so a forecast does not "
        "decide it (DNV-OS-H101, from memory)."
    ]


def _step(forecast: Forecast) -> list[str]:
    notes = []
    if forecast.step > 3600.0:
        notes.append(
            f"The forecast has a value every {forecast.step / 3600:g} h: a short time over a limit between two of "
            "them does not show."
        )
    missing = int(forecast.missing.sum())
    if missing:
        notes.append(f"{missing} of {forecast.size} samples have no sea; no window holds there.")
    gaps = int(forecast.gap_after.sum())
    if gaps:
        notes.append(f"{gaps} gaps in the series; no window crosses one.")
    return notes


def cannot_judge(plan: Plan, campaign: Campaign) -> list[str]:
    """What is not given, a limit, a response or a confirmation: nothing holds without it.

    Parameters
    ----------
    plan, campaign : what was asked
    """
    asked = unconfirmed(plan)
    notes = [f"Nothing is assessed and there is no window: {asked}."] if asked else []
    for step in campaign.steps:
        motions = lacks_response(plan.changed(operation=step.operation))
        lacking = [fields.about(Operation, name).label for name in step.operation.missing]
        lacking += [f"the vessel's {motion} response" for motion in motions]
        if lacking:
            notes.append(f"{step.label} is not assessed and has no window; it needs: {', '.join(lacking)}.")
    return notes
