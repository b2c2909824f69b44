"""Odd files, each as somebody sent one: what is read of it at once, what is asked, or why it is refused."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from refusals import tells_what_to_change

from heave.errors import FileError
from heave.files.forecast.questions import ForecastQuestions
from heave.files.forecast.reader import read_forecast
from heave.weather.forecast import EnsembleForecast

CASES: dict[str, tuple[str, tuple[str, Any, Any]]] = {
    "zone both UTC and local columns": (
        "Time UTC,Time LT,Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2026-03-02 08:00,2.5,9,210\n"
        "2026-03-02 07:00,2026-03-02 09:00,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "local first": (
        "Time LT,Time UTC,Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 08:00,2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 09:00,2026-03-02 07:00,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "title local, issue utc": (
        "Issued 02.03.2026 00:00 UTC. All times local\n"
        "Time,Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n",
        ("ask", ["time_zone"], None),
    ),
    "header UTC but title local": (
        "All times are UTC+3\n"
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n",
        ("refuse", "time zone", "UTC, as column time (utc) says, or a header that"),
    ),
    "swell dropped": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg),Swell Hs (m),Swell Tp (s),Swell dir from (deg)\n"
        "2026-03-02 06:00,2.5,7,210,2,12,200\n"
        "2026-03-02 07:00,2.5,7,210,2,12,200\n",
        ("read", "2026-03-02T06:00", [2.5, 2.5]),
    ),
    "swell without period": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg),Swell (m)\n"
        "2026-03-02 06:00,2.5,7,210,2\n"
        "2026-03-02 07:00,2.5,7,210,2\n",
        ("ask", ["composition"], None),
    ),
    "swell larger": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg),Swell Hs (m),Swell Tp (s),Swell dir from (deg)\n"
        "2026-03-02 06:00,2.5,7,210,2,12,200\n"
        "2026-03-02 07:00,2.5,7,210,3,12,200\n",
        ("refuse", "height of parts", "together at most the total height, 2.5\u00a0m"),
    ),
    "two tables": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n"
        "\n"
        "Location B\n"
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,4.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n",
        ("refuse", "row", "rows of 4 cells, the header again or a date; no "),
    ),
    "summary row": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n"
        "Max,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "trailing commas": (
        "Forecast,,,\n"
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,9,210,\n"
        "2026-03-02 07:00,2.6,9,212,\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "thousands": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        '2026-03-02 06:00,"2,5",9,210\n'
        '2026-03-02 07:00,"2,6",9,212\n',
        ("refuse", "number", "a decimal point; a decimal comma needs semicolon"),
    ),
    "decimal comma in comma csv": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2,5,9,0,210\n"
        "2026-03-02 07:00,2,6,9,0,212\n",
        ("refuse", "column name", "a name over every column; the one that begins wi"),
    ),
    "m suffix cells": (
        "Time (UTC),Hs,Tp,Dir from\n2026-03-02 06:00,2.5m,9s,210\n2026-03-02 07:00,2.6m,9s,212\n",
        ("ask", ["height_unit:hs"], None),
    ),
    "degree sign": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n2026-03-02 06:00,2.5,9,210°\n2026-03-02 07:00,2.6,9,212°\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "24:00": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n2026-03-02 23:00,2.5,9,210\n2026-03-02 24:00,2.6,9,212\n",
        ("read", "2026-03-02T23:00", [2.5, 2.6]),
    ),
    "am/pm lowercase": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "3/2/2026 11:00 pm,2.5,9,210\n"
        "3/3/2026 12:00 am,2.6,9,212\n"
        "3/3/2026 1:00 am,2.6,9,212\n",
        ("read", "2026-03-02T23:00", [2.5, 2.6, 2.6]),
    ),
    "two-digit year": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n02/03/26 11:00,2.5,9,210\n02/03/26 12:00,2.6,9,212\n",
        ("ask", ["date_order"], None),
    ),
    "2digit iso": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "26-03-02 11:00,2.5,9,210\n"
        "26-03-02 12:00,2.6,9,212\n"
        "26-03-03 12:00,2.6,9,212\n",
        ("read", "2026-03-02T11:00", [2.5, 2.6, 2.6]),
    ),
    "no year": (
        "Issued: 28 Dec 2026 06:00 UTC\n"
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "31 Dec 18:00,2.5,9,210\n"
        "1 Jan 00:00,2.6,9,212\n",
        ("read", "2026-12-31T18:00", [2.5, 2.6]),
    ),
    "no year no issue": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n31 Dec 18:00,2.5,9,210\n1 Jan 00:00,2.6,9,212\n",
        ("refuse", "time", "a date with its year; the file names no issue ti"),
    ),
    "weekday day only": (
        "Issued: 28 Feb 2026 06:00 UTC\n"
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "Mon 02 06:00,2.5,9,210\n"
        "Mon 02 12:00,2.6,9,212\n",
        ("refuse", "time", "an ISO 8601 time such as 2026-03-04T06:00Z, of t"),
    ),
    "excel serial": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n46083.25,2.5,9,210\n46083.291667,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "hours as numbers": (
        "Date,Hour UTC,Hs (m),Tp (s),Dir from (deg)\n2026-03-02,6,2.5,9,210\n2026-03-02,7,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "hhmm numbers": (
        "Date,UTC,Hs (m),Tp (s),Dir from (deg)\n02-Mar-2026,600,2.5,9,210\n02-Mar-2026,1200,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "yyyymmddhh": (
        "YYYYMMDDHH,Hs (m),Tp (s),Dir from (deg)\n2026030206,2.5,9,210\n2026030207,2.6,9,212\n",
        ("ask", ["time_zone"], None),
    ),
    "lead from column": (
        "Issue time (UTC),Lead (h),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 00:00,6,2.5,9,210\n"
        "2026-03-02 00:00,12,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "lead without issue": (
        "T+ (h),Hs (m),Tp (s),Dir from (deg)\n0,2.5,9,210\n6,2.6,9,212\n",
        ("ask", ["issued"], None),
    ),
    "hs max & sig": (
        "Time (UTC),Sig. wave height (m),Max wave height (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,4.5,9,210\n"
        "2026-03-02 07:00,2.6,4.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "wave height only": (
        "Time (UTC),Wave height (m),Wave period (s),Wave dir (deg)\n"
        "2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n",
        ("ask", ["period_kind:wave period (s)", "direction_sense:wave dir (deg)"], None),
    ),
    "average height": (
        "Time (UTC),Mean wave height (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n",
        ("refuse", "wave height", "a column of significant wave height, Hs; the hig"),
    ),
    "seas and swell": (
        "Time (UTC),Seas (ft),Seas period (s),Seas dir from,Swell (ft),Swell period (s),Swell dir from\n"
        "2026-03-02 06:00,2.5,5,NW,6,12,W\n"
        "2026-03-02 07:00,2.5,5,NW,6,12,W\n",
        ("ask", ["period_kind:seas period (s)", "period_kind:swell period (s)"], None),
    ),
    "P50 P90": (
        "Time (UTC),Hs P50 (m),Hs P90 (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,3.5,9,210\n"
        "2026-03-02 07:00,2.6,3.6,9,212\n",
        ("ask", ["statistic"], None),
    ),
    "long mean member": (
        "time_utc,member,hs_m,tp_s,direction_from_deg\n"
        "2026-03-02T06:00Z,1,2,9,210\n"
        "2026-03-02T06:00Z,2,3,9,210\n"
        "2026-03-02T06:00Z,mean,2.5,9,210\n",
        ("read", "2026-03-02T06:00", [2]),
    ),
    "hs m/s": (
        "Time (UTC),Hs (m/s),Tp (s),Dir from (deg)\n2026-03-02 06:00,2.5,9,210\n2026-03-02 07:00,2.6,9,212\n",
        ("ask", ["column:waves"], None),
    ),
    "two hs different units": (
        "Time (UTC),Hs (m),Hs (ft),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,8.2,9,210\n"
        "2026-03-02 07:00,2.6,8.5,9,212\n",
        ("refuse", "column", "one column for the height of the sea; hs (m) giv"),
    ),
    "all missing": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n2026-03-02 06:00,-,9,210\n2026-03-02 07:00,N/A,9,212\n",
        ("refuse", "sea", "at least one row with every wave number. Sea not"),
    ),
    "header no table": (
        "hello\nworld\n",
        ("refuse", "columns of waves", "a column of numbers that can be wave heights, on"),
    ),
    "pasted markdown": (
        "| Time (UTC) | Hs (m) | Tp (s) | Dir from |\n"
        "|---|---|---|---|\n"
        "| 2026-03-02 06:00 | 2.5 | 9 | 210 |\n"
        "| 2026-03-02 07:00 | 2.6 | 9 | 212 |\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "transposed": (
        "Time (UTC),2026-03-02 06:00,2026-03-02 07:00,2026-03-02 08:00\n"
        "Hs (m),2.5,2.6,2.7\n"
        "Tp (s),9,9,9\n"
        "Dir from (deg),210,212,214\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6, 2.7]),
    ),
    "wind only": (
        "Time (UTC),Wind speed (kn),Wind dir\n2026-03-02 06:00,25,210\n2026-03-02 07:00,26,212\n",
        ("refuse", "columns of waves", "a column of numbers that can be wave heights, on"),
    ),
    "wind between": (
        "Time (UTC),Wind (kn),Gust (kn),Wind dir,Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,25-30,35,210,2.5,9,210\n"
        "2026-03-02 07:00,26,35,210,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "greater": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n2026-03-02 06:00,>2.5,9,210\n2026-03-02 07:00,2.6,9,212\n",
        ("refuse", "hs (m)", "a finite number from 0 to 25.0"),
    ),
    "hs+tp combined": (
        "Time (UTC),Hs/Tp,Dir from (deg)\n2026-03-02 06:00,2.5/9,210\n2026-03-02 07:00,2.6/9,212\n",
        ("refuse", "columns of waves", "a column of numbers that can be wave heights, on"),
    ),
    "newest first dmy": (
        "Time (UTC);Hs (m);Tp (s);Dir from (deg)\n03.04.2026 07:00;2,5;9;210\n03.04.2026 06:00;2,6;9;212\n",
        ("read", "2026-04-03T06:00", [2.6, 2.5]),
    ),
    "mixed order dates": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n13/03/2026 06:00,2.5,9,210\n03/14/2026 06:00,2.6,9,212\n",
        ("refuse", "time", "an ISO 8601 time such as 2026-03-04T06:00Z, of t"),
    ),
    "fixed blank cell": (
        "Time (UTC)        Hs (m)  Tp (s)  Dir from\n"
        "2026-03-02 06:00  2.5             210\n"
        "2026-03-02 07:00  2.6     9       212\n"
        "2026-03-02 08:00  2.7     9       212\n",
        ("read", "2026-03-02T06:00", [None, 2.6, 2.7]),
    ),
    "fixed shifted header": (
        "        Hs   Tp  Dir\n2026-03-02 06:00  2.5  9.0  210\n2026-03-02 07:00  2.6  9.0  212\n",
        ("refuse", "column name", "a name over every column; the one that begins wi"),
    ),
    "CST": (
        "Time (CST),Hs (m),Tp (s),Dir from (deg)\n2026-03-02 06:00,2.5,9,210\n2026-03-02 07:00,2.6,9,212\n",
        ("ask", ["time_zone"], None),
    ),
    "UTC in cell mixed": (
        "Time,Hs (m),Tp (s),Dir from (deg)\n2026-03-02 06:00 UTC,2.5,9,210\n2026-03-02 07:00 CET,2.6,9,212\n",
        ("refuse", "time", "each time once, or rows that agree; line 2 has it too"),
    ),
    "DST cell": (
        "Time (Europe/Oslo),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-07-02 06:00,2.5,9,210\n"
        "2026-07-02 07:00,2.6,9,212\n",
        ("read", "2026-07-02T04:00", [2.5, 2.6]),
    ),
    "german": (
        "Datum;Zeit;Signifikante Wellenhöhe (m);Periode (s);Richtung\n"
        "02.03.2026;06:00;2,5;9;210\n"
        "02.03.2026;07:00;2,6;9;212\n",
        ("ask", ["column:waves", "time_zone"], None),
    ),
    "swell in percent": (
        "Time (UTC),Hs (m),Tp (s),Dir from (deg),Swell share (%)\n"
        "2026-03-02 06:00,2.5,9,210,60\n"
        "2026-03-02 07:00,2.6,9,212,60\n",
        ("ask", ["unknown:swell share (%)"], None),
    ),
    "wave column partitions": (
        "Time (UTC),Wave 1 Hs (m),Wave 1 Tp (s),Wave 1 dir from,Wave 2 Hs (m),Wave 2 Tp (s),Wave 2 dir from\n"
        "2026-03-02 06:00,2.5,9,210,1,12,200\n"
        "2026-03-02 07:00,2.6,9,212,1,12,200\n",
        ("ask", ["column:waves"], None),
    ),
    "hs sea / hs swell": (
        "Time (UTC),Hs sea (m),Tp sea (s),Dir sea from,Hs swell (m),Tp swell (s),Dir swell from\n"
        "2026-03-02 06:00,2.5,9,210,1,12,200\n"
        "2026-03-02 07:00,2.6,9,212,1,12,200\n",
        ("read", "2026-03-02T06:00", [2.693, 2.786]),
    ),
    "Hs tot": (
        "Time (UTC),Hs tot (m),Hs wind (m),Hs swell (m),Tp tot (s),Tp wind (s),Tp swell (s),"
        "Dir tot from,Dir wind from,Dir swell from\n"
        "2026-03-02 06:00,2.7,2.5,1,9,9,12,210,210,200\n"
        "2026-03-02 07:00,2.8,2.6,1,9,9,12,210,210,200\n",
        ("ask", ["direction_from"], None),
    ),
    "repeated header names": (
        "Time (UTC),Hs (m),Tp (s),Dir from,Hs (m),Tp (s),Dir from\n"
        "2026-03-02 06:00,2.5,9,210,1,12,200\n"
        "2026-03-02 07:00,2.6,9,212,1,12,200\n",
        ("refuse", "column name", "each name once"),
    ),
    "height in tenth": (
        "Time (UTC),Hs (dm),Tp (s),Dir from (deg)\n2026-03-02 06:00,25,9,210\n2026-03-02 07:00,26,9,212\n",
        ("ask", ["column:waves"], None),
    ),
    "tz name clash": (
        "Time (UTC),Hs (m),Tz (s),Dir from (deg)\n2026-03-02 06:00,2.5,7,210\n2026-03-02 07:00,2.6,7,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "quoted header newline": (
        '"Time\n'
        '(UTC)","Hs (m)","Tp (s)","Dir from"\n'
        "2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n",
        ("ask", ["column:time"], None),
    ),
    "day header with time col iso": (
        "2 March 2026\n"
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-03-02 06:00,2.5,9,210\n"
        "2026-03-02 07:00,2.6,9,212\n",
        ("read", "2026-03-02T06:00", [2.5, 2.6]),
    ),
    "bulletin past midnight": (
        "Monday 2 March 2026\n"
        "Time UTC;Hs m;Tp s;Dir from\n"
        "18:00;2.5;9;210\n"
        "00:00;2.6;9;212\n"
        "06:00;2.6;9;212\n",
        ("refuse", "time", "hours that run on under their date, and a new da"),
    ),
    "hour 24 col": (
        "Date,Hour UTC,Hs (m),Tp (s),Dir from (deg)\n2026-03-02,23,2.5,9,210\n2026-03-02,24,2.6,9,212\n",
        ("read", "2026-03-02T23:00", [2.5, 2.6]),
    ),
    "issue ambiguous": (
        "Issued 03/04/2026 00:00 UTC\n"
        "Time (UTC),Hs (m),Tp (s),Dir from (deg)\n"
        "2026-04-03 06:00,2.5,9,210\n"
        "2026-04-03 07:00,2.6,9,212\n",
        ("read", "2026-04-03T06:00", [2.5, 2.6]),
    ),
    "member control": (
        "time_utc,hs control (m),hs m1 (m),hs m2 (m),tp_s,direction_from_deg\n"
        "2026-04-03T06:00Z,1.7,2,3,7,210\n"
        "2026-04-03T07:00Z,1.7,2,3,7,210\n",
        ("read", "2026-04-03T06:00", [1.7, 1.7]),
    ),
}
"""The file; and 'read' with its first time and heights, 'ask' with keys, or 'refuse' with what and what is allowed."""


@pytest.mark.parametrize("name", list(CASES))
def test_an_odd_file(name: str) -> None:
    text, (how, first, second) = CASES[name]
    if how == "read":
        found = read_forecast(text.encode())
        one = found.members[0] if isinstance(found, EnsembleForecast) else found
        assert str(one.times[0])[:16] == first
        heights = [np.nan if height is None else height for height in second]
        np.testing.assert_allclose(one.batch.hs, heights, atol=0.001)
    elif how == "ask":
        with pytest.raises(ForecastQuestions) as asked:
            read_forecast(text.encode())
        assert [question.key for question in asked.value.questions] == first
    else:
        with pytest.raises(FileError) as refused:
            read_forecast(text.encode())
        assert not isinstance(refused.value, ForecastQuestions)
        assert refused.value.what == first
        assert refused.value.allowed.startswith(second)
        tells_what_to_change(refused.value)
