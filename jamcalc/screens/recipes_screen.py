"""The recipes that come with the program, under those who stand behind them.

Returns things that rich can print; reads no file.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from rich.console import Group, RenderableType
from rich.table import Table
from rich.text import Text

from jamcalc.screens.layout import titled
from jamcalc.words.phrases import plain, sentence

if TYPE_CHECKING:
    from jamcalc.recipes.listing import Listed

STANDINGS = {
    "tested": "Tested: an agency or an extension service stands behind them",
    "published": "Published: a packer's or a cook's, whoever printed them; jamcalc check says whether they may be canned",
}


def recipes(held: Sequence[Listed]) -> RenderableType:
    """All of them by name, under who stands behind them, and which are kept cold."""
    blocks: list[RenderableType] = []
    for standing, heading in STANDINGS.items():
        by_whom: dict[str, Table] = {}
        for recipe in held:
            if recipe.standing == standing:
                cold = " (kept cold)" if recipe.keep == "cold" else ""
                entry = Text.assemble((recipe.name, "bold"), f": {plain(recipe.title)}{cold}")
                by_whom.setdefault(recipe.by, Table.grid(padding=(0, 1, 0, 0))).add_row(Text("-"), entry)
        blocks += [Text(heading, style="bold"), *(titled(plain(sentence(by)), group) for by, group in by_whom.items()), Text()]
    return Group(*blocks, Text(f"One of them: jamcalc check {held[0].name}"))
