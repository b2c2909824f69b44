"""Makes sea_states/sample_forecast.csv: ten invented days, hourly, wind sea and two swells.

    python tests/files/make_sample_forecast.py

No place and no real days: a quiet start, a gale, two days that look workable and are not certain enough, a second
gale, a calm wind over a long beam swell, and a quiet end.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np

HEADER = """# format: heave-forecast 1
# invented: no place, no real days; made by tests/files/make_sample_forecast.py
# issued: 2026-12-27 00:00 UTC
time_utc,wind_sea_hs_m,wind_sea_tp_s,wind_sea_direction_from_deg,swell1_hs_m,swell1_tp_s,\
swell1_direction_from_deg,swell2_hs_m,swell2_tp_s,swell2_direction_from_deg,wind_speed_m_per_s,\
wind_direction_from_deg
"""
START = "2026-12-27T00:00"
HOURS = 241

# hour, wind sea: height [m] and direction, first swell: height, period [s] and direction, second swell likewise
KNOTS = np.array(
    [
        (0, 1.6, 215, 0.9, 11.5, 250, 0.3, 14.0, 295),
        (30, 1.2, 220, 0.7, 11.0, 250, 0.3, 14.0, 295),
        (48, 1.5, 225, 0.7, 11.0, 250, 0.3, 14.0, 295),
        (60, 4.6, 240, 0.9, 11.0, 252, 0.3, 13.8, 295),
        (72, 5.8, 255, 1.2, 11.5, 255, 0.3, 13.6, 295),
        (84, 4.2, 250, 1.7, 13.0, 258, 0.3, 13.5, 295),
        (94, 3.0, 228, 1.6, 13.0, 255, 0.3, 13.5, 295),
        (126, 3.0, 225, 1.6, 13.0, 255, 0.3, 13.5, 295),
        (134, 4.4, 240, 1.5, 12.5, 255, 0.3, 13.5, 295),
        (144, 5.2, 260, 1.4, 12.0, 258, 0.4, 16.5, 298),
        (156, 3.0, 260, 1.3, 12.0, 258, 1.6, 16.5, 300),
        (164, 1.2, 240, 1.0, 12.0, 258, 2.2, 16.0, 300),
        (194, 0.9, 225, 0.7, 11.5, 255, 1.9, 15.0, 300),
        (204, 0.9, 220, 0.6, 11.0, 252, 0.8, 14.5, 298),
        (212, 1.0, 215, 0.6, 11.0, 250, 0.4, 14.0, 296),
        (240, 1.3, 210, 0.6, 11.0, 250, 0.3, 14.0, 295),
    ]
)


def sample_forecast() -> str:
    """The text of the file: heights to 0.1 m, periods to 0.1 s, directions to 1 degree."""
    hours = np.arange(HOURS)
    columns = [np.interp(hours, KNOTS[:, 0], KNOTS[:, place]) for place in range(1, KNOTS.shape[1])]
    wind_sea, direction, *swells = columns
    period = 4.6 * np.sqrt(wind_sea)  # steepness 2πHs/(gTp²) of 0.030, a sea that still grows
    wind = 4.0 + 2.7 * wind_sea
    way = np.interp(hours + 6.0, KNOTS[:, 0], KNOTS[:, 2])  # the wind turns some hours before its sea does
    times = np.datetime64(START) + hours.astype("timedelta64[h]")
    rows = []
    for at, time in enumerate(times):
        sea = f"{wind_sea[at]:.1f},{period[at]:.1f},{direction[at]:.0f}"
        first, second = (
            f"{swells[k][at]:.1f},{swells[k + 1][at]:.1f},{swells[k + 2][at]:.0f}" for k in (0, 3)
        )
        blown = f"{wind[at]:.1f},{way[at]:.0f}"
        rows.append(f"{np.datetime_as_string(time, unit='m')}Z,{sea},{first},{second},{blown}")
    return HEADER + "\n".join(rows) + "\n"


if __name__ == "__main__":
    target = Path(__file__).resolve().parents[2] / "sea_states" / "sample_forecast.csv"
    target.write_text(sample_forecast(), encoding="utf-8")
