"""The book on a screen of 80 columns: the list, one batch with its history, the shelf, the season.

Returns things that rich can print; decides nothing. What is off the shelf is marked with !! and said in words.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.table import Table
from rich.text import Text

from jamcalc.kept.entries import Entry, Kept
from jamcalc.kept.now import now, total
from jamcalc.kept.safety import Mark, advice, jars_text, left_text, marks, minutes_for, name_of
from jamcalc.kept.season import BatchOf, Season
from jamcalc.kept.shelf import ShelfRow, date_of, place_of, rows_of
from jamcalc.nouns.known import Estimate
from jamcalc.screens.layout import Fitted, Framed, listed, pairs, prose, ruled, titled
from jamcalc.words.measures import jam_text
from jamcalc.words.phrases import altitude, bought, counted, joined, ph_words, plain, sentence, several_jars

MARKED = "!!"
OFF = "off the shelf"  # in place of the pantry
BAR = 30  # columns of the longest bar
WIDE = 70  # columns of a screen that has room for it
PH_FROM, PH_TO, PH_COLUMNS = 2.8, 5.0, 34


def _unsealed(row: ShelfRow) -> bool:
    return any(mark.unsealed for mark in row.off_shelf)


def short_day(day: date | None) -> str:
    """A date for a narrow column: "2026-07-14", or what stands where there is none."""
    return "discard" if day is None else day.isoformat()


def _table(*columns: str, right: Sequence[str] = (), gap: int = 2) -> Table:
    table = ruled(gap)
    for name in columns:
        table.add_column(name, justify="right" if name in right else "left", overflow="fold", no_wrap=name != "batch")
    return table


def _cell(text: object, *, bold: bool = False) -> Text:
    return prose(plain(str(text)), "bold" if bold else "")


# ---------------------------------------------------------------- the list


def book(batches: Sequence[Kept], today: date, *, before: int = 0) -> RenderableType:
    """The batches, oldest first, one line each; `before` says how many older ones are not shown."""
    if not batches:
        return Text('The book is empty. This begins it: jamcalc batch "3 lb plums" --sweetener honey --keep')
    table = _table("no", "", "made", "batch", "jars", "left", "pH", "set", "until", right=("no", "jars", "left", "pH"), gap=1)
    warned = []
    for batch in batches:
        state, (_, day) = now(batch), date_of(batch, today)
        notes = marks(batch, state)
        if notes and (state.jars_left or not state.filled):
            warned.append((f"batch {batch.number}:", _why(notes, advice(batch, state, notes, today))))
        table.add_row(
            _cell(batch.number, bold=True),
            _cell(MARKED if notes else "", bold=True),
            _cell(state.made),
            _cell(batch.title),
            _cell(total(state.filled) if state.filled else f"({batch.jars.typical:.0f})"),
            _cell(state.jars_left if state.filled else ""),
            _cell(f"{state.ph:.2f}" if state.ph is not None else f"({batch.ph.typical:.1f})"),
            _cell(state.found or ""),
            _cell("" if state.filled and not state.jars_left else short_day(day)),
        )
    older = [Text(f"{before} older: --all shows them.")] if before else []
    told = Text("In brackets: as predicted. What came of a batch: jamcalc finish N")
    parts: list[RenderableType] = [Fitted(table, names=(0, 1, 3)), Text(""), told, *older]
    return Group(*parts, *([titled(f"{MARKED} Off the shelf", listed(warned))] if warned else []))


def _why(notes: Sequence[Mark], todo: str) -> str:
    """Why jars are off the shelf, and what to do: "1 jar that did not seal. Within 24 hours ..."."""
    return f"{sentence(joined([mark.text for mark in notes]))}. {todo}"


# ---------------------------------------------------------------- one batch


def batch(kept: Kept, today: date, *, units: str = "us") -> RenderableType:
    """One batch: what was answered, what came of it, and all that was entered, in order."""
    state = now(kept)
    jar = name_of(kept.jar)
    rows = [
        ("made", f"{state.made}, kept with jamcalc {kept.version}"),
        ("fruit", joined([f"{bought(fruit.as_bought_g or fruit.grams, units)} {_spoken(fruit.item)}" for fruit in kept.fruits])),
        ("answer", f"{'SHELF' if kept.storage == 'shelf' else 'COLD'}, {kept.standing}{_minutes(kept)}"),
        ("altitude", "" if kept.altitude_ft is None else altitude(kept.altitude_ft, units)),
        ("jars", f"{jars_text(state.filled) or 'not counted yet'}; predicted {_span(kept.jars)} {several_jars(jar)}"),
        ("over", "" if not state.over_ml else jam_text(state.over_ml, units)),
        ("left", "" if not state.filled else left_text(state)),
        ("pH", f"{'not read' if state.ph is None else f'{state.ph:.2f} read'}; predicted {ph_words(kept.ph)}"),
        ("Brix", "" if state.brix is None else f"{state.brix:g} read; predicted {_span(kept.solids_percent, 0)}"),
        ("boiled", "" if state.boil_min is None else f"{state.boil_min:g} min with everything in"),
        ("processed", "" if state.processed_min is None else f"{state.processed_min:g} min in boiling water"),
        ("set", state.found or ""),
        ("unsealed", jars_text(state.unsealed)),
        ("where", _where(kept, today) if state.filled else ""),
        ("used", "; ".join(use.line for use in state.used)),
    ]
    parts: list[RenderableType] = [Text(f"Batch {kept.number}: {plain(kept.title)}", style="bold"), Text("")]
    if warning := off_shelf(kept, today):
        parts += [warning, Text("")]
    parts.append(pairs([(name, text) for name, text in rows if text]))
    if kept.entries:
        parts.append(titled("Entered", listed([(entry.day.isoformat(), entry_words(entry, units)) for entry in kept.entries])))
    return Group(*parts)


def as_answered(screen: str) -> RenderableType:
    """The answer as it was on the screen that day; of a book that someone else wrote too, so no sign of it moves the cursor."""
    lines = ("".join(filter(str.isprintable, line)) for line in screen.splitlines())
    return Group(Text(), Text("As it was answered:"), Text(), *map(Text, lines))


def off_shelf(kept: Kept, today: date) -> RenderableType | None:
    """The frame that says which jars are off the shelf, why, and what to do; None where none is."""
    state = now(kept)
    notes = marks(kept, state)
    if not notes:
        return None
    why = listed([(MARKED, f"{sentence(_which(mark) + mark.text)}.") for mark in notes])
    return Framed("refused", "OFF THE SHELF", Group(why, prose(advice(kept, state, notes, today))))


def _where(kept: Kept, today: date) -> str:
    kind, day = date_of(kept, today)
    left, place = rows_of(kept, today), place_of(kept, now(kept))
    barred = place == "pantry" and left and all(row.off_shelf for row in left)
    return f"{OFF if barred else place}, {'to be discarded' if day is None else f'{kind} {day}'}"


def _which(mark: Mark) -> str:
    """The jars that a reason is true of, where it does not name them itself."""
    names = [] if mark.unsealed else [name_of(jar) for jar in mark.jars or ()]
    return f"{joined(names)}: " if names and not mark.text.startswith(names[0]) else ""


def _spoken(item: str) -> str:
    from jamcalc.kept.season import fruit_name

    return fruit_name(item)


def _minutes(kept: Kept) -> str:
    minutes = minutes_for(kept, kept.jar)
    where = " at 0-1,000 ft, more above that" if kept.altitude_ft is None else ""
    return "" if minutes is None else f", {minutes} minutes for a {name_of(kept.jar)}{where}"


def _span(spread: Estimate, digits: int = 1) -> str:
    return f"{spread.typical:.{digits}f} ({spread.low:.{digits}f} to {spread.high:.{digits}f})"


def entry_words(entry: Entry, units: str = "us") -> str:
    """An entry in one sentence."""
    if entry.jars is not None:
        return f"{jars_text((entry.jars,))}{' that did not seal' if entry.of_unsealed else ''} {entry.kind}"
    said = [
        f"made {entry.made}" if entry.made else "",
        f"used {', '.join(use.line for use in entry.used)}" if entry.used else "",
        f"{jars_text(entry.filled)} filled" if entry.filled else "",
        f"{jam_text(entry.over_ml, units)} over" if entry.over_ml else "",
        f"pH {entry.ph:.2f}" if entry.ph is not None else "",
        f"Brix {entry.brix:g}" if entry.brix is not None else "",
        f"boiled {entry.boil_min:g} min" if entry.boil_min is not None else "",
        f"processed {entry.processed_min:g} min" if entry.processed_min is not None else "",
        f"set {entry.found}" if entry.found else "",
        "" if entry.unsealed is None else f"{jars_text(entry.unsealed)} did not seal" if entry.unsealed else "all sealed",
        f"in the {entry.stored}" if entry.stored else "",
        f'"{entry.note}"' if entry.note else "",
    ]
    return "; ".join(part for part in said if part)


# ---------------------------------------------------------------- the shelf


def shelf(rows: Sequence[ShelfRow], today: date) -> RenderableType:
    """Every jar that is left, with its date; what is off the shelf or past its date on top."""
    if not rows:
        return prose(
            'No jar is on the shelf. Jars are counted with: jamcalc finish N --jars "6 half-pints", where N is the number of the batch.'
        )
    table = _table("no", "", "batch", "jars", "place", "until", right=("no",), gap=1)
    for row in rows:
        urgent = row.past or bool(row.off_shelf)
        table.add_row(
            _cell(row.batch.number, bold=True),
            _cell(MARKED if row.off_shelf else "past" if row.past else "", bold=True),
            _cell(row.batch.title, bold=urgent),
            _cell(jars_text((row.jars,))),
            _cell(row.place if row.place != "pantry" or not row.off_shelf else "not sealed" if _unsealed(row) else OFF),
            _cell(f"{row.kind} {row.until}" if row.until else "discard", bold=urgent),
        )
    off = [row for row in rows if row.off_shelf]
    warned = [(f"batch {number}:", _whys([row for row in off if row.batch.number == number])) for number in _numbers(off)]
    count = sum(row.jars.count for row in rows)
    parts: list[RenderableType] = [
        Fitted(table, names=(0, 1, 2)),
        Text(""),
        Text(_in_all(count, len({row.batch.number for row in rows}), today)),
    ]
    parts += [titled(f"{MARKED} Off the shelf", listed(warned))] if warned else []
    if any(row.past and not row.off_shelf for row in rows):
        parts += [Text(""), Text("Past a best-by date: look, smell, and use soon. Past a use-by date: discard.")]
    number = rows[0].batch.number
    return Group(*parts, Text(""), Text(f"Jars eaten or given away: jamcalc book take {number} 1, for 1 jar of batch {number}."))


def _numbers(rows: Sequence[ShelfRow]) -> Iterable[int]:
    return dict.fromkeys(row.batch.number for row in rows)


def _whys(rows: Sequence[ShelfRow]) -> str:
    """Why jars of one batch are off the shelf, whatever their size, and what to do with them."""
    notes = dict.fromkeys(mark for row in rows for mark in row.off_shelf)
    return _why(tuple(notes), " ".join(dict.fromkeys(row.todo for row in rows)))


# ---------------------------------------------------------------- the season


def _in_all(jars: int, batches: int, today: date) -> str:
    """ "6 jars of 1 batch on 2026-11-27." """
    return f"{counted(jars, 'jar')} of {counted(batches, 'batch')} on {today}."


def season(year: Season, *, units: str = "us") -> RenderableType:
    """A year in bars: jars by month and fruit, predicted and filled, pH predicted and read."""
    put_up = f"{counted(len(year.batches), 'batch')}, {counted(year.jars, 'jar')}, {bought(year.fruit_g, units)} of fruit"
    head = f"Season {year.year}: {put_up}"
    if not year.batches:
        return Text(f"No batch was made in {year.year}.")
    by_month = [
        (name, sum(count for _, count in parts), ", ".join(f"{fruit} {count}" for fruit, count in parts)) for name, parts in year.by_month
    ]
    by_fruit = [(name, jars, f"from {bought(grams, units)}") for name, jars, grams in year.by_fruit]
    parts: list[RenderableType] = [Text(head, style="bold")]
    if year.unfinished:
        whose = "its jars are" if year.unfinished == 1 else "their jars are"
        parts.append(Text(f"{counted(year.unfinished, 'batch')} not finished yet: {whose} not counted."))
    parts.append(titled("Jars by month", _Bars(by_month)))
    parts.append(titled("Jars by fruit, and the fruit put up", _Bars(by_fruit)))
    parts.append(titled("Jars: |--| predicted, o likeliest, # filled", Fitted(_filled(year.batches), names=(0, 1))))
    parts.append(titled("pH: == predicted, o likeliest, # read; | 4.2", Fitted(_ph(year.batches), names=(0, 1))))
    return Group(*parts)


class _Bars:
    """A bar for each (name, count, words), shorter on a narrow screen: names and numbers are whole."""

    def __init__(self, rows: Iterable[tuple[str, int, str]]) -> None:
        self._rows = tuple(rows)

    def __rich_console__(self, _console: Console, options: ConsoleOptions) -> RenderResult:
        longest = BAR if options.max_width >= WIDE else BAR // 3
        most = max((count for _, count, _ in self._rows), default=0) or 1
        table = Table.grid(padding=(0, 1, 0, 0))
        table.add_column(overflow="fold", max_width=16)
        table.add_column(no_wrap=True)
        table.add_column(justify="right")
        table.add_column(overflow="fold")
        for name, count, words in self._rows:
            # a bar of a jar or more is never invisible
            bar = "#" * max(count > 0, round(longest * count / most))
            table.add_row(_cell(name), Text(bar), _cell(count, bold=True), _cell(words))
        yield table


def _line(width: int, marks: Sequence[tuple[float, str]], span: tuple[float, float, str, str]) -> str:
    """A line of `width` characters: a span with its ends, then marks over it, each at a fraction of the width."""
    line = [" "] * width

    def at(fraction: float) -> int:
        return min(width - 1, max(0, round(fraction * (width - 1))))

    low, high, end, fill = span
    for column in range(at(low), at(high) + 1):
        line[column] = fill
    line[at(low)] = line[at(high)] = end
    for fraction, sign in marks:
        line[at(fraction)] = sign
    return "".join(line)


def _filled(batches: Sequence[BatchOf]) -> Table:
    most = max(max(row.predicted.high, row.filled or 0.0) for row in batches) or 1.0
    table = _table("no", "batch", "", "predicted", "filled", right=("no", "predicted", "filled"), gap=1)
    for row in batches:
        points = [(row.predicted.typical / most, "o"), *([(row.filled / most, "#")] if row.filled is not None else [])]
        line = _line(BAR, points, (row.predicted.low / most, row.predicted.high / most, "|", "-"))
        table.add_row(
            _cell(row.number, bold=True), _cell(row.title), Text(line), _cell(f"{row.predicted.typical:.1f}"), _cell(_filled_words(row))
        )
    return table


def _filled_words(row: BatchOf) -> str:
    return "" if row.filled is None else f"{row.filled:.1f}".removesuffix(".0")


def _ph(batches: Sequence[BatchOf]) -> Table:
    table = _table("no", "batch", "", "read", right=("no", "read"), gap=1)

    def at(ph: float) -> float:
        return (ph - PH_FROM) / (PH_TO - PH_FROM)

    for row in batches:
        points = [(at(4.2), "|"), (at(row.ph.typical), "o"), *([(at(row.ph_read), "#")] if row.ph_read is not None else [])]
        line = _line(PH_COLUMNS, points, (at(row.ph.low), at(row.ph.high), "=", "="))
        read = (
            "" if row.ph_read is None else f"{row.ph_read:.2f}" + (f" {MARKED}" if any(mark.id == "ph-read" for mark in row.marks) else "")
        )
        table.add_row(_cell(row.number, bold=True), _cell(row.title), Text(line), _cell(read))
    return table
