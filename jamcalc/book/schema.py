"""The tables of the book, version by version, and how an older book is brought up to date.

Every column is checked, rows are added and never overwritten (triggers see to it), and what is derived stands in tables of its own
that may be thrown away: jars left, what a batch teaches, and its sums by season.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from jamcalc.book.place import APPLICATION


class Executes(Protocol):
    """A connection in a transaction."""

    def execute(self, sql: str, /) -> object:
        """Run one statement."""
        ...


def _day(column: str, *, null: bool = False) -> str:
    """A calendar date as text; date() makes another of one that is none, such as 30 February, once it has to add days."""
    there = f"{column} IS NULL OR " if null else ""
    return (
        f"{column} TEXT {'' if null else 'NOT NULL '}CHECK ({there}(typeof({column}) = 'text' AND date({column}, '+0 days') IS {column}"
        f" AND {column} BETWEEN '1900-01-01' AND '2199-12-31'))"
    )


def _number(column: str, low: float, high: float, *, null: bool = False, whole: bool = False) -> str:
    there = f"{column} IS NULL OR " if null else ""
    kinds = "('integer')" if whole else "('real', 'integer')"
    kind = "INTEGER" if whole else "REAL"
    return (
        f"{column} {kind} {'' if null else 'NOT NULL '}CHECK ({there}(typeof({column}) IN {kinds} AND {column} BETWEEN {low} AND {high}))"
    )


def _text(column: str, least: int, most: int) -> str:
    return f"{column} TEXT NOT NULL CHECK (typeof({column}) = 'text' AND length({column}) BETWEEN {least} AND {most})"


def _one_of(column: str, words: tuple[str, ...], *, null: bool = False) -> str:
    there = f"{column} IS NULL OR " if null else ""
    return f"{column} TEXT {'' if null else 'NOT NULL '}CHECK ({there}{column} IN ({', '.join(repr(word) for word in words)}))"


def _moment(column: str) -> str:
    return f"{column} TEXT NOT NULL CHECK (strftime('%Y-%m-%dT%H:%M:%SZ', {column}, '+0 days') IS {column})"


def _spread(name: str, most: float) -> str:
    low, typical, high = (_number(f"{name}_{end}", 0, most) for end in ("low", "typical", "high"))
    return f"{low}, {typical}, {high}"


_NUMBER_OF = f"{_number('batch', 1, 999_999, whole=True)} REFERENCES batch(number)"
_ENTRY = "entry INTEGER NOT NULL REFERENCES entry(id) CHECK (typeof(entry) = 'integer' AND entry > 0)"
_DIGEST = "digest TEXT NOT NULL CHECK (length(digest) = 64 AND digest NOT GLOB '*[^0-9a-f]*')"
_POSITION = _number("position", 0, 1_000, whole=True)

_FIRST = f"""
CREATE TABLE batch (
  number INTEGER PRIMARY KEY CHECK (number BETWEEN 1 AND 999999),
  uid TEXT NOT NULL UNIQUE CHECK (length(uid) = 32 AND uid NOT GLOB '*[^0-9a-f]*'),
  {_text("title", 1, 200)},
  {_day("made")},
  {_moment("written")},
  {_text("version", 1, 40)},
  {_one_of("command", ("batch", "check", "scale"))},
  {_one_of("standing", ("calculated", "published", "tested"))},
  {_one_of("storage", ("shelf", "cold"))},
  {_number("own_weeks", 0.5, 52, null=True)},
  {_number("freezes", 0, 1, null=True, whole=True)},
  {_number("altitude_ft", -1500, 30000, null=True)},
  {_number("batch_ph", 0, 14, null=True)},
  {_text("jar", 1, 40)},
  {_spread("jars", 10000)},
  {_spread("ph", 14)},
  {_spread("solids_percent", 100)},
  {_number("minutes_half_pint", 0, 600, null=True, whole=True)},
  {_number("minutes_pint", 0, 600, null=True, whole=True)},
  CHECK (jars_low <= jars_typical AND jars_typical <= jars_high),
  CHECK (ph_low <= ph_typical AND ph_typical <= ph_high),
  CHECK (solids_percent_low <= solids_percent_typical AND solids_percent_typical <= solids_percent_high)
);
CREATE TABLE fruit (
  {_NUMBER_OF}, {_POSITION},
  {_text("item", 1, 40)}, {_number("grams", 0, 200000)}, {_number("as_bought_g", 0, 200000, null=True)},
  PRIMARY KEY (batch, position), UNIQUE (batch, item)
) WITHOUT ROWID;
CREATE TABLE papers (
  {_NUMBER_OF} PRIMARY KEY,
  {_text("asked", 2, 1000000)}, {_text("answer", 2, 1000000)}, {_text("recipe", 0, 1000000)}, {_text("screen", 0, 1000000)}
);
CREATE TABLE figures (
  {_DIGEST} PRIMARY KEY, {_text("text", 2, 1000000)}
) WITHOUT ROWID;
CREATE TABLE figures_of (
  {_NUMBER_OF}, {_POSITION}, {_text("item", 1, 40)}, {_DIGEST} REFERENCES figures(digest),
  PRIMARY KEY (batch, position)
) WITHOUT ROWID;
CREATE TABLE entry (
  id INTEGER PRIMARY KEY CHECK (id > 0),
  {_NUMBER_OF},
  {_one_of("kind", ("finish", "taken", "thrown"))},
  {_moment("written")},
  {_day("day")},
  {_day("made", null=True)},
  {_number("ph", 0, 14, null=True)},
  {_number("brix", 0, 90, null=True)},
  {_number("over_ml", 0, 20000, null=True)},
  {_one_of("found", ("well", "runny", "weeping", "stiff", "grainy"), null=True)},
  {_number("boil_min", 0, 600, null=True)},
  {_number("processed_min", 0, 600, null=True)},
  {_one_of("stored", ("pantry", "refrigerator", "freezer"), null=True)},
  {_text("note", 0, 1000)},
  {_number("seals_said", 0, 1, whole=True)},
  {_number("of_unsealed", 0, 1, whole=True)}
);
CREATE INDEX entry_of_batch ON entry(batch, id);
CREATE TABLE jars (
  {_ENTRY}, {_POSITION},
  {_one_of("what", ("filled", "unsealed", "taken"))}, {_text("jar", 1, 40)}, {_number("count", 0, 500, whole=True)},
  PRIMARY KEY (entry, what, position), UNIQUE (entry, what, jar)
) WITHOUT ROWID;
CREATE TABLE used (
  {_ENTRY}, {_POSITION},
  {_text("line", 1, 200)}, {_text("item", 1, 200)},
  {_one_of("role", ("fruit", "sweetener", "acid", "pectin", "calcium water", "liquid", "other"))},
  {_number("grams", 0, 200000, null=True)},
  PRIMARY KEY (entry, position)
) WITHOUT ROWID;
CREATE TABLE left_over (
  {_NUMBER_OF} PRIMARY KEY, {_number("jars", 1, 20000, whole=True)}
);
CREATE TABLE lesson (
  {_NUMBER_OF}, {_text("topic", 1, 40)}, {_text("subject", 1, 40)}, {_number("season", 1900, 2199, whole=True)},
  {_number("value", -1e6, 1e6)},
  PRIMARY KEY (batch, topic, subject)
) WITHOUT ROWID;
CREATE INDEX lesson_of_season ON lesson(topic, subject, season);
CREATE TABLE season_sum (
  {_text("topic", 1, 40)}, {_text("subject", 1, 40)}, {_number("season", 1900, 2199, whole=True)},
  {_number("batches", 1, 999999, whole=True)}, {_number("total", -1e12, 1e12)}, {_number("squares", 0, 1e18)},
  PRIMARY KEY (topic, subject, season)
) WITHOUT ROWID;
"""
_ADDED_TO = ("batch", "fruit", "papers", "figures", "figures_of", "entry", "jars", "used")
_KEPT_AS_THEY_ARE = "".join(
    f"CREATE TRIGGER {table}_is_not_{done} BEFORE {done} ON {table} BEGIN SELECT RAISE(ABORT, 'the book is never overwritten'); END;\n"
    for table in _ADDED_TO
    for done in ("update", "delete")
)
# What a batch teaches, with what each lesson counts for (of all lessons of its topic and subject, in the order in which they were made),
# and sums by season: `lowest` and `highest` of all, slips too; what counts with no weight is a slip, or from before a change.
_LEARNS = f"""
DROP TABLE lesson;
DROP TABLE season_sum;
CREATE TABLE lesson (
  {_NUMBER_OF}, {_text("topic", 1, 40)}, {_text("subject", 1, 40)}, {_day("made")},
  {_number("low", -1e6, 1e6, null=True)}, {_number("high", -1e6, 1e6, null=True)}, {_number("weight", 0, 1)},
  {_number("value", -1e6, 1e6)}, {_number("counts", 0, 1e6)},
  {_number("slip", 0, 1, whole=True)}, {_number("change", 0, 1, whole=True)},
  PRIMARY KEY (batch, topic, subject)
) WITHOUT ROWID;
CREATE INDEX lesson_in_order ON lesson(topic, subject, made, batch);
CREATE TABLE season_sum (
  {_text("topic", 1, 40)}, {_text("subject", 1, 40)}, {_number("season", 1900, 2199, whole=True)},
  {_number("batches", 0, 999_999, whole=True)}, {_number("weight", 0, 1e12)},
  {_number("total", -1e12, 1e12)}, {_number("squares", 0, 1e18)},
  {_number("lowest", -1e6, 1e6)}, {_number("highest", -1e6, 1e6)}, {_number("highest_batch", 1, 999_999, whole=True)},
  {_number("slips", 0, 999_999, whole=True)}, {_number("last_slip", 1, 999_999, null=True, whole=True)},
  {_number("changed", 1, 999_999, null=True, whole=True)},
  PRIMARY KEY (topic, subject, season)
) WITHOUT ROWID;
"""
VERSIONS: tuple[str, ...] = (_FIRST + _KEPT_AS_THEY_ARE, _LEARNS)  # a newer one adds its statements; none is ever changed


def newest() -> int:
    """The version of the tables that this program writes."""
    return len(VERSIONS)


def bring_up_to_date(connection: Executes, version: int) -> None:
    """Run the statements of every version after `version`, in the transaction that is open."""
    for number in range(version + 1, newest() + 1):
        for statement in _statements(VERSIONS[number - 1]):
            connection.execute(statement)
        connection.execute(f"PRAGMA user_version = {number}")
    connection.execute(f"PRAGMA application_id = {APPLICATION}")


def _statements(script: str) -> Iterator[str]:
    """The statements one by one; all at once would end the transaction."""
    from sqlite3 import complete_statement

    begun = ""
    for line in script.splitlines(keepends=True):
        begun += line
        if begun.strip() and complete_statement(begun):
            yield begun
            begun = ""
