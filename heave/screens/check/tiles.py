"""Tiles of the check page: what to set on the compensator and what to expect of it."""

from __future__ import annotations

import math
from typing import Final

import streamlit as st

from heave.judging import Assessment
from heave.screens import pieces
from heave.units import show, significant

WOB_TILE: Final = "WOB band, what is checked"

RARE: Final = 1e-4 / 3600
"""Stroke-out rates below this are told as rarer than it: the Gaussian tail is not known better [1/s]."""


def draw(result: Assessment, system: str) -> None:
    """What to set and what to expect, a tile each."""
    rows = tile_texts(result, system)
    if rows:
        pieces.tiles(rows)
        if result.setting.temperature_note:
            st.caption(result.setting.temperature_note)
        return
    why = "has no gas to set" if result.plan.compensator.is_drawworks else "is locked in this operation"
    st.caption(f"Nothing to set: the compensator {why}.")


def tile_texts(result: Assessment, system: str) -> list[pieces.Tile]:
    """Title, figure and the line under it of each tile; a tile without a figure is left out."""
    setting, responses = result.setting, result.responses
    rows: list[pieces.Tile] = []
    if not result.plan.operation.compensated:
        return rows
    if setting.pressure is not None and setting.pressure_high is not None:
        band = show(setting.pressure_high - setting.pressure, "pressure", system, 2)
        load = show(setting.friction_force, "force", system, 2)
        hidden = "WOB" if result.plan.on_bottom else "load"
        place = ""
        if setting.start:
            centred = show(setting.pressure_mid_stroke or math.nan, "pressure", system)
            place = (
                f"; read with the piston at {_from_middle(setting.start, system)}, {centred} at mid-stroke"
            )
        under = f"± {band} hidden by friction, or ± {load} of {hidden}{place}"
        rows.append(("Set pressure, gauge", show(setting.pressure, "pressure", system), under))
    budget, bit, periods = responses.stroke, responses.bit, free_periods(result)
    if budget is not None:
        under = f"both ends share evenly at {_from_middle(budget.best_start, system)}"
        rows.append(("Start position", _from_middle(budget.start, system), under))
    if bit is not None:
        low, nominal, high = (_span(*bit.span(swing), system) for swing in (bit.low, bit.nominal, bit.high))
        rows.append((WOB_TILE, high, f"high; nominal {nominal}, low {low}"))
    if budget is not None:
        rate = _rate(budget.rate_rising + budget.rate_falling, system)
        rows.append(("Stroke-out", rate, "both ends together"))
    active = responses.active
    if active is not None:
        force = max(active.rising, active.falling)
        under = (
            f"{show(active.speed, 'speed', system)}, {show(active.peak_power, 'power', system)} peak, "
            f"{show(active.mean_power, 'power', system)} mean; {show(active.energy, 'energy', system)} in all"
        )
        loop = "position" if result.plan.follows_position else "force"
        rows.append((f"Active part, following {loop}", f"± {show(force, 'force', system)}", under))
    if periods is not None:
        short, middle, long = periods
        span = f"{significant(short)} to {show(long, 'period', system)} over the gas index"
        under = f"{span}; isolates below {show(middle / math.sqrt(2), 'period', system)}"
        rows.append(("Off-bottom period", show(middle, "period", system), under))
    return rows


def free_periods(result: Assessment) -> tuple[float, float, float] | None:
    """Off-bottom natural periods at the high, nominal and low gas index [s]; None without a working gas spring."""
    setting = result.setting
    if not result.plan.operation.compensated:
        return None
    high, nominal, low = setting.free_period_high, setting.free_period_nominal, setting.free_period_low
    return None if high is None or nominal is None or low is None else (high, nominal, low)


def _from_middle(position: float, system: str) -> str:
    if abs(position) < 0.005:
        return "mid-stroke"
    sign = "+" if position > 0 else ""
    return sign + show(position, "length", system)


def _span(low: float, high: float, system: str) -> str:
    """Two forces as a span with the unit once."""
    first = show(low, "force", system).rsplit("\u00a0", 1)[0]
    return f"{first} to {show(high, 'force', system)}"


def _rate(rate: float, system: str) -> str:
    return "under " + show(RARE, "rate", system, 1) if rate < RARE else show(rate, "rate", system, 2)
