"""Strict reader of scatter diagrams: a matrix of heights by periods, one or several in a file, as text.

A line of periods stands over a column of heights; titles may stand above it. What the file does not say is asked:
the kind of the period, what its numbers are of a class, the unit of heights. Sums that are printed are checked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from heave.arrays import FloatArray
from heave.errors import FileError
from heave.files.conventions import ConventionNeeded, Question
from heave.files.scatter_layout import Block, Reader, lines_of
from heave.files.scatter_words import CLASSES, HEIGHT_UNITS, Label, Words, limits_of, words_of
from heave.files.tables import Source, decode, load, on_line
from heave.sea import PERIOD_KINDS
from heave.studies.scatter import Measure, Scatter, ScatterPart
from heave.units import STANDARD_GRAVITY, UNITS, significant

MAX_SCATTER_BYTES: Final = 2_000_000
STEEPEST: Final = 1 / 7
"""2π Hs/(g T²) above which no wave stands: a diagram with much beyond it has heights and periods exchanged."""

_STEEP_SHARE: Final = 0.02
_PER_CENT_SLACK: Final = 0.5


class ScatterQuestions(ConventionNeeded):
    """A diagram can be read but not understood: `questions` lists what must be answered first."""

    about = "conventions of the scatter diagram"


def read_scatter(
    source: Source,
    *,
    period_kind: str | None = None,
    classes: str | None = None,
    height_unit: str | None = None,
    sense: str | None = None,
    measure: str | None = None,
    name: str = "scatter diagram",
) -> Scatter:
    """Read a scatter diagram; what neither the file nor an argument says is asked, and nothing is guessed.

    Parameters
    ----------
    source : a path, or bytes
    period_kind : 'Tp', 'Tz', 'T1' or 'Te'
    classes : what a single number says of its class: 'middles', 'lower limits' or 'upper limits'
    height_unit : 'm' or 'ft'
    sense : whether sectors are where waves come 'from' or go 'to'
    measure : 'counts', 'per cent' or 'probabilities'
    name : what to call it

    Returns
    -------
    Scatter, rows by rising height, matrices by sector and month

    Raises
    ------
    ScatterQuestions
        With a question for each convention that is not said.
    FileError
        With line and column for the first thing that cannot be read in one way.
    """
    found = Reader(lines_of(decode(load(source, MAX_SCATTER_BYTES))))
    found.read()
    given = Words(period_kind, classes, height_unit, sense, measure)
    return _scatter(found, _answered(found, given), name)


def _answered(found: Reader, given: Words) -> Words:
    """What the file says of its conventions, completed by what was answered.

    Raises
    ------
    ScatterQuestions
        For what neither says.
    FileError
        For an answer that is not one, or that contradicts the file.
    """
    said = words_of(found.said)
    units = {label.unit for block in found.blocks for label in block.heights} - {""}
    if len(units) == 1 and said.height_unit is None:
        said = replace(said, height_unit=units.pop())
    single = any(label.single for block in found.blocks for label in (*block.periods, *block.heights))
    sectors = any(block.group.direction_from is not None for block in found.blocks)
    open_ = [
        Question("period_kind", "which period is it?", PERIOD_KINDS),
        Question("classes", "what is a number at the head of a row or column, of its class?", CLASSES),
        Question("height_unit", "in which unit are the heights?", HEIGHT_UNITS),
        Question("sense", "do waves come from the sectors, or go to them?", ("from", "to")),
        Question("measure", "what are the numbers in the cells?", ("counts", "per cent", "probabilities")),
    ]
    total = sum(sum(map(sum, block.cells)) for block in found.blocks if not block.group.whole)
    near = found.decimals and 90 < total < 110 and abs(total - 100) > _slack(found, 100.0)
    cut_short = said.measure is None and bool(near)  # per cent that were cut, or counts
    needed = {"classes": single, "sense": sectors, "measure": cut_short}
    answers: dict[str, str | None] = {}
    asked = []
    for question in open_:
        own, other = (getattr(words, question.key) for words in (said, given))
        what = question.key.replace("_", " ")
        if other is not None and other not in question.options:
            raise FileError(what, other, None, " or ".join(question.options))
        if own is not None and other is not None and own != other:
            raise FileError(what, other, None, f"{own}, as the file says")
        answers[question.key] = own or other
        if answers[question.key] is None and needed.get(question.key, True):
            asked.append(question)
    if asked:
        raise ScatterQuestions(tuple(asked))
    return Words(**answers)


def _slack(found: Reader, whole: float) -> float:
    """How far the sum of rounded cells may be from `whole`: half a unit of the last digit a cell, at most 0.5 %."""
    size = sum(len(block.cells) * len(block.periods) for block in found.blocks)
    return min(size * 0.5 * 10.0**-found.decimals, _PER_CENT_SLACK / 100 * whole) + 1e-9 * whole


def _scatter(found: Reader, words: Words, name: str) -> Scatter:
    for block in found.blocks:
        _check_sums(found, block, words)
    whole = [block for block in found.blocks if block.group.whole]
    parts = [block for block in found.blocks if not block.group.whole]
    if not parts:
        parts, whole = whole, []
    notes = [*found.notes]
    first = parts[0]
    factor = UNITS[words.height_unit or "m"].factor
    heights, turned = _axis(first, first.heights, first.lines, words, "height")
    periods, mirrored = _axis(first, first.periods, [first.header_line] * len(first.periods), words, "period")
    matrices = []
    for block in parts:
        if block is not first:
            _alike(block, first)
        cells = np.array(block.cells)[:, ::-1] if mirrored else np.array(block.cells)
        direction = block.group.direction_from
        if direction is not None and words.sense == "to":
            direction = (direction + 180.0) % 360.0
        matrices.append((block, cells[::-1] if turned else cells, direction))
    if whole:
        notes.append(_whole_note(matrices, whole))
    measure, more = _measure(found, words, parts)
    notes += more
    if found.blanks:
        notes.append(f"{found.blanks} cells are empty or a dash: nothing was seen in them.")
    if not np.isfinite(heights[-1]) or not np.isfinite(periods[-1]):
        notes.append("The last class of height or period has no upper end: seas in it are not assessed.")
    with on_line(first.header_line):
        result = Scatter(
            words.period_kind or "",
            heights * factor,
            periods,
            tuple(ScatterPart(cells, direction, block.group.month) for block, cells, direction in matrices),
            measure,
            name,
            tuple(notes),
        )
    _stands(result, first.header_line)
    return result


def _axis(
    block: Block, labels: Sequence[Label], lines: Sequence[int], words: Words, what: str
) -> tuple[FloatArray, bool]:
    """Limits of the classes, rising, and whether the file has them falling."""
    numbers = [label.order for label in labels]
    turned = len(numbers) > 1 and numbers[0] > numbers[-1]
    ordered = list(labels)[::-1] if turned else list(labels)
    for place in range(1, len(ordered)):
        if ordered[place].order <= ordered[place - 1].order:
            line = lines[len(labels) - 1 - place if turned else place]
            allowed = f"{what}s that rise or fall without a repeat: correct it"
            raise FileError(f"{what} of a class", ordered[place].text, None, allowed, line=line)
    with on_line(block.header_line):
        return limits_of(ordered, words.classes, what), turned


def _alike(block: Block, first: Block) -> None:
    """Refuse matrices of one file whose classes differ."""
    pairs = ("periods", block.periods, first.periods), ("heights", block.heights, first.heights)
    for what, own, wanted in pairs:
        if [label.values for label in own] != [label.values for label in wanted]:
            allowed = f"those of the matrix in line {first.header_line}: give all matrices the same classes"
            raise FileError(f"{what} of a matrix", "others", None, allowed, line=block.header_line)


def _check_sums(found: Reader, block: Block, words: Words) -> None:
    """Hold every printed sum to its cells, to the rounding of what is printed."""
    cells = np.array(block.cells)
    exact = found.decimals == 0 and words.measure != "per cent" and not found.per_cent_signs

    def hold(
        what: str, printed: float | None, numbers: FloatArray, line: int, column: str | None = None
    ) -> None:
        if printed is None:
            return
        total, half = float(numbers.sum()), 0.5 * 10.0**-found.decimals
        rounded = 0.5 if float(printed).is_integer() and found.decimals else half
        slack = 0.0 if exact else numbers.size * half + rounded
        if abs(total - printed) > slack + 1e-9 * max(total, 1.0):
            allowed = f"{significant(total, 6)}, the sum of its cells, to the rounding printed: correct one"
            raise FileError(what, f"{printed:g}", None, allowed, line=line, column=column)

    for place, printed in enumerate(block.row_sums):
        hold("sum of the row", printed, cells[place], block.lines[place], "sum")
    sums = block.column_sums or []
    last = block.lines[-1] + 1
    for place, printed in enumerate(sums[: cells.shape[1]]):
        hold("sum of the column", printed, cells[:, place], last, block.periods[place].text)
    if len(sums) > cells.shape[1]:
        hold("sum of all cells", sums[-1], cells.ravel(), last, "sum")


def _whole_note(matrices: Sequence[tuple[Block, FloatArray, float | None]], whole: Sequence[Block]) -> str:
    """Hold the matrix of all seas to the sum of the parts, and say that it is not counted twice."""
    for block in whole:
        together, cells = float(sum(cells.sum() for _, cells, _ in matrices)), float(np.sum(block.cells))
        if abs(together - cells) > 0.01 * cells:
            allowed = f"{significant(together, 6)}, the sum of the other matrices: correct one of them"
            what, line = "sum of the matrix of all seas", block.header_line
            raise FileError(what, f"{cells:g}", None, allowed, line=line)
    return "The matrix of all seas is the sum of the others and is not counted again."


def _measure(found: Reader, words: Words, parts: Sequence[Block]) -> tuple[Measure, list[str]]:
    """What the cells are, and what is to be said of their sum: of all matrices, or of those of each month."""
    named = words.measure or ("per cent" if found.per_cent_signs else None)
    sums = [float(np.sum(block.cells)) for block in parts]
    months = dict.fromkeys([block.group.month for block in parts], 0.0)
    for block, one in zip(parts, sums, strict=True):
        months[block.group.month] += one
    total, shown = sum(sums), significant(sum(sums), 6)
    measures: tuple[tuple[Measure, float], ...] = (("per cent", 100.0), ("probabilities", 1.0))
    for measure, whole in measures:
        slack = _slack(found, whole)
        if named not in (None, measure) or (named is None and not found.decimals):
            continue
        if abs(total - whole) <= slack:
            exact = abs(total - whole) < 1e-6 * whole
            off = "" if exact else f", within the rounding of the cells; shares are of {shown}"
            how = "" if named else " Taken as such by their sum."
            return measure, [f"The cells sum to {shown} ({measure}){off}.{how}"]
        if len(months) > 1 and all(abs(one - whole) <= slack for one in months.values()):
            return measure, [f"The cells of each month sum to {whole:g} ({measure}): all months weigh alike."]
        if named == measure:
            reason = "to within the rounding of the cells: correct a cell, or say that they are counts"
            if len(parts) > 1 and all(abs(one - whole) <= slack for one in sums):
                reason = "in all: give the share of all seas, for nothing says how often each sector is"
            allowed = f"{whole:g} {reason}"
            raise FileError(f"sum of the cells, {measure}", shown, None, allowed, line=parts[0].header_line)
    return "counts", [f"The cells are counts, {total:.10g} in all."]


def _stands(scatter: Scatter, line: int) -> None:
    """Refuse a diagram of which much is steeper than any sea: heights and periods are then exchanged."""
    middles = np.nan_to_num(scatter.period_middles, posinf=1e9)
    steepness = 2 * np.pi * scatter.hs_limits[:-1, None] / (STANDARD_GRAVITY * middles**2)
    share = float(scatter.cells[steepness > STEEPEST].sum() / scatter.total)
    if share > _STEEP_SHARE:
        allowed = "periods in the first line, heights in the first column: exchange them, or correct the unit"
        words = f"{significant(100 * share)}\u00a0% of the seas steeper than 1/7"
        raise FileError("scatter diagram", words, None, allowed, line=line)
