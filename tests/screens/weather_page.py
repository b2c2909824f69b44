"""What tests of the weather-window page share: files made up, boxes, buttons and tables of the page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from streamlit.testing.v1 import AppTest

from heave.planning import Plan

Box = Callable[[str], Any]
Words = Callable[[], str]
Unfold = Callable[..., None]
PAGE = str(Path(__file__).resolve().parents[2] / "heave/screens/weather/page.py")


def opened() -> AppTest:
    """The weather-window page by itself, the forecast unfolded."""
    page = AppTest.from_file(PAGE, default_timeout=300)
    page.session_state["heave:opened"] = {"weather:forecast": True}
    page.session_state["heave:open:weather:forecast"] = True
    page.run()
    assert not page.exception
    return page


def plan_of(app: AppTest) -> Plan:
    plan: Plan = app.session_state["heave:plan"]
    return plan


def upload(
    app: AppTest, name: str, data: str | bytes, label: str = "Your own forecast (CSV, text or .xlsx)"
) -> None:
    box = next(item for item in app.file_uploader if item.label == label)
    raw = data if isinstance(data, bytes) else data.encode()
    box.set_value([(name, raw, "text/csv")]).run()
    assert not app.exception


def press(app: AppTest, label: str) -> None:
    next(item for item in app.button if item.label.replace("\\", "") == label).click().run()
    assert not app.exception


def pick(app: AppTest, label: str, value: Any) -> None:
    next(item for item in app.selectbox if item.label == label).set_value(value).run()
    assert not app.exception


def tables_of(app: AppTest) -> list[list[dict[str, str]]]:
    """Every table of the page as it reads."""
    found = [table.value.to_dict("records") for table in app.table]
    return [
        [{k.replace("\\", ""): v.replace("\\", "") for k, v in row.items()} for row in rows] for rows in found
    ]


def table_of(app: AppTest) -> list[dict[str, str]]:
    """The table of windows."""
    return next(rows for rows in tables_of(app) if "Window" in rows[0] or "Month" in rows[0])


def series(heights: list[float], header: str = "time_utc,hs_m,tp_s,direction_from_deg") -> str:
    rows = [
        f"2026-03-{1 + hour // 24:02d}T{hour % 24:02d}:00Z,{height},12,220"
        for hour, height in enumerate(heights)
    ]
    return "\n".join([header, *rows]) + "\n"


def present_time(app: AppTest, now: str) -> None:
    """Put the present time where a file of another year has its days."""
    asked = replace(plan_of(app).weather, now=now)
    app.session_state["heave:plan"] = plan_of(app).changed(weather=asked)
    app.run()
    assert not app.exception


CALM = series([0.5] * 30)
