"""Blocks of the check page: verdict, what was computed, what to set, working, remedies, cautions."""

from __future__ import annotations

from typing import Final

import streamlit as st

from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN, Assessment, Check, LimitingSea, Remedy
from heave.planning import MODEL_DATE, MODEL_VERSION, Plan
from heave.screens import figures, state
from heave.screens.figures import Look, look_for, mark_svg
from heave.screens.inputs import folded, inside, plain, sentence, shown_number
from heave.units import show, significant, unit_of

_TONES: Final = {WITHIN: "blue", NEAR: "orange", OVER: "red", NOT_ASSESSED: "gray"}
_SLUGS: Final = {WITHIN: "within", NEAR: "near", OVER: "over", NOT_ASSESSED: "none"}

_SHEET: Final = """
[data-testid=stMainBlockContainer]{padding:3.2rem clamp(1rem,3.2vw,4rem) 3rem;max-width:96rem}
[data-testid=stSidebar][data-collapsed=true] [data-testid=stSidebarContent]{display:none}
[data-testid=stSidebarUserContent]{padding-bottom:2rem}
[data-testid=stSidebar] [data-testid=stHorizontalBlock]{flex-wrap:nowrap}
[data-testid=stSidebar] [data-testid=stColumn]{min-width:0;flex:1 1 0}
[class*=st-key-verdict-]{border-radius:.4rem;padding:.9rem 1.1rem}
[class*=st-key-verdict-] h2{padding:0;font-size:2.05rem;white-space:nowrap}
.st-key-board [data-testid=stHorizontalBlock],.st-key-curves [data-testid=stHorizontalBlock],
[class*=st-key-verdict-] [data-testid=stHorizontalBlock]{flex-wrap:wrap}
[class*=st-key-verdict-] [data-testid=stColumn]{min-width:min(20rem,100%)}
.st-key-board [data-testid=stColumn]{min-width:min(22.5rem,100%)}
.st-key-curves [data-testid=stColumn]{min-width:min(24rem,100%)}
.st-key-tiles{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(12rem,46%),1fr));gap:.7rem;align-items:stretch}
.st-key-tiles>*{padding:.6rem .8rem;width:auto;max-width:none;min-width:0}
.st-key-tiles p{margin-bottom:0;line-height:1.35}
.st-key-tiles [data-testid=stMarkdownContainer]{margin-bottom:0}
.st-key-tiles h4{padding:.1rem 0 .15rem;font-size:1.2rem;white-space:nowrap}
@media (max-width:640px){[class*=st-key-verdict-] h2{font-size:1.75rem}}
"""
"""Style of the panels: side by side where there is room, under each other where there is not."""


def look() -> Look:
    """The look that goes with the theme on the screen."""
    return look_for(st.context.theme.type)


def style(look_: Look) -> None:
    """The few lines of style sheet the panels need; constants only, no text from anyone."""
    accents = "".join(
        f".st-key-verdict-{slug}{{border-left:0.45rem solid {look_.fill(word)};}}"
        for word, slug in _SLUGS.items()
    )
    colours = (
        f".st-key-tiles>*{{border:1px solid {look_.line}66;border-radius:.4rem}}"
        f"[class*=st-key-verdict-]{{background:{look_.track}55}}"
        f"[data-testid=stCaptionContainer],[data-testid=stCaptionContainer] p"
        f"{{color:{look_.muted}!important;opacity:1}}"
        "[role=radio][aria-checked=true] p,[role=tab][aria-selected=true] p"
        f"{{color:{look_.words(WITHIN)}}}"
    )
    st.html(f"<style>{_SHEET}{accents}{colours}</style>")


def messages() -> None:
    """What the last action left to be said."""
    for message in state.take_messages():
        (st.success if message.tone == "good" else st.error)(plain(message.words))


