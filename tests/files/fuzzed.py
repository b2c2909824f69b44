"""Every reader with files of its kind, what it makes of them as plain numbers, and the work that is done with it.

`attempt` spoils one file and tells what came of it: read, refused, asked, or a `Fault`: read wrongly in silence, no
finite result, another error than the two a user can meet, a message that is too long, or too long a time.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from typing import Any, Final

import numpy as np
import record_layouts
from response_layouts import Style as ResponseStyle
from scatter_text import CELLS, HS, TZ
from spoiling import CHANGES, Column, Facts, Meant, Table, astray, contradicted, doubled, huge, spoilt

from heave.drill_string import DrillString
from heave.errors import FileError, InputError
from heave.files.buoy import BuoyFile, read_buoy_file
from heave.files.conventions import ConventionNeeded
from heave.files.forecast.answers import answer
from heave.files.forecast.questions import ForecastQuestions
from heave.files.forecast.reader import read_forecast
from heave.files.record.reader import RecordFile, read_record_file
from heave.files.response.reader import ResponseFile, read_response_file
from heave.files.rigs import demo_plan
from heave.files.scatter import read_scatter
from heave.files.string import read_string
from heave.judging import Assessment, assess
from heave.planning import Plan
from heave.planning.rig import with_measured_sea
from heave.screens.weather.tide import read as read_tide
from heave.simulation.reconcile import reconcile
from heave.studies.climate import operability
from heave.studies.climate_seas import seas_of_scatter
from heave.studies.scatter import Scatter
from heave.weather import weather_windows
from heave.weather.forecast import EnsembleForecast, Forecast

LONGEST: Final = 400
"""Longest message of a refusal [characters]."""

WORKED: Final = 0.2
"""Share of what is read that is worked with as well: judged, searched for windows, compared."""

Answers = Mapping[str, str]
LENGTHS: Final = {"m": 1.0, "ft": 0.3048}
BEGIN: Final = datetime(2026, 12, 26, 22)


class Fault(Exception):
    """What must not come of a file."""


@dataclass(frozen=True)
class Kind:
    """A reader: files of its kind, how it reads them, what it made of one in numbers, and what is done with that."""

    name: str
    tables: tuple[Table, ...]
    read: Callable[[bytes, Answers], Any]
    facts: Callable[[Any], Facts]
    use: Callable[[Any], None]
    texts: tuple[bytes, ...] = ()
    """Files that are no tables, spoilt blindly."""

    relative: bool = False
    """Whether places count from the first that is read."""

    changes: Sequence[Any] = CHANGES


# what is done with what was read


def judged(plan: Plan) -> Assessment:
    """The assessment of a plan, every figure of it a number or said not to be known."""
    result = assess(plan)
    for check in result.checks:
        known = math.isfinite(check.demand) and math.isfinite(check.utilisation)
        if not known and check.state != "not assessed" and not math.isinf(check.utilisation):
            raise Fault(f"{check.key}: {check.demand} of {check.capacity} is {check.state}")
        if "nan" in check.headline().lower().split():
            raise Fault(f"{check.key}: {check.headline()}")
    return result


def _windows(found: Forecast | EnsembleForecast) -> None:
    for member in found.members[:2] if isinstance(found, EnsembleForecast) else (found,):
        if member.size > 200:
            continue
        try:
            result = weather_windows(demo_plan(), member)
        except FileError:
            raise
        except InputError:
            continue
        if len(result.forecast.times) != member.size:
            raise Fault("windows of another forecast")


def _within(change: Callable[[], Plan]) -> None:
    """A plan with what was read in it, judged; a plan may refuse what a file may hold."""
    try:
        plan = change()
    except InputError:
        return
    judged(plan)


# forecasts


def _told(question: str, answers: Answers) -> str | None:
    key = question.partition(":")[0]
    return answers.get(question) or answers.get(key)


def _forecast(data: bytes, answers: Answers) -> Forecast | EnsembleForecast:
    mapping = None
    zone = answers.get("time_zone") or "UTC"
    for _ in range(12):
        try:
            return read_forecast(data, mapping, time_zone=zone if mapping is None else None, period_kind="Tp")
        except ForecastQuestions as asked:
            said = _told(asked.questions[0].key, answers)
            if said is None:
                raise
            try:
                mapping = answer(asked.mapping, asked.questions[0], said)
            except FileError as wrong:
                raise asked from wrong
    raise Fault("asked without end")


def _seas(found: Forecast | EnsembleForecast) -> Facts:
    facts: Facts = {}
    several = isinstance(found, EnsembleForecast)
    names = found.member_names if isinstance(found, EnsembleForecast) else ("",)
    for member, series in zip(names, found.members if isinstance(found, EnsembleForecast) else (found,), strict=True):
        if np.any(np.diff(series.times) <= np.timedelta64(0, "s")):
            raise Fault("times do not rise")
        for row, time in enumerate(series.times.astype(object)):
            values: dict[str, float] = {}
            for name, slot in zip(series.system_names, series.batch.slots, strict=True):
                there = slot.hs[row] > 0.0
                values[f"{name} hs"] = float(slot.hs[row])
                values[f"{name} tp"] = float(slot.tp[row]) if there else math.nan
                values[f"{name} from"] = float(slot.direction_from[row]) if there else math.nan
            for name in ("wind_speed", "current_speed", "gust_speed", "tide"):
                beside = getattr(series, name)
                if beside is not None:
                    values[name] = float(beside[row])
            if not all(math.isnan(v) or 0 <= v <= 400 or name == "tide" for name, v in values.items()):
                raise Fault(f"no sea: {values}")
            facts[(str(time), member) if several else time] = values
    return {key: facts[key] for key in sorted(facts)}


def _hours(count: int, form: str = "%Y-%m-%d %H:%M", step: float = 3.0) -> tuple[tuple[datetime, ...], tuple[str, ...]]:
    stamps = tuple(BEGIN + timedelta(hours=step * row) for row in range(count))
    return stamps, tuple(when.strftime(form) for when in stamps)


def _wave(count: int, mean: float, swing: float, digits: int, phase: float = 0.0) -> tuple[str, ...]:
    return tuple(f"{mean + swing * math.sin(0.4 * row + phase):.{digits}f}" for row in range(count))


def _of_total(count: int, mark: str = ",", step: float = 3.0) -> Table:
    stamps, times = _hours(count, step=step)
    return Table(
        (
            Column("time", times),
            Column("hs_{}", _wave(count, 2.6, 0.8, 2), "total sea hs", "m", LENGTHS),
            Column("tp_s", _wave(count, 9.4, 1.2, 1, 1.0), "total sea tp"),
            Column("direction_from_deg", _wave(count, 214, 9, 0, 2.0), "total sea from"),
            Column("wind_speed_{}", _wave(count, 21, 6, 1), "wind_speed", "kn", {"kn": 0.514444444, "m_per_s": 1.0}),
        ),
        stamps,
        mark=mark,
    )


def _of_parts(count: int = 14) -> Table:
    stamps, times = _hours(count, "%d.%m.%Y %H:%M")
    return Table(
        (
            Column("Date and time (UTC)", times),
            Column("Wind sea Hs ({})", _wave(count, 1.8, 0.5, 2), "wind sea hs", "m", LENGTHS),
            Column("Wind sea Tp (s)", _wave(count, 6.4, 0.7, 1, 1.0), "wind sea tp"),
            Column("Wind sea direction from (°)", _wave(count, 210, 9, 0, 2.0), "wind sea from"),
            Column("Swell Hs ({})", _wave(count, 1.2, 0.3, 2, 3.0), "swell hs", "m", LENGTHS),
            Column("Swell Tp (s)", _wave(count, 12.4, 0.9, 1, 1.5), "swell tp"),
            Column("Swell direction from (°)", _wave(count, 255, 9, 0, 2.5), "swell from"),
        ),
        stamps,
        above=("Marine forecast for the site", ""),
    )


def _of_members(count: int = 8, members: int = 3) -> Table:
    rows = [(row, member) for row in range(count) for member in range(members)]
    _, times = _hours(count)
    height = [f"{2.4 + 0.4 * math.sin(0.5 * row) + 0.15 * member:.2f}" for row, member in rows]
    return Table(
        (
            Column("valid_time", tuple(times[row] for row, _ in rows)),
            Column("number", tuple(str(member) for _, member in rows)),
            Column("swh", tuple(height), "total sea hs"),
            Column("mwp", _wave(len(rows), 8.2, 0.6, 1), "total sea tp"),
            Column("mwd", _wave(len(rows), 205, 8, 0), "total sea from"),
        )
    )


def _of_buoy_centre(count: int = 12) -> Table:
    stamps, _ = _hours(count, step=1.0)
    names = ("#YY", "%Y"), ("MM", "%m"), ("DD", "%d"), ("hh", "%H"), ("mm", "%M")
    return Table(
        (
            *(Column(name, tuple(when.strftime(form) for when in stamps)) for name, form in names),
            Column("WSPD", _wave(count, 8, 2, 1), "wind_speed"),
            Column("WVHT", _wave(count, 2.2, 0.5, 1), "total sea hs"),
            Column("DPD", _wave(count, 9, 1, 0), "total sea tp"),
            Column("MWD", _wave(count, 225, 9, 0), "total sea from"),
        ),
        mark=" ",
    )


# other readers


def _record_table(name: str, head: str, scale: float, digits: int) -> Table:
    time = np.arange(0.0, 150.0, 0.5)
    heave = record_layouts.heave(time, 3)
    return Table(
        (
            Column(name, tuple(f"{one:.1f}" for one in time)),
            Column(head, tuple(f"{one / scale:.{digits}f}" for one in heave), "raw", "m", {**LENGTHS, "cm": 0.01}),
        )
    )


def _record_facts(found: RecordFile) -> Facts:
    heave = found.record.heave
    if not np.isfinite(heave).all() or np.abs(heave).max() > 40.0:
        raise Fault("no heave")
    told = " ".join(found.record.notes) + " ".join(fault.kind for fault in found.record.faults)
    if not told and len(found.raw) == len(heave) and not np.allclose(heave, found.raw, atol=1e-9):
        raise Fault("heave is not what was read, and nothing is said")
    return {round(float(t), 3): {"raw": float(v)} for t, v in zip(found.time, found.raw, strict=True)}


def _record_use(found: RecordFile) -> None:
    try:
        against = reconcile(demo_plan(), found.record.heave, found.record.step)
    except InputError:
        return
    if not math.isfinite(against.ratio):
        raise Fault("no ratio of the record")


RESPONSE: Final = ResponseStyle().conventions()


def _response_own() -> Table:
    rows = [(period, heading) for period in (7, 10, 14, 18) for heading in (0, 45, 90, 135, 180)]
    head = "heave_m_per_m", "heave_phase_deg", "roll_deg_per_m", "roll_phase_deg", "pitch_deg_per_m", "pitch_phase_deg"
    size = [f"{0.1 + 0.05 * period * (1 - heading / 900):.4f}" for period, heading in rows]
    roll = [f"{0.0 if heading in (0, 180) else 0.4:.2f}" for _, heading in rows]
    cells = (size, ["10"] * 20, roll, ["90"] * 20, ["0.3"] * 20, ["-90"] * 20)
    facts = "heave", "", "roll", "", "pitch", ""
    told = ("phase: lag", "symmetric: yes", "reference_x_m: 1", "reference_y_m: 0", "heading_convention: travel_from_bow")
    return Table(
        (
            Column("period_s", tuple(str(period) for period, _ in rows)),
            Column("heading_deg", tuple(str(heading) for _, heading in rows)),
            *(Column(name, tuple(column), fact) for name, column, fact in zip(head, cells, facts, strict=True)),
        ),
        above=("# format: heave-response-table 1", *(f"# {one}" for one in told)),
    )


def _response_long() -> Table:
    own = _response_own()
    names = "Period (s)", "Heading (deg)", "Heave amp (m/m)", "Heave phase (deg)"
    more = "Roll amp (deg/m)", "Roll phase (deg)", "Pitch amp (deg/m)", "Pitch phase (deg)"
    columns = tuple(replace(one, head=name) for one, name in zip(own.columns, (*names, *more), strict=True))
    return Table(columns, above=("Response of the vessel",))


def _response_facts(found: ResponseFile) -> Facts:
    table = found.table
    motions = {name: np.abs(getattr(table, name)) for name in ("heave", "roll", "pitch")}
    if not all(np.isfinite(values).all() for values in motions.values()):
        raise Fault("no response")
    facts: Facts = {}
    for place, omega in reversed(list(enumerate(table.omega))):
        for row, heading in enumerate(table.heading):
            if heading <= 180.0:
                key = round(2 * math.pi / float(omega), 6), float(heading)
                facts[key] = {name: float(values[row, place]) for name, values in motions.items()}
    return facts


def _response_use(found: ResponseFile) -> None:
    plan = demo_plan()
    _within(lambda: plan.changed(vessel=replace(plan.vessel, response=found.table, origin=found.origin)))


def _string_table() -> Table:
    return Table(
        (
            Column("name", ("Drill pipe", "Heavy weight", "Collar")),
            Column("length_{}", ("2500.5", "120.25", "150"), "length", "m", LENGTHS),
            Column("od_{}", ("5.0", "5.0", "8.0"), "od", "in", {"in": 0.0254, "mm": 0.001}),
            Column("id_{}", ("4.276", "3.0", "2.8125"), "id", "in", {"in": 0.0254, "mm": 0.001}),
            Column("weight_lb_per_ft", ("22.6", "50.1", "150.0"), "mass"),
            Column("grade", ("S-135", "E-75", "E-75")),
        ),
        mark=";",
    )


def _string_facts(found: Any) -> Facts:
    return {
        one.name: {"length": one.length, "od": one.outer_diameter, "id": one.inner_diameter, "mass": one.linear_mass}
        for one in found
    }


def _string_use(found: Any) -> None:
    plan = demo_plan()
    _within(lambda: plan.changed(string=DrillString(found, plan.string.mud_density)))


def _spectra_table() -> Table:
    stamps, _ = _hours(6, step=1.0)
    names = ("#YY", "%Y"), ("MM", "%m"), ("DD", "%d"), ("hh", "%H"), ("mm", "%M")
    centres = [f"{0.07 + 0.01 * place:.4f}" for place in range(9)]
    return Table(
        (
            *(Column(name, tuple(when.strftime(form) for when in stamps)) for name, form in names),
            *(
                Column(centre.lstrip("0"), _wave(6, 4.0 / (1 + place), 0.3, 2), str(place))
                for place, centre in enumerate(centres)
            ),
        ),
        mark=" ",
    )


def _spectra_facts(found: BuoyFile) -> Facts:
    facts: Facts = {}
    for one in found.spectra:
        if not math.isfinite(one.hs):
            raise Fault("no height of a spectrum")
        time = datetime.fromisoformat(str(one.time).removesuffix("Z"))
        facts[time] = {str(place): float(value) for place, value in enumerate(one.density)}
    return facts


def _spectra_use(found: BuoyFile) -> None:
    _within(lambda: with_measured_sea(demo_plan(), found.spectra[-1], 220.0, "cos-n", 4.0))


def _scatter_table() -> Table:
    return Table(
        (
            Column(r"Hs_{}\Tz_s", tuple(map(str, HS)), "height", "m", LENGTHS),
            *(
                Column(str(period), tuple(str(row[place]) for row in CELLS), str(period))
                for place, period in enumerate(TZ)
            ),
        )
    )


def _scatter_facts(found: Scatter) -> Facts:
    cells = sum(part.cells for part in found.parts)
    if not np.isfinite(cells).all() or np.any(cells < 0):
        raise Fault("no counts")
    middles = found.period_middles
    facts: Facts = {}
    for row in range(len(cells)):
        facts[row] = {f"{period:g}": float(cell) for period, cell in zip(middles, cells[row], strict=True)}
        facts[row]["height"] = float(found.hs_limits[row] + found.hs_limits[row + 1]) / 2
    return facts


def _scatter_use(found: Scatter) -> None:
    plan = demo_plan()
    try:
        result = operability(plan, seas_of_scatter(plan, found, split=1), "fixed")
    except InputError:
        return
    shares = result.all_steps
    if not math.isclose(shares.workable + shares.over + shares.unknown, 1.0):
        raise Fault(f"shares {shares}")


def _tide_table() -> Table:
    stamps = tuple(BEGIN + timedelta(hours=6.2 * row) for row in range(8))
    return Table(
        (
            Column("", tuple(f"{when:%Y-%m-%d}" for when in stamps)),
            Column("", tuple(f"{when:%H:%M}" for when in stamps)),
            Column("", _wave(8, 1.0, 0.9, 2), "height"),
        ),
        mark=" ",
    )


def _tide(data: bytes, answers: Answers) -> Any:
    return read_tide(data.decode("utf-8", "replace"))


def _tide_facts(found: Any) -> Facts:
    return {datetime.fromisoformat(one.when): {"height": one.height} for one in found.waters}


def _tide_use(found: Any) -> None:
    if not np.isfinite(found.level(found.times)).all():
        raise Fault("no tide")


ONCE: Final = tuple(change for change in CHANGES if change not in (doubled, contradicted))
"""Of files whose rows may be there twice."""


@cache
def kinds() -> Mapping[str, Kind]:
    """Every reader of tables by name."""
    root = __file__.rpartition("/tests/")[0]
    with open(f"{root}/sea_states/invented_storm.data_spec", "rb") as file:
        real_time = b"\n".join(file.read().split(b"\n")[:5]) + b"\n"
    records = (_record_table("time_s", "heave_{}", 1.0, 4), _record_table("Time (s)", "Heave up ({})", 1.0, 3))
    listed = (
        Kind("forecast", (_of_total(16), _of_parts(), _of_buoy_centre()), _forecast, _seas, _windows),
        Kind("ensemble", (_of_members(),), _forecast, _seas, _windows),
        Kind("hindcast", (_of_total(700, step=1.0),), _forecast, _seas, _windows),
        Kind("heave record", records, lambda d, a: read_record_file(d, a), _record_facts, _record_use, relative=True),
        Kind(
            "response table",
            (_response_own(), _response_long()),
            lambda d, a: read_response_file(d, RESPONSE),
            _response_facts,
            _response_use,
        ),
        Kind("string", (_string_table(),), lambda d, a: read_string(d), _string_facts, _string_use, (), False, ONCE),
        Kind("spectra", (_spectra_table(),), lambda d, a: read_buoy_file(d), _spectra_facts, _spectra_use, (real_time,)),
        Kind(
            "scatter diagram",
            (_scatter_table(),),
            lambda d, a: read_scatter(d, classes="middles", period_kind="Tz", height_unit=a.get("height_unit")),
            _scatter_facts,
            _scatter_use,
        ),
        Kind("tide", (_tide_table(),), _tide, _tide_facts, _tide_use),
    )
    return {one.name: one for one in listed}


@cache
def _before(name: str, place: int) -> Facts:
    kind = kinds()[name]
    found = kind.facts(kind.read(kind.tables[place].data(), KNOWN))
    if not found:
        raise Fault(f"{name} {place} as it was is not read")
    return found


KNOWN: Final = {"date_order": "day first", "time_zone": "UTC", "composition": "parts", "direction_sense": "from"}


@dataclass(frozen=True)
class Came:
    """What came of a file: 'read', 'refused' or 'asked', what was done to it, and the file."""

    outcome: str
    what: str
    data: bytes


def attempt(name: str, draw: random.Random) -> Came:
    """One spoilt file, read; raises what must not be, with the file in its notes."""
    kind = kinds()[name]
    place = draw.randrange(len(kind.tables))
    table = kind.tables[place]
    if draw.random() < 0.004:
        meant: Meant | None = huge(table, draw)
    elif draw.random() < 0.3:
        data = draw.choice((*kind.texts, table.data()))
        meant = Meant("spoilt", spoilt(data, draw))
    else:
        meant = draw.choice(kind.changes)(table, draw)
    if meant is None:
        return attempt(name, draw)
    blind = meant.what == "spoilt"
    try:
        answers = {} if meant.unread else {**KNOWN, **meant.answers}
        try:
            found = kind.read(meant.data, answers)
        except FileError as error:
            return Came(refused(error), meant.what, meant.data)
        except InputError as error:
            if name != "tide":
                raise
            return Came(refused(error), meant.what, meant.data)
        facts = kind.facts(found)
        if not blind:
            _hold(kind, meant, _before(name, place), facts)
        if draw.random() < WORKED:
            kind.use(found)
    except Exception as problem:
        problem.add_note(f"{name}, {meant.what}")
        problem.spoilt = meant.data  # type: ignore[attr-defined]
        raise
    return Came("read", meant.what, meant.data)


def refused(error: InputError) -> str:
    """That a file was refused or asked about, in a message that can be read."""
    words = str(error)
    if len(words) > LONGEST:
        raise Fault(f"a message of {len(words)} characters: {words[:200]}")
    if not words.replace("\u202f", "").isprintable():
        raise Fault(f"a message that cannot be shown: {words!r}")
    return "asked" if isinstance(error, ConventionNeeded) else "refused"


def _hold(kind: Kind, meant: Meant, before: Facts, found: Facts) -> None:
    why = astray(meant, before, found)
    if why and kind.relative:
        gone = [key for row, key in enumerate(before) if row in meant.gone | meant.loose][:1]
        starts = list(before)[:4] if gone or meant.may_go else []
        moved = ({round(key + start, 3): value for key, value in found.items()} for start in starts)
        why = why if all(astray(meant, before, one) for one in moved) or not starts else ""
    if why:
        raise Fault(why)
