"""The quick frequency-domain figures against simulation, over a grid of cases; prints a table.

    python tests/benchmarks/bench_quick_method.py [--seeds 24] [--minutes 30] [--small] [--table FILE]

Seas x string x hookload x friction x gas, on bottom and hanging free. For each case the largest stroke
and bit force, the median over seeds of the larger side, is set against the level the quick method gives
for a chance of one half in the same time: once linearised for the average cycle, and once as the planner
checks it (heave.judging.demands). Heave itself, which both take from one spectrum, is the control:
it shows how far chance alone moves a ratio.
"""

# ruff: noqa: E402

from __future__ import annotations

import argparse
import math
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from heave.compensator import Compensator, linear_response, plan_setting
from heave.compensator.gas_spring import ATMOSPHERE
from heave.compensator.time_domain import SimulationCase, irregular_heave, simulate_cases, string_model
from heave.compensator.time_domain.heave_motion import HeaveMotion
from heave.drill_string import DrillString, Section, collar, drill_pipe, heavy_weight
from heave.files.rigs import demo_vessels
from heave.judging.demands import Demands, demands
from heave.planning import Operation, Plan
from heave.sea import OMEGA, WEIGHTS
from heave.sea.systems import SeaState
from heave.vessel import amplitude_statistics, hoist_spectrum

FloatArray = npt.NDArray[np.float64]

SEAS = ((2.5, 8.0, 40.0), (3.0, 10.0, 20.0), (5.0, 12.0, 0.0), (3.0, 16.0, 30.0))
"""Hs [m], Tp [s] and angle off the bow [deg]."""
LENGTHS = (800.0, 3000.0, 7000.0)
HANDLING = (20e3, 45e3)
FRICTIONS = (0.01, 0.02, 0.03)
VOLUME_RATIOS = (3.0, 6.0, 12.0)
WOB, LOSS, STROKE, INDEX, STRING_LOSS = 150e3, 12e3, 7.62, 1.3, 0.04
CHANCE = 0.5
ACTIVE = (0.9, 0.1)
"""Gain and delay [s] of the active cases."""

Active = tuple[float, float] | None


@dataclass(frozen=True)
class Row:
    """One case: what it is, and simulated over quick for heave, stroke and the bit or the load."""

    condition: str
    sea: tuple[float, float, float]
    length: float
    hookload: float
    friction: float
    volume_ratio: float
    heave: float
    stroke: float
    stroke_used: float
    low: float
    nominal: float
    high: float
    quick_stroke: float
    quick_elastic: float
    friction_force: float
    simulated_bit: float
    sigma_ratio: float
    stroke_extreme: float
    low_corrected: float
    nominal_corrected: float
    high_corrected: float


def string_of(length: float, handling: float) -> DrillString:
    """Drill pipe on heavy-weight pipe and collars."""
    pipe = drill_pipe(size="5 in", weight="19.50", grade="S-135", length=length - 250.0)
    tail: tuple[Section, ...] = (heavy_weight("5 in", length=100.0), collar(0.2032, 0.0714, 150.0))
    return DrillString((pipe, *tail), mud_density=1300.0, handling_mass=handling)


def unit_of(friction: float, ratio: float, area: float, active: Active = None) -> Compensator:
    """A unit with the given friction and gas, in-line or with an active part of given gain and delay."""
    gain, delay = active or (None, None)
    return Compensator.of(
        name="bench",
        kind="active-assisted" if active else "in-line",
        active_gain=gain,
        active_delay=delay,
        stroke=STROKE,
        compensated_rating=5e6,
        locked_rating=1e7,
        velocity_rating=3.0,
        effective_area=area,
        gas_volume=ratio * area * STROKE,
        pressure_rating=5e7,
        friction_fraction=friction,
        index=INDEX,
        hydraulic_loss=LOSS,
    )


def planned(
    condition: str, sea: int, unit: Compensator, string: DrillString, duration: float, vessel: str
) -> Demands:
    """What the planner checks for one case of the grid, at the chance the medians stand for."""
    hs, tp, off = SEAS[sea]
    state = SeaState.single(hs, tp, direction_from=180.0)
    plan = Plan(
        sea=state,
        vessel=demo_vessels()[vessel],
        compensator=unit,
        string=string,
        operation=Operation(kind="drilling" if condition == "on bottom" else "landing"),
        name="bench",
        heading=(180.0 + off) % 360.0,
        wob=WOB if condition == "on bottom" else 0.0,
        exposure=duration,
        risk=CHANCE,
        string_loss=STRING_LOSS,
    )
    return demands(plan, state.batch())


