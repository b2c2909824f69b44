"""Weather windows: from a forecast, an ensemble or a hindcast to the hours that can be worked."""

from heave.planning.alpha import BASE_CASE, NO_FACTOR, AlphaRow, AlphaTable
from heave.planning.campaign import Block, Campaign, OperationStep
from heave.planning.windows.ensemble import EnsembleResult, ProbableWindow, ensemble_windows
from heave.planning.windows.evaluation import (
    CancelledError,
    StepEvaluation,
    evaluate_forecast,
    is_inside,
    many_utilisations,
    scaled_for,
)
from heave.planning.windows.headings import best_headings, best_path
from heave.planning.windows.hindcast import HindcastResult, MonthStatistics, hindcast_windows
from heave.planning.windows.lost import LostStarts, starts_lost_to_factor, starts_lost_to_systems
from heave.planning.windows.results import CAUSES, Ending, Outlook, ScheduledStep, Window, WindowResult
from heave.planning.windows.search import Search, search
from heave.planning.windows.table import clock, window_table, zone_of
from heave.planning.windows.windows import (
    HEADINGS,
    TURN_RATE,
    campaign_of,
    weather_windows,
    without_systems,
)

__all__ = [
    "BASE_CASE",
    "CAUSES",
    "HEADINGS",
    "NO_FACTOR",
    "TURN_RATE",
    "AlphaRow",
    "AlphaTable",
    "Block",
    "Campaign",
    "CancelledError",
    "Ending",
    "EnsembleResult",
    "HindcastResult",
    "LostStarts",
    "MonthStatistics",
    "OperationStep",
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
    "is_inside",
    "many_utilisations",
    "scaled_for",
    "search",
    "starts_lost_to_factor",
    "starts_lost_to_systems",
    "weather_windows",
    "window_table",
    "without_systems",
    "zone_of",
]
