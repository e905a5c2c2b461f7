"""What stands on the kitchen page, and in what size: amounts in 17 pt and steps in 14 where the page holds them, nothing under 8.

Everything comes from the answer, nothing is worked out here.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from jamcalc.errors import InputError
from jamcalc.kitchen.potful import of_the_potful, to_heat
from jamcalc.labels import doing
from jamcalc.labels.lemon_curve import LemonCurve
from jamcalc.nouns.label import AmountRow, Card, Step
from jamcalc.nouns.outcome import BatchResult, PotShare
from jamcalc.prints import drawing
from jamcalc.prints.paper import BLANK_PT, BOLD, PAPERS, SPACE, largest, lines, longest_word_em, width_em
from jamcalc.prints.typeset import finished, paragraph
from jamcalc.words.phrases import all_jars, altitude, plain, several_jars

OF_THE_WHOLE = ("do", "know")  # kinds of findings that are said of the batch once, on the page of its first potful
COMMAND_HINT = re.compile(r" \(--[^()]*\)")  # of use at a terminal, not at a stove
STANDINGS = {
    "calculated": "a calculated formula, not a tested recipe",
    "published": "printed by a cook or a packer; no agency has tested it",
    "tested, on your word": "tested, on your word: judged here like any other recipe",
    "tested": "a tested recipe: change nothing in it",
}
SHELF_CARE = "No jar larger than these and not a minute less. No paraffin, no oven, no turning jars over."
ANY_CARE = "Never cut the acid. Gas, mold or an off smell: throw the whole jar away."

# Running text against the widest letter of each kind, which `lines` counts with: 0.91 to 0.93 measured in print, and a margin;
# small type runs wider, as a browser rounds each letter to its grid.
RUNNING, SMALL_RUNNING = 0.935, 0.98
SMALL_PT = 11.0
WRAPPED = 0.85  # of a narrow column, what its lines are filled to
LEADING = 1.17
MARGIN_PT = (34.0, 26.0)
META_PT = 196.0  # standing, jars and altitude, beside the title
GLANCE_PT = 140.0  # seven jars and its margin
JAR_ROW_PT = GLANCE_PT - 14.0
CURVE_PT = 178.0
TICK_PT = 11.4  # 4 mm
ONE_PAGE_PT = (14.0, 13.5, 13.0, 12.5, 12.0, 11.5, 11.0)  # of steps that are still read from the stove (judgement)
SIZES_OVER_THE_PAGE_PT = (14.0, 13.0, 12.0, 11.0)  # of steps that run over several pages
GLANCE_LINE_PT = 12.5
BLANK_WIDTH_PT = 70.0  # of a blank in a step, with the gaps about it
ASCENT = 0.9  # of a line above its foot, on which the box stands
BOX_PT = 14.5  # a line with a box to tick in it, however small its type
STEP_SIZES_PT = (14, 13.5, 13, 12.5, 12, 11.5, 11, 10.5, 10, 9.5, 9, 8.5, 8)
LEAST_PT = 8.0
PARTS = 6  # of the page
MOST_GAP_PT = 18.0
GAP_PT = 5.0  # between parts, at the least


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """All that is set on one page, and the room that it has [pt]."""

    result: BatchResult  # with the jars of its potful alone
    title: str
    meta: tuple[str, ...]
    rows: tuple[AmountRow, ...]
    steps: tuple[Step, ...]
    notes: tuple[str, ...]
    care: tuple[str, ...]
    warnings: tuple[str, ...]
    curve: LemonCurve | None
    asks: tuple[tuple[str, str], ...]
    width: float
    height: float
    ends: bool = True  # the drawings, cautions and blanks are on it
    close: bool = False  # warnings and cautions run together in one paragraph
    small: bool = False  # of the drawings no more than the scale with the batch on it


def made_sheet(
    result: BatchResult, card: Card, paper: str, share: PotShare | None, curve: LemonCurve | None, number: int, potfuls: int, loads: int
) -> Sheet:
    """All that stands on the page of one potful (number of potfuls), with blanks for its part of the canner's loads."""
    meta = [STANDINGS[result.standing], _jars_and_place(result, card.value("exhibitor"))]
    if potfuls > 1:
        meta.append(f"potful {number} of {potfuls}, with its own amounts and jars")
    whole, result = result, of_the_potful(result, number, potfuls)
    rows = doing.amount_rows(result, share if potfuls > 1 else None, powder_is_a_step=True)
    first = doing.first_of_all(whole, potfuls, all_jars(to_heat(whole))) if number == 1 else ()
    steps = (*first, *doing.worded_steps(result, rows, max(1, math.ceil(loads / potfuls))))
    measured = any(step.kind == "measure" for step in steps)
    findings = [
        finding
        for finding in result.findings
        if finding.kind not in ("desk", "asked", *(() if number == 1 else OF_THE_WHOLE)) and not (finding.kind == "meter" and measured)
    ]
    said = {finding.says_caution for finding in findings}
    # Other cautions every batch has.
    of_the_fruit = [finding for finding in result.cautions if finding.kind == "note" and finding.id not in said]
    notes = [finding.text for finding in (*findings, *of_the_fruit)]
    width, height = (inches * 72 for inches in PAPERS[paper].inches)
    asks = (
        ((card.value("date") and "made") or "made on", card.value("date")),
        *(() if measured else (("pH read", ""), ("again", ""))),
        ("jars", ""), ("sealed" if result.process else "cold at", ""), ("set after a week", ""),
    )  # fmt: skip
    return Sheet(
        result=result, title=card.title, meta=tuple(meta), rows=rows, steps=steps,
        notes=tuple(COMMAND_HINT.sub("", plain(text)) for text in notes), care=_care(result),
        warnings=card.warnings, curve=curve if potfuls == 1 else None, asks=asks,
        width=width - 2 * MARGIN_PT[0], height=height - 2 * MARGIN_PT[1],
    )  # fmt: skip


