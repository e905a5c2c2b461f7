"""The book's file, from outside: killed writers, many writers, a full disk, strange files; what SQLite itself says of it.

JAMCALC_MANY=1 runs the full counts (200 kills; four writers of 100 entries), which take minutes; a plain run takes fewer of each.
"""

from __future__ import annotations

import os
import random
import resource
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from book_sample import finish, jars, kept, papers, taken, with_entries

import jamcalc
from jamcalc.book import schema
from jamcalc.book.store import Book
from jamcalc.errors import BookError, InputError, NotPossible, UnknownItem
from jamcalc.kept.entries import Used
from jamcalc.kitchen.own_files import book_place

MANY = bool(os.environ.get("JAMCALC_MANY"))
KILLS = 200 if MANY else 6
ENTRIES = 100 if MANY else 8
WRITER = str(Path(__file__).parents[1].joinpath("book_sample.py"))

pytestmark = pytest.mark.filterwarnings("error")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "book.sqlite"


def sound(path: Path) -> bool:
    """SQLite's own check of the whole file (PRAGMA integrity_check and foreign_key_check, sqlite.org/pragma.html)."""
    with sqlite3.connect(path) as connection:
        found = connection.execute("PRAGMA integrity_check").fetchall() + connection.execute("PRAGMA foreign_key_check").fetchall()
    connection.close()
    return found == [("ok",)]


# ---------------------------------------------------------------- what goes in comes out


def test_a_batch_comes_back_as_it_was(path: Path) -> None:
    batch = kept(altitude_ft=4300.0, batch_ph=3.9, own_weeks=0.5, freezes=True, minutes_pint=25, jars=replace(kept().jars, high=7.5))
    with jamcalc.Book(path) as book:
        assert book.keep(batch) == 1
        assert book.batch(1) == replace(batch, number=1)
        assert book.keep(kept()) == 2
        assert [each.number for each in book.batches()] == [1, 2]
        assert [each.number for each in book.batches(last=1)] == [2]
        assert book.count() == 2


def test_entries_are_added_in_order_and_come_back(path: Path) -> None:
    said = finish(
        ph=3.52,
        brix=22.0,
        over_ml=60.0,
        found="runny",
        boil_min=2.5,
        processed_min=10.0,
        stored="pantry",
        note='set "soft"; 50 % too sweet',
        made=date(2026, 7, 13),
        used=(Used(line="3 lb plums", item="plum", role="fruit", grams=1279.0), Used(line="a pinch of salt", item="salt", role="other")),
        filled=jars(half_pint=5, pint=1),
        unsealed=jars(pint=1),
    )
    entries = (said, finish(ph=3.5, unsealed=()), taken(count=2), replace(taken("pint"), kind="thrown", of_unsealed=True))
    with Book(path) as book:
        book.keep(kept())
        for number, entry in enumerate(entries, 1):
            assert len(book.enter(1, lambda _, entry=entry: entry).entries) == number
        assert book.batch(1).entries == entries
        assert [each.number for each in book.with_jars()] == [1]


def test_the_same_figures_stand_in_the_file_once(path: Path) -> None:
    with Book(path) as book:
        for _ in range(3):
            book.keep(kept())
    with sqlite3.connect(path) as connection:
        assert connection.execute("SELECT count(*) FROM figures").fetchone() == (1,)
    connection.close()


def test_a_batch_leaves_the_shelf_with_its_last_jar(path: Path) -> None:
    with Book(path) as book:
        book.keep(kept())
        assert book.with_jars() == ()  # nothing was counted yet
        book.enter(1, lambda _: finish(filled=jars(half_pint=2)))
        assert [each.number for each in book.with_jars()] == [1]
        book.enter(1, lambda _: taken(count=2))
        assert book.with_jars() == ()


