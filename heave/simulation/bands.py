"""Bands beside the traces of a run: what was predicted, only where the run is of what the prediction is of."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from heave.compensator.time_domain import FEED_SPEED
from heave.formula import Step
from heave.judging import Assessment
from heave.judging.demands import Demands, drift_per_metre
from heave.judging.moments import setting_of
from heave.judging.results import BitBand, bit_band, stroke_budget
from heave.judging.reversal import left
from heave.judging.rules.hook import hook_slack
from heave.judging.rules.load import compensated
from heave.judging.rules.when import active_working
from heave.planning.plan import Plan
from heave.simulation.comparisons import Variant, band_of, stiff, without_drilling
from heave.simulation.scenario import HAPPENINGS, Scenario, why_left_out
from heave.simulation.surface import wave_transfer
from heave.simulation.wave_answer import wave_demands
from heave.units import STANDARD_GRAVITY

LIKELY: Final = "likely"
CHECKED: Final = "high band: what is checked"
SIGNIFICANT: Final = "likely: significant travel"
EXTREME: Final = "what is checked: extreme and slow travel"
LOAD: Final = "what is checked"
LEVEL: Final = "level the checks rest on"
LOCKED: Final = "likely, nothing compensating"
WAVE: Final = "predicted for this wave"
"""What the bands are called."""

WAVE_TRAVEL: Final = 0.3
"""How far simulated travel in a regular wave is from the band's, at most, over the amplitude of the heave."""

WAVE_LOAD: Final = (0.7, 1.1)
"""Simulated over predicted swing of the hook load in a regular wave, lowest and highest."""

WAVE_BIT: Final = {"passive": (0.6, 1.3), "active": (0.25, 1.3)}
"""The same of the weight on bit; an active part's echoes ring the string less in a regular wave than in a sea."""

NEARLY_HELD: Final = 1.5
"""Force on a locked unit over its seal friction from 1 to which travel in a regular wave is not told: the seals let go
for a part of each wave, and the linearised unit is either held or not."""

WAVE_VALIDITY: Final = (
    "In a regular wave simulation came to "
    f"{WAVE_BIT['passive'][0]:g} to {WAVE_BIT['passive'][1]:g} of the predicted swing of weight on bit "
    f"({WAVE_BIT['active'][0]:g} to {WAVE_BIT['active'][1]:g} with an active part), to {WAVE_LOAD[0]:g} to "
    f"{WAVE_LOAD[1]:g} of that of the hook load, and the travel was right to {WAVE_TRAVEL:g} of the heave, "
    "over nearly three hundred random plans whose bit stayed on bottom."
)
"""How right the bands of a regular wave are, in a sentence."""

_KEEPS: Final = ("driller feeds off",)
"""What may happen without changing the unit that the bands are of."""


@dataclass(frozen=True)
class Band:
    """A band from `low` to `high`, SI: heave, stroke from mid-stroke [m], hook load, weight on bit [N].

    word : what it is; checked : whether it is what the checks compare with a limit
    """

    low: float
    high: float
    word: str
    checked: bool = False


Bands = dict[str, tuple[Band, ...]]
"""Bands by panel."""


def no_band_words(variant: Variant, assessment: Assessment, scenario: Scenario) -> str:
    """Why no band belongs to a run, in a sentence; nothing where one does.

    Parameters
    ----------
    variant : what is run
    assessment : of the variant's plan
    scenario : heave and events
    """
    if scenario.source == "record":
        return "No band: this heave was measured, and the prediction is of the plan's sea."
    if assessment.plan not in (variant.plan, without_drilling(variant.plan)):
        return "No band: what was checked is another plan, or another sea."
    if math.isnan(assessment.responses.heave.level):
        return "No band: no heave at the hoist is known."
    for item in sorted(scenario.happenings, key=lambda one: one.time):
        if item.kind not in _KEEPS and not why_left_out(item, variant, scenario):
            what = HAPPENINGS[item.kind]
            return f"No band: after {item.time:.0f}\u00a0s this is not what was checked ({what.lower()})."
    return ""


