"""How a recipe was scaled, as a cook reads it: the table of measures, and what goes in each pot.

Returns things that rich can print; text of a recipe goes through `plain`, never through markup.
Called by commands, which puts it under the title of the answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.console import RenderableType
from rich.text import Text

from jamcalc.screens.layout import pairs, ruled, titled
from jamcalc.words.phrases import plain

if TYPE_CHECKING:
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
        grid.add_row(*(Text(plain(cell)) for cell in cells), Text(plain(row.measure_text), style="bold"), Text(_off(row)))
    return titled("Scaled", grid)


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
    each = [(row.item, row.measure_text) for row in pots.rows if row.off_percent is not None or row.exact_text or not row.tested_text]
    each += [("also", extra) for extra in pots.recipe.extras]
    return table(scaled.rows, tested), titled(f"In each of {pots.number} equal pots", pairs(each))
