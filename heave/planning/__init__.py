"""What the user decides: the plan, its operation, its campaign, forecast factors and what forecast columns mean."""

from heave.planning.alpha import BASE_CASE, NO_FACTOR, AlphaRow, AlphaTable
from heave.planning.campaign import Block, Campaign, OperationStep
from heave.planning.columns import ColumnMeaning, ForecastMapping
from heave.planning.operations import HEAVE_BASES, OPERATIONS, Operation, OperationKind
from heave.planning.plan import MODEL_DATE, MODEL_VERSION, Plan, StaticOffsets

__all__ = [
    "BASE_CASE",
    "HEAVE_BASES",
    "MODEL_DATE",
    "MODEL_VERSION",
    "NO_FACTOR",
    "OPERATIONS",
    "AlphaRow",
    "AlphaTable",
    "Block",
    "Campaign",
    "ColumnMeaning",
    "ForecastMapping",
    "Operation",
    "OperationKind",
    "OperationStep",
    "Plan",
    "StaticOffsets",
]
