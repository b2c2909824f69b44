"""What the user decides: the plan, its operation, and the question it puts to a forecast."""

from heave.planning.alpha import BASE_CASE, NO_FACTOR, AlphaRow, AlphaTable
from heave.planning.campaign import Block, Campaign, OperationStep
from heave.planning.columns import ColumnMeaning, ForecastMapping
from heave.planning.instants import instant
from heave.planning.kinds import OPERATIONS, Answer, OperationKind
from heave.planning.line_work import LineJob, LineWork
from heave.planning.offsets import StaticOffsets
from heave.planning.operations import HEAVE_BASES, HsLimit, Operation
from heave.planning.other_seas import OtherSeas
from heave.planning.plan import MODEL_DATE, MODEL_VERSION, Plan
from heave.planning.progress import NOTHING_DONE, Answered, Progress
from heave.planning.ranges import CLOSED, Ranges
from heave.planning.record import UNTITLED, Hour, Record, Signed
from heave.planning.study import STUDIED, StudiedInput, Study
from heave.planning.tide import Tide, TideWater
from heave.planning.trip import trip_time
from heave.planning.weather import AS_NEW, HeadingPolicy, WeatherChoices
from heave.planning.zones import UTC_NAME, zone_names, zone_of
