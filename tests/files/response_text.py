"""Writes a response table in the planner's own format."""

from __future__ import annotations

import math
import re

from heave.files.response_table import DAMPING, RESPONSE_FORMAT
from heave.vessel import ResponseTable


def response_table_text(table: ResponseTable) -> str:
    """The CSV text of `table`, numbers in full, phases as leads in radians."""
    source = re.sub(r"[^\S ]+", " ", table.source).strip()
    lines = [
        f"# format: {RESPONSE_FORMAT}",
        "# phase: lead",
        "# rotation_per: wave_amplitude",
        f"# symmetric: {'yes' if table.symmetric else 'no'}",
        f"# reference_x_m: {float(table.reference_x)!r}",
        f"# reference_y_m: {float(table.reference_y)!r}",
        "# heading_convention: travel_from_bow (180 head)",
        f"# source: {source}",
        *(
            f"# {key}: {getattr(table, name)!r}"
            for name, key in DAMPING.items()
            if getattr(table, name) is not None
        ),
        "omega_rad_per_s,heading_deg,heave_m_per_m,heave_phase_rad,"
        "roll_rad_per_m,roll_phase_rad,pitch_rad_per_m,pitch_phase_rad",
    ]
    for column, omega in enumerate(table.omega):
        for row, heading in enumerate(table.heading):
            motions = (values[row, column] for values in (table.heave, table.roll, table.pitch))
            parts = [part for value in motions for part in (abs(value), math.atan2(value.imag, value.real))]
            lines.append(",".join(repr(float(number)) for number in (omega, heading, *parts)))
    return "\n".join(lines) + "\n"