def spectra_of(name: str = "Demo drillship") -> FloatArray:
    """Heave spectra of a demo vessel in the seas of the grid."""
    vessel = demo_vessels()[name]
    rows = [
        hoist_spectrum(vessel, (180.0 + off) % 360.0, SeaState.single(hs, tp, direction_from=180.0).batch())
        for hs, tp, off in SEAS
    ]
    return np.concatenate([row.ordinates for row in rows])


def group(
    condition: str,
    length: float,
    handling: float,
    seeds: int,
    minutes: float,
    vessel: str = "Demo drillship",
    first: int = 0,
    active: Active = None,
) -> list[Row]:
    """All cases on one string: seas x friction x gas, each in `seeds` drawings from number `first` on."""
    gain, delay = active or (0.0, 0.0)
    string, area, duration = string_of(length, handling), 0.1, minutes * 60
    spectra = spectra_of(vessel)
    wob = WOB if condition == "on bottom" else 0.0
    load = string.hookload - wob
    cells = [(s, f, r) for s in range(len(SEAS)) for f in FRICTIONS for r in VOLUME_RATIOS]
    drawn = [irregular_heave(OMEGA, spectrum, duration, range(first, first + seeds)) for spectrum in spectra]
    position = np.concatenate([drawn[s].position for s, _, _ in cells], axis=1)
    velocity = np.concatenate([drawn[s].velocity for s, _, _ in cells], axis=1)
    each = np.repeat(np.array([(f, r) for _, f, r in cells]), seeds, axis=0)
    case = SimulationCase(
        load=load,
        wob=wob,
        friction=each[:, 0] * load,
        hydraulic_loss=LOSS,
        gas_length=each[:, 1] * STROKE,
        index=INDEX,
        atmosphere=ATMOSPHERE * area,
        area=area,
        contact="one-sided" if condition == "on bottom" else "none",
        gain=gain,
        delay=delay,
    )
    model = string_model(string, handling, loss_factor=STRING_LOSS)
    motion = HeaveMotion(drawn[0].step, position, velocity, drawn[0].lead)
    found = simulate_cases(model, case, motion, keep=False).summary
    rows = []
    for number, (s, friction, ratio) in enumerate(cells):
        mine = slice(number * seeds, (number + 1) * seeds)

        def peak(name: str, mine: slice = mine) -> float:
            """The larger side's median over seeds, as the level of the quick method is meant for each side."""
            centre = found.mean[name]
            up = float(np.median((found.highest[name] - centre)[mine]))
            return max(up, float(np.median((centre - found.lowest[name])[mine])))

        unit = unit_of(friction, ratio, area, active)
        setting = plan_setting(unit, string.hookload, wob)
        quick = linear_response(
            unit,
            string,
            setting,
            OMEGA,
            WEIGHTS,
            spectra[s],
            condition,
            loss_factor=STRING_LOSS,
        )
        checked = planned(condition, s, unit, string, duration, vessel)
        heave = float(checked.heave.level[0])
        stroke = _level(quick.stroke_m0, quick.stroke_m2, duration)
        if quick.bit_force_m0 is not None and quick.bit_force_m2 is not None:
            elastic, name = _level(quick.bit_force_m0, quick.bit_force_m2, duration), "bit_force"
            sigma = float(np.median(found.sigma["stroke"][mine])) / float(np.sqrt(quick.stroke_m0[0]))
            bands = [elastic + beta * setting.friction_force for beta in (1, 2, 3)]
        else:
            assert quick.bit_motion_m0 is not None
            assert quick.bit_motion_m2 is not None
            elastic, name = _level(quick.bit_motion_m0, quick.bit_motion_m2, duration), "bit"
            sigma = float(np.median(found.sigma["bit"][mine])) / float(np.sqrt(quick.bit_motion_m0[0]))
            bands = [elastic] * 3
        bit = peak(name)
        if checked.bit is not None:
            corrected = [float(band[0]) for band in (checked.bit.low, checked.bit.nominal, checked.bit.high)]
        else:
            assert checked.residual is not None
            assert checked.residual_motion is not None
            corrected = [float(checked.residual.level[0]), float(checked.residual_motion[0]), math.nan]
        rows.append(
            Row(
                condition + (", active" if active else ""), SEAS[s], length, string.hookload, friction, ratio,
                peak("heave") / heave, peak("stroke") / stroke, peak("stroke") / max(stroke, heave),
                *(bit / band for band in bands), stroke, elastic, setting.friction_force, bit, sigma,
                peak("stroke") / float(checked.travel[0]), *(bit / band for band in corrected),
            )
        )  # fmt: skip
    return rows


