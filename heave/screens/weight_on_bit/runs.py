"""Runs of the weight-on-bit page: what was run is kept, what is running can be watched and stopped.

A run is some megabytes of traces that nothing changes, and its film some hundred kilobytes. They are shared
as they are by whoever asks for the same frozen variant and scenario; a cache that hands out copies would copy
them at every redraw, and could not show progress while it fills.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from functools import partial
from typing import Any, Final

import streamlit as st

from heave.planning import Plan
from heave.screens import state
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Scenario, run
from heave.simulation.simulate import SeedsResult, SimulationResult, simulate_seeds

KEPT: Final = 6
"""Most runs, and most films, kept in the process; ten minutes of one case are about 4 MB."""

_STOPPED: Final = "wob:stopped"


class Book:
    """The last few values made, by what they were made from."""

    def __init__(self) -> None:
        self._pages: OrderedDict[Any, Any] = OrderedDict()
        self._lock = threading.Lock()

    def __contains__(self, key: Any) -> bool:
        return key in self._pages

    def kept(self, key: Any, make: Callable[[], Any]) -> Any:
        """The value of `key`, made now if it is not there; the one asked for longest ago makes room."""
        with self._lock:
            if key in self._pages:
                self._pages.move_to_end(key)
                return self._pages[key]
        made = make()
        with self._lock:
            self._pages[key] = made
            while len(self._pages) > KEPT:
                self._pages.popitem(last=False)
        return made

    def forget(self) -> None:
        """Keep nothing."""
        with self._lock:
            self._pages.clear()


_RUNS: Final = Book()
FILMS: Final = Book()
"""Films by what they show."""


def results_of(variants: tuple[Variant, ...], scenario: Scenario) -> tuple[SimulationResult, ...] | None:
    """The runs of every variant in a scenario, simulated now if they are not kept; None where the user stopped."""
    keys = [(variant.plan, variant.unit, scenario) for variant in variants]
    missing = [place for place, key in enumerate(keys) if key not in _RUNS]

    def work(tell: Callable[[float], None]) -> tuple[SimulationResult, ...]:
        found = []
        for place, (key, variant) in enumerate(zip(keys, variants, strict=True)):
            done = missing.index(place) if place in missing else 0

            def told(share: float, done: int = done) -> None:
                tell((done + share) / max(len(missing), 1))

            found.append(_RUNS.kept(key, partial(run, variant, scenario, told)))
        return tuple(found)

    if not missing:
        st.empty()  # holds the bar's place, so that what comes after it stays where it is
        return work(lambda share: None)
    watched: tuple[SimulationResult, ...] | None = _watched(tuple(keys), "Simulating", work)
    return watched


def seeds_of(plan: Plan, duration: float, count: int) -> SeedsResult | None:
    """The plan in seeds 1 to `count`, only extremes kept; None where the user stopped."""
    key = ("seeds", plan, duration, count)

    def work(tell: Callable[[float], None]) -> Any:
        return _RUNS.kept(key, lambda: simulate_seeds(plan, duration, range(1, count + 1), progress=tell))

    found: SeedsResult | None
    if key in _RUNS:
        st.empty()
        found = work(lambda share: None)
    else:
        found = _watched(key, f"Simulating {count} seeds", work)
    return found


def is_kept(plan: Plan, duration: float, count: int) -> bool:
    """Whether those seeds have been run."""
    return ("seeds", plan, duration, count) in _RUNS


def forget() -> None:
    """Forget every run and film."""
    _RUNS.forget()
    FILMS.forget()


def _watched(key: Any, words: str, work: Callable[[Callable[[float], None]], Any]) -> Any:
    """Do the work with a bar and a button that stops it: pressing it ends this run of the script."""
    place = st.empty()
    if state.kept(_STOPPED) == key:
        with place.container(horizontal=True, vertical_alignment="center"):
            st.markdown("Stopped; nothing was kept.", width="content")
            st.button("Run it", key="heave:wob:again", on_click=state.keep, args=(_STOPPED, None))
        return None
    with place.container(horizontal=True, vertical_alignment="center"):
        bar = st.progress(0.0, words)
        st.button("Stop", key="heave:wob:stop", on_click=state.keep, args=(_STOPPED, key))
    shown = [0.0]

    def tell(share: float) -> None:
        if share - shown[0] >= 0.02:
            shown[0] = share
            bar.progress(min(share, 1.0), f"{words}: {100 * share:.0f} %")

    found = work(tell)
    place.empty()
    return found
