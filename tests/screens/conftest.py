"""Fixtures of the screens' tests: a fresh run of the whole app, and helpers that find its boxes by label."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from page_words import words_of
from streamlit.components.v2 import manifest_scanner
from streamlit.testing.v1 import AppTest

from heave.compensator.time_domain import simulation
from heave.planning import Plan
from heave.screens.check import proofs
from heave.simulation import proof

APP = Path(__file__).resolve().parents[2] / "app.py"


@pytest.fixture(scope="session", autouse=True)
def _components_are_looked_for_once() -> Iterator[None]:
    """Else each app opened reads the metadata of every package installed: two thirds of what opening takes."""
    with pytest.MonkeyPatch.context() as patch:
        scan = cache(manifest_scanner.scan_component_manifests)
        patch.setattr(manifest_scanner, "scan_component_manifests", scan)
        yield


SHORT = {
    **{(proof, "LANES"): 16, (proof, "RECORDS"): 8, (proof, "BLOCK_CYCLES"): 3.0, (proof, "STEP"): 0.05},
    (proof, "lead_in"): lambda model: proof.GROWTH,
    (simulation, "_LONGEST"): 200,  # else both blocks end in one stretch
}
"""Of what a page simulates: few lanes, short blocks and the longest step, which still give levels. Every step of it is
gone through."""


@pytest.fixture(scope="session", autouse=True)
def _proofs_are_short() -> Iterator[None]:
    """The check page simulates a plan near a limit: here a quarter of an hour of its sea, not 12 h, and at once.

    What whole proofs find is tested where they are made (`tests/simulation/test_proof.py`), and who waits for whom
    where the queue is (`test_run_queue.py`).
    """

    def short(plan: Plan, *, progress: Callable[[float], None] | None = None) -> proof.Proof:
        with pytest.MonkeyPatch.context() as patch:
            for (module, name), value in SHORT.items():
                patch.setattr(module, name, value)
            return proof.simulated(plan, progress=progress)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(proofs, "simulated", short)
        patch.setattr(proofs, "STILL", 0.0)
        yield


@pytest.fixture
def app() -> AppTest:
    """The app, opened once on its first page."""
    running = AppTest.from_file(str(APP), default_timeout=300).run()
    assert not running.exception
    return running


@pytest.fixture
def unfold(app: AppTest) -> Callable[..., None]:
    """Open disclosures by name, as a click would, and draw what is in them."""

    def open_them(*names: str) -> None:
        for name in names:
            app.session_state["heave:opened"][name] = True
            app.session_state[f"heave:open:{name}"] = True
        app.run()
        assert not app.exception

    return open_them


@pytest.fixture
def box(app: AppTest) -> Callable[[str], Any]:
    """The text box with a label, as it stands after the last run."""

    def find(label: str) -> Any:
        found = [item for item in app.text_input if item.label == label]
        assert len(found) == 1, f"{len(found)} boxes are called {label}"
        return found[0]

    return find


@pytest.fixture
def words(app: AppTest) -> Callable[[], str]:
    """Every word of Markdown on the page, escapes taken out."""
    return lambda: words_of(app)
