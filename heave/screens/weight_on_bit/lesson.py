"""The lesson on the weight-on-bit page: a scene at a time, predicted, played, explained, and tried with one change."""

from __future__ import annotations

from functools import partial
from typing import Final

import streamlit as st

from heave.errors import InputError
from heave.planning import Plan
from heave.screens import pieces, state
from heave.screens.inputs import STAYS, button, pick, plain
from heave.screens.weight_on_bit import runs, steps, watch
from heave.screens.weight_on_bit.handout import handout
from heave.teaching import SCENES
from heave.teaching.scene import Scene, Told
from heave.teaching.staging import Film
from heave.units import counted

_SEEN: Final = "lesson:why"
_FILMS: Final = {"scene": "The scene", "change": "The change"}


def lesson() -> None:
    """One scene at a time, made of the plan as it is; which were gone through is kept with the plan."""
    plan, system = state.plan().as_judged, state.system()
    done = [n for n, key in enumerate(SCENES, 1) if key in plan.progress.scenes]
    st.caption(
        f"{len(SCENES)} scenes of a minute or two, made of your own plan: say what you expect, watch it, see "
        "why, try one change. Every number is read off the run you see."
    )
    some = f": {', '.join(map(str, done))}" if 0 < len(done) < len(SCENES) else ""
    left, right = st.columns(2, vertical_alignment="bottom")
    right.progress(len(done) / len(SCENES), f"{len(done)} of {len(SCENES)} gone through{some}")
    with left:
        key = steps.picked("scene", "Scene", {key: scene.title for key, scene in SCENES.items()})
    _scene(SCENES[key], plan, system)
    steps.back_and_on("scene", list(SCENES), key)
    _handout(plan, system, len(done))


def _scene(scene: Scene, plan: Plan, system: str) -> None:
    try:
        staged, stage = scene.staged(plan, system)
        said = plain("For this scene: " + " ".join(staged.said))
        st.markdown(f"## {plain(scene.title)}\n\n:small[:gray[{said}]]")
        played = runs.played_of(staged.play.variants, staged.play.scenario)
    except InputError as error:
        st.error(plain(f"This scene cannot be made of this plan. {error}"))
        return
    if played is None:
        return
    tried = runs.kept_of(staged.tried.variants, staged.tried.scenario)
    told = scene.tell(staged, runs.results(played), runs.results(tried), stage)
    guess = _guessed(scene, told)
    if guess is None:
        st.info("Pick what you expect; then the film comes up.")
        return
    which = "scene"
    if _why_is_shown(scene):
        about = "The film of the scene, or the one with the change that is tried."
        key, how = f"wob:tried:{scene.key}", {"default": "scene", "required": True}
        which = pick(st.segmented_control, "Film", key, _FILMS, about, **how)
    _film(scene, staged.play if which == "scene" else staged.tried, told, tried=which == "change")
    if not _why_is_shown(scene):
        button("See why", f"wob:why:{scene.key}", _see, scene.key, type="primary")
        return
    _why(told, guess)


def _guessed(scene: Scene, told: Told) -> int | None:
    """What the trainee expects, by its place among the choices; None before one is picked."""
    guess: int | None = st.radio(
        plain(told.question),
        range(len(told.choices)),
        None,
        format_func=lambda place: plain(told.choices[place]) if place < len(told.choices) else "",
        key=f"heave:wob:guess:{scene.key}",
        help="Say it before the film: what surprises is remembered. Nothing is marked.",
        **STAYS,
    )
    return guess


def _film(scene: Scene, film: Film, told: Told, *, tried: bool) -> None:
    captions = () if tried else told.captions
    key = f"lesson:{scene.key}:{'tried' if tried else 'played'}"
    watch.show_run(film.variants, film.scenario, key=key, opens=told.opens, captions=captions)


def _why(told: Told, guess: int) -> None:
    right = plain(told.choices[told.answer])
    if guess == told.answer:
        st.success(f"As you expected: {right}.")
    else:
        st.warning(f"Not as you expected: {right}.")
    st.markdown("**Why.** " + plain(" ".join(told.why)))
    st.markdown(
        f"**Try.** {plain(told.change)} The film of it is under *{_FILMS['change']}*. {plain(told.expect)}"
    )
    st.markdown(f"**To take away.** {plain(told.learned)}")


def _why_is_shown(scene: Scene) -> bool:
    return scene.key in (state.kept(_SEEN) or ())


def _see(key: str) -> None:
    """Show why, and keep with the plan that the scene was gone through."""
    state.keep(_SEEN, (*(state.kept(_SEEN) or ()), key))
    state.edit(lambda plan: plan.changed(progress=plan.progress.with_scene(key)))


def _handout(plan: Plan, system: str, done: int) -> None:
    """The page to take along, of the scenes gone through."""
    if not done:
        st.caption("What you have learned can be saved as a page here, once a scene is gone through.")
        return
    words = f"Save what was learned (HTML, one page, {counted(done, 'scene')})"
    data = partial(handout, plan, system)
    pieces.save(words, data, "weight_on_bit_learned.html", "heave:save:handout")
