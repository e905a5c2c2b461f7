"""How a batch may be kept, and where its pH lies: the box around the verdict, its reasons, and the scale of pH.

The frame tells as well as its words, on an ASCII terminal too: one for the shelf, another for the cold, a third for what is not to
be made. Returns things that rich can print; what may stand on a shelf is storage's to say.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from jamcalc.formula import storage
from jamcalc.nouns.known import Estimate
from jamcalc.nouns.said import Finding
from jamcalc.nouns.timing import Process
from jamcalc.screens.layout import Framed, prose
from jamcalc.words import phrases
from jamcalc.words.phrases import counted, plain, sentence

if TYPE_CHECKING:
    from jamcalc.nouns.outcome import BatchResult

TITLE_LIMIT = 140  # two lines
UNSETTLED = "The sums did not settle: do not use these amounts."
DO_NOT = "DO NOT MAKE THIS AS ENTERED"
COLD_HEAD = "COLD, NOT THE SHELF"
COLD_UNTIL = "COLD until a meter shows otherwise"
SHELF_SHORT = "Sealed, cool and dark: best within a year. Opened: refrigerated, 3 weeks."


# ---------------------------------------------------------------- the box


def keeping_box(result: BatchResult, units: str, *, at_prompt: bool = False) -> RenderableType:
    """How it may be kept, in one box: shelf with its minutes, or cold with the reasons and how long."""
    process = result.process
    where: list[RenderableType] = [] if process is None else _process_lines(process, units, at_prompt)
    timed = [prose(caution.text) for caution in result.cautions if caution.kind == "time"]  # beside the time, or nowhere
    said = (plain(result.keeping), *(plain(finding.text) for finding in instead(result)))
    body = [*map(prose, reasons(result)), *where, *timed, *map(prose, said)]
    return Padding(Framed(_frame(result), _head(result), Group(*body)), (1, 0, 0, 0))


def short_box(result: BatchResult, units: str, *, at_prompt: bool = False) -> RenderableType:
    """The same in the fewest lines: reasons, jars to heat and to expect, how long it keeps, what to do instead."""
    process = result.process
    head, more = _head(result), ""
    body: list[RenderableType] = [*map(prose, reasons(result))]
    if process is not None and process.altitude_ft is not None:
        more = f", {phrases.several_jars(process.jar)}, {phrases.altitude(process.altitude_ft, units)}"
    elif process is not None:
        body += _process_lines(process, units, at_prompt)
    body += [] if result.refused else [prose(jars(result, units))]
    keeps = SHELF_SHORT if result.storage == "shelf" and not result.refused else plain(result.keeping)
    if head == COLD_HEAD:  # which has said it in capitals
        keeps = keeps.removesuffix(" Not for the shelf.")
    body += [prose(keeps), *(prose(plain(finding.text)) for finding in instead(result))]
    return Framed(_frame(result), head, Group(*body), more=more)


def readied(result: BatchResult) -> str:
    """What is done with the empty jars: hot for the canner, or where it may yet come to that; else at hand."""
    return "Heat" if result.storage == "shelf" or meter_may_mend(result) else "Have ready"


def jars(result: BatchResult, units: str) -> str:
    """Jars to heat and to expect, and how far to fill them: "Heat 10 jars, expect 9 half-pints (7 to 10), fill to 1/4 in."."""
    verb = readied(result)
    depth = phrases.headspace(result.yield_.headspace_mm, units)
    own = result.kitchen
    if own is not None and own.heat:
        some = phrases.all_jars(own.fill_expected) or "no jar to the rim"
        if own.fill_expected == own.heat:
            return f"{verb} and fill {some}, all to {depth}."
        return f"{verb} {phrases.all_jars(own.heat)}, expect to fill {some}, to {depth}."
    expected = phrases.jars_expected(result.yield_.jars, result.yield_.jar)
    return f"{verb} {counted(result.yield_.jars.heat, 'jar')}, expect {expected}, fill to {depth}."


def verdict(result: BatchResult) -> tuple[str, str]:
    """The kind of the frame and its head: two answers for which these are the same are to be kept alike."""
    return _frame(result), _head(result)


def said_in_box(result: BatchResult) -> list[str]:
    """The texts that the box gives: reasons, what mends it, and what to do instead."""
    return [*reasons(result), *(plain(finding.text) for finding in instead(result))]


def _frame(result: BatchResult) -> str:
    return "refused" if result.refused else result.storage


def _head(result: BatchResult) -> str:
    if result.refused:
        return DO_NOT
    if result.storage == "cold":
        return COLD_UNTIL if meter_may_mend(result) else COLD_HEAD
    if result.process is not None and result.process.altitude_ft is not None:
        return f"SHELF: {result.process.minutes} minutes in boiling water"
    return "SHELF: boiling water, minutes by altitude"


def _process_lines(process: Process, units: str, at_prompt: bool) -> list[RenderableType]:
    if process.altitude_ft is None:
        picks = "" if at_prompt else " (--altitude picks it)"
        return [
            prose(f"For a {phrases.one_jar(process.jar)}, by the altitude of your kitchen{picks}:"),
            _Bands(process, units),
        ]
    boils = phrases.temperature(process.boiling_point_degc, units)
    return [prose(f"For a {phrases.one_jar(process.jar)} at {phrases.altitude(process.altitude_ft, units)}; water boils at {boils}.")]


class _Bands:
    """The minutes of each band of altitude in two rows, or in two columns where the rows would not fit: a number is never cut."""

    def __init__(self, process: Process, units: str) -> None:
        metric = units == "metric"
        bands = [(band.metres if metric else band.feet).removesuffix(" ft").removesuffix(" m") for band in process.by_band]
        minutes = [str(band.minutes) for band in process.by_band]
        self._rows = [("meters" if metric else "feet", "minutes"), *zip(bands, minutes, strict=True)]

    def __rich_console__(self, _console: Console, options: ConsoleOptions) -> RenderResult:
        table = Table.grid(padding=(0, 2, 0, 0))
        if sum(len(height) + 2 for height, _ in self._rows) + len("minutes") <= options.max_width:
            for index, style in enumerate(("", "bold")):
                table.add_row(*(Text(row[index], style=style) for row in self._rows))
        else:
            for height, minutes in self._rows:
                table.add_row(Text(height), Text(minutes, style="bold"))
        yield table


# ---------------------------------------------------------------- the reasons


def reasons(result: BatchResult) -> list[str]:
    """Why it is not for the shelf, or not to be made, the weightiest first; none for the shelf."""
    said = [_whole_sentence(plain(result.refused))] if result.refused else []
    said += [plain(finding.text) for finding in shown_reasons(result) if finding.text != result.refused]
    if result.storage == "cold" and not said and result.batch.settings.store == "cold":
        said = ["Cold, as its recipe says." if result.batch.keep == "cold" else "Cold, as you asked."]
    return said


def _whole_sentence(text: str) -> str:
    return sentence(text) if text.endswith((".", "!", "?")) else f"{sentence(text)}."


def cold_reasons(result: BatchResult) -> list[Finding]:
    """What keeps it off the shelf, all of it."""
    return [finding for finding in result.findings if finding.keeps_cold] if result.storage == "cold" else []


def shown_reasons(result: BatchResult) -> list[Finding]:
    """The reasons in the box. What a meter might show is beside the point where no reading makes the batch fit: it would read like a way
    out; where nothing else bars the shelf, what mends it stands there too."""
    all_reasons = cold_reasons(result)
    remedies = [finding for finding in result.findings if finding.kind in ("mends", "no mend")]
    return [reason for reason in all_reasons if reason.bars_any_reading] or [*all_reasons, *(remedies if all_reasons else ())]


def instead(result: BatchResult) -> list[Finding]:
    """What was left out of a batch that is for the cold, and what to run instead."""
    return [finding for finding in result.findings if finding.kind == "instead"]


def outside_the_box(result: BatchResult) -> list[Finding]:
    """All findings in order of weight, less those that the box has already given."""
    in_box = [*cold_reasons(result), *shown_reasons(result), *instead(result)]
    return [finding for finding in result.findings if finding not in in_box and finding.text != result.refused]


def meter_may_mend(result: BatchResult) -> bool:
    """Whether nothing but the pH keeps it off the shelf, and a reading may still show it to be low enough."""
    unread = result.batch.settings.batch_ph is None
    return storage.meter_decides(cold_reasons(result)) and (unread or result.rescue is not None)


def cold_whatever_the_ph(result: BatchResult) -> bool:
    """Whether something else than its pH keeps it off the shelf."""
    asked = result.storage == "cold" and result.batch.settings.store == "cold"
    return asked or any(reason.bars_any_reading and reason.kind != "too mild" for reason in cold_reasons(result))


# ---------------------------------------------------------------- the scale of pH


class Scale:
    """The pH scale, as wide as the screen lets it be; where it would not fit, `instead` or nothing.

    Rows are (name, range): none of the names and one range make the large ruler of the full answer.
    """

    def __init__(self, result: BatchResult, rows: Sequence[tuple[str, Estimate]] = (), instead: str = "") -> None:
        self._result, self._rows, self._instead = result, rows, instead

    def __rich_console__(self, _console: Console, options: ConsoleOptions) -> RenderResult:
        measured = self._result.batch.settings.batch_ph is not None
        if cold_whatever_the_ph(self._result):
            zones = ("acid enough", "not sure", "too mild")
        else:
            zones = ("may stand on a shelf", "cold" if measured else "measure it", "cold only")
        shelf_ph = storage.SHELF_READING_PH if measured else storage.SHELF_HIGH_SIDE_PH
        for columns in (3, 2):
            if self._rows:
                lines = phrases.bars(self._rows, shelf_ph=shelf_ph, wall_ph=storage.WALL_PH, zones=zones, columns_per_tenth=columns)
            else:
                ph = self._result.acidity.ph
                lines = phrases.ruler(ph, shelf_ph=shelf_ph, wall_ph=storage.WALL_PH, zones=zones, columns_per_tenth=columns)
            if max(map(len, lines)) <= options.max_width:
                yield from (Text(line) for line in lines)
                return
        if self._instead:
            yield prose(self._instead)


def ph_said(result: BatchResult) -> str:
    """The pH in a sentence, after and before the acid."""
    said = f"pH {phrases.ph_words(result.acidity.ph)}"
    if result.lemon_juice.grams > 0:
        said += f"; before the lemon juice {phrases.ph_words(result.acidity.ph_before_lemon)}"
    return f"{said}."


def short_scale(result: BatchResult) -> RenderableType:
    """One bar for the fruit without its acid and one for the batch, with the two limits below."""
    ph, before = result.acidity.ph, result.acidity.ph_before_lemon
    same = phrases.ph_tenths(ph) == phrases.ph_tenths(before)
    rows = [("", ph)] if same or (result.lemon_juice.grams <= 0 and result.acid is None) else [("before", before), ("after", ph)]
    return Scale(result, rows, ph_said(result))
