"""From a plan to its verdict: demands, checks, assessment, limiting sea and what would help."""

from heave.formula import Formula, Step, Term
from heave.judging.assessment import Utilisations, assess, utilisations
from heave.judging.cautions import STANDING
from heave.judging.checks import NEAR, NOT_ASSESSED, OVER, VERDICTS, WITHIN, Check
from heave.judging.demands import carried_load, static_load
from heave.judging.limiting import LimitingSea, limiting_sea
from heave.judging.remedies import Remedy, what_would_help
from heave.judging.results import Assessment, BitBand, Residual, Responses, StrokeBudget
from heave.judging.rules import CHECK_NAMES, RULES, Rule

__all__ = [
    "CHECK_NAMES",
    "NEAR",
    "NOT_ASSESSED",
    "OVER",
    "RULES",
    "STANDING",
    "VERDICTS",
    "WITHIN",
    "Assessment",
    "BitBand",
    "Check",
    "Formula",
    "LimitingSea",
    "Remedy",
    "Residual",
    "Responses",
    "Rule",
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
