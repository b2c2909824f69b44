"""Odd files that hold winds and waves side by side: no direction of the one is ever taken for the other's."""

from __future__ import annotations

import numpy as np
import pytest
from refusals import tells_what_to_change

from heave.errors import FileError
from heave.files.forecast.questions import ForecastQuestions
from heave.files.forecast.reader import read_forecast
from heave.weather.forecast import Forecast

WAVES, WIND, SWELL = 210, 40, 300
"""Directions in every file below: a number tells of what it is."""

MARKS = {
    "W": str(WIND),
    "S": str(WAVES),
    "L": str(SWELL),
    "h": "2.5",
    "l": "1.0",
    "t": "7",
    "T": "12",
    "k": "20",
}


def table(head: str, cells: str, mark: str = ",") -> str:
    """Four rows under a header; each letter of `cells` is a number."""
    row = mark.join(MARKS.get(cell, cell) for cell in cells.split())
    return "\n".join([head, *(f"2026-03-01T{hour:02d}:00Z{mark}{row}" for hour in range(4))]) + "\n"


FIXED = """Date/Time (UTC)    Wind          Sea               Swell
                   Speed  Dir    Hs    Tp   Dir    Hs    Tp   Dir
2026-03-01 00:00   20     40     2.5   7    210    1.0   12   300
2026-03-01 03:00   20     40     2.5   7    210    1.0   12   300
"""
CENTRED = """                        WIND               SEA
Time (UTC)         Spd(kn)  Dir     Hs(m)  Tp(s) Dir
2026-03-01 00:00   20       40      2.5    7     210
2026-03-01 03:00   20       40      2.5    7     210
"""
SHIFTED = """                   Wind           Sea
Time (UTC)         Spd  Dir  Hs   Tp   Dir
2026-03-01 00:00   20   40   2.5  7    210
2026-03-01 03:00   20   40   2.5  7    210
"""
"""The second group begins over the second of its columns: from there on, the height would be the wind's."""

GROUPS = "Time;Wind;;Sea;;;Swell;;\n;Speed;Dir;Hs;Tp;Dir;Hs;Tp;Dir\n;kn;deg;m;s;deg;m;s;deg"

READ = {
    "ours, in any order": table(
        "time_utc,hs_m,tp_s,wind_speed_kn,direction_from_deg,wind_direction_from_deg", "h t k S W"
    ),
    "ours, behind the wind": table(
        "time_utc,wind_direction_to_deg,direction_from_deg,hs_m,tp_s", "220 S h t"
    ),
    "names in full": table("Time,Hs (m),Tp (s),Wave dir from,Wind (kn),Wind dir", "h t S k W"),
    "wind first": table("Time,Wind dir,Wind (kn),Hs (m),Tp (s),Wave dir from", "W k h t S"),
    "the wind's own and one of the sea": table("Time,Wind dir,Wind (kn),Dir,Hs (m),Tp (s)", "W k S h t"),
    "of what behind the direction": table("Time,Hs (m),Tp (s),Dir (waves),Dir (wind)", "h t S W"),
    "degrees in the name": table("Time,Hs (m),Tp (s),MWD,Wind from (deg)", "h t S W"),
    "ten metres spelt out": table("Time,Hs (m),Tp (s),MWD,Wind at 10 m direction (\u00b0T)", "h t S W"),
    "winds": table("Time,Hs (m),Tp (s),MWD,Winds (kn),Winds dir", "h t S k W"),
    "peak and mean": table("Time,Hs (m),Tp (s),Peak dir,Wind mean dir,Wind mean speed (kn)", "h t S W k"),
    "short": table("Time,Hs (m),Tp (s),Mdir,WDir", "h t S W"),
    "two lines": table(GROUPS, "k W h t S l T L", ";"),
    "two lines, waves first": table("Time;Waves;;;Wind;\n;Hs m;Tp s;Dir;Speed kn;Dir", "h t S k W", ";"),
    "two lines of fixed width": FIXED,
    "two lines, centred": CENTRED,
    "two lines, a group over the wrong column": SHIFTED,
    "2nd swell": table(
        "Time,Wind sea Hs (m),Wind sea Tp (s),Wind sea dir from,1st swell Hs (m),1st swell Tp (s),1st swell dir from,"
        "2nd swell Hs (m),2nd swell Tp (s),2nd swell dir from,Wind dir",
        "h t S l T L l T L W",
    ),
    "wind waves are waves": table(
        "Time,Wind wave Hs (m),Wind wave Tp (s),Wind wave dir from,Swell Hs (m),Swell Tp (s),Swell dir from,Wind dir",
        "h t S l T L W",
    ),
}
"""Read at once, or after a unit or a sense of the waves is said."""