def test_plain_rows_hold_nothing_but_plain_values(path: Path) -> None:
    with Book(path) as book:
        book.keep(with_entries(finish(filled=jars(half_pint=5, pint=1), ph=3.5)))
        row = book.rows()[0]
    assert {type(value) for value in row.values()} <= {str, int, float, bool, type(None)}
    assert (row["jars_filled"], row["jars_left"], row["ph_predicted_high"]) == ("5 half-pint; 1 pint", 6, 3.9)


# ---------------------------------------------------------------- the file is not there, or is none


def test_reading_makes_no_file(path: Path) -> None:
    with Book(path) as book:
        assert (book.batches(), book.with_jars(), book.count(), book.sums(), book.rows()) == ((), (), 0, (), [])
        with pytest.raises(UnknownItem, match=r"no batch 7 in the book .*, which is empty"):
            book.batch(7)
    assert not path.parent.exists()


def test_a_number_that_is_not_there_is_said_with_the_last_one(path: Path) -> None:
    with Book(path) as book:
        book.keep(kept())
        for call in (lambda: book.batch(7), lambda: book.enter(7, lambda _: finish(ph=3.5))):
            with pytest.raises(UnknownItem, match=r"no batch 7 in the book .*: the last one is 1"):
                call()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"not a book", "is damaged, or no book"),
        (b"SQLite format 3\0" + b"\0" * 40, "is damaged, or no book"),
        (b"\xff" * 5000, "is damaged, or no book"),
    ],
)
def test_what_is_no_book_is_said_and_left_alone(path: Path, content: bytes, said: str) -> None:
    path.parent.mkdir()
    path.write_bytes(content)
    for call in (lambda book: book.keep(kept()), lambda book: book.batches(), lambda book: book.copy()):
        with Book(path) as book, pytest.raises(BookError, match=said) as caught:
            call(book)
        assert "\n" not in str(caught.value)
    assert path.read_bytes() == content


def test_an_empty_file_becomes_a_book(path: Path) -> None:
    path.parent.mkdir()
    path.touch()
    with Book(path) as book:
        assert book.batches() == ()
        assert book.keep(kept()) == 1


def test_a_database_of_another_program_is_left_alone(path: Path) -> None:
    path.parent.mkdir()
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE batch (number)")
    connection.close()
    before = path.read_bytes()
    with Book(path) as book, pytest.raises(BookError, match="of another program"):
        book.keep(kept())
    assert path.read_bytes() == before


def test_a_newer_book_is_not_touched(path: Path) -> None:
    with Book(path) as book:
        book.keep(kept())
    with sqlite3.connect(path) as connection:
        connection.execute(f"PRAGMA user_version = {schema.newest() + 1}")
    connection.close()
    before = path.read_bytes()
    with Book(path) as book, pytest.raises(BookError, match="written by a newer jamcalc"):
        book.keep(kept())
    assert path.read_bytes() == before


@pytest.mark.parametrize("where", [".", "missing/\0/name"])
def test_a_path_that_is_no_file_is_said(tmp_path: Path, where: str) -> None:
    with Book(tmp_path / where) as book, pytest.raises(BookError, match=r"is not a file|there can be no such name"):
        book.keep(kept())


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with Book(tmp_path / "pipe") as book, pytest.raises(BookError, match="is not a file"):
        book.batches()


def test_pages_spoiled_in_the_middle_are_one_line(path: Path) -> None:
    with Book(path) as book:
        for _ in range(20):
            book.keep(kept())
    content = bytearray(path.read_bytes())
    for start in range(4096, len(content), 4096):
        content[start : start + 64] = b"\xa5" * 64
    path.write_bytes(content)
    with Book(path) as book, pytest.raises(BookError, match="is damaged"):
        book.batches()


