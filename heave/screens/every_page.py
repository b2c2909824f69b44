"""What every page has: the look of the theme, the style sheet, messages, cautions."""

from __future__ import annotations

from typing import Final

import streamlit as st

from heave.judging import NEAR, NOT_ASSESSED, OVER, WITHIN
from heave.screens import state
from heave.screens.figures import Look, look_for
from heave.screens.inputs import plain

SLUGS: Final = {WITHIN: "within", NEAR: "near", OVER: "over", NOT_ASSESSED: "none"}
"""Each verdict in the keys the style sheet knows."""

_SHEET: Final = """
[data-testid=stMainBlockContainer]{padding:3.2rem clamp(1rem,3.2vw,4rem) 3rem;max-width:96rem}
[data-testid=stSidebar][data-collapsed=true] [data-testid=stSidebarContent]{display:none}
[data-testid=stSidebarUserContent]{padding-bottom:2rem}
[data-testid=stSidebar] [data-testid=stHorizontalBlock]{flex-wrap:nowrap}
[data-testid=stSidebar] [data-testid=stColumn]{min-width:0;flex:1 1 0}
[class*=st-key-verdict-]{border-radius:.4rem;padding:.9rem 1.1rem}
[class*=st-key-verdict-] h2{padding:0;font-size:2.05rem;white-space:nowrap}
.st-key-curves [data-testid=stHorizontalBlock],
[class*=st-key-verdict-] [data-testid=stHorizontalBlock]{flex-wrap:wrap}
[class*=st-key-verdict-] [data-testid=stColumn]{min-width:min(20rem,100%)}
.st-key-curves [data-testid=stColumn]{min-width:min(24rem,100%)}
[class*=st-key-verdict-check-]{display:grid;grid-template-columns:auto 1fr;column-gap:.9rem;row-gap:.5rem;
align-items:center}
[class*=st-key-verdict-check-]>*{width:auto;min-width:0}
[class*=st-key-verdict-check-]>:nth-child(n+3){grid-column:1/-1}
[class*=st-key-verdict-check-]>:nth-child(4){order:1}
.st-key-board,.st-key-curves-two,[class*=st-key-remedy-]{display:grid;grid-template-columns:minmax(0,1fr);row-gap:.7rem}
.st-key-board>*,.st-key-curves-two>*,[class*=st-key-remedy-]>*{width:auto;min-width:0}
@media (min-width:1100px){
[class*=st-key-verdict-check-]{grid-template-columns:auto minmax(14rem,1fr) minmax(0,1.9fr)}
[class*=st-key-verdict-check-]>:nth-child(-n+2){grid-row:1/3}
[class*=st-key-verdict-check-]>:nth-child(3){grid-area:1/3;align-self:end}
[class*=st-key-verdict-check-]>:nth-child(5){grid-area:2/3;align-self:start}
[class*=st-key-verdict-check-]>:nth-child(4){grid-row:3}
.st-key-board{grid-template:auto auto/minmax(0,5fr) minmax(0,8fr);grid-auto-flow:column;column-gap:2.5rem}
.st-key-curves-two{grid-template:auto auto auto/repeat(2,minmax(0,1fr));grid-auto-flow:column;column-gap:2.5rem}
}
@media (min-width:700px){
[class*=st-key-remedy-]{grid-template-columns:5fr 6fr auto;column-gap:1rem;align-items:center}
}
.st-key-tiles,.st-key-tile-list ul{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(12rem,46%),1fr));
gap:.7rem;align-items:stretch}
.st-key-tiles>*,.st-key-tile-list li{padding:.6rem .8rem;width:auto;max-width:none;min-width:0}
.st-key-tile-list ul{list-style:none;margin:0;padding:0}
.st-key-tile-list li{margin:0}
.st-key-tiles p,.st-key-tile-list p{margin-bottom:0;line-height:1.35}
.st-key-tiles [data-testid=stMarkdownContainer],.st-key-tile-list [data-testid=stMarkdownContainer]{margin-bottom:0}
.st-key-tiles h4,.st-key-tile-list h4{padding:.1rem 0 .15rem;font-size:1.2rem;white-space:nowrap}
@media (max-width:640px){[class*=st-key-verdict-] h2{font-size:1.75rem}}
"""
"""Style of what stands side by side where there is room, and under each other where there is not."""


def look() -> Look:
    """The look that goes with the theme on the screen."""
    return look_for(st.context.theme.type)


def style(look_: Look) -> None:
    """The few lines of style sheet the pages need; constants only, no text from anyone."""
    accents = "".join(
        f".st-key-verdict-{slug},.st-key-verdict-check-{slug}{{border-left:0.45rem solid {look_.fill(word)};}}"
        for word, slug in SLUGS.items()
    )
    colours = (
        f".st-key-tiles>*,.st-key-tile-list li{{border:1px solid {look_.line}66;border-radius:.4rem}}"
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


def cautions(found: tuple[str, ...]) -> None:
    """The cautions, always in sight."""
    st.markdown("\n".join(f"- {plain(caution)}" for caution in found))
