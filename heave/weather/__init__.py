"""Seas in time order: forecasts, ensembles and hindcasts, and the hours in them that can be worked."""

from heave.weather.ensemble import EnsembleResult, ProbableWindow, ensemble_windows
from heave.weather.evaluation import CancelledError, evaluate_forecast, scaled_for
from heave.weather.forecast import EnsembleForecast, Forecast
from heave.weather.headings import best_headings, best_path
from heave.weather.hindcast import HindcastResult, hindcast_windows
from heave.weather.lost import LostStarts, starts_lost_to_systems
from heave.weather.results import Window, WindowResult
from heave.weather.search import search
from heave.weather.windows import question, weather_windows, without_systems
