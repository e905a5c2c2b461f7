"""Recipes side by side on a screen: one column each, and a mark where they differ."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.text import Text

from jamcalc.screens.layout import Fitted, prose, ruled
from jamcalc.words.phrases import plain

if TYPE_CHECKING:
    from jamcalc.recipes.comparing import Respect

MARK = "*"
UNDER = (
    f"{MARK} it differs. Calculated numbers are not a test: what is kept on a shelf is said by jamcalc check of each. "
    "Where a tested recipe for the fruit exists, prefer it."
)


def comparison(titles: Sequence[str], respects: Sequence[Respect]) -> RenderableType:
    """A column for each title, a row for each respect."""
    grid = ruled(2)
    grid.add_column("", overflow="fold")
    for title in titles:
        grid.add_column(Text(plain(title), style="bold"), overflow="fold", ratio=1)
    for respect in respects:
        mark = MARK if respect.differs else " "
        style = "bold" if respect.differs else ""
        grid.add_row(Text(f"{mark}{respect.name}"), *(prose(plain(value), style) for value in respect.values))
    return Group(Fitted(grid, apart=True), Text(), prose(UNDER))
