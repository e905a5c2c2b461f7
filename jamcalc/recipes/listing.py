"""The recipes that come with the program as a list has them: name, title, who stands behind each, and which are kept cold.

Read from the files without their lines: a list works nothing out, and need not wait for the reader of amounts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from jamcalc.reading import supplied

if TYPE_CHECKING:
    from jamcalc.nouns.asked import Storage
    from jamcalc.nouns.written import Standing


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
    return tuple(
        Listed(
            name=name,
            title=keys["title"],
            standing=keys["source"]["standing"],
            by=keys["source"].get("by", ""),
            keep=keys.get("keep", "shelf"),
        )
        for name, keys in supplied.tables()
    )
