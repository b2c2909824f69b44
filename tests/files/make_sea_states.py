"""Makes the invented buoy files of sea_states: one storm in both layouts. From the repository root:

    python tests/files/make_sea_states.py

The storm is made up: a JONSWAP wind sea that grows to 5.4 m and falls, over a long swell that rises as it
passes. No noise is added, so the files are the same wherever they are made.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from heave.sea.spectra import gaussian_swell, jonswap

SEA_STATES = Path(__file__).resolve().parents[2] / "sea_states"
CENTRES = (
    np.array(
        [*np.arange(325, 926, 50), *np.arange(1000, 3501, 100), *np.arange(3650, 4851, 200)], dtype=np.float64
    )
    / 1e4
)
HOURS = range(24)
LOST_HOUR = 17
"""The hour whose record is missing, to show how a gap looks."""


def density(hour: int) -> np.ndarray:
    """Spectral density at the band centres [m²/Hz]."""
    growth = math.exp(-(((hour - 13) / 6.5) ** 2))
    wind_hs, wind_tp = 1.6 + 3.8 * growth, 7.0 + 4.2 * growth
    swell_hs, swell_tp = 0.8 + 1.1 * hour / 23, 15.5 - 1.5 * hour / 23
    omega = 2 * np.pi * CENTRES
    total = jonswap(omega, wind_hs, wind_tp) + gaussian_swell(omega, swell_hs, swell_tp)
    return 2 * np.pi * np.asarray(total)


def real_time_text() -> str:
    """Newest record first, the lost record absent, value (frequency) pairs."""
    lines = ["#YY  MM DD hh mm Sep_Freq  < spec_1 (freq_1) spec_2 (freq_2) spec_3 (freq_3) ... >"]
    for hour in reversed(HOURS):
        if hour != LOST_HOUR:
            pairs = (f"{s:.3f} ({f + 1e-9:.3f})" for s, f in zip(density(hour), CENTRES, strict=True))
            lines.append(f"2026 02 01 {hour:02d} 50 9.999 {' '.join(pairs)}")
    return "\n".join(lines) + "\n"


def yearly_text() -> str:
    """Oldest record first, frequencies in the header, the lost record full of 999.00."""
    lines = ["#YY  MM DD hh mm" + "".join(f"{f:8.4f}".replace("0.", " .") for f in CENTRES)]
    for hour in HOURS:
        values = density(hour) if hour != LOST_HOUR else np.full(CENTRES.size, 999.0)
        lines.append(f"2026 02 01 {hour:02d} 50" + "".join(f"{s:8.2f}" for s in values))
    return "\n".join(lines) + "\n"


FILES = {"invented_storm.data_spec": real_time_text, "invented_storm_yearly.txt": yearly_text}

if __name__ == "__main__":
    for name, make in FILES.items():
        (SEA_STATES / name).write_text(make(), encoding="utf-8")