def bit_band_for(variant: Variant, assessment: Assessment, scenario: Scenario) -> BitBand | None:
    """The weight on bit predicted for a run, low, nominal and high; None where none belongs to it.

    Parameters
    ----------
    variant, assessment, scenario : as for `no_band_words`
    """
    if no_band_words(variant, assessment, scenario):
        return None
    lost, held = _lost(variant, scenario), 0.0
    if scenario.source == "sea":
        band = band_of(variant, assessment)
        return band if band is None or variant.as_planned else replace(band, drift_less=lost)
    amplitude = _wave_amplitude(variant.plan, scenario)
    if amplitude == 0:
        return None
    demands = wave_demands(variant.plan, amplitude, scenario.period)
    band = bit_band(demands)
    if band is None:
        return None
    if not variant.as_planned:
        band = stiff(band)
    else:
        held = _held_back(variant.plan, demands, scenario, lost)
        lost += held
    numbers = {name: float(np.ravel(value)[0]) for name, value in vars(band).items()}
    return replace(
        band, **(numbers | {"drift_less": lost, "drift_more": _put_back(held, scenario, variant)[0]})
    )


def bands_for(variant: Variant, assessment: Assessment, scenario: Scenario) -> Bands:
    """Bands by panel (heave, stroke, hook_load, bit_force), what is checked last; none where none belongs to the run.

    In the plan's sea they are those of the checks: heave at the plan's risk and exposure, travel with slow travel,
    load and weight on bit. A regular wave has its own (`heave.simulation.wave_answer`), of which nothing is checked.

    Parameters
    ----------
    variant, assessment, scenario : as for `no_band_words`
    """
    if no_band_words(variant, assessment, scenario):
        return {}
    in_sea = scenario.source == "sea"
    found = _sea_bands(variant, assessment, scenario) if in_sea else _wave_bands(variant, scenario)
    bit = bit_band_for(variant, assessment, scenario)
    if bit is not None and (not variant.as_planned or not in_sea):
        word = LOCKED if in_sea else WAVE
        found["bit_force"] = (Band(*_ends(bit, bit.nominal), word),)
    elif bit is not None:
        # the checks count on the driller's feed where a drawworks holds the hook; the run waits for it
        fed = _lost(variant, scenario) if variant.plan.compensator.is_drawworks else 0.0
        low, high = _ends(bit, bit.nominal)
        found["bit_force"] = (
            Band(low - fed, high, LIKELY),
            Band(*_ends(bit, bit.high), CHECKED, checked=True),
        )
    return found


def _ends(band: BitBand, swing: float) -> tuple[float, float]:
    low, high = band.span(swing)
    return float(low), float(high)


def _sea_bands(variant: Variant, assessment: Assessment, scenario: Scenario) -> Bands:
    """Of heave, stroke and hook load in the plan's sea."""
    plan, responses = assessment.plan, assessment.responses
    level = float(responses.heave.level)
    found: Bands = {"heave": (Band(-level, level, LEVEL, checked=True),)}
    if not variant.as_planned:
        return found | {"hook_load": (_about(plan, responses.locked, _lost(variant, scenario), LOCKED),)}
    stroke = responses.stroke
    if stroke is not None:
        start, likely = stroke.start, float(stroke.significant)
        found["stroke"] = (
            Band(start - likely, start + likely + _hole(variant.plan, scenario), SIGNIFICANT),
            Band(-float(stroke.falling), float(stroke.rising), EXTREME, checked=True),
        )
    steps = [step for check in assessment.checks if check.key in _OF_LOAD for step in check.working]
    return found | _load_bands(plan, steps, LOAD, checked=True)


_OF_LOAD: Final = (compensated.key, hook_slack.key)


def _wave_bands(variant: Variant, scenario: Scenario) -> Bands:
    """Of heave, stroke and hook load in a regular wave."""
    plan = variant.plan
    amplitude = _wave_amplitude(plan, scenario)
    found: Bands = {"heave": (Band(-amplitude, amplitude, WAVE),)}
    if amplitude == 0:
        return found
    # nothing but the hole made moves the unit slowly in so short a run
    lost, held = _lost(variant, scenario), 0.0
    demands = wave_demands(_unmoved(plan), amplitude, scenario.period)
    if variant.as_planned:
        held = _held_back(plan, demands, scenario, lost)
        lost += held
    if not variant.as_planned:
        return found | {"hook_load": (_about(plan, float(demands.locked[0]), lost, WAVE),)}
    stroke = stroke_budget(demands)
    turning = _number(left(demands)[1])
    told = not turning < float(demands.locked[0]) < NEARLY_HELD * turning
    if stroke is not None and demands.stroke is not None and told:
        travel = float(demands.stroke.level[0])
        found["stroke"] = (Band(stroke.start - travel, stroke.start + travel + _hole(plan, scenario), WAVE),)
    # the hook of a string that hangs may move more than the vessel, and bear more than a locked one would
    most = math.inf if plan.operation.hangs_free else float(demands.locked[0])
    steps = [step for rule in (compensated, hook_slack) for step in rule.work(demands).steps]
    about = _load_bands(plan, steps, WAVE, checked=False, most=most)
    more, rings = _put_back(held, scenario, variant)
    return found | {
        name: tuple(replace(b, low=b.low - more, high=b.high + lost + rings) for b in each)
        for name, each in about.items()
    }


