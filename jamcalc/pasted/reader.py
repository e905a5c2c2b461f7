"""A recipe from whatever holds it: a TOML file, or plain text as people have it. Every problem is told at once, each with its row."""

from __future__ import annotations

import re
from os import PathLike
from pathlib import Path
from typing import IO

from jamcalc.errors import RecipeError
from jamcalc.nouns.written import Recipe
from jamcalc.reading import recipefile, textfile

_KEY_ROW = re.compile(r"""^\s*(?:["']?([A-Za-z_]+)["']?\s*=|\[\[?\s*([A-Za-z_]+)\s*\]?\]\s*(?:#.*)?$)""", re.MULTILINE)


def read(where: str | PathLike[str] | IO[bytes] | IO[str]) -> Recipe:
    """Read a recipe, in TOML or in plain text, from a path, the name of one that comes with the program, or an open stream.

    Raises
    ------
    RecipeError : it cannot be read, or has problems (all of them listed, each with file and key or row)
    UnknownItem : neither a file nor a recipe of that name
    """
    text, name = recipefile.text_of(where)
    if (isinstance(where, (str, PathLike)) and Path(where).suffix.lower() == ".toml") or is_toml(text):
        return recipefile.from_text(text, name)
    return from_text(text, name)


def is_toml(text: str) -> bool:
    """Whether a text is a recipe file, or one that is torn: it holds one of the keys, in its own row with what it is."""
    if "\0" in text:
        return True
    rows = [next(filter(None, match.groups()), "") for match in _KEY_ROW.finditer(text)]
    if any(key in recipefile.KEYS for key in rows):
        return True
    try:
        return bool(textfile.toml(text))
    except textfile.Unreadable:
        return 2 * len(rows) > len(text.split("\n"))


def from_text(text: str, name: str = "recipe") -> Recipe:
    """Read a recipe from plain text; `name` stands in front of each problem.

    Raises
    ------
    RecipeError : rows that cannot be read, all of them listed, in their order
    """
    from jamcalc.pasted.page import Page  # a recipe file need not load it
    from jamcalc.pasted.rows import rows_of

    if text.count("\n") > textfile.MOST_LINES:
        raise RecipeError([f"{name}: more than {textfile.MOST_LINES} lines"])
    rows, problems = rows_of(text)
    page = Page(problems=problems)
    page.read(rows)
    page.look_for_hidden(rows)
    recipe = page.recipe(name)
    if page.problems:
        raise RecipeError(
            [f"{name}: {f'row {row}: ' if row else ''}{text}" for row, text in sorted(page.problems, key=lambda problem: problem[0])]
        )
    return recipe
