"""Runs of the weight-on-bit page: what was run is kept, what is running can be watched and stopped.

A run is some megabytes of traces that nothing changes, and its film some hundred kilobytes. They are shared
as they are by whoever asks for the same frozen variant and scenario; a cache that hands out copies would copy
them at every redraw, and could not show progress while it fills.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, Final, TypeVar

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from heave.planning import Plan
from heave.screens import state, workers
from heave.screens.bounded_cache import BoundedCache
from heave.screens.inputs import button
from heave.simulation.comparisons import Variant
from heave.simulation.played import Played, play
from heave.simulation.scenario import Scenario, plan_run
from heave.simulation.simulate import SeedsResult, SimulationResult, simulate_seeds
from heave.units import per_cent

MOST: Final = 400_000_000
"""Most bytes of runs and films kept in the process; five minutes of one set-up are 2 MB, its film 0.35 MB."""

MOST_OF_ONE: Final = 80_000_000
"""Most of those for one session: two set-ups over an hour are 42 MB."""

PATIENCE: Final = 0.8
"""How long a run may take before a bar with a button that stops it comes up [s]."""

SHORT: Final = 600.0
"""Longest run that may go to any worker [s]: a fifth of a second of work."""

_STOPPED: Final = "wob:stopped"
_ASKED: Final = "wob:seeds asked"

Tell = Callable[[float], None]
"""Hears which share of the work is done."""

_T = TypeVar("_T")

KEPT: Final = BoundedCache(MOST, MOST_OF_ONE)
"""Runs by variant and scenario, seeds, and films by what they show."""


def played_of(variants: tuple[Variant, ...], scenario: Scenario) -> tuple[Played, ...] | None:
    """Every variant as it was played in a scenario, simulated now if it is not kept; None where the user stopped."""
    return _made("Simulating", _makers(variants, scenario), over="film")


def results(played: Sequence[Played]) -> tuple[SimulationResult, ...]:
    """The runs alone."""
    return tuple(one.result for one in played)


def kept_of(variants: tuple[Variant, ...], scenario: Scenario) -> tuple[Played, ...]:
    """The same without a bar, of runs that have been made; one that had to make room since is made again."""
    owner = state.session()
    return tuple(KEPT.kept(key, partial(make, _untold), owner) for key, make in _makers(variants, scenario))


def _untold(share: float) -> None:
    """Nobody hears how far it is."""


def _makers(variants: tuple[Variant, ...], scenario: Scenario) -> list[tuple[Any, Callable[[Tell], Played]]]:
    return [
        ((variant.plan, variant.unit, scenario), partial(_played, state.session(), variant, scenario))
        for variant in variants
    ]


def _played(owner: str, variant: Variant, scenario: Scenario, tell: Tell) -> Played:
    """The variant played by a worker; its plan is the one that was asked about, not another like it."""
    long = scenario.length > SHORT
    made: Played = workers.WORKERS.ask(play, variant, scenario, tell=tell, owner=owner, long=long)
    return made._replace(result=replace(made.result, plan=plan_run(variant, scenario)))


def seeds_of(plan: Plan, duration: float, count: int) -> SeedsResult | None:
    """The plan in seeds 1 to `count`, only extremes kept; None where the user stopped."""

    def make(tell: Tell) -> SeedsResult:
        asked = plan, duration, range(1, count + 1)
        seeds: SeedsResult = workers.WORKERS.ask(simulate_seeds, *asked, tell=tell, owner=owner, long=True)
        return seeds

    owner = state.session()
    made = _made(f"Simulating {count} seeds", [(_seeds_key(plan, duration, count), make)])
    return None if made is None else made[0]


def ask_for_seeds(plan: Plan, duration: float, count: int) -> None:
    """Those seeds are wanted, whether or not a run of them was stopped before."""
    state.keep(_ASKED, _seeds_key(plan, duration, count))
    state.keep(_STOPPED, None)


def are_asked(plan: Plan, duration: float, count: int) -> bool:
    """Whether those seeds have been asked for, or run."""
    key = _seeds_key(plan, duration, count)
    return key in KEPT or state.kept(_ASKED) == key


def _seeds_key(plan: Plan, duration: float, count: int) -> tuple[Any, ...]:
    return ("seeds", plan, duration, count)


def forget() -> None:
    """Forget every run and film."""
    KEPT.forget()


def _made(
    words: str, makers: Sequence[tuple[Any, Callable[[Tell], _T]]], *, over: str = ""
) -> tuple[_T, ...] | None:
    """What is made for each key, kept or made now; None where the user stopped it.

    What takes longer than `PATIENCE` shows a bar with a button; pressing that ends this run of the script, and so does
    any edit, bar or no bar. What does not leaves the page as it stands. A bar that stands `over` something takes no
    room, so that the old one does not move under the eyes of whoever watches it.
    """
    keys, owner = tuple(key for key, _ in makers), state.session()
    missing = [key for key in keys if key not in KEPT]
    place = st.empty()  # stays where all is kept, so that what comes after it stays where it is
    if missing and state.kept(_STOPPED) == keys:
        line = _line(place)
        line.markdown("Stopped; nothing was kept.", width="content")
        button("Run it", "wob:again", state.keep, _STOPPED, None, at=line)
        return None
    bar, begun, shown = None, time.monotonic(), 0.0

    def tell(done: int, share: float) -> None:
        nonlocal bar, shown
        whole = min((done + share) / len(missing), 1.0)
        if time.monotonic() - begun < PATIENCE:
            place.empty()  # changes nothing, but an edit or a Stop ends the script here
            return
        if bar is None or whole - shown >= 0.02:
            shown = whole
        told = f"{words}: {per_cent(shown)}"
        if bar is None:
            line = _line(place, f"over-{over}" if over else None)
            bar = line.progress(shown, told)
            button("Stop", "wob:stop", state.keep, _STOPPED, keys, at=line)
        bar.progress(shown, told)

    with workers.until_superseded():
        made = tuple(
            KEPT.kept(key, partial(make, partial(tell, missing.index(key) if key in missing else 0)), owner)
            for key, make in makers
        )
    place.empty()
    return made


def _line(place: DeltaGenerator, key: str | None = None) -> DeltaGenerator:
    """Where a bar and its button stand."""
    return place.container(key=key, horizontal=True, vertical_alignment="center")
