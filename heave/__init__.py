"""Vessel heave and drill-string compensator planning from wave spectra.

    import heave

    plan = heave.demo_plan()
    result = heave.assess(plan)
    result.verdict, result.governing, result.setting

SI inside; directions in degrees, compass, coming from.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from heave import compensator, drill_string, hoisting, sea, vessel
    from heave.errors import FileError, InputError
    from heave.files.buoy import read_buoy_spectra
    from heave.files.calculation_json import calculation_to_json
    from heave.files.forecast.reader import read_forecast
    from heave.files.heave_record import read_heave_record
    from heave.files.plan import read_plan, write_plan
    from heave.files.response_table import read_response_table
    from heave.files.rigs import demo_plan
    from heave.judging import Assessment, Check, LimitingSea, LimitMap, assess, limit_map, limiting_sea
    from heave.planning import Operation, Plan
    from heave.sea import SeaState, WaveSystem
    from heave.simulation.simulate import simulate
    from heave.vessel import Vessel
    from heave.weather import weather_windows

__all__ = [  # noqa: RUF022  in reading order
    "demo_plan",
    "read_plan",
    "write_plan",
    "assess",
    "calculation_to_json",
    "limiting_sea",
    "limit_map",
    "weather_windows",
    "simulate",
    "Plan",
    "Assessment",
    "Check",
    "LimitingSea",
    "LimitMap",
    "Operation",
    "SeaState",
    "WaveSystem",
    "Vessel",
    "read_forecast",
    "read_response_table",
    "read_buoy_spectra",
    "read_heave_record",
    "sea",
    "vessel",
    "drill_string",
    "compensator",
    "hoisting",
    "InputError",
    "FileError",
]

_ROOMS = ("compensator", "drill_string", "hoisting", "sea", "vessel")
_HOMES = {
    "errors": ("FileError", "InputError"),
    "files.buoy": ("read_buoy_spectra",),
    "files.calculation_json": ("calculation_to_json",),
    "files.forecast.reader": ("read_forecast",),
    "files.heave_record": ("read_heave_record",),
    "files.plan": ("read_plan", "write_plan"),
    "files.response_table": ("read_response_table",),
    "files.rigs": ("demo_plan",),
    "judging": ("Assessment", "Check", "LimitMap", "LimitingSea", "assess", "limit_map", "limiting_sea"),
    "planning": ("Operation", "Plan"),
    "sea": ("SeaState", "WaveSystem"),
    "simulation.simulate": ("simulate",),
    "vessel": ("Vessel",),
    "weather": ("weather_windows",),
}


def __getattr__(name: str) -> Any:
    """A public name, its room imported when it is first asked for: `import heave` alone costs nothing."""
    if name in _ROOMS:
        return import_module(f"heave.{name}")
    for home, names in _HOMES.items():
        if name in names:
            globals()[name] = getattr(import_module(f"heave.{home}"), name)
            return globals()[name]
    raise AttributeError(f"module 'heave' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
