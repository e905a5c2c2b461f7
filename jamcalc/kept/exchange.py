"""The whole book as JSON lines, one batch to a line, and back to the same batches; tidy has the same as CSV.

A file is read as if its writer meant harm: every key, type, range and length is checked, and the first fault is named with its line.
Opens no file and no book.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any, TypeVar

from jamcalc.errors import InputError
from jamcalc.kept.entries import Entry, FruitOf, Jars, Kept, Papers, Used
from jamcalc.nouns.known import Estimate
from jamcalc.words.units import shown

T = TypeVar("T")
U = TypeVar("U")

SCHEMA = "jamcalc-book/1"
MOST_BYTES = 500_000_000
SPREADS = ("jars", "ph", "solids_percent")
TEXTS = ("uid", "title", "written", "version", "command", "standing", "storage", "jar")
WHOLE = ("minutes_half_pint", "minutes_pint")
NUMBERS = ("own_weeks", "altitude_ft", "batch_ph")
ENTRY_NUMBERS = ("ph", "brix", "over_ml", "boil_min", "processed_min")


def compact(value: Any) -> str:
    """JSON in one line and in ASCII, as it stands in the book; ValueError for a number that is not finite."""
    return json.dumps(value, separators=(",", ":"), allow_nan=False)


def write(batches: Iterable[Kept]) -> str:
    """The batches as JSON lines."""
    return "".join(compact(as_dict(batch)) + "\n" for batch in batches)


def read(text: str, name: str) -> tuple[Kept, ...]:
    """The batches of a text of JSON lines; InputError names the first line with a fault. `name` stands in front of it."""
    batches = []
    for number, line in enumerate(text.split("\n"), 1):
        if line.strip():
            batches.append(checked(_from_line, line, f"{name}, line {number}"))
    if not batches:
        raise InputError(f"{name}: no batch is in it; jamcalc book --export writes such a file")
    return tuple(batches)


def checked(make: Callable[[U], T], given: U, where: str) -> T:
    """What a reader makes of a line or row, or InputError with the place and the fault."""
    try:
        return make(given)
    except RecursionError:
        raise InputError(f"{where}: nested too deeply for a batch") from None
    except InputError:
        raise
    except (ValueError, TypeError, OverflowError) as error:
        raise InputError(f"{where}: {shown(str(error), 140)}") from None


def _from_line(line: str) -> Kept:
    return from_dict(loaded(line))


def loaded(line: str) -> Any:
    """The value of a JSON text; ValueError where it is none, or holds what no JSON may."""

    def refuse(word: str) -> Any:
        raise ValueError(f"{word} is no number")

    try:
        value = json.loads(line, parse_constant=refuse)
    except json.JSONDecodeError as error:
        raise ValueError(f"not JSON: {error.msg} at character {error.pos + 1}") from None
    return value


# ---------------------------------------------------------------- out


def as_dict(batch: Kept) -> dict[str, Any]:
    """A batch with all that belongs to it, as plain values."""
    papers = batch.papers
    return {
        "schema": SCHEMA,
        "number": batch.number,
        "made": batch.made.isoformat(),
        **{name: getattr(batch, name) for name in TEXTS + WHOLE + NUMBERS},
        "freezes": batch.freezes,
        **{name: {end: getattr(getattr(batch, name), end) for end in ("low", "typical", "high")} for name in SPREADS},
        "fruits": [{"item": fruit.item, "grams": fruit.grams, "as_bought_g": fruit.as_bought_g} for fruit in batch.fruits],
        "entries": [_entry_dict(entry) for entry in batch.entries],
        "papers": None
        if papers is None
        else {
            "asked": json.loads(papers.asked),
            "answer": json.loads(papers.answer),
            "recipe": papers.recipe,
            "screen": papers.screen,
            "figures": [{"item": item, "held": json.loads(text)} for item, text in papers.figures],
        },
    }


def _jars(jars: Iterable[Jars]) -> list[dict[str, Any]]:
    return [{"jar": kind.jar, "count": kind.count} for kind in jars]


def _entry_dict(entry: Entry) -> dict[str, Any]:
    return {
        "kind": entry.kind,
        "written": entry.written,
        "day": entry.day.isoformat(),
        "made": None if entry.made is None else entry.made.isoformat(),
        **{name: getattr(entry, name) for name in ENTRY_NUMBERS},
        "found": entry.found,
        "stored": entry.stored,
        "note": entry.note,
        "used": [{"line": line.line, "item": line.item, "role": line.role, "grams": line.grams} for line in entry.used],
        "filled": _jars(entry.filled),
        "unsealed": None if entry.unsealed is None else _jars(entry.unsealed),
        "jars": None if entry.jars is None else _jars((entry.jars,))[0],
        "of_unsealed": entry.of_unsealed,
    }


# ---------------------------------------------------------------- in


class Taker:
    """Takes the values of one JSON object by name and type; ValueError for what is missing, left over or of another type."""

    def __init__(self, value: Any, what: str) -> None:
        if not isinstance(value, dict):
            raise ValueError(f"{what} is not a JSON object")
        self.values: dict[str, Any] = dict(value)
        self.what = what

    def take(self, name: str, kind: type[T], *, null: bool = False) -> Any:
        """The value of one name; a whole number will do for a float."""
        if name not in self.values:
            raise ValueError(f"{self.what} has no {name}")
        value = self.values.pop(name)
        if value is None and null:
            return None
        if kind is float and type(value) is int and abs(value) < 1e15:
            value = float(value)
        if type(value) is not kind:
            raise ValueError(f"{name} is not {WORDS[kind]}")
        if isinstance(value, str):
            value.encode("utf-8")  # half a character, which JSON can hold and a file cannot, is a ValueError
        return value

    def many(self, name: str, most: int) -> list[Any]:
        """A list that is not too long."""
        parts: list[Any] = self.take(name, list)
        if len(parts) > most:
            raise ValueError(f"{name} has more than {most} parts")
        return parts

    def end(self) -> None:
        """Everything must have been taken."""
        if self.values:
            raise ValueError(f'{self.what} has the unknown key "{shown(next(iter(self.values)))}"')


WORDS: Mapping[type, str] = {
    str: "text",
    int: "a whole number",
    float: "a number",
    bool: "true or false",
    list: "a list",
    dict: "an object",
}


def from_dict(value: Any) -> Kept:
    """The batch of a JSON object; ValueError for anything in it that no batch can have."""
    take = Taker(value, "the batch")
    if take.take("schema", str) != SCHEMA:
        raise ValueError(f"schema is not {SCHEMA}")
    batch = Kept(
        number=take.take("number", int),
        made=day(take.take("made", str)),
        **{name: take.take(name, str) for name in TEXTS},
        **{name: take.take(name, int, null=True) for name in WHOLE},
        **{name: take.take(name, float, null=True) for name in NUMBERS},
        freezes=take.take("freezes", bool, null=True),
        **{name: _spread(take.take(name, dict), name) for name in SPREADS},
        fruits=tuple(_fruit(fruit) for fruit in take.many("fruits", 60)),
        entries=tuple(_entry(entry) for entry in take.many("entries", 1000)),
        papers=_papers(take.take("papers", dict, null=True)),
    )
    take.end()
    return batch


def day(text: str | None) -> date:
    """A date as the book writes it, and in no other of the forms that ISO 8601 has."""
    calendar_day = date.fromisoformat(text or "")
    if calendar_day.isoformat() != text:
        raise ValueError("a date is not written as 2026-07-14")
    return calendar_day


def _spread(value: Any, name: str) -> Any:
    take = Taker(value, name)
    spread = Estimate(low=take.take("low", float), typical=take.take("typical", float), high=take.take("high", float))
    take.end()
    return spread


def _fruit(value: Any) -> FruitOf:
    take = Taker(value, "a fruit")
    fruit = FruitOf(item=take.take("item", str), grams=take.take("grams", float), as_bought_g=take.take("as_bought_g", float, null=True))
    take.end()
    return fruit


def _jar(value: Any) -> Jars:
    take = Taker(value, "a jar")
    jars = Jars(jar=take.take("jar", str), count=take.take("count", int))
    take.end()
    return jars


def _used(value: Any) -> Used:
    take = Taker(value, "a line used")
    texts = {name: take.take(name, str) for name in ("line", "item", "role")}
    used = Used(**texts, grams=take.take("grams", float, null=True))
    take.end()
    return used


def _entry(value: Any) -> Entry:
    take = Taker(value, "an entry")
    day_made, unsealed = take.take("made", str, null=True), take.take("unsealed", list, null=True)
    jars = take.take("jars", dict, null=True)
    entry = Entry(
        kind=take.take("kind", str),
        written=take.take("written", str),
        day=day(take.take("day", str)),
        made=None if day_made is None else day(day_made),
        **{name: take.take(name, float, null=True) for name in ENTRY_NUMBERS},
        found=take.take("found", str, null=True),
        stored=take.take("stored", str, null=True),
        note=take.take("note", str),
        used=tuple(_used(line) for line in take.many("used", 60)),
        filled=tuple(_jar(kind) for kind in take.many("filled", 40)),
        unsealed=None if unsealed is None else tuple(_jar(kind) for kind in unsealed[:41]),
        jars=None if jars is None else _jar(jars),
        of_unsealed=take.take("of_unsealed", bool),
    )
    take.end()
    return entry


def _papers(value: Any) -> Papers | None:
    if value is None:
        return None
    take = Taker(value, "papers")
    figures = []
    for figure in take.many("figures", 100):
        part = Taker(figure, "figures")
        figures.append((part.take("item", str), compact(part.take("held", dict))))
        part.end()
    papers = Papers(
        asked=compact(take.take("asked", dict)),
        answer=compact(take.take("answer", dict)),
        recipe=take.take("recipe", str),
        screen=take.take("screen", str),
        figures=tuple(figures),
    )
    take.end()
    return papers