def _level(m0: FloatArray, m2: FloatArray, duration: float) -> float:
    return float(amplitude_statistics(m0, m2, duration, CHANCE).level[0])


def grid(seeds: int, minutes: float, small: bool = False) -> list[Row]:
    """Every case of the grid; `small` takes one string and one hookload."""
    rows: list[Row] = []
    for condition in ("on bottom", "free"):
        for length in LENGTHS[1:2] if small else LENGTHS:
            for handling in HANDLING[:1] if small else HANDLING:
                start, used = time.perf_counter(), time.process_time()
                rows += group(condition, length, handling, seeds, minutes)
                print(
                    f"{condition}, {length:g} m, {handling:g} kg: {time.process_time() - used:.0f} s of processor, "
                    f"{time.perf_counter() - start:.0f} s",
                    file=sys.stderr,
                )
        rows += group(condition, 3000.0, HANDLING[0], seeds, minutes, active=ACTIVE)
    return rows


def table(rows: list[Row]) -> str:
    """Simulated over quick, as a table: least, median, greatest, and the share above 1."""
    lines = [
        "| cases | figure | least | median | greatest | over 1 | over 1.1 |",
        "|---|---|---|---|---|---|---|",
    ]

    def line(cases: str, figure: str, values: list[float]) -> None:
        found = np.array(values)
        over = [f"{100 * np.mean(found > limit):.0f} %" for limit in (1.0, 1.1)]
        numbers = " | ".join(f"{value:.2f}" for value in (found.min(), np.median(found), found.max()))
        lines.append(f"| {cases} ({len(found)}) | {figure} | {numbers} | {over[0]} | {over[1]} |")

    for condition in dict.fromkeys(row.condition for row in rows):
        mine = [row for row in rows if row.condition == condition]
        line(condition, "heave (control)", [row.heave for row in mine])
        line(condition, "stroke, friction as in the average cycle", [row.stroke_used for row in mine])
        line(condition, "stroke as the planner checks it", [row.stroke_extreme for row in mine])
        if condition.startswith("on bottom"):
            for name in ("low", "nominal", "high"):
                line(condition, f"bit force, {name} band", [getattr(row, name) for row in mine])
                line(
                    condition,
                    f"bit force, {name} band, as the planner checks it",
                    [getattr(row, name + "_corrected") for row in mine],
                )
        else:
            line(condition, "motion left at the bit", [row.nominal for row in mine])
            line(condition, "motion left, both linearisations", [row.low_corrected for row in mine])
            line(condition, "motion left, as the planner checks it", [row.nominal_corrected for row in mine])
    return "\n".join(lines)


def details(rows: list[Row]) -> str:
    """Every case in one line."""
    lines = [
        "| where | Hs, Tp, off bow | string m | hookload kN | friction | gas ratio | heave | stroke | as checked "
        "| low | nominal | high | quick stroke m | quick elastic | friction kN | simulated | sigma "
        "| stroke corr. | low corr. | nominal corr. | high corr. |",
        "|" + "---|" * 21,
    ]
    for row in rows:
        sea = ", ".join(f"{value:g}" for value in row.sea)
        scale = 1e3 if row.condition.startswith("on bottom") else 1.0
        lines.append(
            f"| {row.condition} | {sea} | {row.length:g} | {row.hookload / 1e3:.0f} | {row.friction:g} "
            f"| {row.volume_ratio:g} | {row.heave:.2f} | {row.stroke:.2f} | {row.stroke_used:.2f} | {row.low:.2f} "
            f"| {row.nominal:.2f} | {row.high:.2f} | {row.quick_stroke:.2f} | {row.quick_elastic / scale:.2f} "
            f"| {row.friction_force / 1e3:.1f} | {row.simulated_bit / scale:.2f} | {row.sigma_ratio:.2f} "
            f"| {row.stroke_extreme:.2f} | {row.low_corrected:.2f} | {row.nominal_corrected:.2f} "
            f"| {row.high_corrected:.2f} |"
        )
    return "\n".join(lines)


def main() -> None:
    """Run the grid and print or write the tables."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--seeds", type=int, default=24)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--small", action="store_true")
    parser.add_argument("--table", type=Path)
    choice = parser.parse_args()
    rows = grid(choice.seeds, choice.minutes, choice.small)
    text = table(rows) + "\n\n" + details(rows) + "\n"
    if choice.table:
        choice.table.write_text(text, encoding="utf-8")
    print(table(rows))


if __name__ == "__main__":
    main()
