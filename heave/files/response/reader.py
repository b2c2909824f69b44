"""Response tables in the layouts that naval architects send, read into one table of our own conventions.

The file is read in stages: blocks, words, records, conventions. What it does not say is asked, never assumed
(`ResponseQuestions`); what is wrong is refused with its line. Our own format goes through its own strict reader.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from heave.errors import FileError
from heave.files.conventions import RESPONSE_FORMAT, ConventionNeeded, Question
from heave.files.forecast.text import forecast_text
from heave.files.response.blocks import content_of
from heave.files.response.convert import (
    LARGEST_PHASE,
    MOTIONS,
    on_both_sides,
    rotation_unit,
    table_of_records,
)
from heave.files.response.questions import ResponseQuestions, answer, question_about, question_of_column
from heave.files.response.records import Records, headings_in, records_of
from heave.files.response.words import slope_unit, with_stated
from heave.files.response_table import MAX_RESPONSE_BYTES, own_table
from heave.files.tables import Source, load, table_of
from heave.vessel import ResponseConventions, ResponseOrigin, ResponseTable, plausibility


@dataclass(frozen=True)
class ResponseFile:
    """A table as it was read, and where it comes from."""

    table: ResponseTable
    origin: ResponseOrigin


def read_response_file(
    source: Source, conventions: ResponseConventions | None = None, *, name: str = "response table"
) -> ResponseFile:
    """Read a response table in any layout: long, a block for each heading or motion, text or a workbook.

    What the file itself states goes before what was answered.

    Parameters
    ----------
    source : a path, or bytes
    conventions : what was answered; None is nothing
    name : of the file, to be kept with the table

    Raises
    ------
    ResponseQuestions
        With the questions, if something is neither stated nor answered.
    FileError
        With line and column for anything else.
    """
    data = load(source, MAX_RESPONSE_BYTES)
    given = conventions or ResponseConventions()
    name = "".join(character for character in name if character.isprintable())[:200]
    sha256 = hashlib.sha256(data).hexdigest()
    if _is_own(data):
        return _own(data, given, name, sha256)
    content = content_of(data)
    given = with_stated(given, content.words)
    records = records_of(content, given)
    notes = [*content.notes]
    _ask_columns(records, given)
    table = table_of_records(_asked(records, given, notes), given, name, notes)
    if records.unused:
        notes.append(f"Columns that are not used: {', '.join(records.unused)[:300]}.")
    if given.columns:
        given = replace(given, columns=tuple(one for one in given.columns if one.name in records.layout))
    return ResponseFile(table, ResponseOrigin(name, sha256, given, tuple(records.layout), tuple(notes)))


def _is_own(data: bytes) -> bool:
    """Whether a file is in our own format, by its first comment or its columns."""
    if data.startswith(b"PK"):
        return False
    head = data[:4000].decode("utf-8", "replace").lower()
    named = re.search(r"heave_(?:m_per_m|ft_per_ft)", head)
    return "# format: heave-response-table" in head or ("heading_deg" in head and named is not None)


def _own(data: bytes, given: ResponseConventions, name: str, sha256: str) -> ResponseFile:
    head = None
    if given.head_sea is not None and given.side == "starboard":
        head = "travel_from_bow" if given.head_sea == "180" else "from_bow_clockwise"
    stated = table_of(forecast_text(data)[0]).settings()
    answers = {
        "phase": given.phase,
        "symmetric": given.symmetric,
        "heading_convention": head,
        "reference_x_m": None if given.reference_x is None else str(given.reference_x),
        "reference_y_m": None if given.reference_y is None else str(given.reference_y),
    }
    try:
        table, said = own_table(data, {key: answer for key, answer in answers.items() if key not in stated})
    except ConventionNeeded as needed:
        asked = tuple(question_about(question.key.removesuffix("_m")) for question in needed.questions)
        raise ResponseQuestions(asked, given) from needed
    known = ResponseConventions(
        phase=str(said["phase"]),
        phase_zero="crest",
        per="wave amplitude",
        heave="up",
        pitch="bow down",
        roll="starboard down",
        head_sea="180" if said["heading_convention"] == "travel_from_bow" else "0",
        side="starboard",
        symmetric="yes" if table.symmetric else "no",
        reference_x=table.reference_x,
        reference_y=table.reference_y,
    )
    return ResponseFile(table, ResponseOrigin(name, sha256, known, (RESPONSE_FORMAT,)))


def _ask_columns(records: Records, given: ResponseConventions) -> None:
    """Ask about columns whose names do not tell what they hold, and about the unit of a frequency."""
    if records.unknown:
        asked = [question_of_column(label, first) for label, first in records.unknown.items()]
        raise ResponseQuestions(tuple(asked), given)
    if records.silent:
        raise ResponseQuestions((question_about("frequency"),), given)


def _asked(records: Records, given: ResponseConventions, notes: list[str]) -> Records:
    """The records that are used, once every question about them is answered."""
    has = {motion: _parts_of(records, motion) for motion in MOTIONS}
    if has["heave"] is None:
        raise FileError("columns", ", ".join(records.layout)[:80], None, "one for the amplitude of heave")
    turning = [motion for motion in ("roll", "pitch") if has[motion]]
    silent = any(kind == "amplitude" for kind in has.values())
    alone = silent and given.without_phases == "heave only"
    wanted = [
        *_units_wanted(records, given, has, turning),
        *(["without_phases"] if silent else []),
        "head_sea",
    ]
    turning = [] if alone else turning
    if on_both_sides(headings_in(records)) or (not silent and "roll" in turning):
        wanted.append("side")
    wanted += [] if silent else ["phase", "phase_zero", "heave", *sorted(turning)]
    wanted += ["reference_x", "reference_y"]
    keys = [key for key in wanted if getattr(given, key) is None]
    if keys:
        raise ResponseQuestions(tuple(question_about(key) for key in keys), given)
    if alone:
        notes.append("Heave alone, at the reference point: without phases, roll and pitch are left out.")
    elif silent:
        notes.append("No phases: the motion at the hoist is an upper bound, |heave| + |x·pitch| + |y·roll|.")
    notes += [f"The file has no {motion}." for motion in ("roll", "pitch") if not has[motion]]
    used = [holds for holds in records.values if holds.split()[0] in ("heave", *turning)]
    kept = [holds for holds in used if not (silent and holds.endswith("phase"))]
    return replace(records, values={holds: records.values[holds] for holds in kept})


def _units_wanted(
    records: Records, given: ResponseConventions, has: dict[str, str | None], turning: list[str]
) -> Iterator[str]:
    """What must be known of the units."""
    phases = [at for holds, at in records.values.items() if holds.endswith("phase")]
    silent = {unit for holds, units in records.units.items() if holds.endswith("phase") for unit in units}
    numbers = [abs(value.number or 0.0) for at in phases for value in at.values()]
    if None in silent and max(numbers, default=0.0) <= LARGEST_PHASE:
        yield "phase_unit"
    yield "per"
    parts = {"complex": ("real part", "imaginary part")}
    sizes = [f"{motion} {part}" for motion in turning for part in parts.get(str(has[motion]), ("amplitude",))]
    kinds = {unit for size in sizes for unit in records.units[size]}
    if any(unit is None or not rotation_unit(unit) for unit in kinds):
        yield "rotation"
    if turning and (given.rotation == "wave slope" or any(map(slope_unit, kinds))):
        yield "waves"


def _parts_of(records: Records, motion: str) -> str | None:
    """'phase', 'complex' or 'amplitude': what the file gives of a motion; None for nothing."""
    parts = ", ".join(sorted(holds.split(" ", 1)[1] for holds in records.values if holds.startswith(motion)))
    known = {"imaginary part, real part": "complex", "amplitude": "amplitude", "amplitude, phase": "phase"}
    if parts and parts not in known:
        allowed = "an amplitude, with its phase, or a real and an imaginary part"
        raise FileError(f"columns of {motion}", parts, None, allowed)
    return known.get(parts)


def hints(source: Source, known: ResponseConventions, question: Question) -> dict[str, str]:
    """What long waves say to each answer about the sign of a motion; nothing where they cannot tell.

    Parameters
    ----------
    source : the file
    known : what is known of it
    question : about the sign of heave, pitch or roll
    """
    if question.key not in MOTIONS:
        return {}
    found = {}
    for option in question.options:
        given = answer(known, question, option)
        for _ in range(len(MOTIONS) + 2):
            try:
                judged = _judged(read_response_file(source, given), question.key)
            except ResponseQuestions as asked:  # what comes after does not change this motion
                after = asked.questions[0]
                given = answer(asked.conventions, after, after.options[0] if after.options else "0")
            else:
                if judged is not None:
                    found[option] = "fits long waves" if judged else "long waves say otherwise"
                break
    return found if len(set(found.values())) == 2 else {}


def _judged(file: ResponseFile, motion: str) -> bool | None:
    """Whether a motion of a table goes where long waves carry it; None where its table cannot tell."""
    found = plausibility(file.table, file.origin.conventions)
    if any(motion in words.lower() or "units" in words.lower() for words in found.not_judged):
        return None
    return all(finding.motion != motion for finding in found.findings)
