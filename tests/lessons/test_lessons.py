"""What the book keeps beside its entries for whoever learns from it: lessons and sums, held against sums made here."""

from __future__ import annotations

import json
import math
import sqlite3
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from book_sample import finish, jars, kept, papers, taken

import jamcalc
from jamcalc.book import schema
from jamcalc.book.store import Book
from jamcalc.kept.entries import Kept, Papers, Used
from jamcalc.kept.exchange import read, write
from jamcalc.lessons.basis import KEY

pytestmark = pytest.mark.filterwarnings("error")

ONLY = {
    "item": "plum", "ph": 3.45, "ph_high": 4.3, "batch_ph": 3.3, "batch_ph_high": 4.0, "slope": 0.5,
    "solids_percent": 12.3, "batch_solids_percent": 22.0, "spread_per_fruit": 1.3,
}  # fmt: skip


def by_tables(**changes: Any) -> Papers:
    plain = papers()
    basis = {"jars": 6.2, "pectin_needed_g": 10.0, "pectin_g": 10.0, "only": ONLY, "read": [], **changes}
    return Papers(asked=json.dumps({"words": ["3 lb plums"], KEY: basis}), answer=plain.answer, recipe=plain.recipe, screen="", figures=())


def batch(**changes: Any) -> Kept:
    return kept(papers=by_tables(**changes))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "book.sqlite"


def lessons(path: Path) -> dict[tuple[int, str, str], tuple[float, float, float]]:
    with sqlite3.connect(path) as connection:
        found = connection.execute("SELECT batch, topic, subject, low, high, weight FROM lesson").fetchall()
    connection.close()
    return {row[:3]: row[3:] for row in found}


def totals(book: Book) -> dict[tuple[str, str, int], tuple[float, float]]:
    return {(each.topic, each.subject, each.season): (each.sums.weight, each.sums.total) for each in book.sums()}


def test_a_finished_batch_is_held_against_the_tables(path: Path) -> None:
    with Book(path) as book:
        number = book.keep(batch())
        assert book.sums() == ()
        book.enter(number, lambda _: finish(filled=jars(half_pint=5), over_ml=0.0, ph=3.4, brix=23.0, found="runny"))
    found = lessons(path)
    assert found[1, "jars", "kitchen"] == (pytest.approx(math.log(5 / 6.2)), pytest.approx(math.log(5 / 6.2)), 1.0)
    # a tenth of a pH in the batch is two tenths in the fruit that moves it by half; a per cent in the spread is 1.3 in the fruit
    assert found[1, "ph", "plum"] == (pytest.approx(3.65), pytest.approx(3.65), pytest.approx(0.25))
    assert found[1, "solids", "plum"][:2] == (pytest.approx(13.6), pytest.approx(13.6))
    # soft: less than halfway to the soft dose, 0.75 of the medium one (data/setting.toml)
    assert found[1, "pectin", "kitchen"] == (None, pytest.approx(math.log(0.75) / 2), 1.0)
    assert set(found) == {
        (1, topic, subject) for topic, subject in (("jars", "kitchen"), ("ph", "plum"), ("solids", "plum"), ("pectin", "kitchen"))
    }


@pytest.mark.parametrize("tables", [1e-300, 0.2, 200.0, 1e300])
@pytest.mark.parametrize("over_ml", [0.0, None])
def test_what_no_pot_gives_teaches_nothing_of_jars(path: Path, tables: float, over_ml: float | None) -> None:
    """A file that somebody wrote in may say so: three of them in a row would be a change, and the next batch would fill 1e265 jars."""
    with Book(path) as book:
        number = book.keep(kept(papers=by_tables(jars=tables)))
        book.enter(number, lambda _: finish(filled=jars(half_pint=6), over_ml=over_ml, brix=23.0))
        topics = {each.topic for each in book.sums()}
    assert "jars" not in topics
    assert "solids" in topics


