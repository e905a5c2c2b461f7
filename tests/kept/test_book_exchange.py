"""Out of a book and into another: the same bytes again, and nothing but one line for a file that means harm.

JAMCALC_MANY=1 reads 2,000 mutated files; a plain run fewer.
"""

from __future__ import annotations

import csv
import io
import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest
from book_sample import finish, jars, kept, papers, spread, taken, with_entries
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from jamcalc.book.store import Book
from jamcalc.errors import BookError, InputError
from jamcalc.kept import exchange, tidy
from jamcalc.kept.entries import Entry, FruitOf, Kept, Used

MANY = bool(os.environ.get("JAMCALC_MANY"))
MUTATED = 2000 if MANY else 120
FORMS = [exchange, tidy]
BOTH = pytest.mark.parametrize("form", FORMS, ids=["json lines", "csv"])


@cache
def whole() -> tuple[Kept, ...]:
    """Batches with everything that can be said, and texts that a format may stumble on."""
    said = finish(
        ph=3.52, brix=22.0, over_ml=60.0, found="runny", boil_min=2.5, processed_min=10.0, stored="pantry", made=date(2026, 7, 13),
        note='=1+1; "soft", 50 % \'too\' sweet, ½ cup, \N{GRINNING FACE}',
        used=(Used(line="3 lb plums", item="plum", role="fruit", grams=1279.0), Used(line='"salt"', item="salt", role="other")),
        filled=jars(half_pint=5, pint=1), unsealed=(),
    )  # fmt: skip
    rich = with_entries(
        said,
        finish(unsealed=jars(pint=1)),
        taken(count=2),
        Entry(kind="thrown", written="2026-08-01T09:00:00Z", day=date(2026, 8, 1), jars=taken("pint").jars, of_unsealed=True),
        number=1, title="@Plum, \"best\"; 'ours'", altitude_ft=-12.5, batch_ph=3.9, own_weeks=4.0,
        freezes=False, minutes_pint=25,
        papers=papers('two\nlines, "quoted"'),
        fruits=(FruitOf(item="plum", grams=0.1 + 0.2, as_bought_g=None), FruitOf(item="blackberry", grams=1e-7)),
    )  # fmt: skip
    return rich, kept(number=3, papers=None), with_entries(finish(note="'=x"), number=4, jars=spread(0.1, 1 / 3, 2.0))


def into(path: Path, batches: tuple[Kept, ...]) -> tuple[Kept, ...]:
    with Book(path) as book:
        book.add(batches)
        return book.batches(papers=True)


@BOTH
def test_the_same_bytes_come_out_again(form: ModuleType, tmp_path: Path) -> None:
    first = into(tmp_path / "first.sqlite", whole())
    assert first == whole()
    text = form.write(first)
    second = into(tmp_path / "second.sqlite", form.read(text, "book"))
    assert second == first
    assert form.write(second) == text


def test_the_csv_is_read_by_a_reader_of_csv_and_has_units_in_its_names() -> None:
    rows = list(csv.DictReader(io.StringIO(tidy.write(whole()))))
    assert [row["record"] for row in rows] == ["batch", "finish", "finish", "taken", "thrown", "batch", "batch", "finish"]
    assert (rows[0]["altitude_ft"], rows[1]["over_ml"], rows[1]["jars_filled"]) == ("-12.5", "60.0", "5 half-pint; 1 pint")
    assert rows[1]["note"].startswith("'=1+1"), "a spreadsheet must not run it"
    assert (rows[1]["jars_unsealed"], rows[2]["jars_unsealed"], rows[3]["jars_unsealed"]) == ("none", "1 pint", "")


def test_each_json_line_is_one_batch() -> None:
    lines = exchange.write(whole()).splitlines()
    assert [json.loads(line)["number"] for line in lines] == [1, 3, 4]
    assert all(json.loads(line)["schema"] == "jamcalc-book/1" for line in lines)


