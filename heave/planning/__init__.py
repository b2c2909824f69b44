"""Plan in, assessment out: operations, checks, verdict, limiting sea and what would help."""

from heave.planning.assessment import Utilisations, assess, utilisations
from heave.planning.cautions import STANDING
from heave.planning.checks import NEAR, NOT_ASSESSED, OVER, VERDICTS, WITHIN, Check
from heave.planning.demands import carried_load, static_load
from heave.planning.forecast import ColumnMeaning, EnsembleForecast, Forecast, ForecastMapping
from heave.planning.limiting import LimitingSea, limiting_sea
from heave.planning.operations import HEAVE_BASES, OPERATIONS, Operation, OperationKind
from heave.planning.plan import MODEL_DATE, MODEL_VERSION, Plan, StaticOffsets
from heave.planning.remedies import Remedy, what_would_help
from heave.planning.results import Assessment, BitBand, Level, Residual, Responses, StrokeBudget
from heave.planning.rules import RULES, Rule
from heave.planning.working import Step, Term

__all__ = [
    "HEAVE_BASES",
    "MODEL_DATE",
    "MODEL_VERSION",
    "NEAR",
    "NOT_ASSESSED",
    "OPERATIONS",
    "OVER",
    "RULES",
    "STANDING",
    "VERDICTS",
    "WITHIN",
    "Assessment",
    "BitBand",
    "Check",
    "ColumnMeaning",
    "EnsembleForecast",
    "Forecast",
    "ForecastMapping",
    "Level",
    "LimitingSea",
    "Operation",
    "OperationKind",
    "Plan",
    "Remedy",
    "Residual",
    "Responses",
    "Rule",
    "StaticOffsets",
    "Step",
    "StrokeBudget",
    "Term",
    "Utilisations",
    "assess",
    "carried_load",
    "limiting_sea",
    "static_load",
    "utilisations",
    "what_would_help",
]
