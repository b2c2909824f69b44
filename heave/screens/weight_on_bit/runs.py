"""Runs of the weight-on-bit page: what was run is kept, what is running can be watched and stopped.

A run is some megabytes of traces that nothing changes, and its film some hundred kilobytes. They are shared
as they are by whoever asks for the same frozen variant and scenario; a cache that hands out copies would copy
them at every redraw, and could not show progress while it fills.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, Final, TypeVar

import streamlit as st

from heave.planning import Plan
from heave.screens import state
from heave.simulation.comparisons import Variant
from heave.simulation.scenario import Scenario, run
from heave.simulation.simulate import SeedsResult, SimulationResult, simulate_seeds

KEPT: Final = 6
"""Most runs, and most films, kept in the process; ten minutes of one case are about 4 MB."""

_STOPPED: Final = "wob:stopped"
_ASKED: Final = "wob:seeds asked"

Tell = Callable[[float], None]
"""Hears which share of the work is done."""

_T = TypeVar("_T")


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
    makers = [
        ((variant.plan, variant.unit, scenario), partial(run, variant, scenario)) for variant in variants
    ]
    return _made("Simulating", makers)


def kept_of(variants: tuple[Variant, ...], scenario: Scenario) -> tuple[SimulationResult, ...]:
    """The same without a bar and a button to stop it."""
    return tuple(
        _RUNS.kept((variant.plan, variant.unit, scenario), partial(run, variant, scenario))
        for variant in variants
    )


def seeds_of(plan: Plan, duration: float, count: int) -> SeedsResult | None:
    """The plan in seeds 1 to `count`, only extremes kept; None where the user stopped."""

    def make(tell: Tell) -> SeedsResult:
        return simulate_seeds(plan, duration, range(1, count + 1), progress=tell)

    made = _made(f"Simulating {count} seeds", [(_seeds_key(plan, duration, count), make)])
    return None if made is None else made[0]


def ask_for_seeds(plan: Plan, duration: float, count: int) -> None:
    """Those seeds are wanted, whether or not a run of them was stopped before."""
    state.keep(_ASKED, _seeds_key(plan, duration, count))
    state.keep(_STOPPED, None)


def are_asked(plan: Plan, duration: float, count: int) -> bool:
    """Whether those seeds have been asked for, or run."""
    key = _seeds_key(plan, duration, count)
    return key in _RUNS or state.kept(_ASKED) == key


def _seeds_key(plan: Plan, duration: float, count: int) -> tuple[Any, ...]:
    return ("seeds", plan, duration, count)


def forget() -> None:
    """Forget every run and film."""
    _RUNS.forget()
    FILMS.forget()


def _made(words: str, makers: Sequence[tuple[Any, Callable[[Tell], _T]]]) -> tuple[_T, ...] | None:
    """What is made for each key, kept or made now under a bar with a button that stops it; None where it did.

    Pressing the button ends this run of the script.
    """
    keys = tuple(key for key, _ in makers)
    missing = [key for key in keys if key not in _RUNS]
    place = st.empty()  # stays where all is kept, so that what comes after it stays where it is
    if not missing:
        return tuple(_RUNS.kept(key, partial(make, lambda share: None)) for key, make in makers)
    line = place.container(horizontal=True, vertical_alignment="center")
    if state.kept(_STOPPED) == keys:
        line.markdown("Stopped; nothing was kept.", width="content")
        line.button("Run it", key="heave:wob:again", on_click=state.keep, args=(_STOPPED, None))
        return None
    bar = line.progress(0.0, words)
    line.button("Stop", key="heave:wob:stop", on_click=state.keep, args=(_STOPPED, keys))
    shown = 0.0

    def tell(done: int, share: float) -> None:
        nonlocal shown
        whole = min((done + share) / len(missing), 1.0)
        if whole - shown >= 0.02:
            shown = whole
            bar.progress(whole, f"{words}: {100 * whole:.0f} %")

    made = tuple(
        _RUNS.kept(key, partial(make, partial(tell, missing.index(key) if key in missing else 0)))
        for key, make in makers
    )
    place.empty()
    return made
