"""The figures an assessment shows, picked from the demands of its one sea state."""

from __future__ import annotations

import math

import numpy as np

from heave.drill_string import first_free_fixed_period, first_on_bottom_period
from heave.judging.demands import Demands, drift_per_metre
from heave.judging.results import BitBand, Level, Residual, Responses, StrokeBudget
from heave.planning.plan import Plan
from heave.sea import OMEGA
from heave.vessel import AmplitudeStatistics, relative_heading


def responses_of(found: Demands) -> Responses:
    """The responses of a plan's own sea: demands of a batch of one, as plain figures."""
    plan = found.plan
    sea = plan.sea.spectrum()
    heave_spectrum = np.zeros_like(sea) if found.spectrum is None else found.spectrum[0]
    # Where the sea has no energy a response per metre of wave means nothing.
    floor = 1e-6 * float(sea.max())
    ratio = np.divide(heave_spectrum, sea, out=np.full_like(sea, np.nan), where=sea > floor)
    return Responses(
        omega=OMEGA,
        sea_spectrum=sea,
        heave_spectrum=heave_spectrum,
        transfer=np.sqrt(ratio),
        heave=_level(found.heave),
        velocity=_level(found.velocity),
        acceleration=_level(found.acceleration),
        relative_headings=_relative_headings(plan),
        stroke=_budget(found),
        bit=_bit_band(found),
        residual=_residual(found),
        string_period=string_period(plan),
    )


def string_period(plan: Plan) -> float:
    """First natural period of the string: on bottom with the hook's mass, or hanging free [s]."""
    if plan.operation.about.string == "free":
        return first_free_fixed_period(plan.string)
    stiffness = 0.0
    if not plan.compensator.is_drawworks:
        stiffness = plan.compensator.spring(plan.hookload).stiffness
    return first_on_bottom_period(
        plan.string, plan.compensator.moving_mass + plan.string.handling_mass, stiffness
    )


def _level(motion: AmplitudeStatistics) -> Level:
    return Level(
        sigma=float(motion.sigma[0]),
        period=float(motion.period[0]),
        cycles=float(motion.cycles[0]),
        most_probable=float(motion.most_probable_maximum[0]),
        level=float(motion.level[0]),
    )


def _relative_headings(plan: Plan) -> tuple[float, ...]:
    if plan.sea.measured is not None:
        return (float(relative_heading(plan.heading, plan.sea.measured.direction_from)),)
    return tuple(float(relative_heading(plan.heading, s.direction_from)) for s in plan.sea.systems)


def _budget(found: Demands) -> StrokeBudget | None:
    plan, stroke = found.plan, found.stroke
    unit = plan.compensator
    if stroke is None or unit.stroke is None or found.rate_rising is None or found.rate_falling is None:
        return None
    rising, falling = plan.static_sides
    return StrokeBudget(
        half_stroke=unit.stroke / 2,
        reserve=unit.end_reserve,
        start=plan.offsets.start_position,
        static_rising=rising,
        static_falling=falling,
        significant=2 * float(np.maximum(stroke.sigma, found.heave.sigma)[0]),
        extreme=float(found.travel[0]),
        period=float(stroke.period[0]),
        rate_rising=float(found.rate_rising[0]),
        rate_falling=float(found.rate_falling[0]),
        best_start=plan.offsets.start_position + (falling - rising) / 2,
    )


def _bit_band(found: Demands) -> BitBand | None:
    if found.bit is None or not found.plan.on_bottom:
        return None
    swing, per_metre = found.bit, drift_per_metre(found.plan)
    less, more = (per_metre * travel for travel in found.plan.drift_sides)
    return BitBand(
        wob=found.plan.wob,
        elastic=float(swing.elastic[0]),
        friction=swing.friction,
        low=float(swing.low[0]),
        nominal=float(swing.nominal[0]),
        high=float(swing.high[0]),
        drift_less=less,
        drift_more=more,
        locked=float(found.locked[0]),
    )


def _residual(found: Demands) -> Residual | None:
    if found.residual is None or found.residual_motion is None or found.residual_velocity is None:
        return None
    sigma = float(found.heave.sigma[0])
    return Residual(
        motion=float(found.residual_motion[0]),
        velocity=float(found.residual_velocity.level[0]),
        share=float(found.residual.sigma[0]) / sigma if sigma > 0 else math.nan,
    )