def test_jars_counted_whole_are_taken_for_half_a_jar_more(path: Path) -> None:
    """Six jars and an unknown rest: between 6 and 7, evenly; the variance of that is its width squared over twelve."""
    with Book(path) as book:
        for number, filled in enumerate((jars(half_pint=6), jars(pint=2, half_pint=1)), 1):
            book.keep(batch())
            book.enter(number, lambda _, filled=filled: finish(filled=filled))
    found = lessons(path)
    value, _, weight = found[1, "jars", "kitchen"]
    assert value == pytest.approx(math.log(6.5 / 6.2))
    assert weight == pytest.approx(1 / (1 + math.log(7 / 6) ** 2 / 12 / 0.05**2))  # 0.05 from batch to batch: data/learning.toml
    assert found[2, "jars", "kitchen"][0] == pytest.approx(math.log(5.5 / 6.2), abs=0.02)  # two pints hold nearly four half-pints


def test_what_was_used_in_place_of_the_answer_counts(path: Path) -> None:
    pectin = Used(line="6 tsp calcium-set pectin", item="calcium-set", role="pectin", grams=18.0)
    lemon = Used(line="1/4 cup bottled lemon juice", item="bottled_lemon_juice", role="acid", grams=61.0)
    with Book(path) as book:
        book.keep(batch())
        book.enter(1, lambda _: finish(ph=3.4, found="well", used=(pectin, lemon)))
    found = lessons(path)
    assert found[1, "pectin", "kitchen"][:2] == (
        pytest.approx(math.log(0.75) / 2 - math.log(1.8)),
        pytest.approx(math.log(1.3) / 2 - math.log(1.8)),
    )
    assert (1, "ph", "plum") not in found  # with another dose of acid it was another batch


def test_a_reading_of_the_fruit_counts_before_what_is_inferred(path: Path) -> None:
    with Book(path) as book:
        book.keep(batch(read=[{"item": "plum", "ph": 3.5, "solids_percent": 11.8}]))
        assert lessons(path)[1, "ph-read", "plum"] == (3.5, 3.5, 1.0)  # as soon as it is kept
        book.enter(1, lambda _: finish(ph=3.4, brix=23.0))
    found = lessons(path)
    assert (found[1, "ph", "plum"], found[1, "solids", "plum"]) == ((3.5, 3.5, 1.0), (11.8, 11.8, 1.0))


def test_grain_is_too_much_calcium(path: Path) -> None:
    calcium = {"calcium_mg": 300.0, "calcium_water_mg": 100.0, "calcium_water_ml": 50.0, "most_calcium_mg_per_g": 60.0}
    with Book(path) as book:
        for number, found in enumerate(("grainy", "well", "weeping", "runny"), 1):
            book.keep(batch(**calcium))
            book.enter(number, lambda _, found=found: finish(found=found))
    rows = {key[0]: row[:2] for key, row in lessons(path).items() if key[1] == "calcium"}
    twice = pytest.approx(math.log(2.0))  # 30 mg to the gram where 60 are too much
    assert rows == {1: (twice, None), 2: (None, twice), 3: (twice, None)}


def test_a_correction_moves_the_sums_and_jars_eaten_do_not(path: Path) -> None:
    with Book(path) as book:
        for count in (6, 4):
            number = book.keep(batch())
            book.enter(number, lambda _, count=count: finish(filled=jars(half_pint=count), over_ml=0.0))
        before = totals(book)["jars", "kitchen", 2026]
        assert before == (pytest.approx(1.0), pytest.approx(math.log(6 / 6.2)))  # 4 for 6.2 is a slip, so far
        book.enter(2, lambda _: finish(filled=jars(half_pint=5), over_ml=0.0))
        assert totals(book)["jars", "kitchen", 2026] == (pytest.approx(2.0), pytest.approx(math.log(6 / 6.2) + math.log(5 / 6.2)))
        after = book.sums()
        book.enter(2, lambda _: taken())
        assert book.sums() == after
        book.enter(2, lambda _: finish(made=date(2025, 9, 1)))
        assert {key[2] for key in totals(book)} == {2025, 2026}


