"""What an answer says of a start, in a forecast or in members: by when all is done, until when it is within limits."""

from __future__ import annotations

import numpy as np

from heave.screens.weather.clock import Clock


def begun(now: bool) -> str:
    """How an answer begins to say by when all is done: of a start now, or of the first to come."""
    return "begun now it is done" if now else "begun at the first it is done"


def calm_start(until: np.datetime64 | None, last: np.datetime64, clock: Clock) -> str | None:
    """What stands before a limit that a window comes near to: nothing where a start now does; None where no start does.

    Parameters
    ----------
    until : until when a start from now on is within limits; None where it is not so now
    last : latest start of the window
    clock : zone of local times
    """
    if until is None:
        return ""
    return None if until >= last else f"Begun after **{clock.both(until)}**: "


def calm_if(now: np.datetime64, put_off: np.datetime64, done: np.datetime64, clock: Clock) -> str:
    """That a start, now or later, is within limits throughout only where a later step waits for a calmer time.

    Parameters
    ----------
    now : the present time, UTC
    put_off : from which start on it is so
    done : by when all is done, if that is one now
    clock : zone of local times
    """
    words = "within limits throughout only where a later step waits for a calmer time"
    if put_off > now:
        return f"Begun after **{clock.both(put_off)}**: {words}."
    return said("", f"{words}: done by {clock.both(done)}.")


def said(later: str, words: str) -> str:
    """A sentence, after what `calm_start` puts before it."""
    return later + words if later else words[0].upper() + words[1:]
