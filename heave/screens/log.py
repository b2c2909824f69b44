"""The operator's log: starts, errors of pages and slow pages, to a file that holds nothing of anyone's work.

`HEAVE_LOG` names the file; without it nothing is written and the console is as Streamlit has it. The message of an
exception can hold what was typed or stood in a file, so of an error only its kind is written, that of what caused it,
and the lines of code it passed. The same goes for the console then, since a service keeps that too.
"""

from __future__ import annotations

import logging
import os
import platform
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import Final

from streamlit import config

from heave.planning import MODEL_VERSION

VARIABLE: Final = "HEAVE_LOG"
"""The environment variable that names the file."""

LARGEST: Final = 1_000_000
"""Bytes at which a file is put away and a new one begun."""

KEPT: Final = 5
"""Files put away that are kept."""

SLOW: Final = 3.0
"""A page that takes longer is told [s]."""

_ERRORS: Final = (
    "streamlit.error_util",
    "streamlit.runtime.app_session",
    "streamlit.runtime.scriptrunner.script_runner",
    "asyncio",
)
"""Where what goes wrong in pages, in what a click calls and in the server itself is logged."""

_LOG: Final = logging.getLogger("heave")
_LOG.addHandler(logging.NullHandler())  # else what is slow goes to the console where no log is asked for


def begin(path: str | None) -> RotatingFileHandler | None:
    """Write to the file at `path` from now on, once in a process; None and the empty text write nothing.

    Raises
    ------
    OSError
        If the file cannot be written: a log that was asked for is not left out in silence.
    """
    if not path:
        return None
    handler = RotatingFileHandler(path, maxBytes=LARGEST, backupCount=KEPT, encoding="utf-8")
    form = logging.Formatter("%(asctime)sZ %(levelname)s %(message)s")
    form.converter = time.gmtime
    handler.setFormatter(form)
    _LOG.setLevel(logging.INFO)
    _LOG.addHandler(handler)
    _LOG.propagate = False
    config.set_option("logger.enableRich", False)  # it would print messages by itself, past every log
    for name in _ERRORS:
        logger = logging.getLogger(name)
        logger.addFilter(_without_messages)
        logger.addHandler(handler)
    _LOG.info("start: model %s, Python %s, process %d", MODEL_VERSION, platform.python_version(), os.getpid())
    return handler


def _without_messages(record: logging.LogRecord) -> bool:
    """Put what may be said of an error in place of what was to be said."""
    error = record.exc_info[1] if record.exc_info else None
    if error is not None or record.levelno >= logging.WARNING:
        record.msg = f"{record.name}: {'no exception' if error is None else told(error)}"
        record.args, record.exc_info, record.exc_text, record.stack_info = (), None, None, None
    return True


def told(error: BaseException) -> str:
    """The kind of an exception, where it passed, and the same of what caused it; never its message.

    Parameters
    ----------
    error : as it was raised
    """
    parts: list[str] = []
    one: BaseException | None = error
    while one is not None and len(parts) < 5:
        frames = traceback.extract_tb(one.__traceback__)
        passed = " < ".join(f"{Path(f.filename).name}:{f.lineno} {f.name}" for f in reversed(frames))
        parts.append(f"{type(one).__name__} at {passed or 'no place'}")
        one = one.__cause__ or one.__context__
    return "; caused by ".join(parts)


@contextmanager
def slow(page: str) -> Iterator[None]:
    """Around the run of a page: told where it takes longer than `SLOW`, but not where its session's next edit ends it.

    Parameters
    ----------
    page : title of the page
    """
    started, spent = time.perf_counter(), time.thread_time()
    ended = False
    try:
        yield
    except BaseException as error:
        ended = not isinstance(error, Exception)  # as the server ends a run
        raise
    finally:
        took = time.perf_counter() - started
        if took > SLOW and not ended:
            _LOG.warning("slow: %s took %.1f s, %.1f s of processor", page, took, time.thread_time() - spent)


begin(os.environ.get(VARIABLE))
