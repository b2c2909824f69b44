"""Strict readers and writers of the files an engineer hands over or takes away."""

from heave.files.buoy import BuoyFile, read_buoy_file, read_buoy_spectra
from heave.files.conventions import ConventionNeeded, Question
from heave.files.forecast.questions import ForecastQuestions, MappingGuess, suggest_mapping
from heave.files.forecast.reader import demo_forecast, read_forecast
from heave.files.plan import plan_to_json, read_plan, write_plan
from heave.files.response_table import read_response_table, response_table_text, write_response_table
from heave.files.rigs import demo_compensators, demo_plan, demo_strings, demo_vessels
from heave.files.string import read_string, string_text, write_string

__all__ = [
    "BuoyFile",
    "ConventionNeeded",
    "ForecastQuestions",
    "MappingGuess",
    "Question",
    "demo_compensators",
    "demo_forecast",
    "demo_plan",
    "demo_strings",
    "demo_vessels",
    "plan_to_json",
    "read_buoy_file",
    "read_buoy_spectra",
    "read_forecast",
    "read_plan",
    "read_response_table",
    "read_string",
    "response_table_text",
    "string_text",
    "suggest_mapping",
    "write_plan",
    "write_response_table",
    "write_string",
]
