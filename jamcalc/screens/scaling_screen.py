"""How a recipe was scaled, as a cook reads it: the table of measures, and what goes in each pot.

Returns things that rich can print; text of a recipe goes through `plain`, never through markup.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from jamcalc.screens.layout import Fitted, pairs, prose, ruled, titled
from jamcalc.screens.short_screen import calcium_water, mixed_here
from jamcalc.words import phrases
from jamcalc.words.phrases import bought, grouped, joined, plain

if TYPE_CHECKING:
    from jamcalc.nouns.outcome import BatchResult
    from jamcalc.recipes.portions import ScaledRow
    from jamcalc.recipes.scaling import Scaled


def table(rows: Sequence[ScaledRow], tested: bool) -> RenderableType:
    """A scaled recipe: as it was, exactly scaled, what to measure, and how far that measure is off."""
    grid = ruled(2)
    for name in ("item", "tested" if tested else "as written", "exactly", "measure"):
        grid.add_column(name, overflow="fold")
    grid.add_column("off", justify="right", min_width=5, overflow="fold")
    for row in rows:
        cells = (row.item, row.tested_text, row.exact_text)
        grid.add_row(*(prose(grouped(plain(cell))) for cell in cells), prose(grouped(plain(row.measure_text)), "bold"), Text(_off(row)))
    return titled("Scaled", Fitted(grid))


def one_table(scaled: Scaled, result: BatchResult, tested: bool) -> RenderableType:
    """All in one: as it was, what to measure in all and for each pot, what that weighs, and how far it is off."""
    pots, weights = scaled.pots, _weights(scaled.rows, result)
    several = pots.number > 1
    grid = ruled(1)
    for name in ("item", "tested" if tested else "as written", "all", *([f"each of {pots.number} pots"] if several else [])):
        grid.add_column(name, overflow="fold")
    grid.add_column("weight", justify="right", min_width=8, overflow="fold")
    grid.add_column("off", justify="right", min_width=5, overflow="fold")
    measures = {row.item: row.measure_text for row in pots.rows}
    for row, weight in zip(scaled.rows, weights, strict=True):
        share = [prose(grouped(plain(measures.get(row.item, ""))), "bold")] if several else []
        off = Text(_off(row), no_wrap=True)
        written, measure = prose(grouped(plain(row.tested_text))), prose(grouped(plain(row.measure_text)), "bold")
        grid.add_row(Text(plain(row.item)), written, measure, *share, weight, off)
    for extra, portion in zip(scaled.recipe.extras, pots.recipe.extras, strict=True):
        grid.add_row(prose(plain(extra)), Text(), Text(), *([prose(plain(portion))] if several else []), Text(), Text())
    return Group(Fitted(grid), *(Padding(line, (0, 0, 0, 2)) for line in _beside(result)))


def _beside(result: BatchResult) -> list[RenderableType]:
    """What the measures leave open: how much fruit to buy for them, and how the calcium water is mixed."""
    units = result.batch.settings.units
    weighed = [part for part in result.ingredients if part.as_bought_g and not part.name.endswith(("juice", "concentrate"))]
    fruits = joined([f"{bought(part.as_bought_g or part.grams, units)} {plain(part.name)}" for part in weighed])
    fruit = [prose(f"(to buy or pick: {fruits})")] if fruits else []
    return [*fruit, *([prose(calcium_water(units))] if mixed_here(result) else [])]


def _weights(rows: Sequence[ScaledRow], result: BatchResult) -> list[Text]:
    """What each row weighs in all: rows and ingredients of one role stand in the same order; blank where they do not match."""
    texts: list[Text] = []
    left = {role: [ingredient for ingredient in result.ingredients if ingredient.role == role] for role in {row.role for row in rows}}
    for row in rows:
        same = [other for other in rows if other.role == row.role and (other.exact_text or not other.tested_text)]
        parts = left[row.role]
        known = row in same and len(same) == len(parts)
        texts.append(prose(phrases.weight(parts[same.index(row)].grams) if known else ""))
    return texts


def _off(row: ScaledRow) -> str:
    """How far off, in whole per cent; or that the recipe has no such thing, or that it has been taken out."""
    if row.off_percent is not None:
        return f"{round(row.off_percent):+d} %" if round(row.off_percent) else "0 %"
    if not row.tested_text:
        return "new"
    return "" if row.exact_text else "out"


def parts(scaled: Scaled, tested: bool) -> tuple[RenderableType, ...]:
    """The table, and what goes in each pot where there are several; `tested`: whether the recipe before scaling was."""
    pots = scaled.pots
    if pots.number == 1:
        return (table(scaled.rows, tested),)
    lines = [(row.item, row.measure_text) for row in pots.rows if row.off_percent is not None or row.exact_text or not row.tested_text]
    lines += [("also", extra) for extra in pots.recipe.extras]
    return table(scaled.rows, tested), titled(f"In each of {pots.number} equal pots", pairs(lines))
