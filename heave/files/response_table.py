"""Response tables (motion per metre of wave amplitude over period and heading) as CSV, version 1.

Comment lines first, `# key: value` among them, then one row for each period and heading:

    # format: heave-response-table 1
    # phase: lead
    # rotation_per: wave_amplitude
    # symmetric: yes
    # reference_x_m: 0
    # reference_y_m: 0
    # heading_convention: travel_from_bow (180 head)
    # source: where the numbers come from
    # damping_speed_m_per_s: standard deviation of heave speed its viscous damping is for (may be left out)
    # viscous_heave_damping_n_s_per_m: that damping; with natural_heave_period_s and heave_stiffness_n_per_m, and
    #   radiation_heave_damping_n_s_per_m if there is any, every sea is damped by its own heave speed
    period_s,heading_deg,heave_m_per_m,heave_phase_deg,roll_deg_per_m,roll_phase_deg,pitch_deg_per_m,...

Two programs that write the same numbers may mean opposite phases or opposite sides of the ship, so every
convention must be stated, in the file or by the person who brings it; what is missing is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

import numpy as np

from heave.arrays import ComplexArray, FloatArray, Indices
from heave.errors import FileError
from heave.files.columns import Columns, parse_number, take
from heave.files.conventions import RESPONSE_FORMAT, ConventionNeeded, Question
from heave.files.registry import RESPONSE
from heave.files.response.questions import question_about
from heave.files.tables import Source, on_line, read_table
from heave.units import STANDARD_GRAVITY
from heave.vessel.response_table import MAX_ROTATION, ResponseTable

MAX_RESPONSE_BYTES: Final = 5_000_000
"""Largest response file read [bytes]."""


DAMPING: Final = {
    "damping_speed": "damping_speed_m_per_s",
    "viscous_damping": "viscous_heave_damping_n_s_per_m",
    "natural_period": "natural_heave_period_s",
    "heave_stiffness": "heave_stiffness_n_per_m",
    "radiation_damping": "radiation_heave_damping_n_s_per_m",
}
"""What a table may state of its damping in heave, by field of `ResponseTable`."""


def read_response_table(
    source: Source,
    *,
    phase: str | None = None,
    symmetric: bool | None = None,
    heading_convention: str | None = None,
    reference_x: float | None = None,
    reference_y: float | None = None,
) -> ResponseTable:
    """Read a response table; rows in any order, every period at every heading.

    The arguments answer what the file does not say; an answer that contradicts the file is refused.
    Rotations are per metre of wave amplitude (`roll_deg_per_m`) or per unit of deep-water wave slope
    (`roll_deg_per_deg`), which is brought to per metre by k = ω²/g.

    Parameters
    ----------
    source : a path, or bytes
    phase : "lead" or "lag"
    symmetric : True where headings 0 to 180 stand for both sides
    heading_convention : "travel_from_bow" or "from_bow_clockwise"
    reference_x, reference_y : reference point forward and to port of the origin [m]

    Returns
    -------
    ResponseTable over ω [rad/s] and heading of wave travel [deg]

    Raises
    ------
    ConventionNeeded
        With the questions, if a convention is neither stated nor given.
    FileError
        With line and column for anything else.
    """
    given = {
        "phase": phase,
        "symmetric": None if symmetric is None else ("yes" if symmetric else "no"),
        "heading_convention": heading_convention,
        "reference_x_m": None if reference_x is None else str(reference_x),
        "reference_y_m": None if reference_y is None else str(reference_y),
    }
    return own_table(source, given)[0]


def own_table(
    source: Source, given: Mapping[str, str | None]
) -> tuple[ResponseTable, dict[str, str | float]]:
    """As `read_response_table`, and every convention of the table by the key that states it in a file.

    Parameters
    ----------
    source : a path, or bytes
    given : answers by that key, None or absent where there is none
    """
    columns = take(read_table(source, MAX_RESPONSE_BYTES), RESPONSE)
    stated = columns.table.settings()
    columns.table.check_format(RESPONSE_FORMAT)
    answers = _conventions(stated, given)
    _check_rotation(stated, columns)
    each_omega = _omega(columns)
    each_heading = _heading(columns, answers)
    motions = [_motion(columns, name, each_omega, answers["phase"]) for name in ("heave", "roll", "pitch")]
    damped: dict[str, Any] = {
        name: parse_number(stated[key][1], key, line=stated[key][0])
        for name, key in DAMPING.items()
        if key in stated
    }
    omega, column = np.unique(each_omega, return_inverse=True)
    heading, row = np.unique(each_heading, return_inverse=True)
    _check_grid(columns, omega, heading, row * omega.size + column)
    grids = np.empty((3, heading.size, omega.size), np.complex128)
    grids[:, row, column] = motions
    with on_line(None):
        table = ResponseTable(
            omega,
            heading,
            *(grids[0], grids[1], grids[2]),
            reference_x=float(answers["reference_x_m"]),
            reference_y=float(answers["reference_y_m"]),
            symmetric=answers["symmetric"] == "yes",
            source=stated.get("source", (0, "not stated"))[1],
            **damped,
        )
    return table, answers


def _conventions(
    stated: Mapping[str, tuple[int, str]], given: Mapping[str, str | None]
) -> dict[str, str | float]:
    """Every convention of the table, from the file or from the person who brings it.

    Parameters
    ----------
    stated : key to (line, value), from the comments of the file
    given : key to answer, None where there is none

    Raises
    ------
    ConventionNeeded
        With a question for each convention that neither states.
    FileError
        For an answer that is not allowed or contradicts the file.
    """
    answers: dict[str, str | float] = {}
    missing = []
    for about in map(
        question_about, ("phase", "symmetric", "heading_convention", "reference_x", "reference_y")
    ):
        question = about if about.options else replace(about, key=f"{about.key}_m")  # lengths with their unit
        key = question.key
        line, own = stated.get(key, (None, None))
        for text, place in ((own, line), (given.get(key), None)):
            answer = None if text is None else _answer(question, text, place)
            if answer is not None and answer != answers.setdefault(key, answer):
                raise FileError(key, text, None, f"{answers[key]}, as line {line} of the file says")
        if key not in answers:
            missing.append(question)
    if missing:
        raise ConventionNeeded(tuple(missing))
    return answers


def _answer(question: Question, text: str, line: int | None) -> str | float:
    """One of the options, behind which a note may stand in brackets; a number of metres where there are none."""
    if question.options:
        answer = text.partition("(")[0].strip()
        if answer not in question.options:
            raise FileError(question.key, answer, None, " or ".join(question.options), line=line)
        return answer
    metres = parse_number(text, question.key, line=line)
    if abs(metres) > 500:
        raise FileError(question.key, text, "m", "a number of metres within 500", line=line)
    return metres


def _check_rotation(stated: Mapping[str, tuple[int, str]], columns: Columns) -> None:
    """The headers say what a rotation is per; roll, pitch and the comment must agree."""
    roll, pitch = columns.headers["roll"], columns.headers["pitch"]
    if _per_slope(roll) != _per_slope(pitch):
        raise columns.table.refuse("unit of column", pitch, f"the same measure as {roll}", pitch)
    expected = "wave_slope" if _per_slope(roll) else "wave_amplitude"
    line, value = stated.get("rotation_per", (None, expected))
    if value != expected:
        raise FileError("rotation_per", value, None, f"{expected}, as the columns say", line=line)


def _per_slope(header: str) -> bool:
    return header.endswith(("_per_deg", "_per_rad"))


def _omega(columns: Columns) -> FloatArray:
    name = columns.only("column", "period", "omega", "frequency")
    values = columns.numbers[name]
    return 2 * np.pi / values if name == "period" else values


def _heading(columns: Columns, answers: Mapping[str, str | float]) -> FloatArray:
    """Heading of wave travel relative to the bow [deg], towards port positive."""
    heading = columns.numbers["heading"]
    half = answers["symmetric"] == "yes"
    for row in np.flatnonzero(heading > 180.0 if half else heading == 360.0)[:1]:
        allowed = "from 0 to 180, as the table is symmetric" if half else "from 0 to below 360"
        value, line = float(heading[row]), columns.line(row)
        raise FileError("heading", value, "deg", allowed, line=line, column="heading_deg")
    if answers["heading_convention"] == "from_bow_clockwise":
        return np.mod(180.0 - heading, 360.0)
    return heading


def _motion(columns: Columns, name: str, omega: FloatArray, phase: str | float) -> ComplexArray:
    amplitude, header = columns.numbers[name], columns.headers[name]
    if _per_slope(header):
        amplitude = amplitude * omega**2 / STANDARD_GRAVITY
    for row in np.flatnonzero(amplitude > MAX_ROTATION)[:1] if name != "heave" else ():
        allowed = f"at most {MAX_ROTATION:g}\u00a0rad per metre of wave amplitude"
        value, line = float(amplitude[row]), columns.line(row)
        raise FileError(name, value, "rad/m", allowed, line=line, column=header)
    sign = 1.0 if phase == "lead" else -1.0
    result: ComplexArray = amplitude * np.exp(1j * sign * columns.numbers[f"{name}_phase"])
    return result


def _check_grid(columns: Columns, omega: FloatArray, heading: FloatArray, cell: Indices) -> None:
    """Every period at every heading, once; `cell` is the place of each row in the grid."""

    def where(place: int | np.intp) -> str:
        row, column = divmod(int(place), omega.size)
        return f"period {2 * np.pi / omega[column]:.6g}\u00a0s, heading {heading[row]:g} deg"

    _, first, which = np.unique(cell, return_index=True, return_inverse=True)
    for row in np.flatnonzero(first[which] != np.arange(cell.size))[:1]:
        allowed = f"each period and heading once; line {columns.line(first[which[row]])} has it too"
        raise FileError("row", where(cell[row]), None, allowed, line=columns.line(row))
    if omega.size < 2:
        raise FileError("periods", int(omega.size), None, "at least 2 periods", line=columns.line(0))
    for place in np.flatnonzero(np.bincount(cell, minlength=omega.size * heading.size) == 0)[:1]:
        allowed = f"every period at every heading, {omega.size} × {heading.size} rows"
        last = columns.line(cell.size - 1)
        raise FileError("row", f"none at {where(place)}", None, allowed, line=last)
