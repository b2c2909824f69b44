"""Seas in time order: forecasts, ensembles and hindcasts, and the hours in them that can be worked."""

from heave.weather.ensemble import EnsembleResult, ProbableWindow, ensemble_windows
from heave.weather.evaluation import (
    CancelledError,
    StepEvaluation,
    evaluate_forecast,
    scaled_for,
)
from heave.weather.forecast import EnsembleForecast, Forecast
from heave.weather.headings import best_headings, best_path
from heave.weather.hindcast import HindcastResult, MonthStatistics, hindcast_windows
from heave.weather.lost import LostStarts, starts_lost_to_factor, starts_lost_to_systems
from heave.weather.results import Cause, Ending, Outlook, ScheduledStep, Window, WindowResult
from heave.weather.search import Search, search
from heave.weather.table import clock, window_table
from heave.weather.windows import question, weather_windows, without_systems

__all__ = [
    "CancelledError",
    "Cause",
    "Ending",
    "EnsembleForecast",
    "EnsembleResult",
    "Forecast",
    "HindcastResult",
    "LostStarts",
    "MonthStatistics",
    "Outlook",
    "ProbableWindow",
    "ScheduledStep",
    "Search",
    "StepEvaluation",
    "Window",
    "WindowResult",
    "best_headings",
    "best_path",
    "clock",
    "ensemble_windows",
    "evaluate_forecast",
    "hindcast_windows",
    "question",
    "scaled_for",
    "search",
    "starts_lost_to_factor",
    "starts_lost_to_systems",
    "weather_windows",
    "window_table",
    "without_systems",
]