def test_a_book_that_is_read_in_teaches_the_same(path: Path, tmp_path: Path) -> None:
    with Book(path) as book, Book(tmp_path / "other.sqlite") as other:
        for count, ph, found in ((6, 3.3, "well"), (5, 3.4, "runny"), (2, 3.5, "stiff"), (6, 4.4, "well"), (5, 3.2, "grainy")):
            number = book.keep(batch())
            book.enter(number, lambda _, count=count, ph=ph, found=found: finish(filled=jars(half_pint=count), ph=ph, found=found))
        text = write(book.batches(papers=True))
        other.add(read(text, "file"))
        assert other.sums() == book.sums() != ()
        assert other.learned(["plum"], 2026) == book.learned(["plum"], 2026) is not None
        assert write(other.batches(papers=True)) == text


def test_a_book_of_the_first_version_is_brought_up_to_date(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Made by the first version's own tables; its lessons are thrown away and derived anew."""
    from jamcalc.book import derived

    newest = schema.VERSIONS
    with monkeypatch.context() as old:
        old.setattr(schema, "VERSIONS", newest[:1])
        for name in ("derive_all", "add_up"):
            old.setattr(derived, name, lambda *_: None)
        old.setattr(derived, "derive", lambda *_: set())
        with Book(path) as book:
            book.keep(batch())
            book.enter(1, lambda _: finish(filled=jars(half_pint=6), over_ml=0.0, ph=3.4, found="well"))
            before = book.batches(papers=True)
    with sqlite3.connect(path) as connection:
        connection.execute("INSERT INTO lesson VALUES (1, 'yield', 'kitchen', 2026, 0.97)")
        connection.execute("INSERT INTO season_sum VALUES ('yield', 'kitchen', 2026, 1, 0.97, 0.94)")
    connection.close()
    with Book(path, reading=True) as book:
        assert book.batches(papers=True) == before
        assert totals(book)["jars", "kitchen", 2026] == (1.0, pytest.approx(math.log(6 / 6.2)))
    with sqlite3.connect(path) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (2,)
        assert connection.execute("SELECT count(*) FROM season_sum WHERE topic = 'yield'").fetchone() == (0,)
    connection.close()


@pytest.mark.parametrize(
    "asked",
    ['{"by_tables":7}', '{"by_tables":{"jars":"6"}}', '{"by_tables":{"jars":1e999}}', '{"by_tables":{"jars":6,"more":1}}',
     '{"by_tables":{"jars":-6}}',
     '{"by_tables":{"jars":6,"read":[7]}}', '{"by_tables":{"jars":6,"only":{"item":"plum"}}}', '{"by_tables":{"read":[]}}'],
)  # fmt: skip
def test_a_basis_that_cannot_be_one_teaches_no_more_than_the_jars(path: Path, asked: str) -> None:
    plain = papers()
    odd = Papers(asked=asked, answer=plain.answer, recipe=plain.recipe, screen="", figures=())
    with Book(path) as book:
        book.keep(kept(papers=odd))
        book.enter(1, lambda _: finish(filled=jars(half_pint=6), ph=3.4, brix=20.0, found="well"))
        assert {(each.topic, each.subject) for each in book.sums()} == {("jars", "kitchen")}


def test_an_answer_that_is_kept_says_what_the_tables_said(path: Path) -> None:
    """Through the whole program: a batch that came out as the tables have it teaches that they are right."""
    result = jamcalc.batch(["3 lb plums"], sweetener="honey", reading="plum Brix 14")
    with jamcalc.Book(path) as book:
        number = book.keep(result)
        book.finish(number, ph=round(result.acidity.ph.typical, 3), found="well")
        seen = lessons(path)
    assert seen[1, "ph", "plum"][0] == pytest.approx(3.45, abs=0.02)  # data/fruit/plum.toml, typical
    assert seen[1, "solids", "plum"][0] == pytest.approx(14 * (1 - 0.0179))  # the juice's Brix, in the crushed fruit
    assert 0.3 < seen[1, "ph", "plum"][2] < 1.0
    low, high, _ = seen[1, "pectin", "kitchen"]
    assert low < 0.0 < high