def spoiled(**changes: object) -> str:
    return json.dumps({**exchange.as_dict(whole()[0]), **changes})


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no batch is in it"),
        ("[]", "the batch is not a JSON object"),
        ("{", "line 1: not JSON"),
        ("{}", "has no schema"),
        (spoiled(schema="jamcalc-book/9"), "schema is not jamcalc-book/1"),
        (spoiled(number="7"), "number is not a whole number"),
        (spoiled(number=True), "number is not a whole number"),
        (spoiled(number=10**9), "number is not between"),
        (spoiled(made="2026-02-30"), "line 1: "),
        (spoiled(made="20260714"), "is not written as 2026-07-14"),
        (spoiled(title="\x1b[2J"), "title is longer than 200 characters, or not plain text"),
        (spoiled(title="\ud800"), "line 1: "),
        (spoiled(ph={"low": 4, "typical": 3, "high": 5}), "not a range"),
        (spoiled(ph={"low": 3, "typical": 3, "high": 15}), "ph is not between 0 and 14"),
        (spoiled(altitude_ft=float("nan")), "NaN is no number"),
        (spoiled(altitude_ft=1e308).replace("1e+308", "1e999"), "line 1: "),
        (spoiled(altitude_ft=1).replace('"altitude_ft": 1', '"altitude_ft": ' + "9" * 6000), "line 1: "),
        (spoiled(surprise=1), 'unknown key "surprise"'),
        (spoiled(fruits=[]), "fruits: none"),
        (spoiled(entries=[{}]), "an entry has no made"),
        (spoiled(papers=3), "papers is not an object"),
        ("[" * 100_000, "line 1: "),
    ],
)
def test_what_a_hostile_line_is_told(text: str, said: str) -> None:
    with pytest.raises(InputError, match=said) as caught:
        exchange.read(text, "plums.jsonl")
    assert str(caught.value).startswith("plums.jsonl")
    assert "\n" not in str(caught.value)
    assert str(caught.value).isprintable()


