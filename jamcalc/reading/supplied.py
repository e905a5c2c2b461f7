"""The recipes that come with the program: their names, and where their files are.

What stands in them is read by recipefile, as in any other; here nothing is judged.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

from jamcalc.errors import UnknownItem
from jamcalc.words.units import shown


def names() -> tuple[str, ...]:
    """The names of the recipes that come with the program, in order of the alphabet."""
    return tuple(sorted(path.stem for path in folder().glob("*.toml")))


@cache
def folder() -> Path:
    """Inside the package when installed; beside it in a source checkout."""
    package = Path(__file__).resolve().parents[1]
    inside = package / "data" / "recipes"
    return inside if inside.is_dir() else package.parent / "recipes"


def place(name: str) -> Path:
    """The file of a recipe that comes with the program. Raises UnknownItem for a name that none has."""
    known = names()
    if name in known:
        return folder() / f"{name}.toml"
    from difflib import get_close_matches  # only the unlucky pay for it

    near = tuple(get_close_matches(name.removesuffix(".toml")[:60], known, 3))
    hint = f"near: {', '.join(near)}" if near else "write the path of a recipe file"
    raise UnknownItem(f'"{shown(name)}": no such file, and no recipe of that name comes with the program; {hint}', near)


def tables() -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Each recipe by name, with the keys as its file has them: nothing is read from its words."""
    for name in names():
        yield name, tomllib.loads((folder() / f"{name}.toml").read_text(encoding="utf-8"))
