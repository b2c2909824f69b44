"""Reading forecasts: columns, times, systems, members."""

from heave.files.forecast.mapping import ForecastQuestions, MappingGuess, suggest_mapping
from heave.files.forecast.reader import demo_forecast, read_forecast

__all__ = ["ForecastQuestions", "MappingGuess", "demo_forecast", "read_forecast", "suggest_mapping"]