def _number(value: Step | float) -> float:
    return float(np.ravel(value.result.value)[0]) if isinstance(value, Step) else value


def _about(plan: Plan, swing: float, lost: float, word: str) -> Band:
    """Hook load about its mean, with the weight that the bit has lost to the hole made."""
    rest = setting_of(plan).load - plan.moving_mass * STANDARD_GRAVITY
    return Band(rest - swing, rest + swing + lost, word)


def _load_bands(
    plan: Plan, steps: Sequence[Step], word: str, *, checked: bool, most: float = math.inf
) -> Bands:
    """Hook load from the working of the checks on it: largest and least load on the unit, or what comes on and off, no
    farther than `most` from its mean.

    None beside an active part that follows force: those checks are of the cylinder, which carries what the active part
    takes off the hook.
    """
    if active_working(plan) and not plan.follows_position:
        return {}
    value = {step.symbol: _number(step) for step in steps}
    rest, weight = setting_of(plan).load, plan.moving_mass * STANDARD_GRAVITY
    more = value["F_d"] - rest if "F_d" in value else value.get("ΔT", math.nan)
    less = rest - value["F_dl"] if "F_dl" in value else value.get("ΔF", math.nan)
    if math.isnan(more + less):
        return {}
    ends = rest - weight - min(less, most), rest - weight + min(more, most)
    return {"hook_load": (Band(*ends, word, checked=checked),)}


def _wave_amplitude(plan: Plan, scenario: Scenario) -> float:
    response = wave_transfer(plan, scenario.height, scenario.period)
    return plan.heave_factor * scenario.height / 2 * abs(response)


def _hole(plan: Plan, scenario: Scenario) -> float:
    """Hole made between feeds during the run, all of it stroke eaten [m]."""
    offsets = plan.offsets
    if not (scenario.hole and plan.on_bottom):
        return 0.0
    feeds = offsets.feed_interval if offsets.feed_interval > 0 else math.inf
    return offsets.penetration_rate * min(feeds, scenario.length)


def _lost(variant: Variant, scenario: Scenario) -> float:
    """Weight on bit lost to that hole: of gas spring and string in series, or of the string where the hook is held."""
    plan = variant.plan
    held = not variant.as_planned or plan.compensator.is_drawworks
    return (plan.string.stiffness if held else drift_per_metre(plan)) * _hole(plan, scenario)


def _held_back(plan: Plan, demands: Demands, scenario: Scenario, lost: float) -> float:
    """Weight on bit that hole made takes off before seals let go, over what gas spring and string have `lost` [N].

    A wave smaller than their friction does not free the seals: the string alone gives, k_s times the hole, until wave
    and hole together come to the friction.
    """
    swing = float(demands.locked[0])
    held = max(_number(left(demands)[1]) - swing, 0.0)
    return min(plan.string.stiffness * _hole(plan, scenario) - lost, held)


def _put_back(held: float, scenario: Scenario, variant: Variant) -> tuple[float, float]:
    """What a feed puts on the bit beyond what was set where seals are held, and how far it rings the string [N].

    It must move the seals back, which takes what held them once more; a block that sets off at the speed of the feed
    sends the top pipe's impedance times that speed down the string, doubled where bit and held hook throw it back.
    """
    fed = 0 < variant.plan.offsets.feed_interval < scenario.length
    if held == 0 or not (fed or any(item.kind in _KEEPS for item in scenario.happenings)):
        return 0.0, 0.0
    rings = 2 * variant.plan.string.sections[0].impedance * FEED_SPEED
    return held + rings, rings


def _unmoved(plan: Plan) -> Plan:
    """The plan with no slow travel but its start position."""
    return plan.changed(offsets=type(plan.offsets)(start_position=plan.offsets.start_position))
