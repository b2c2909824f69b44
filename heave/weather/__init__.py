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
from heave.weather.results import CAUSES, Ending, Outlook, ScheduledStep, Window, WindowResult
from heave.weather.search import Search, search
from heave.weather.table import clock, window_table, zone_of
from heave.weather.windows import HEADINGS, TURN_RATE, campaign_of, weather_windows, without_systems

__all__ = [
    "CAUSES",
    "HEADINGS",
    "TURN_RATE",
    "CancelledError",
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
    "campaign_of",
    "clock",
    "ensemble_windows",
    "evaluate_forecast",
    "hindcast_windows",
    "scaled_for",
    "search",
    "starts_lost_to_factor",
    "starts_lost_to_systems",
    "weather_windows",
    "window_table",
    "without_systems",
    "zone_of",
]
