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
    period_s,heading_deg,heave_m_per_m,heave_phase_deg,roll_deg_per_m,roll_phase_deg,pitch_deg_per_m,...

Two programs that write the same numbers may mean opposite phases or opposite sides of the ship, so every
convention must be stated, in the file or by the person who brings it; what is missing is asked for.
"""

from __future__ import annotations

import math
import os
import re
from collections.abc import Mapping
from typing import Final

import numpy as np
import numpy.typing as npt

from heave.errors import FileError
from heave.files.columns import Columns, parse_number, take
from heave.files.conventions import RESPONSE_FORMAT, RESPONSE_VERSION, check_format, conventions
from heave.files.registry import RESPONSE
from heave.files.tables import Source, Table, on_line, read_table, write_text
from heave.units import STANDARD_GRAVITY
from heave.vessel.response_table import MAX_ROTATION, ResponseTable

FloatArray = npt.NDArray[np.float64]
ComplexArray = npt.NDArray[np.complex128]

MAX_RESPONSE_BYTES: Final = 5_000_000
"""Largest response file read [bytes]."""


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
    symmetry = None if symmetric is None else ("yes" if symmetric else "no")
    given = {
        "phase": phase,
        "symmetric": symmetry,
        "heading_convention": heading_convention,
        "reference_x_m": None if reference_x is None else f"{reference_x!r}",
        "reference_y_m": None if reference_y is None else f"{reference_y!r}",
    }
    table = read_table(source, MAX_RESPONSE_BYTES)
    columns = take(table, RESPONSE)
    stated = table.settings()
    check_format(stated)
    answers = conventions(stated, given)
    _check_rotation(stated, columns, table)
    omega = _omega(columns, table)
    heading = _heading(columns, answers)
    motions = {name: _motion(columns, name, omega, answers["phase"]) for name in ("heave", "roll", "pitch")}
    source_text = stated.get("source", (0, "not stated"))[1]
    line, speed = stated.get("damping_speed_m_per_s", (None, None))
    damping_speed = None if speed is None else parse_number(speed, "damping_speed_m_per_s", line=line)
    every_omega, column = np.unique(omega, return_inverse=True)
    every_heading, row = np.unique(heading, return_inverse=True)
    _check_grid(columns, every_omega, every_heading, column, row)
    grids = {name: np.empty((every_heading.size, every_omega.size), np.complex128) for name in motions}
    for name, values in motions.items():
        grids[name][row, column] = values
    return _build(every_omega, every_heading, grids, answers, source_text, damping_speed)


def response_table_text(table: ResponseTable) -> str:
    """The CSV text of `table`, numbers in full, phases as leads in radians."""
    source = re.sub(r"[^\S ]+", " ", table.source).strip()
    lines = [
        f"# format: {RESPONSE_FORMAT} {RESPONSE_VERSION}",
        "# phase: lead",
        "# rotation_per: wave_amplitude",
        f"# symmetric: {'yes' if table.symmetric else 'no'}",
        f"# reference_x_m: {float(table.reference_x)!r}",
        f"# reference_y_m: {float(table.reference_y)!r}",
        "# heading_convention: travel_from_bow (180 head)",
        f"# source: {source}",
        *([] if table.damping_speed is None else [f"# damping_speed_m_per_s: {table.damping_speed!r}"]),
        "omega_rad_per_s,heading_deg,heave_m_per_m,heave_phase_rad,"
        "roll_rad_per_m,roll_phase_rad,pitch_rad_per_m,pitch_phase_rad",
    ]
    for column, omega in enumerate(table.omega):
        for row, heading in enumerate(table.heading):
            motions = (values[row, column] for values in (table.heave, table.roll, table.pitch))
            parts = [part for value in motions for part in (abs(value), math.atan2(value.imag, value.real))]
            lines.append(",".join(repr(float(number)) for number in (omega, heading, *parts)))
    return "\n".join(lines) + "\n"


def write_response_table(table: ResponseTable, path: str | os.PathLike[str]) -> None:
    """Write `table` to `path`, to be read again by `read_response_table`.

    Raises
    ------
    FileError
        If the place cannot be written.
    """
    write_text(path, response_table_text(table))


def _check_rotation(stated: Mapping[str, tuple[int, str]], columns: Columns, table: Table) -> None:
    """The headers say what a rotation is per; roll, pitch and the comment must agree."""
    slopes = {name: columns.headers[name].endswith(("_per_deg", "_per_rad")) for name in ("roll", "pitch")}
    if slopes["roll"] != slopes["pitch"]:
        allowed = f"the same measure as {columns.headers['roll']}"
        header = columns.headers["pitch"]
        raise FileError("unit of column", header, None, allowed, line=table.header_line, column=header)
    expected = "wave_slope" if slopes["roll"] else "wave_amplitude"
    line, value = stated.get("rotation_per", (None, expected))
    if value != expected:
        allowed = f"{expected}, as the columns say"
        raise FileError("rotation_per", value, None, allowed, line=line)


def _omega(columns: Columns, table: Table) -> FloatArray:
    present = [name for name in ("period", "omega", "frequency") if name in columns]
    if len(present) != 1:
        found = " and ".join(present) or "none"
        allowed = "just one of period_s, omega_rad_per_s and frequency_hz"
        raise FileError("column", found, None, allowed, line=table.header_line)
    values = columns.numbers[present[0]]
    return 2 * np.pi / values if present[0] == "period" else values


def _heading(columns: Columns, answers: Mapping[str, str]) -> FloatArray:
    """Heading of wave travel relative to the bow [deg], towards port positive."""
    heading = columns.numbers["heading"]
    highest = 180.0 if answers["symmetric"] == "yes" else 360.0
    for place, value in enumerate(heading):
        if value > highest or (value == 360.0):
            allowed = "from 0 to 180, as the table is symmetric" if highest == 180 else "from 0 to below 360"
            raise FileError(
                "heading", float(value), "deg", allowed, line=columns.line(place), column="heading_deg"
            )
    if answers["heading_convention"] == "from_bow_clockwise":
        return np.mod(180.0 - heading, 360.0)
    return heading


def _motion(columns: Columns, name: str, omega: FloatArray, phase: str) -> ComplexArray:
    amplitude = columns.numbers[name]
    if columns.headers[name].endswith(("_per_deg", "_per_rad")):
        amplitude = amplitude * omega**2 / STANDARD_GRAVITY
    too_much = amplitude > (MAX_ROTATION if name != "heave" else math.inf)
    if too_much.any():
        place = int(np.argmax(too_much))
        header = columns.headers[name]
        allowed = f"at most {MAX_ROTATION:g} rad per metre of wave amplitude"
        line = columns.line(place)
        raise FileError(name, float(amplitude[place]), "rad/m", allowed, line=line, column=header)
    sign = 1.0 if phase == "lead" else -1.0
    result: ComplexArray = amplitude * np.exp(1j * sign * columns.numbers[f"{name}_phase"])
    return result


def _build(
    omega: FloatArray,
    heading: FloatArray,
    grids: Mapping[str, ComplexArray],
    answers: Mapping[str, str],
    source: str,
    damping_speed: float | None,
) -> ResponseTable:
    with on_line(None):
        return ResponseTable(
            omega,
            heading,
            grids["heave"],
            grids["roll"],
            grids["pitch"],
            reference_x=float(answers["reference_x_m"]),
            reference_y=float(answers["reference_y_m"]),
            symmetric=answers["symmetric"] == "yes",
            source=source,
            damping_speed=damping_speed,
        )


def _check_grid(
    columns: Columns,
    omega: FloatArray,
    heading: FloatArray,
    column: npt.NDArray[np.intp],
    row: npt.NDArray[np.intp],
) -> None:
    """Every period at every heading, once."""
    seen: dict[tuple[int, int], int] = {}
    for place, cell in enumerate(zip(row.tolist(), column.tolist(), strict=True)):
        line = columns.line(place)
        where = f"period {2 * np.pi / omega[cell[1]]:.6g} s, heading {heading[cell[0]]:g} deg"
        if cell in seen:
            allowed = f"each period and heading once; line {seen[cell]} has it too"
            raise FileError("row", where, None, allowed, line=line)
        seen[cell] = line
    if omega.size < 2:
        raise FileError("periods", int(omega.size), None, "at least 2 periods", line=columns.line(0))
    for beta, direction in enumerate(heading):
        for place, value in enumerate(omega):
            if (beta, place) not in seen:
                where = f"none at period {2 * np.pi / value:.6g} s, heading {direction:g} deg"
                allowed = f"every period at every heading, {omega.size} × {heading.size} rows"
                raise FileError("row", where, None, allowed, line=columns.line(len(columns.rows) - 1))
