"""The recipes that come with the program as a list has them: name, title, who stands behind each, and which are kept cold.

Read from the files without their lines: a list works nothing out, and need not wait for the reader of amounts.
"""

from __future__ import annotations

from dataclasses import dataclass

from jamcalc.nouns.asked import Storage
from jamcalc.nouns.written import Standing
from jamcalc.reading import recipefile


@dataclass(frozen=True, kw_only=True)
class Listed:
    """One recipe of the list. What comes with the program is unchanged, so that its own word for its standing counts."""

    name: str
    title: str
    standing: Standing
    by: str
    keep: Storage


def listed() -> tuple[Listed, ...]:
    """All of them, in order of the alphabet."""
    recipes = []
    for name in recipefile.names():
        keys = recipefile.keys_of_shipped(name)
        source = keys["source"]
        recipes.append(
            Listed(name=name, title=keys["title"], standing=source["standing"], by=source.get("by", ""), keep=keys.get("keep", "shelf"))
        )
    return tuple(recipes)
