"""A period whose kind nobody knows: read as each of the kinds it may be."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from heave.errors import InputError
from heave.files.forecast.reader import read_forecast
from heave.files.tables import Source
from heave.planning.columns import UNSURE, ForecastMapping
from heave.sea import PERIOD_KINDS
from heave.weather.worst import Reading


def is_unsure(mapping: ForecastMapping) -> bool:
    """Whether the kind of any period in a mapping is not sure."""
    return any(meaning.period_kind == UNSURE for meaning in mapping.columns)


def readings_of(source: Source, mapping: ForecastMapping, **how: Any) -> tuple[Reading, ...]:
    """A forecast read with its unsure periods as each of the four kinds.

    Parameters
    ----------
    source : a path, or bytes
    mapping : how the file is to be read
    how : as `read_forecast` takes it

    Raises
    ------
    FileError
        As `read_forecast`; a kind by which no sea of the file can be is left out, unless all are.
    """
    found: list[Reading] = []
    problem: InputError | None = None
    for kind in PERIOD_KINDS:
        columns = tuple(
            replace(meaning, period_kind=kind) if meaning.period_kind == UNSURE else meaning
            for meaning in mapping.columns
        )
        try:
            found.append(read_forecast(source, replace(mapping, columns=columns), **how))
        except InputError as error:
            problem = problem or error
    if not found and problem is not None:
        raise problem
    return tuple(found)
