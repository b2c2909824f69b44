"""Work taken up from the browser: it comes after what boxes still hold, and every box is told what it shows."""

from __future__ import annotations

from streamlit.testing.v1 import AppTest


def _page() -> None:
    import streamlit as st

    from heave.files.rigs import demo_plan
    from heave.screens import inputs, memory, state

    if st.session_state.get("kept"):
        st.session_state["kept"] = False
        low = demo_plan().changed(sea=demo_plan().sea.with_primary(hs=1.3))
        state.keep(
            "work found", {"text": memory.packed(low, None), "units": "metric", "at": "14:32", "cut": True}
        )
    memory.take_found()
    inputs.field(("sea", "systems", 0, "hs"))


def _after(typed: str) -> AppTest:
    """The page with Hs as the demo plan has it, then the work of 1.3 m found in the run that brings what was typed."""
    page = AppTest.from_function(_page, default_timeout=300).run()
    assert page.text_input[0].value == "2.8"
    page.session_state["kept"] = True
    page.text_input[0].set_value(typed)
    page.run()
    assert not page.exception
    return page


def test_a_box_that_comes_late_does_not_undo_what_was_taken_up() -> None:
    page = _after("2.9")
    assert page.session_state["heave:plan"].sea.systems[0].hs == 1.3
    assert page.text_input[0].value == "1.3"


def test_a_box_that_has_the_number_already_is_told_it_all_the_same() -> None:
    """The browser may hold what an older run sent it last, of which the server does not know."""
    page = _after("1.3")
    assert page.text_input[0].value == "1.3"
    assert page.text_input[0].proto.set_value
