"""Weather windows: from a forecast, an ensemble or a hindcast to the hours that can be worked."""

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
from heave.planning.windows.results import CAUSES, Ending, Outlook, ScheduledStep, Window, WindowResult
from heave.planning.windows.search import Search, search
from heave.planning.windows.windows import (
    HEADINGS,
    TURN_RATE,
    campaign_of,
    weather_windows,
    without_systems,
)

__all__ = [
    "CAUSES",
    "HEADINGS",
    "TURN_RATE",
    "CancelledError",
    "Ending",
    "EnsembleResult",
    "HindcastResult",
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
    "ensemble_windows",
    "evaluate_forecast",
    "hindcast_windows",
    "is_inside",
    "many_utilisations",
    "scaled_for",
    "search",
    "weather_windows",
    "without_systems",
]