def verdict(result: Assessment, limiting: LimitingSea, look_: Look) -> None:
    """The verdict as a large word with its mark, what governs, and how much sea is left."""
    word = result.verdict
    system = state.system()
    with st.container(key=f"verdict-{_SLUGS[word]}"):
        left, right = st.columns([5, 8], vertical_alignment="center", gap="medium")
        with left, st.container(horizontal=True, vertical_alignment="center", gap="small", wrap=False):
            st.image(mark_svg(word, look_, 52), width=52, alt=f"Mark of: {sentence(word)}")
            st.markdown(f"## :{_TONES[word]}[{sentence(word)}]", width="content")
        right.markdown(verdict_words(result, limiting, system))
        st.caption(computed_for(result, system))


def verdict_words(result: Assessment, limiting: LimitingSea, system: str) -> str:
    """What governs and what room there is, in two or three sentences of Markdown."""
    lines = []
    governing = result.governing
    if governing is not None:
        lines.append(
            f"**{plain(governing.name)}** governs: {governing.headline(system)}, "
            f"utilisation **{utilisation_words(governing)}**."
        )
    missing = [check.name for check in result.checks if check.state == NOT_ASSESSED and check.required]
    if missing:
        lines.append(f"Not assessed for want of a limit: {plain(', '.join(missing))}.")
    lines.append(_room(result, limiting, system))
    return "  \n".join(lines)


def _room(result: Assessment, limiting: LimitingSea, system: str) -> str:
    sea = result.plan.sea
    first = sea.systems[0].label if sea.systems else "measured sea"
    unit = unit_of("length", system)
    height = f"**Hs {limiting.hs / unit.factor:.1f}\u00a0{unit.symbol}**"
    if not limiting.reached:
        none = "None of the checks made" if result.verdict == NOT_ASSESSED else "No check"
        return f"{none} reaches 1 up to the highest sea tried, all else as planned."
    name = plain(limiting.governing or "a check")
    if limiting.hs <= 0:
        return f"{name} is over its limit even in a calm: the plan itself has to change."
    if result.verdict == OVER:
        return f"The {plain(first)} would have to fall to {height}, all else as planned."
    room = "Of what could be assessed, room" if result.verdict == NOT_ASSESSED else "Room"
    return f"{room} to {height} in the {plain(first)}, where {inside(name)} reaches 1, all else as planned."


def utilisation_words(check: Check) -> str:
    """The utilisation of a check with two decimals, or in words where it has no figure."""
    return figures.utilisation_text(check.utilisation)


def computed_for(result: Assessment, system: str) -> str:
    """Every number the computation used, in one line: the sea, the heading, the loads, the risk, the model."""
    plan = result.plan
    operation = plan.operation.about
    lost = " · active part taken as lost" if plan.compensator.has_active and not plan.active else ""
    entered = "as entered" if plan.hookload_entered is not None else "from the string"
    calibrated = f" · heave × {significant(plan.heave_calibration)} calibrated from a record"
    parts = [
        _sea_words(result, system) + (calibrated if plan.heave_calibration != 1 else ""),
        f"heading {_given(plan.heading, 'direction', system)}",
        f"{inside(operation.label)}, compensator {operation.compensator}{lost}",
        f"hookload {show(plan.hookload, 'force', system, 4)} ({entered})",
        f"WOB {_given(plan.wob_used, 'force', system)}",
        f"exposure {_given(plan.exposure, 'duration', system)}, accepted risk {_given(plan.risk, 'fraction', system)} "
        f"(level exceeded in 1 of {significant(1 / plan.risk)} such periods)",
        "amplitudes single, Hs crest to trough",
        plan.vessel.name,
        plan.compensator.name,
        f"model {MODEL_VERSION} of {MODEL_DATE}",
    ]
    return "Computed for " + plain(" · ".join(parts))


def _given(value: float, kind: str, system: str) -> str:
    """A number of the plan as its box shows it, with its unit: what was given is what was used."""
    unit = unit_of(kind, system).symbol
    return shown_number(value, kind, system) + ("" if unit in ("", "°", "%") else "\u00a0") + unit