def _jars_and_place(result: BatchResult, maker: str) -> str:
    """What is put up and where, and by whom: "half-pints at 4,300 ft, by A. Maker"."""
    where = result.process.altitude_ft if result.process is not None else None
    at = "" if where is None else f" at {altitude(where, result.batch.settings.units)}"
    return several_jars(plain(result.yield_.jar)) + at + (f", by {maker}" if maker else "")


def _care(result: BatchResult) -> tuple[str, ...]:
    """What every batch needs to be told, in three lines; the warnings for whoever eats it stand before them."""
    return (plain(result.keeping), *((SHELF_CARE,) if result.process is not None else ()), ANY_CARE)


def amount_size(size: float) -> float:
    """The type size of the amounts beside steps of a size [pt]."""
    return round(size * 17 / 14 * 4) / 4


def small_size(size: float) -> float:
    """The type size of the small print beside steps of a size [pt]."""
    return max(LEAST_PT, min(10.5, size * 0.75))


# ---------------------------------------------------------------- how large


def running_pt(size: float) -> float:
    """The size with which `lines` counts as many lines of running text as a browser sets [pt]."""
    return size * (RUNNING if size >= SMALL_PT else SMALL_RUNNING)


def title_size(sheet: Sheet) -> float:
    """The type size of the title [pt]: in one line where it can be."""

    def count(size: float) -> int:
        return lines(finished(sheet.title), size, (sheet.width - META_PT - 14.0) / BOLD)

    return (
        largest((26, 24, 22, 20), 1.0, count) or largest((20, 18, 16, 14, 12, 11, 10), 58.0, lambda size: count(size) * size * 1.1) or 9.0
    )


def sides(whole: Sheet) -> list[Sheet]:
    """The page with steps that can be read from the stove; where it has no room for them, the cautions run together, then the drawings
    are smaller, then the type is. Only what one page does not hold in 11 pt goes on over the page: amounts on the first, drawings and
    care on the last. A recipe that two pages do not hold in the largest type has smaller.

    Raises InputError where the amounts alone are more than a page holds.
    """
    for size in ONE_PAGE_PT:
        for page in (whole, replace(whole, close=True), replace(whole, close=True, small=True, curve=None)):
            if _height(page, size) <= page.height:
                return [page]
    if largest(STEP_SIZES_PT, whole.height, lambda pt: _height(replace(whole, steps=(), ends=False), pt)) is None:
        step_size(whole)  # the amounts alone are too many: says so
    for size in SIZES_OVER_THE_PAGE_PT:
        pages = _over_pages(whole, size)
        if len(pages) <= 2:
            break
    return [replace(side, meta=(*side.meta, f"page {number} of {len(pages)}")) for number, side in enumerate(pages, 1)]


def _over_pages(whole: Sheet, size: float) -> list[Sheet]:
    """As many pages as steps of a size take."""
    out = [replace(whole, steps=(), ends=False)]
    for step in whole.steps:
        longer = replace(out[-1], steps=(*out[-1].steps, step))
        if _height(longer, size) <= whole.height:
            out[-1] = longer
        else:
            out.append(replace(whole, rows=(), steps=(step,), ends=False))
    last = replace(out[-1], ends=True)
    if _height(last, size) <= whole.height:
        return [*out[:-1], last]
    return [*out, replace(whole, rows=(), steps=())]


def step_size(sheet: Sheet) -> float:
    """The type size of the steps; amounts and small print follow it. Raises InputError where no size will do."""
    size = largest(STEP_SIZES_PT, sheet.height, lambda pt: _height(sheet, pt))
    if size is None:
        raise InputError("more ingredients than a page holds in type of 8 points")
    return size


