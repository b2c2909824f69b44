"""What a scene is made of: the user's plan, changed where its phenomenon would not show, with what was changed said."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any, Final

import numpy as np

from heave import fields
from heave.compensator import GasUnit, InLine
from heave.judging.moments import setting_of
from heave.planning.plan import Plan
from heave.planning.rig import with_unit
from heave.simulation.comparisons import (
    ADDED_DELAY,
    ADDED_GAIN,
    LIGHT_BIT,
    Variant,
    for_the_bit,
)
from heave.simulation.scenario import Scenario
from heave.simulation.simulate import SimulationResult, regular_wave_heave
from heave.teaching.measures import Tell
from heave.teaching.numbers import LEAST_FORCE, LINES, REFERENCE_FRICTION, REFERENCE_SPRING
from heave.units import show

Runs = tuple[SimulationResult, ...]
"""One run for each variant of a film."""

REFERENCE_PRESSURE: Final = 150e5
"""Gas pressure of the reference spring where it stands in for a drawworks [Pa]: an ordinary one, no source."""

SMOOTH: Final = REFERENCE_FRICTION
"""Most seal friction over load in scenes that are about something else."""

PERIODS: Final = (10.0, 12.0, 14.0, 8.0, 16.0, 18.0)
"""Periods of a wave in the order in which they are tried [s]."""

LEAST_HEAVE: Final = 0.1
"""Heave amplitude over wave height from which a period is taken at once."""

HIGHEST_WAVE: Final = 30.0
"""Highest regular wave that is simulated [m]."""


SWITCHED_ON: Final = "The active part is switched on."

GIVEN: Final = ("fraction", "penetration", "period")
"""Kinds of which scenes tell what was given, not measured: without noughts that say nothing."""


LEAST: Final = {"length": 1e-3, "force": LEAST_FORCE, "speed": 1e-3}
"""Least that is told of what a run shows, by kind [SI]."""


def shorter(words: str) -> str:
    """A number in words without noughts at its end that say nothing: `12 m/h` for `12.0 m/h`."""
    return re.sub(r"\.(?!\d)", "", re.sub(r"(\.\d*?)0+(?!\d)", r"\1", words))


@dataclass(frozen=True)
class Film:
    """What is simulated and shown: one set-up, or two side by side, and what they go through."""

    variants: tuple[Variant, ...]
    scenario: Scenario


@dataclass(frozen=True)
class Staged:
    """A scene made of a plan.

    play : what is shown after the question; tried : what is shown when the change is tried
    said : what is not as the plan has it, in sentences
    facts : numbers of the scene that no run gives, SI
    """

    play: Film
    tried: Film
    said: tuple[str, ...]
    facts: dict[str, float] = field(default_factory=dict)


@dataclass
class Stage:
    """A plan being changed for a scene, with what was said of each change; numbers in the units of `system`."""

    plan: Plan
    system: str = "metric"
    said: list[str] = field(default_factory=list)

    def told(self, value: float, kind: str, digits: int = 3) -> str:
        """A number with its unit, to three figures; what is less than `LEAST` is none, for it is the arithmetic of what
        is still."""
        value = 0.0 if abs(value) < LEAST.get(kind, 0.0) else value
        words = show(value, kind, self.system, digits)
        return shorter(words) if kind in GIVEN else words

    def teller(self, kind: str) -> Tell:
        """What tells numbers of one kind."""
        return partial(self.told, kind=kind)

    @property
    def planned(self) -> Variant:
        """The plan as it is by now."""
        return Variant("as planned", self.plan)

    def films(self, shown: tuple[Variant, ...], scenario: Scenario, tried: Any, **facts: float) -> Staged:
        """What is shown, and what is `tried` after it: other variants in the same scenario, or another scenario."""
        other = Film(shown, tried) if isinstance(tried, Scenario) else Film(tried, scenario)
        return Staged(Film(shown, scenario), other, tuple(self.said), facts)

    def change(self, words: str, **fields: Any) -> None:
        """Change the plan and say so."""
        self.plan = self.plan.changed(**fields)
        self.said.append(words)

    def on_bottom(self) -> None:
        """The bit on bottom, with a tenth of the hookload on it at least, so that it does not lift at once."""
        self.plan, words = for_the_bit(self.plan)
        if words:
            self.said.append(words.replace("Only on this page", "Here"))
        least = LIGHT_BIT * self.plan.hookload
        if self.plan.wob < least:
            self.change(f"Weight on bit is a tenth of the hookload, {self.told(least, 'force')}.", wob=least)

    def off_bottom(self) -> None:
        """The string hanging free on a working unit."""
        operation = self.plan.operation
        if not (operation.hangs_free and operation.compensated):
            free = replace(operation, kind="landing")
            self.change("The bit is off bottom, with the compensator at work.", operation=free, wob=0.0)

    def on_gas(self) -> GasUnit:
        """A gas unit, its active part lost; one stands in for a drawworks."""
        unit = self.plan.compensator
        if not isinstance(unit, GasUnit):
            unit = _gas_unit(self.plan)
            words = "A passive gas unit stands in for the drawworks"
            self.change(
                f"{words}: {self.told(unit.stroke, 'length')} of stroke, ten swept volumes of gas, seals that hold "
                "2\u00a0% of the load.",
                compensator=unit,
                offsets=replace(self.plan.offsets, start_position=0.0),  # of a drum it may be past any stroke
            )
        if self.plan.active_in_use:
            self.change("The active part is switched off, so that the gas alone is seen.", active=False)
        return unit

    def at_work(self) -> None:
        """A unit that compensates: a drawworks whose active part is lost does not."""
        if self.plan.compensator.is_drawworks and not self.plan.active:
            self.change(SWITCHED_ON, active=True)

    def smooth(self, most: float = SMOOTH, least: float = 0.0) -> None:
        """Seal friction within bounds."""
        unit = self.plan.compensator
        if not isinstance(unit, GasUnit):
            return
        share = unit.friction_fraction
        new = min(max(share, least), most)
        if new != share:
            now, planned = self.told(new, "fraction"), self.told(share, "fraction")
            words = f"Seal friction is {now} of the load instead of {planned}."
            self.change(words, compensator=replace(unit, friction_fraction=new))

    def in_middle(self) -> None:
        """The piston starts from mid-stroke."""
        if self.plan.set_at:
            at = replace(self.plan.offsets, start_position=0.0)
            self.change("The piston starts from mid-stroke.", offsets=at)

    def driven(self) -> None:
        """A unit whose active part is at work; one is added to a passive unit."""
        unit = self.plan.compensator
        if not unit.has_active:
            made = unit.as_kind("active-assisted", active_gain=ADDED_GAIN, active_delay=ADDED_DELAY)
            self.change("An active part is added to the passive unit, gain 0.9, no limits.", compensator=made)
        if not self.plan.active:
            self.change(SWITCHED_ON, active=True)

    def wave(self, amplitude: float, periods: tuple[float, ...] = PERIODS, **more: Any) -> Scenario:
        """A regular wave in which the vessel heaves by ± `amplitude` [m], or what the highest wave gives."""
        height, period = wave_for(self.plan, amplitude, periods)
        self.said.append(
            f"A regular wave in place of the sea: {self.told(height, 'length')} crest to trough, "
            f"{self.told(period, 'period')}."
        )
        return Scenario("wave", height=height, period=period, hole=False, **more)


def wave_for(plan: Plan, amplitude: float, periods: tuple[float, ...] = PERIODS) -> tuple[float, float]:
    """Height and period of a wave in which the hoist heaves by ± `amplitude` [m]: height = amplitude over heave
    per height.

    The first period that heaves the vessel at least by `LEAST_HEAVE` of the height is taken, or the one that does most.

    Parameters
    ----------
    plan : vessel, heading and direction
    amplitude : single amplitude of heave [m]
    periods : in the order in which they are tried [s]
    """
    found: dict[float, float] = {}
    for period in periods:
        motion = regular_wave_heave(plan, 1.0, period, 60.0).position
        found[period] = float(np.abs(motion).max())
        if found[period] >= LEAST_HEAVE:
            break
    best = max(found, key=found.__getitem__)
    return min(amplitude / max(found[best], 1e-9), HIGHEST_WAVE), best


def bounded(kind: type, name: str, value: float) -> float:
    """A number for a field of a class, or its bound where that is nearer."""
    about = fields.about(kind, name)
    assert isinstance(about, fields.Quantity)
    return about.nearest(value)


def _gas_unit(plan: Plan) -> GasUnit:
    """A passive unit of common size that carries the plan's load at an ordinary pressure."""
    load = setting_of(plan).load
    area, stroke = bounded(InLine, "effective_area", load / REFERENCE_PRESSURE), REFERENCE_SPRING["stroke"]
    return InLine(
        name="Gas unit of the lesson",
        stroke=stroke,
        index=REFERENCE_SPRING["index"],
        compensated_rating=bounded(InLine, "compensated_rating", 2 * load),
        locked_rating=bounded(InLine, "locked_rating", 4 * load),
        velocity_rating=2.0,
        effective_area=area,
        gas_volume=REFERENCE_SPRING["volume_ratio"] * stroke * area,
        pressure_rating=2.5 * REFERENCE_PRESSURE,
        friction_fraction=REFERENCE_FRICTION,
        hydraulic_loss=10e3,
    )


def drum(plan: Plan) -> Plan:
    """The plan with a compensating drawworks in place of its gas unit; lines as strung, or ten."""
    lines = LINES if plan.hoisting is None else plan.hoisting.lines
    made = plan.compensator.of(
        "Compensating drawworks of the lesson",
        "drawworks",
        compensated_rating=bounded(InLine, "compensated_rating", plan.compensator.locked_rating),
        locked_rating=plan.compensator.locked_rating,
        active_gain=ADDED_GAIN,
        active_delay=ADDED_DELAY,
        lines=lines,
        line_speed_limit=100.0,
        line_acceleration_limit=200.0,
        power_limit=5e7,
    )
    return with_unit(plan, made)