def test_a_fault_in_the_last_line_brings_nothing_in(tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"
    into(path, whole()[:1])
    before = path.read_bytes()
    text = exchange.write(whole()) + "{}\n"
    with pytest.raises(InputError, match="line 4"), Book(path) as book:
        book.add(exchange.read(text, "x"))
    assert path.read_bytes() == before


def mutated(text: str, chance: random.Random) -> str:
    """One to three changes: bytes turned, cut out, doubled or swapped, numbers and words put in their place."""
    content = bytearray(text.encode())
    for _ in range(chance.randint(1, 3)):
        at, length = chance.randrange(len(content)), chance.choice((1, 1, 2, 8, 200, 4000))
        piece = content[at : at + length]
        content[at : at + length] = chance.choice(
            (
                bytes(chance.randrange(256) for _ in range(length)), b"", piece + piece, piece[::-1], b"null", b"-1", b"1e999", b'"', b"\n",
                b",", b"\\ud800", b"9" * length, b"{" * length, b"\0", "\N{RIGHT-TO-LEFT OVERRIDE}".encode(),
            )
        )  # fmt: skip
    return content.decode("utf-8", errors=chance.choice(("replace", "ignore", "surrogateescape")))


@BOTH
def test_mutated_files_give_one_line_or_a_sound_book(form: ModuleType, tmp_path: Path) -> None:
    chance = random.Random(2026)
    path = tmp_path / "book.sqlite"
    into(path, whole()[1:])
    text, refused = form.write(whole()), 0
    for _ in range(MUTATED):
        before = path.read_bytes()
        try:
            with Book(path) as book:
                book.add(form.read(mutated(text, chance), "x"))
        except (InputError, BookError) as error:
            refused += 1
            said = str(error)
            assert path.read_bytes() == before, "the book was changed"
            assert said.isprintable(), "more than one line"
        else:
            with Book(path) as book:  # what got in can be read, and written again
                batches = book.batches(papers=True)
            assert form.read(form.write(batches), "x") == batches
            path.unlink()
            into(path, whole()[1:])
    assert MUTATED / 2 < refused < MUTATED


# ---------------------------------------------------------------- against a dictionary

TITLES = st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S")), min_size=1, max_size=12)
READINGS = st.one_of(st.none(), st.floats(0, 14))


class BookAgainstADictionary(RuleBasedStateMachine):
    """Keep, finish, correct, take, export, import, break off: the book holds what a dictionary holds."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "book.sqlite"
        self.model: dict[int, Kept] = {}

    def teardown(self) -> None:
        connection = sqlite3.connect(self.path)
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        connection.close()
        self.folder.cleanup()

    @rule(title=TITLES)
    def keep(self, title: str) -> None:
        batch = kept(title=title)
        with Book(self.path) as book:
            number = book.keep(batch)
        assert number not in self.model
        self.model[number] = replace(batch, number=number)

    def _enter(self, number: int, entry: Entry) -> None:
        with Book(self.path) as book:
            book.enter(number, lambda _: entry)
        self.model[number] = replace(self.model[number], entries=(*self.model[number].entries, entry))

    @precondition(lambda self: self.model)
    @rule(data=st.data(), ph=READINGS, count=st.integers(1, 9), note=TITLES)
    def finish_or_correct(self, data: st.DataObject, ph: float | None, count: int, note: str) -> None:
        self._enter(data.draw(st.sampled_from(sorted(self.model))), finish(ph=ph, filled=jars(half_pint=count), note=note))

    @precondition(lambda self: self.model)
    @rule(data=st.data(), count=st.integers(1, 3))
    def take(self, data: st.DataObject, count: int) -> None:
        self._enter(data.draw(st.sampled_from(sorted(self.model))), taken(count=count))

    @precondition(lambda self: self.model)
    @rule(form=st.sampled_from(FORMS))
    def export_and_import(self, form: ModuleType) -> None:
        with Book(self.path) as book:
            text = form.write(book.batches(papers=True))
        again = self.path.with_name("again.sqlite")
        assert form.write(into(again, form.read(text, "x"))) == text
        again.rename(self.path)

    @rule()
    def kill(self) -> None:
        """A writer is killed with half of its batches in the file: the journal beside the book takes them back."""
        words = [sys.executable, str(Path(__file__).parents[1].joinpath("book_sample.py")), str(self.path), "0", "dies"]
        assert subprocess.run(words, check=False, timeout=60).returncode == -signal.SIGKILL
        assert self.path.with_name("book.sqlite-journal").exists()

    @invariant()
    def the_same(self) -> None:
        with Book(self.path) as book:
            assert {each.number: each for each in book.batches(papers=True)} == self.model
            assert [each.number for each in book.with_jars()] == [number for number, batch in sorted(self.model.items()) if _left(batch)]


def _left(batch: Kept) -> int:
    """Jars left by a plain subtraction, in a book of half-pints alone."""
    filled = [entry.filled[0].count for entry in batch.entries if entry.filled]
    gone = sum(entry.jars.count for entry in batch.entries if entry.jars)
    return max(0, (filled[-1] if filled else 0) - gone)


BookAgainstADictionary.TestCase.settings = settings(max_examples=40 if MANY else 4, stateful_step_count=20 if MANY else 8, deadline=None)
TestBookAgainstADictionary = BookAgainstADictionary.TestCase


@settings(max_examples=30, deadline=None)
@given(note=st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")), max_size=40), ph=READINGS)
def test_any_note_and_reading_survive_both_forms(note: str, ph: float | None) -> None:
    note = " ".join(note.split())
    batch = with_entries(finish(note=note, ph=ph, stored="pantry"), number=1)
    reads: Callable[[ModuleType], tuple[Kept, ...]] = lambda form: form.read(form.write([batch]), "x")  # noqa: E731
    assert reads(exchange) == reads(tidy) == (batch,)