def gap(sheet: Sheet, size: float) -> float:
    """The room between the parts of the page [pt]: what is left over is shared out, up to a limit."""
    return min(MOST_GAP_PT, GAP_PT + max(0.0, sheet.height - _height(sheet, size)) / PARTS)


def _height(sheet: Sheet, size: float) -> float:
    """How high the page would be at a size [pt], and each of its parts a little more than it takes."""

    def block(texts: Sequence[str], type_pt: float, room: float) -> float:
        return sum(lines(paragraph(text), running_pt(type_pt), room) * type_pt * LEADING for text in texts)

    title_pt, small = title_size(sheet), small_size(size)
    title = lines(finished(sheet.title), title_pt, (sheet.width - META_PT - 14.0) / BOLD) * title_pt * 1.1
    header = max(title, block(sheet.meta, 11.0, META_PT)) + 6.0
    pot, amount_pt = 0.0, amount_size(size)
    amounts_width = max((width_em(finished(row.amount)) * BOLD * running_pt(amount_pt) for row in sheet.rows), default=0.0) + 10.0
    grams_width = width_em("1,000 g") * max(LEAST_PT, size - 2)
    room = sheet.width - GLANCE_PT - 16.0 - 20.0 - amounts_width - grams_width - 6.0
    for row in sheet.rows:
        name = width_em(row.name) * running_pt(size) + (width_em(row.note) + 0.3) * running_pt(small)
        wrapped = 1 if name <= room else math.ceil(name / (room * WRAPPED)) + (longest_word_em(row.name) * size > room)
        pot += max(amount_pt * LEADING, wrapped * size * LEADING, BOX_PT) + 4.5
    glance = _glance_height(sheet.result)
    work = 0.0
    for step in sheet.steps:
        wide = running_pt(size)  # of the blanks no less room than they take
        blanks = [" ".join(step.asks[at : at + 2]).replace(" ", chr(160)) for at in range(0, len(step.asks), 2)]
        room_for_pen = chr(160) * math.ceil(2 * BLANK_WIDTH_PT / wide / SPACE)
        asked = "".join(f" {pair}{room_for_pen}" for pair in blanks)
        work += lines(paragraph(step.text) + asked, wide, sheet.width - TICK_PT - 8.0) * size * LEADING
        work += 3.0 + max(0.0, TICK_PT + 1.0 - ASCENT * size)
        on_a_line = 2 if 2 * width_em(f"{blanks[0]}{room_for_pen}" if blanks else "") * wide <= sheet.width - TICK_PT - 8.0 else 1
        work += math.ceil(len(blanks) / on_a_line) * max(0.0, BLANK_PT - size * LEADING) + (4.0 if step.kind == "process" else 0.0)
    notes = block([" ".join(sheet.notes)], small, sheet.width) + 12.0 if sheet.notes else 0.0
    one_bar = sheet.small or (sheet.curve is None and not any(row.role == "acid" for row in sheet.rows))
    charts = 13.0 + (drawing.SMALL_CHART_PT if one_bar else drawing.CHART_PT)
    if sheet.close:
        care = block([" ".join((*sheet.warnings, *sheet.care))], small, sheet.width) + small * LEADING  # the warnings are wider, in bold
    else:
        care = block(sheet.care, small, sheet.width) + (small * LEADING if sheet.warnings else 0.0)
    end = [notes, charts, care, BLANK_PT + 2.0] if sheet.ends else []
    parts = [header, max(pot, glance) if sheet.rows else 0.0, work, *end]
    return sum(parts) + GAP_PT * (len([part for part in parts if part]) - 1)


def _glance_height(result: BatchResult) -> float:
    """How high the column beside the amounts is [pt]: minutes, headspace, jars, with the gaps between them."""
    process, own, jars = result.process, result.kitchen, result.yield_.jars
    known = process is None or process.altitude_ft is not None
    parts = [30.0 if known else 13.5 * len(process.by_band) if process is not None else 0.0, GLANCE_LINE_PT * (1 if process else 3)]
    parts += [GLANCE_LINE_PT] if process is not None else []
    if own is not None and own.heat:
        said = sum(lines(all_jars(kinds), 10.5 * BOLD, JAR_ROW_PT) for kinds in (own.heat, own.fill_expected))
        return sum(parts) + 11.5 + said * GLANCE_LINE_PT + 5.0 * (len(parts) + 3)
    drawn = drawing.jar_row_height(jars.heat, JAR_ROW_PT) if jars.heat <= drawing.MOST_JARS_DRAWN else 0.0
    return sum(parts) + 11.5 + drawn + GLANCE_LINE_PT + 5.0 * (len(parts) + 3)
