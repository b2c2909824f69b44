"""Times as the plan writes them: UTC, to the second, and never a word that would ask a clock."""

from __future__ import annotations

import re

import numpy as np

from heave.errors import InputError


def instant(when: np.datetime64 | str) -> np.datetime64:
    """A time in UTC to the second.

    Parameters
    ----------
    when : a time, or ISO text without zone, UTC

    Raises
    ------
    InputError
        If it is no time. Words such as 'now' are none: they would ask the clock of the machine.
    """
    try:
        # A text that does not begin with its year would be read as a word, and 'now' as a clock; a year of many
        # digits would come out as any other.
        dated = re.match(r"[0-9]{4}(?![0-9])", str(when))
        found = np.datetime64(str(when), "s") if dated else np.datetime64("NaT")
    except ValueError:
        found = np.datetime64("NaT")
    if np.isnat(found):
        raise InputError("present time", when, None, "a time such as 2026-01-31T12:00, UTC")
    return found