ASKED = {
    "the wind's or the sea's": (table("Time,Wind (kn),Dir,Hs (m),Tp (s)", "k W h t"), "unknown:dir"),
    "behind gusts": (table("Time,Hs (m),Tp (s),Gust (kn),Dir", "h t k W"), "unknown:dir"),
    "both in one name": (
        table("Time,Hs (m),Tp (s),Wind/Wave dir,Wind (kn)", "h t S k"),
        "unknown:wind/wave dir",
    ),
    "one letter": (table("Time,Hs (m),Tp (s),W dir,W spd", "h t W k"), "unknown:w dir"),
    "two letters": (table("Time,Hs (m),Tp (s),WD,WS (kn)", "h t W k"), "unknown:wd"),
    "a height and no wind": (
        table("Time,Hs (m),Tp (s),Speed 10m (kn),Dir 10m", "h t k W"),
        "unknown:dir 10m",
    ),
    "a mean of nobody knows what": (
        table("Time,Wind (kn),Mean dir,Hs (m),Tp (s)", "k W h t"),
        "unknown:mean dir",
    ),
    "the swell's or the sea's": (
        table("Time,Hs (m),Tp (s),Swell (m),Swell Tp (s),Dir", "h t l T L"),
        "unknown:dir",
    ),
}
REFUSED = {
    "three alike": table(
        "Time,Wind (kn),Dir,Hs (m),Tp (s),Dir,Swell (m),Swell Tp (s),Dir", "k W h t S l T L"
    ),
    "a group that runs on over the sea": table(
        "Time;Wind;;;;\n;Speed kn;Dir;Hs m;Tp s;Dir", "k W h t S", ";"
    ),
}


def read(text: str) -> Forecast:
    found = read_forecast(text.encode(), height_unit="m", direction_sense="from", time_zone="UTC")
    assert isinstance(found, Forecast)
    return found


@pytest.mark.parametrize("name", list(READ))
def test_waves_and_wind_each_have_their_own(name: str) -> None:
    found = read(READ[name])
    assert found.wind_direction_from is not None
    assert set(found.wind_direction_from.tolist()) == {float(WIND)}
    ways = {
        system: set(slot.direction_from.tolist())
        for system, slot in zip(found.system_names, found.batch.slots, strict=True)
    }
    assert all(way == {float(SWELL if "swell" in system else WAVES)} for system, way in ways.items()), ways
    assert found.batch.hs[0] == pytest.approx(np.hypot(2.5, [0, 1, np.sqrt(2)][len(ways) - 1]))
    if found.wind_speed is not None:
        np.testing.assert_allclose(found.wind_speed, 20 * 1852 / 3600)


@pytest.mark.parametrize("name", list(ASKED))
def test_where_it_could_be_either_it_is_asked_with_the_wind_among_the_answers(name: str) -> None:
    text, key = ASKED[name]
    with pytest.raises(ForecastQuestions) as asked:
        read(text)
    (question,) = (one for one in asked.value.questions if one.key == key)
    assert "direction of the wind" in question.options
    assert any(option.startswith("direction of the sea") for option in question.options)
    assert len(asked.value.questions) <= 3, "with the sense and what the sea lacks"


@pytest.mark.parametrize("name", list(REFUSED))
def test_what_cannot_be_told_apart_is_refused_in_words(name: str) -> None:
    with pytest.raises(FileError) as refused:
        read(REFUSED[name])
    assert not isinstance(refused.value, ForecastQuestions)
    tells_what_to_change(refused.value)


def test_a_column_of_speed_is_no_wave_and_needs_no_question() -> None:
    found = read(table("Time,Speed (kn),Hs (m),Tp (s),MWD", "k h t S"))
    assert "Columns not used: speed (kn)." in found.notes
    assert found.wind_speed is None, "of what it is the speed nobody says"
