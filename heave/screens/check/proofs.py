"""The simulated figures of the check page: made once for a plan, after the page is drawn, and kept."""

from __future__ import annotations

from functools import partial
from typing import Final

from streamlit.delta_generator import DeltaGenerator

from heave.judging import NEAR, OVER, Assessment
from heave.planning import Plan
from heave.screens import state, workers
from heave.screens.bounded_cache import LEAST, BoundedCache
from heave.screens.inputs import button, plain, sentence
from heave.screens.run_queue import RUN_QUEUE, end_if_superseded
from heave.simulation.proof import Proof, nothing_to_simulate, simulated

KEPT: Final = 40
"""Most plans whose figures are kept in the process."""

STILL: Final = 2.0
"""How long a session is left to its own before its plan is simulated while others are at work [s]."""

STEP: Final = 0.05
"""Least progress that is shown: each is a message to the browser."""

_PROOFS: Final = BoundedCache(KEPT * LEAST, KEPT * LEAST)
_ASKED: Final = "simulate"


def kept(plan: Plan) -> Proof | None:
    """What was simulated of the plan, None where nothing was."""
    key = plan.as_judged
    return _PROOFS.kept(key, lambda: None) if key in _PROOFS else None


def wanted(result: Assessment) -> bool:
    """Whether the plan is to be simulated: near or over a limit, or somebody asked for it."""
    asked = result.verdict in (NEAR, OVER) or state.kept(_ASKED) == result.plan.as_judged
    return asked and not nothing_to_simulate(result)


def note(place: DeltaGenerator, result: Assessment, proof: Proof | None) -> None:
    """What was simulated and how, why it was not, or a button that starts it."""
    nothing = nothing_to_simulate(result) if proof is None else proof.why_not
    if nothing:
        place.caption(plain(f"Not simulated, because {nothing}."))
    elif proof is not None:
        rest = f" {sentence(proof.remark)}." if proof.remark else ""
        words = (
            f"Simulated: {proof.hours:.0f} h of this sea in short runs at the planned values, with the level at the "
            f"plan's exposure and risk, and its 90 % interval in brackets. Other checks need no simulation.{rest}"
        )
        place.caption(plain(words))
    elif not wanted(result):
        about = "A few seconds: each check that simulation can give, beside the quick figure."
        asked = result.plan.as_judged
        button("Simulate this plan", "simulate", state.keep, _ASKED, asked, at=place, help=about)


def made(place: DeltaGenerator, plan: Plan) -> Proof:
    """The plan simulated now, under a bar; an edit meanwhile ends it and nothing is kept."""
    bar, shown = place.progress(0.0, "Waiting to be simulated"), 0.0
    RUN_QUEUE.still(STILL)

    def tell(done: float) -> None:
        nonlocal shown
        end_if_superseded()
        if done and (not shown or done >= shown + STEP):
            shown = done
            bar.progress(min(done, 1.0), "Simulating")

    plan = plan.as_judged
    asked = partial(workers.WORKERS.ask, simulated, plan, tell=tell, owner=state.session(), long=True)
    with workers.until_superseded():
        proof: Proof = _PROOFS.kept(plan, asked)
    return proof


def forget() -> None:
    """Forget what was simulated."""
    _PROOFS.forget()
