"""Recipe files: TOML to a Recipe, every problem of a file collected and named with file and key.

Reads what is written and judges nothing: acidity, set, yield, process and extras are for `checking`.
The recipes that come with the program are found by name.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from os import PathLike
from pathlib import Path
from typing import IO, Any, TypeVar, cast

from jamcalc import facts
from jamcalc.errors import MOST_PROBLEMS, JamcalcError, RecipeError
from jamcalc.nouns.said import Line
from jamcalc.nouns.written import SOURCE_KEYS, PrintedTime, Recipe, RecipeSource, StatedYield
from jamcalc.reading import supplied
from jamcalc.reading.lines import read_line
from jamcalc.reading.printed import printed_times
from jamcalc.reading.textfile import Unreadable, content, decoded, toml
from jamcalc.words.quantities import MOST_LINES, MOST_MINUTES, read_altitude_ft, read_headspace_mm, read_jar_count
from jamcalc.words.units import shown, visible

T = TypeVar("T")

MOST_BYTES = 64_000
MOST_PROCESS_MINUTES = 240
KINDS = ("jam", "jelly", "spread", "butter")
KEYS = (
    "title",
    "kind",
    "ingredients",
    "boil_min",
    "simmer_min",
    "covered",
    "yield",
    "headspace",
    "process_min",
    "process",
    "altitude",
    "keep",
    "keep_weeks",
    "freeze",
    "extras",
    "steps",
    "scaled_from",
    "factor",
    "source",
)


def read(where: str | PathLike[str] | IO[bytes] | IO[str]) -> Recipe:
    """Read a recipe file from a path, from the name of one that comes with the program, or from an open stream.

    Raises
    ------
    RecipeError : the file cannot be read, or has problems (all of them listed)
    UnknownItem : neither a file nor a recipe of that name
    """
    return from_text(*text_of(where))


def text_of(where: str | PathLike[str] | IO[bytes] | IO[str]) -> tuple[str, str]:
    """What a path, the name of one that comes with the program, or an open stream holds, and its name for messages. Raises as `read`."""
    if not isinstance(where, (str, PathLike)):
        name = "standard input"
        try:
            return decoded(where.read(MOST_BYTES + 1), MOST_BYTES), name
        except Unreadable as error:
            raise RecipeError([f"{name}: {error}"]) from None
        except UnicodeDecodeError:  # a stream opened as text
            raise RecipeError([f"{name}: not UTF-8 text; save it again as UTF-8"]) from None
        except OSError as error:
            raise RecipeError([f"{name}: cannot be read ({error.strerror or error})"]) from None
    path = Path(where)
    name = visible(path.name or str(path))
    try:
        path = place(where)
        if path.is_dir():
            raise Unreadable("is a folder; name a recipe file in it")
        text = decoded(content(path, MOST_BYTES), MOST_BYTES)
    except OSError as error:
        raise RecipeError([f"{name}: cannot be read ({error.strerror})"]) from None
    except Unreadable as error:
        raise RecipeError([f"{name}: {error}"]) from None
    return text, path.stem if path.parent == supplied.folder() else name


def place(where: str | PathLike[str]) -> Path:
    """The file that a path names, or the name of a recipe that comes with the program. Raises UnknownItem where there is neither."""
    return Path(where) if Path(where).exists() else supplied.place(str(where))


def exists(where: str) -> bool:
    """Whether a word names a file, or a recipe that comes with the program."""
    try:
        return Path(where).exists() or where in supplied.names()
    except (OSError, ValueError):  # no name that a file can have
        return False


def read_shipped(name: str) -> Recipe:
    """Read a recipe that comes with the program, whatever files lie about. Raises UnknownItem for a name that none has."""
    return read(supplied.place(name))


def from_text(text: str, name: str = "recipe") -> Recipe:
    """Read a recipe from TOML text; `name` stands in front of each problem.

    Raises
    ------
    RecipeError : not TOML, or one or more problems, all of them listed
    """
    try:
        if "\0" in text:
            raise Unreadable("not a text file")
        mapping = toml(text.removeprefix("\ufeff"))
    except Unreadable as error:
        raise RecipeError([f"{name}: {shown(str(error), 110)}"]) from None
    return from_mapping(mapping, name)


def from_mapping(mapping: Mapping[str, Any], name: str = "recipe") -> Recipe:
    """Build a recipe from the keys of a recipe file.

    Raises
    ------
    RecipeError : one or more problems, all of them listed
    """
    table = _Table(name, mapping, KEYS)
    lines = table.lines()
    boil_min = table.number("boil_min", 0, MOST_MINUTES, "minutes, such as boil_min = 2")
    simmer_min = table.number("simmer_min", 0, MOST_MINUTES, "minutes, such as simmer_min = 10")
    process_min = table.number("process_min", 1, MOST_PROCESS_MINUTES, "minutes at 0 to 1,000 ft, such as process_min = 10")
    keep = table.choice("keep", ("cold",))
    printed = _printed_times(table)
    if keep and (process_min is not None or printed):
        table.problem("process_min", 'keep = "cold" means not processed; take one of the two out')
    keep_weeks = table.number("keep_weeks", 0.5, 52, "weeks in the refrigerator, such as keep_weeks = 4")
    freeze = table.maybe_flag("freeze")
    for key, value in (("keep_weeks", keep_weeks), ("freeze", freeze)):
        if value is not None and not keep:
            table.problem(key, 'is for a recipe that is kept cold: write keep = "cold" as well')
    title = table.text("title", 200)
    kind = table.choice("kind", KINDS)
    covered = table.flag("covered")
    makes = table.read("yield", stated_yield)
    headspace_mm = table.read("headspace", read_headspace_mm)
    altitude_ft = table.read("altitude", read_altitude_ft)
    extras = table.texts("extras", 30, 100)
    steps = table.texts("steps", 60, 1000)
    scaled_from, factor = table.text("scaled_from", 100), table.number("factor", 0.001, 1000, "how far it was scaled, such as factor = 1.5")
    if (not scaled_from) != (factor is None):
        table.problem("factor", "scaled_from and factor belong together: from which recipe, and how far")
    source = _source(table)
    if table.problems:
        raise RecipeError(table.problems)
    return Recipe(
        title=title or shown(Path(name).stem),
        kind=cast(Any, kind or "jam"),
        lines=lines,
        boil_min=boil_min,
        simmer_min=simmer_min,
        covered=covered,
        stated_yield=makes,
        headspace_mm=headspace_mm,
        process_min=process_min,
        keep=cast(Any, keep),
        altitude_ft=altitude_ft,
        keep_weeks=keep_weeks,
        freeze=freeze,
        extras=extras,
        steps=steps,
        source=source,
        name=name,
        printed_times=printed,
        scaled_from=scaled_from,
        factor=factor,
    )


class _Table:
    """Takes the keys of one table; what is wrong is noted, so that the cook sees all of it at once."""

    def __init__(self, name: str, mapping: Mapping[str, Any], allowed: tuple[str, ...], within: str = "") -> None:
        self.name, self.mapping, self.within = name, mapping, within
        self.problems: list[str] = []
        for key in mapping:
            if key not in allowed:
                near = _near(str(key).lower(), allowed, 1) if len(self.problems) < MOST_PROBLEMS else ()  # more are counted only
                hint = f"did you mean {near[0]}?" if near else f"the keys are {', '.join(allowed)}"
                self.problem(shown(str(key)) or '""', f"unknown key; {hint}")

    def problem(self, key: str, text: str) -> None:
        self.problems.append(f"{self.name}: {self.within}{key}: {text}")

    def number(self, key: str, low: float, high: float, such_as: str) -> float | None:
        value = self.mapping.get(key)
        if value is None:
            return None
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            self.problem(key, f"{_shown(value)} is not a number; write {such_as}")
        elif not low <= value <= high:  # also false for nan
            self.problem(key, f"{_shown(value)} is not between {low:g} and {high:g}")
        else:
            return float(value)
        return None

    def text(self, key: str, most: int) -> str:
        value = self.mapping.get(key)
        return "" if value is None else self._cleaned(key, value, most)

    def texts(self, key: str, most_entries: int, most: int) -> tuple[str, ...]:
        return tuple(self._cleaned(entry, value, most) for entry, value in self._entries(key, most_entries))

    def _entries(self, key: str, most: int) -> list[tuple[str, Any]]:
        """The entries of a list, each with its own key; counted from 1, as a cook counts."""
        value = self.mapping.get(key, [])
        if not isinstance(value, (list, tuple)):
            self.problem(key, f'{_shown(value)} is not a list; write {key} = ["...", "..."]')
            return []
        if len(value) > most:
            self.problem(key, f"{len(value)} entries; at most {most} are read")
            return []
        return [(f"{key}[{number}]", entry) for number, entry in enumerate(value, 1)]

    def _cleaned(self, key: str, value: Any, most: int) -> str:
        """Text on one line, printable and not too long; empty where there is a problem."""
        if not isinstance(value, str):
            self.problem(key, f"{_shown(value)} is not text; put it in quotes")
            return ""
        text = " ".join(value.split())
        if not text:
            self.problem(key, "is empty")
        elif len(text) > most:
            self.problem(key, f"is longer than {most} characters")
        elif not text.isprintable():
            self.problem(key, "has control characters in it; write plain text")
        else:
            return text
        return ""

    def flag(self, key: str) -> bool:
        value = self.mapping.get(key, False)
        if not isinstance(value, bool):
            self.problem(key, f"{_shown(value)} is neither true nor false (without quotes)")
            return False
        return value

    def maybe_flag(self, key: str) -> bool | None:
        return None if key not in self.mapping else self.flag(key)

    def choice(self, key: str, allowed: tuple[str, ...]) -> str | None:
        value = self.mapping.get(key)
        if value is not None and value not in allowed:
            self.problem(key, f"{_shown(value)} is not one of {', '.join(allowed)}")
            return None
        return value

    def read(self, key: str, reader: Callable[[str], T]) -> T | None:
        """One text through a reader of its own; None where it is absent or wrong."""
        text = self.text(key, 60)
        if not text:
            return None
        try:
            return reader(text)
        except JamcalcError as error:
            self.problem(key, str(error))
            return None

    def lines(self) -> tuple[Line, ...]:
        if self.mapping.get("ingredients") in (None, [], ()):
            self.problem("ingredients", 'missing; write ingredients = ["3 cups mashed plums", "1/2 cup honey"]')
        lines = []
        for key, value in self._entries("ingredients", MOST_LINES):
            if text := self._cleaned(key, value, 200):
                try:
                    lines.append(read_line(text))
                except JamcalcError as error:
                    self.problem(key, str(error))
        return tuple(lines)


def _source(table: _Table) -> RecipeSource | None:
    raw = table.mapping.get("source")
    if raw is None:
        return None
    if not isinstance(raw, Mapping):
        table.problem("source", f"{_shown(raw)} is not a table; write [source] and its keys below it")
        return None
    inner = _Table(table.name, raw, SOURCE_KEYS, "source.")
    standing, by = inner.choice("standing", ("tested", "published")), inner.text("by", 200)
    title, url = inner.text("title", 300), inner.text("url", 300)
    year = inner.number("year", 1500, 2200, "the year, such as year = 2015")
    if "standing" not in raw:
        inner.problem("standing", "missing; tested (an agency or extension service stands behind it) or published")
    if "by" not in raw:
        inner.problem("by", "missing; say who printed the recipe")
    if year is not None and not year.is_integer():
        inner.problem("year", f"{year:g} is not a year")
    if url and not re.match(r"https?://[!-~]+\Z", url):
        inner.problem("url", "is not an address that begins with http:// or https://")
    table.problems.extend(inner.problems)
    if inner.problems:
        return None
    return RecipeSource(standing=cast(Any, standing), by=by, title=title, year=None if year is None else int(year), url=url)


def _printed_times(table: _Table) -> tuple[PrintedTime, ...]:
    """The minutes that the source prints, by jar and altitude band."""
    raw = table.mapping.get("process")
    if raw is None:
        return ()
    if not isinstance(raw, Mapping) or not raw:
        table.problem("process", f'{_shown(raw)} is not a table; write [process] and under it half-pint = {{ "0-1000" = 10 }}')
        return ()
    times, problems = printed_times(raw)
    for key, text in problems:
        table.problem(f"process.{shown(key)}", text)
    return () if problems else times


def stated_yield(text: str) -> StatedYield:
    """Jars of a known size from "5 to 6 half-pints" or "4 cups". Raises InputError or UnknownItem."""
    low, high, jar = read_jar_count(text)
    # many recipes count cups of jam; a half-pint at a quarter inch takes one, within 1 percent (jars.toml)
    key = "half-pint" if jar.lower() in ("cup", "cups") else facts.lookup(jar, ("jar",)).key
    return StatedYield(low=low, high=high, jar=key, text=text)


def _near(word: str, known: tuple[str, ...], most: int) -> tuple[str, ...]:
    from difflib import get_close_matches  # only the unlucky pay for it

    return tuple(get_close_matches(word[:60], known, most))


def _shown(value: Any) -> str:
    """A value of a file for a message, short and harmless whatever it is."""
    if isinstance(value, str):
        return f'"{shown(value)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):  # Python itself refuses to write out a number of more than 4,300 digits
        return str(value) if value.bit_length() < 64 else "a number with very many digits"
    if isinstance(value, float):
        return f"{value:g}"
    return "a list" if isinstance(value, list) else "a table" if isinstance(value, dict) else "a date or time"