def test_an_older_book_is_brought_up_to_date(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Book(path) as book:
        book.keep(kept())
        before = book.batches()
    monkeypatch.setattr(schema, "VERSIONS", (*schema.VERSIONS, "ALTER TABLE lesson ADD COLUMN extra REAL;\n"))
    with Book(path) as book:
        assert book.batches() == before
        assert book.keep(kept()) == 2
    with sqlite3.connect(path) as connection:
        assert connection.execute("PRAGMA user_version").fetchone() == (schema.newest(),)
        assert "extra" in [row[1] for row in connection.execute("PRAGMA table_info(lesson)")]
    connection.close()
    assert sound(path)


def test_a_migration_that_fails_leaves_the_book_as_it_was(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Book(path) as book:
        book.keep(kept())
    before = path.read_bytes()
    monkeypatch.setattr(schema, "VERSIONS", (*schema.VERSIONS, "ALTER TABLE lesson ADD COLUMN extra REAL;\nCREATE TABLE batch (x);\n"))
    with Book(path) as book, pytest.raises(BookError):
        book.batches()
    assert path.read_bytes() == before


# ---------------------------------------------------------------- nothing is overwritten, and nothing odd gets in


@pytest.mark.parametrize("table", ["batch", "fruit", "papers", "figures", "figures_of", "entry", "jars", "used"])
def test_what_was_entered_cannot_be_changed_or_taken_out(path: Path, table: str) -> None:
    line = Used(line="3 lb plums", item="plum", role="fruit", grams=1279.0)
    with Book(path) as book:
        book.keep(with_entries(finish(filled=jars(pint=1), used=(line,))))
    with sqlite3.connect(path) as connection:
        column = connection.execute(f"PRAGMA table_info({table})").fetchone()[1]
        for text in (f"UPDATE {table} SET {column} = {column}", f"DELETE FROM {table}"):
            with pytest.raises(sqlite3.IntegrityError, match="never overwritten"):
                connection.execute(text)
    connection.close()


def test_every_column_is_checked(path: Path) -> None:
    """Bytes are refused by every column of every table, huge numbers by every number, and 30 February by every date."""
    line = Used(line="3 lb plums", item="plum", role="fruit", grams=1279.0)
    with Book(path) as book:
        book.keep(with_entries(finish(filled=jars(pint=1), ph=3.5, used=(line,))))
    connection = sqlite3.connect(path)
    for (trigger,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {trigger}")
    tables = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    assert len(tables) == 11
    for table in tables:
        assert connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0], f"{table} is empty, and its columns would not be tried"
        for _, column, kind, *_ in connection.execute(f"PRAGMA table_info({table})").fetchall():
            day = kind == "TEXT" and column in ("made", "day")
            # SQLite makes text of a number that is put into a text column
            for value in [b"\0\1", *(["2026-02-30"] if day else []), *([-(10**13), 1e300] if kind != "TEXT" else [])]:
                with pytest.raises(sqlite3.IntegrityError):
                    connection.execute(f"UPDATE {table} SET {column} = ?", (value,))
    connection.close()


# ---------------------------------------------------------------- many writers, killed writers


def writer(path: Path, count: int, name: str) -> subprocess.Popen[str]:
    words = [sys.executable, WRITER, str(path), str(count), name]
    return subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def test_no_acknowledged_entry_is_lost_when_writers_are_killed(path: Path) -> None:
    chance = random.Random(13)
    acknowledged: dict[str, set[str]] = {"kept": set(), "finished": set()}
    for kill in range(KILLS):
        child = writer(path, 0, str(kill))
        assert child.stdout
        assert child.stderr
        for _ in range(chance.randint(0, 5)):  # until it has written some, or none: then the kill hits the making of the file
            what, _, uid = child.stdout.readline().split()
            acknowledged[what].add(uid)
        time.sleep(chance.random() * 0.02)
        child.send_signal(signal.SIGKILL)
        for row in child.stdout.read().splitlines():
            if len(words := row.split()) == 3:
                acknowledged[words[0]].add(words[2])
        child.stdout.close()
        child.stderr.close()
        child.wait()
    with Book(path) as book:
        batches = book.batches(papers=True)
    assert acknowledged["kept"] <= {each.uid for each in batches}
    assert acknowledged["finished"] <= {each.uid for each in batches if each.entries}
    assert len(acknowledged["finished"]) > KILLS / 2
    assert sound(path)
    assert all(each.papers == papers() and each.fruits == kept().fruits for each in batches), "half a batch"
    assert all(entry == finish(ph=3.5, filled=jars(half_pint=6)) for each in batches for entry in each.entries), "half an entry"


def test_four_writers_get_all_their_entries_in(path: Path) -> None:
    children = [writer(path, ENTRIES, str(each)) for each in range(4)]
    for child in children:
        printed, complaints = child.communicate(timeout=550)
        assert child.returncode == 0, complaints
        assert len(printed.splitlines()) == 2 * ENTRIES
    with Book(path) as book:
        batches = book.batches()
    titles = [f"Batch {number + 1} of {each}" for each in range(4) for number in range(ENTRIES)]
    assert sorted(each.title for each in batches) == sorted(titles)
    assert [each.number for each in batches] == list(range(1, 4 * ENTRIES + 1))
    assert all(len(each.entries) == 1 for each in batches)
    assert sound(path)


def test_a_locked_book_is_said(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("jamcalc.book.file.WAIT_S", 0.1)
    with Book(path) as book:
        book.keep(kept())
    other = sqlite3.connect(path, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    for call in (lambda book: book.keep(kept()), lambda book: book.batches()):
        with Book(path) as book, pytest.raises(BookError, match="is being written by another program: try again"):
            call(book)
    other.close()
    with Book(path) as book:
        assert book.keep(kept()) == 2


FULL = f"""
import resource, sys
sys.path[:0] = [{str(Path(__file__).parents[1])!r}]
from book_sample import kept
from jamcalc.book.store import Book
from jamcalc.errors import BookError
size = __import__("os").path.getsize(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (size + 1000, resource.RLIM_INFINITY))
try:
    for _ in range(50):
        Book(sys.argv[1]).keep(kept())
except BookError as error:
    print(error)
"""


def test_a_full_disk_is_one_line_and_changes_nothing(path: Path) -> None:
    """No file may grow any further, as on a full disk (setrlimit(2), RLIMIT_FSIZE)."""
    with Book(path) as book:
        book.keep(kept())
        before = book.batches()
    assert resource.getrlimit(resource.RLIMIT_FSIZE)
    done = subprocess.run([sys.executable, "-c", FULL, str(path)], capture_output=True, text=True, timeout=120)
    assert "the disk is full, or fails" in done.stdout, done.stderr
    assert done.stdout.count("\n") == 1
    with Book(path) as book:
        assert book.batches()[:1] == before
    assert sound(path)


def test_a_full_database_is_said(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Book(path) as book:
        book.keep(kept())
        assert book._connection is not None
        book._connection.execute("PRAGMA max_page_count = 1")
        with pytest.raises(BookError, match="the disk is full"):
            book.keep(kept(papers=papers("plums " * 20_000)))
    assert sound(path)


def as_anybody(call: Callable[[], str]) -> str:
    """What a call returns in a process without the rights of root, to whom nothing is read-only."""
    if os.geteuid() != 0:
        return call()
    inward, outward = os.pipe()
    child = os.fork()
    if not child:
        os.seteuid(65534)
        os.write(outward, call().encode())
        os._exit(0)
    os.close(outward)
    with open(inward, encoding="utf-8") as file:
        said = file.read()
    os.waitpid(child, 0)
    return said


def test_a_read_only_book_is_read_and_not_written() -> None:
    def tried() -> str:
        with Book(path) as book:
            try:
                return f"{book.count()} {book.keep(kept())}"
            except BookError as error:
                return f"{book.count()} {error}"

    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        path = Path(folder) / "book.sqlite"
        with Book(path) as book:
            book.keep(kept())
        before = path.read_bytes()
        path.chmod(0o444)
        os.chmod(folder, 0o555)
        assert as_anybody(tried) == f"1 the book {path} cannot be written: it is read-only"
        path.chmod(0o666)
        assert as_anybody(tried) == f"1 the book {path} cannot be written: it is read-only"
        os.chmod(folder, 0o755)
        assert path.read_bytes() == before


def test_a_book_opened_for_reading_writes_nothing(path: Path) -> None:
    with Book(path, reading=True) as book, pytest.raises(BookError, match="opened for reading only"):
        book.keep(kept())
    assert not path.exists()


def test_an_error_in_the_middle_undoes_the_whole(path: Path) -> None:
    def refuse(_: object) -> None:
        raise NotPossible("no jar is left")

    with Book(path) as book:
        book.keep(kept())
        before = path.read_bytes()
        with pytest.raises(NotPossible):
            book.enter(1, refuse)  # type: ignore[arg-type]
        twice = kept()
        with pytest.raises(BookError, match="refuses this"):
            book.keep(replace(twice, uid=book.batch(1).uid))
        assert book.keep(kept()) == 2
        assert before != path.read_bytes()


# ---------------------------------------------------------------- other books, copies


def test_batches_of_another_book_keep_their_numbers_where_free(path: Path, tmp_path: Path) -> None:
    mine, hers = kept(), kept(number=1)
    with Book(path) as book:
        book.keep(mine)
        assert book.add([hers, kept(number=5)]) == {1: 2, 5: 5}
        assert book.add([hers]) == {1: 2}, "it is here already"
        later = replace(hers, entries=(finish(ph=3.5),))
        assert book.add([later]) == {1: 2}
        assert book.batch(2).entries == later.entries
        with pytest.raises(InputError, match="batch 1 is number 2 here, and the two differ"):
            book.add([kept(number=9), replace(hers, entries=(finish(ph=3.6),))])
        assert [each.number for each in book.batches()] == [1, 2, 5]


def test_a_copy_is_taken_while_another_writes(path: Path, tmp_path: Path) -> None:
    with Book(path) as book:
        book.keep(kept())
        other = sqlite3.connect(path, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        content = book.copy()
        other.close()
        copy = tmp_path / "copy.sqlite"
        copy.write_bytes(content)
        with Book(copy) as again:
            assert again.batches(papers=True) == book.batches(papers=True)
    assert sound(copy)


# ---------------------------------------------------------------- where it is


@pytest.mark.parametrize(
    ("environ", "platform", "option", "expected"),
    [
        ({}, "linux", None, "/home/ann/.local/share/jamcalc/book.sqlite"),  # XDG Base Directory Specification 0.8, XDG_DATA_HOME
        ({"XDG_DATA_HOME": "/data"}, "linux", None, "/data/jamcalc/book.sqlite"),
        ({"XDG_DATA_HOME": "relative"}, "linux", None, "/home/ann/.local/share/jamcalc/book.sqlite"),
        ({}, "darwin", None, "/home/ann/Library/Application Support/jamcalc/book.sqlite"),
        ({"LOCALAPPDATA": "/local"}, "win32", None, "/local/jamcalc/book.sqlite"),
        ({"JAMCALC_BOOK": "~/jam.db"}, "linux", None, "/home/ann/jam.db"),
        ({"JAMCALC_BOOK": "/x"}, "linux", "other.db", "other.db"),
    ],
)
def test_where_the_book_is(environ: dict[str, str], platform: str, option: str | None, expected: str) -> None:
    assert book_place(environ, platform, Path("/home/ann"), option) == Path(expected)


@pytest.mark.parametrize(
    "change", [{"title": ""}, {"title": "a\nb"}, {"uid": "x"}, {"made": date(1800, 1, 1)}, {"fruits": ()}, {"number": -1}, {"jar": "A JAR"}]
)
def test_nouns_check_themselves(change: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=r"."):
        kept(**change)
