"""Files on their way to a box: let go once they are read, and bounded where nobody claims them.

The server holds what was uploaded until the session ends, read or not. A box here takes a file's bytes in the run
after its upload, so that a session needs a few at a time: more are nobody's, and the oldest goes.
"""

from __future__ import annotations

from typing import Any, Final

from streamlit.runtime.scriptrunner import get_script_run_ctx

MOST_WAITING: Final = 3
"""Most files of a session that wait to be read."""

_BOUNDED: Final = "heave_bounded"


def release(file_id: str) -> None:
    """Let go of a file of this session whose bytes were taken.

    Parameters
    ----------
    file_id : the server's name of it
    """
    context = get_script_run_ctx()
    if context is not None:
        context.uploaded_file_mgr.remove_file(context.session_id, file_id)  # type: ignore[attr-defined]


def bound() -> None:
    """Hold the files that wait in a session to `MOST_WAITING` from now on, in this process."""
    context = get_script_run_ctx()
    if context is not None and not hasattr(context.uploaded_file_mgr, _BOUNDED):
        hold(context.uploaded_file_mgr)


def hold(manager: Any) -> None:
    """Let a session's oldest file go for each that comes beyond `MOST_WAITING`.

    Parameters
    ----------
    manager : what holds the server's uploads
    """
    add = manager.add_file

    def add_file(session_id: str, file: Any) -> None:
        add(session_id, file)
        for old in list(manager.file_storage[session_id])[:-MOST_WAITING]:
            manager.remove_file(session_id, old)

    manager.add_file = add_file
    setattr(manager, _BOUNDED, True)
