"""Uploads are let go once they are read, and those nobody claims are bounded."""

from __future__ import annotations

from streamlit.runtime.memory_uploaded_file_manager import MemoryUploadedFileManager
from streamlit.runtime.uploaded_file_manager import UploadedFileRec
from streamlit.testing.v1 import AppTest

from heave.screens.uploaded import MOST_WAITING, hold


def file(name: str) -> UploadedFileRec:
    return UploadedFileRec(name, f"{name}.csv", "text/csv", b"x" * 1000)


def test_files_nobody_claims_are_dropped_oldest_first() -> None:
    manager = MemoryUploadedFileManager("/upload")
    hold(manager)
    for place in range(50):
        manager.add_file("one", file(str(place)))
    manager.add_file("other", file("its own"))
    kept = [one.file_id for one in manager.get_files("one", [str(place) for place in range(50)])]
    assert kept == [str(place) for place in range(50 - MOST_WAITING, 50)]
    assert len(manager.get_files("other", ["its own"])) == 1
    assert manager._total_bytes == 1000 * (MOST_WAITING + 1)


def _page() -> None:
    import streamlit as st
    from streamlit.runtime.scriptrunner import get_script_run_ctx

    from heave.screens import pieces

    def take(name: str, data: bytes) -> None:
        st.session_state["took"] = name, len(data)

    pieces.upload("test", "A file", ["csv"], take)
    context = get_script_run_ctx()
    st.session_state["held"] = len(context.uploaded_file_mgr.file_storage.get(context.session_id, {}))  # type: ignore


def test_a_file_that_was_read_is_let_go() -> None:
    app = AppTest.from_function(_page, default_timeout=300).run()
    app.file_uploader[0].set_value([("sea.csv", b"x" * 1000, "text/csv")]).run()
    assert not app.exception
    assert app.session_state["took"] == ("sea.csv", 1000)
    assert app.session_state["held"] == 0
