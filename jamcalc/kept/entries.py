"""The nouns of the book: a kept batch, the papers that go with it, and what was entered about it later.

Frozen and checked on creation, since they are made from files of other people too (ValueError, one line). An entry is added and
never changed: what holds now is worked out from all of them in now. Units stand in the names.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from datetime import date
from typing import Literal, get_args

from jamcalc.nouns.asked import Storage
from jamcalc.nouns.known import Estimate
from jamcalc.nouns.said import Role
from jamcalc.nouns.written import Standing

Place = Literal["pantry", "refrigerator", "freezer"]
Kind = Literal["finish", "taken", "thrown"]
Found = Literal["well", "runny", "weeping", "stiff", "grainy"]

PLACES: tuple[Place, ...] = get_args(Place)
FOUND: tuple[Found, ...] = get_args(Found)

# What no kitchen exceeds; beyond it is a slip of the finger or a file that is no book (judgement).
MOST_NUMBER = 999_999
MOST_JARS = 500
MOST_KINDS = 40
MOST_MINUTES = 600.0
MOST_GRAMS = 200_000.0
MOST_ENTRIES = 1_000  # of one batch
LONGEST_TITLE = 200
LONGEST_NOTE = 1_000
LONGEST_PAPER = 1_000_000
EARLIEST, LATEST = date(1900, 1, 1), date(2199, 12, 31)

_WRITTEN = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", re.ASCII)
_KEY = re.compile(r"[a-z0-9][a-z0-9_.-]{0,39}", re.ASCII)
_UID = re.compile(r"[0-9a-f]{32}", re.ASCII)


def check(holds: bool, what: str) -> None:
    """ValueError with one line where something does not hold."""
    if not holds:
        raise ValueError(what)


def _number(name: str, value: float | None, low: float, high: float) -> None:
    check(value is None or (math.isfinite(value) and low <= value <= high), f"{name} is not between {low:g} and {high:g}")


def _text(name: str, value: str, most: int, *, lines: bool = False) -> None:
    """Printable text of a length that a book has; with `lines` it may have line breaks."""
    whole = value.replace("\n", "") if lines else value
    check(len(value) <= most and whole.isprintable(), f"{name} is longer than {most} characters, or not plain text")


def _day(name: str, value: date | None) -> None:
    check(value is None or EARLIEST <= value <= LATEST, f"{name} is not between {EARLIEST} and {LATEST}")


@dataclass(frozen=True, kw_only=True)
class Jars:
    """Some jars of one kind: the key of the jar and how many."""

    jar: str
    count: int

    def __post_init__(self) -> None:
        check(_KEY.fullmatch(self.jar) is not None, "jar is not the key of a jar")
        check(0 <= self.count <= MOST_JARS, f"count of jars is not between 0 and {MOST_JARS}")


@dataclass(frozen=True, kw_only=True)
class FruitOf:
    """One fruit of a kept batch: its key, and what went into the pot."""

    item: str
    grams: float
    as_bought_g: float | None = None

    def __post_init__(self) -> None:
        check(_KEY.fullmatch(self.item) is not None, "item is not the key of a fruit")
        _number("grams", self.grams, 0.0, MOST_GRAMS)
        _number("as_bought_g", self.as_bought_g, 0.0, MOST_GRAMS)


@dataclass(frozen=True, kw_only=True)
class Used:
    """An ingredient line as it was really used; `grams` None where the line does not tell a weight."""

    line: str
    item: str
    role: Role
    grams: float | None = None

    def __post_init__(self) -> None:
        _text("line", self.line, LONGEST_TITLE)
        _text("item", self.item, LONGEST_TITLE)
        check(self.role in get_args(Role), "role is none that a line may have")
        _number("grams", self.grams, 0.0, MOST_GRAMS)


@dataclass(frozen=True, kw_only=True)
class Entry:
    """Something entered about a batch: a finish, or jars taken or thrown. None, or nothing in it: not said.

    `written` is the moment of writing (UTC, seconds), `day` the kitchen's date: of writing, or on which jars were taken.
    A finish says any of the rest; of jars, `filled` replaces what an earlier one said as a whole. Jars taken or thrown stand in
    `jars`; `of_unsealed` means those that did not seal.
    """

    kind: Kind
    written: str
    day: date
    made: date | None = None
    ph: float | None = None
    brix: float | None = None
    over_ml: float | None = None
    found: Found | None = None
    boil_min: float | None = None
    processed_min: float | None = None
    stored: Place | None = None
    note: str = ""
    used: tuple[Used, ...] = ()
    filled: tuple[Jars, ...] = ()
    unsealed: tuple[Jars, ...] | None = None  # an empty one: all sealed after all
    jars: Jars | None = None
    of_unsealed: bool = False

    def __post_init__(self) -> None:
        check(self.kind in get_args(Kind), "kind is none of finish, taken and thrown")
        check(_WRITTEN.fullmatch(self.written) is not None, "written is not a moment such as 2026-07-14T18:05:00Z")
        _day("day", self.day)
        _day("made", self.made)
        _number("ph", self.ph, 0.0, 14.0)
        _number("brix", self.brix, 0.0, 90.0)
        _number("over_ml", self.over_ml, 0.0, 20_000.0)
        _number("boil_min", self.boil_min, 0.0, MOST_MINUTES)
        _number("processed_min", self.processed_min, 0.0, MOST_MINUTES)
        check(self.found is None or self.found in FOUND, f"found is none of {', '.join(FOUND)}")
        check(self.stored is None or self.stored in PLACES, f"stored is none of {', '.join(PLACES)}")
        _text("note", self.note, LONGEST_NOTE)
        for name, jars in (("filled", self.filled), ("unsealed", self.unsealed or ())):
            kinds = [kind.jar for kind in jars]
            check(len(kinds) <= MOST_KINDS and len(set(kinds)) == len(kinds), f"{name} names a jar twice, or more than {MOST_KINDS} kinds")
        check(len(self.used) <= 60, "used has more than 60 lines")
        check((self.kind == "finish") == (self.jars is None), "jars belong to what was taken or thrown, and to nothing else")
        check(self.kind == "finish" or not self.says_anything, "what was taken says nothing else")
        check(self.jars is not None or not self.of_unsealed, "of_unsealed belongs to what was taken or thrown")
        check(self.jars is None or self.jars.count > 0, "no jar was taken")

    @property
    def says_anything(self) -> bool:
        """Whether a finish says anything at all."""
        single = (self.made, self.ph, self.brix, self.over_ml, self.found, self.boil_min, self.processed_min, self.stored, self.unsealed)
        return bool(self.note or self.used or self.filled) or any(value is not None for value in single)


@dataclass(frozen=True, kw_only=True)
class Papers:
    """What lies with a batch so that an old answer can be read as it was: JSON texts, the recipe file, the screen.

    `asked` is the command as typed with its settings, `answer` the JSON answer, `figures` the facts used, item by item.
    """

    asked: str
    answer: str
    recipe: str
    screen: str
    figures: tuple[tuple[str, str], ...]

    def __post_init__(self) -> None:
        for name in ("asked", "answer"):
            text = getattr(self, name)
            check(len(text) <= LONGEST_PAPER and text.startswith("{") and text.isascii(), f"{name} is no JSON object of that size")
        _text("recipe", self.recipe, LONGEST_PAPER, lines=True)
        _text("screen", self.screen, LONGEST_PAPER, lines=True)
        check(len(self.figures) <= 100, "more than 100 figures")
        for item, text in self.figures:
            check(_KEY.fullmatch(item) is not None and len(text) <= LONGEST_PAPER and text.isascii(), "figures hold what is no item")


@dataclass(frozen=True, kw_only=True)
class Kept:
    """A batch as it was answered, with what was entered since. `number` 0: not in a book yet.

    `uid` tells one batch from another across books. `minutes_half_pint`, `minutes_pint`: minutes answered for jars up to that size;
    None where no jar of that size was in the answer. `own_weeks`: how long a cold recipe says it keeps; `freezes` False: it must not be
    frozen. `papers` None: not read along.
    """

    number: int = 0
    uid: str
    title: str
    made: date
    written: str
    version: str
    command: str
    standing: Standing
    storage: Storage
    own_weeks: float | None
    freezes: bool | None
    altitude_ft: float | None
    batch_ph: float | None  # the reading that it was answered with
    jar: str
    jars: Estimate
    ph: Estimate
    solids_percent: Estimate
    minutes_half_pint: int | None
    minutes_pint: int | None
    fruits: tuple[FruitOf, ...]
    entries: tuple[Entry, ...] = ()
    papers: Papers | None = field(default=None, repr=False)

    def __post_init__(self) -> None:
        check(0 <= self.number <= MOST_NUMBER, f"number is not between 1 and {MOST_NUMBER}")
        check(_UID.fullmatch(self.uid) is not None, "uid is not 32 hexadecimal digits")
        check(bool(self.title), "title is empty")
        _text("title", self.title, LONGEST_TITLE)
        _text("version", self.version, 40)
        _day("made", self.made)
        check(_WRITTEN.fullmatch(self.written) is not None, "written is not a moment such as 2026-07-14T18:05:00Z")
        check(self.command in ("batch", "check", "scale"), "command is none of batch, check and scale")
        check(self.standing in get_args(Standing), "standing is none of calculated, published and tested")
        check(self.storage in get_args(Storage), "storage is neither shelf nor cold")
        _number("own_weeks", self.own_weeks, 0.5, 52.0)
        _number("altitude_ft", self.altitude_ft, -1500.0, 30_000.0)
        _number("batch_ph", self.batch_ph, 0.0, 14.0)
        check(_KEY.fullmatch(self.jar) is not None, "jar is not the key of a jar")
        for name, most in (("jars", 10_000.0), ("ph", 14.0), ("solids_percent", 100.0)):
            spread = getattr(self, name)
            check(spread.low >= 0.0 and spread.high <= most, f"{name} is not between 0 and {most:g}")
        for name in ("minutes_half_pint", "minutes_pint"):
            _number(name, getattr(self, name), 0.0, MOST_MINUTES)
        check(1 <= len(self.fruits) <= 60 and len({fruit.item for fruit in self.fruits}) == len(self.fruits), "fruits: none, or one twice")
        check(len(self.entries) <= MOST_ENTRIES, f"more than {MOST_ENTRIES} entries")

    @property
    def fruit(self) -> str:
        """The key of the fruit of which there is most."""
        return max(self.fruits, key=lambda fruit: fruit.grams).item
