"""Counting over a record, in a thread of its own, with its progress and a button that stops it."""

from __future__ import annotations

from functools import partial

from heave.planning.other_seas import HeadingRule
from heave.screens import inputs, job, state
from heave.screens.climate import store
from heave.studies.climate import Operability

_PAGE, _ASKED = "climate", "climate:job asked"


def running() -> bool:
    """Whether a run is on; it is drawn then."""
    return job.running(_PAGE, "", _keep)


def _keep(_: str, found: dict[HeadingRule, Operability]) -> None:
    source, plan = state.kept(_ASKED)
    store.keep(source, plan, found)


def button(label: str, rules: tuple[HeadingRule, ...], name: str) -> None:
    """A button that counts the record in use by some rules of headings."""
    inputs.button(label, f"climate:run:{name}", _begin, rules, type="primary")


def results() -> dict[HeadingRule, Operability]:
    """What was counted over the record in use."""
    source = store.record()
    return {} if source is None else store.worked(source)


def _begin(rules: tuple[HeadingRule, ...]) -> None:
    source, plan = store.record(), state.plan()
    if source is None:
        return
    state.keep(_ASKED, (source, plan))
    job.begin(_PAGE, source.name, partial(store.over_record, plan, source, rules))
