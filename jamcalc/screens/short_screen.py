"""The short answer, which fits a screen: the pot, the verdict in its box, the scale of pH, what to do and to know, how to get the rest.

Nothing of it is other than in the full answer, which answer_screen shows; what is left out here stands there. What safety asks for is
never left out for the sake of the length. Returns things that rich can print.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import get_args

from rich.console import Console, ConsoleOptions, Group, RenderableType, RenderResult
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from jamcalc.formula import storage
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import FindingKind
from jamcalc.screens.layout import prose
from jamcalc.screens.verdict_screen import (
    TITLE_LIMIT,
    UNSETTLED,
    cold_reasons,
    cold_whatever_the_ph,
    meter_may_mend,
    outside_the_box,
    ph_said,
    short_box,
    short_scale,
)
from jamcalc.words import phrases
from jamcalc.words.measures import SAMPLE
from jamcalc.words.phrases import grouped, plain

STANDINGS = {
    "calculated": "calculated, not a tested recipe",
    "published": "published, not tested by an agency",
    "tested, on your word": "tested, on your word",
    "tested": "a tested recipe, while nothing in it changes",
}
OWN_FORMULA = "somebody's own formula, not a tested recipe"
WEIGHTS: tuple[FindingKind, ...] = get_args(FindingKind)
TO_DO: tuple[FindingKind, ...] = ("do", "mends")  # all others are to be known
MOST_TO_KNOW = 7  # findings; the rest are counted, and stand in the full answer


def answer(
    result: BatchResult, *, units: str = "us", under_title: Sequence[RenderableType] = (), pot: bool = True, at_prompt: bool = False
) -> RenderableType:
    """The short answer.

    Parameters
    ----------
    result : the answer to show
    units : us or metric; under_title : blocks that come first; pot : whether they leave the table of the pot to this screen
    at_prompt : shorter still, for a question follows: the pH in a sentence, and no options of the command line
    """
    said, left_out = _said(result, units)
    parts = [_pot(result, units, brief=at_prompt)] if pot else []
    ph = prose(ph_said(result)) if at_prompt else short_scale(result)
    box = short_box(result, units, at_prompt=at_prompt)
    # who asks for a batch looks for quantities first; who checks a recipe, for the verdict; and what is refused is not measured out
    first = [box, *parts] if result.command == "check" or result.refused else [*parts, box]
    last = [] if at_prompt else _pointers(result, left_out)
    return Group(_Heading(result), *under_title, *first, ph, _marked(said), *last)


class _Heading:
    """The title at the left, what the recipe is at the right; below each other where that is too long."""

    def __init__(self, result: BatchResult) -> None:
        self._title = plain(result.title, TITLE_LIMIT)
        own = result.standing == "calculated" and result.command != "batch"
        self._standing = OWN_FORMULA if own else STANDINGS[result.standing]
        self._source = result.batch.source_text

    def __rich_console__(self, _console: Console, options: ConsoleOptions) -> RenderResult:
        title, gap = Text(self._title, style="bold"), options.max_width - len(self._standing)
        if title.cell_len + 3 <= gap:
            yield Text.assemble(title, " " * (gap - title.cell_len), self._standing)
        else:
            yield title
            yield Text(self._standing)
        if self._source:
            yield Text(f"From: {plain(self._source)}")


def _pot(result: BatchResult, units: str, *, brief: bool) -> RenderableType:
    """As bought, item, measure and grams, without heads: what they are is plain to see."""
    table = Table.grid(padding=(0, 2, 0, 0))
    for justify in ("left", "left", "left", "right"):
        table.add_column(justify=justify, overflow="fold")
    bought = any(ingredient.as_bought_g is not None for ingredient in result.ingredients)
    needed = not result.refused and (result.storage == "shelf" or meter_may_mend(result))
    rows = []
    for ingredient in result.ingredients:
        measure = prose(grouped(plain(ingredient.measure)), "bold")
        if ingredient.role == "acid" and needed:
            measure = Text.assemble(measure, ", never less")
        as_bought = "" if ingredient.as_bought_g is None else phrases.bought(ingredient.as_bought_g, units)
        grams = phrases.weight(ingredient.grams) if ingredient.grams > 0 else ""
        rows.append((Text(as_bought), prose(plain(ingredient.name)), measure, Text(grams)))
    if result.command == "batch" and result.storage == "shelf" and not any(ingredient.role == "acid" for ingredient in result.ingredients):
        rows.append((Text(), Text("lemon juice"), Text("none needed"), Text()))
    for row in rows:
        table.add_row(*(row if bought else row[1:]))
    return Group(table, Padding(prose(calcium_water(units)), (0, 0, 0, 2))) if mixed_here(result) and not brief else table


def mixed_here(result: BatchResult) -> bool:
    """Whether there is calcium water in it of the strength that its leaflet gives."""
    return result.calcium_water.ml > 0 and result.batch.settings.calcium_water_mg_per_tsp is None


def calcium_water(units: str) -> str:
    """How calcium water is mixed, in brackets."""
    amounts = ("2.5 mL", "120 mL") if units == "metric" else ("1/2 tsp", "1/2 cup")
    return "(calcium water: {} powder shaken in {} water)".format(*amounts)


def _said(result: BatchResult, units: str) -> tuple[list[tuple[str, str]], int]:
    """What to do and what to know, the weightiest first, and how many findings were left for the full answer."""
    findings = sorted(outside_the_box(result), key=lambda finding: WEIGHTS.index(finding.kind))
    do = [finding.text for finding in findings if finding.kind in TO_DO]
    know = [finding.text for finding in findings if finding.kind not in TO_DO and not finding.may_wait][:MOST_TO_KNOW]
    first = [*([] if result.solution.converged else [UNSETTLED]), *_measuring(result, units)]
    last = [said] if (said := " ".join(_always(result))) else []
    rows = [*(("do", text) for text in (*first, *do)), *(("know", text) for text in (*know, *last))]
    return rows, len(findings) - len(do) - len(know)


def _measuring(result: BatchResult, units: str) -> Iterator[str]:
    """The measuring step, whole, wherever a pH that nobody has read decides."""
    reading = result.batch.settings.batch_ph
    limit = storage.SHELF_READING_PH
    may_stand = result.storage == "shelf" or meter_may_mend(result)
    if result.refused or result.standing == "tested" or not may_stand or (reading is not None and reading <= limit):
        return
    process, some = result.process, SAMPLE[units]
    minutes = f"{process.minutes} min" if process is not None and process.altitude_ft is not None else "the minutes for your altitude"
    yield (
        f"Measure: blend {some}, cool to room temperature, read on a meter set at pH 4 and 7. At {limit:.2f} or lower: "
        f"full boil, hot jars, {minutes}; above: cold."
    )


def _always(result: BatchResult) -> Iterator[str]:
    """What is said of every batch, in few words."""
    shelf = not result.refused and (result.storage == "shelf" or meter_may_mend(result))
    acid = any(ingredient.role == "acid" for ingredient in result.ingredients)
    if result.batch.settings.batch_ph is not None and not cold_whatever_the_ph(result):
        yield "Your reading decides, for this pot alone."
    if shelf:
        yield "No larger jar, shorter time or less acid." if acid else "No larger jar, no shorter time."
    elif not result.refused and cold_reasons(result):
        yield "It was not worked out for the canner."
    if result.standing == "tested":
        yield "Its test counts for more than this pH, which is from tables."
    else:
        yield "Better: an extension service's tested recipe. Local rules come first."
    yield from (caution.short for caution in result.cautions if caution.kind == "harm")  # whom it can hurt may not wait


def _marked(rows: Sequence[tuple[str, str]]) -> Table:
    grid = Table.grid(padding=(0, 2, 0, 0))
    grid.add_column()
    grid.add_column(overflow="fold")
    for mark, text in rows:
        grid.add_row(Text(mark, style="bold"), prose(plain(text)))
    return grid


def _pointers(result: BatchResult, left_out: int) -> list[RenderableType]:
    more = f", {left_out} more to know" if left_out > 0 else ""
    lines: list[RenderableType] = [
        prose(f"{'Work, what to buy' if result.to_buy else 'Order of work'}, every caution{more}: --full. Each number: --working")
    ]
    if meter_may_mend(result):
        lines.append(prose('Once you have measured it: --reading "batch pH 3.9", or whatever the meter says.'))
    return lines
