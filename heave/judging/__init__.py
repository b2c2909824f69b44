"""From a plan to its verdict: demands, checks, assessment, limiting sea and what would help."""

from heave.formula import Formula, Step, Term
from heave.judging.assessment import assess, largest_doubt
from heave.judging.cautions import STANDING, calibration_doubt, unjudged_path
from heave.judging.checks import NEAR, NOT_ASSESSED, OVER, VERDICTS, WITHIN, Check
from heave.judging.limiting import LimitingSea, LimitMap, Room, limit_map, limiting_sea, room_left
from heave.judging.missing import lacks_response, needs, unconfirmed, wanted, withheld
from heave.judging.moments import carried_load, static_load
from heave.judging.remedies import Remedy, in_sector, what_would_help
from heave.judging.results import (
    ActiveDemand,
    Assessment,
    BitBand,
    Doubt,
    Lost,
    Residual,
    Responses,
    StrokeBudget,
)
from heave.judging.rules import CHECK_NAMES, RULES, Rule
from heave.judging.utilisation import Utilisations, utilisations, utilisations_of