def _sea_words(result: Assessment, system: str) -> str:
    plan, relative = result.plan, result.responses.relative_headings
    if plan.sea.measured is not None:
        name = plan.sea.measured.label or "measured spectrum"
        time = f" of {plan.sea.measured.time}" if plan.sea.measured.time else ""
        return f"{name}{time}, Hs {show(plan.sea.hs, 'length', system)}"
    words = []
    for place, wave in enumerate(plan.sea.systems):
        period = (
            "" if wave.period is None else f", {wave.period_kind} {_given(wave.period, 'period', system)}"
        )
        peak = "" if wave.period_kind == "Tp" else f" (Tp {show(wave.tp, 'period', system)})"
        angle = f" ({relative[place]:.0f}° relative, 180° head sea)" if place < len(relative) else ""
        words.append(
            f"{wave.label} Hs {_given(wave.hs, 'length', system)}{period}{peak} "
            f"from {_given(wave.direction_from, 'direction', system)}{angle}"
        )
    return " + ".join(words)


def remedies(found: tuple[Remedy, ...]) -> None:
    """What would help, each with its computed effect and a button that takes it."""
    if not found:
        st.caption("Nothing tried brings the governing utilisation down by 0.02 or more.")
    for place, remedy in enumerate(found):
        left, middle, right = st.columns([5, 6, 2], vertical_alignment="center", gap="small")
        left.markdown(
            f"**{plain(remedy.words(state.system()))}**  \n:small[:gray[{plain(remedy.side_effect)}]]"
        )
        before, after = (figures.utilisation_text(value) for value in (remedy.before, remedy.after))
        effect = f"{before} → **{after}** {plain(remedy.verdict)}"
        if remedy.governed_by:
            effect += f"  \n:small[:gray[then governed by {plain(inside(remedy.governed_by))}]]"
        middle.markdown(effect)
        if remedy.plan is not None:
            right.button(
                "Take it",
                key=f"heave:remedy:{place}",
                on_click=_take,
                args=(remedy.plan, remedy.words(state.system())),
                help=f"Put this change in the plan: {plain(remedy.words(state.system()))}",
            )
    taken = state.kept("taken")
    if taken is not None and taken[1] == state.plan():
        st.button("Undo the change taken", key="heave:undo", on_click=_undo, args=(taken[0],))


def _take(changed: Plan, words: str) -> None:
    state.keep("taken", (state.plan(), changed))
    state.replace_plan(changed, f"Taken into the plan: {words}.")


def _undo(before: Plan) -> None:
    state.keep("taken", None)
    state.replace_plan(before, "The plan is as it was before the change.")


def working(check: Check, system: str) -> None:
    """The working of one check behind a disclosure: symbols, numbers, result, legend, source."""
    label = f"{check.name}: {check.headline(system)}, {utilisation_words(check)}"
    if check.state == NOT_ASSESSED:
        label = f"{check.name}: not assessed"
    with folded(plain(label), f"working:{check.key}") as opened:
        if opened:
            st.markdown(working_text(check, system))


def working_text(check: Check, system: str) -> str:
    """The working of a check as Markdown."""
    lines = [plain(check.basis), ""]
    for step in check.working:
        lines.append(f"- {_code(step.symbols())}  ")
        lines.append(f"  {_code(step.numbers(system))}  ")
        legend = "; ".join(f"{symbol}: {meaning}" for symbol, meaning in step.legend())
        lines.append(f"  :small[:gray[{plain(legend)}]]")
    lines += ["", f"Source: {plain(check.source)}"]
    return "\n".join(lines)


def _code(words: str) -> str:
    return "`" + words.replace("`", "'") + "`"


def cautions(found: tuple[str, ...]) -> None:
    """The cautions, always in sight."""
    st.markdown("\n".join(f"- {plain(caution)}" for caution in found))
