"""Batches and entries for the tests of the book, and writers that can be killed: python tests/book_sample.py BOOK COUNT NAME.

With the name "dies" the writer kills itself in the middle of a transaction, half of it on the disk already.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
from datetime import date
from typing import Any

from jamcalc.kept.entries import Entry, FruitOf, Jars, Kept, Papers
from jamcalc.nouns.known import Estimate

MADE = date(2026, 7, 14)


def spread(low: float, typical: float, high: float) -> Estimate:
    return Estimate(low=low, typical=typical, high=high)


def papers(text: str = "plums") -> Papers:
    return Papers(
        asked=json.dumps({"words": [text]}, separators=(",", ":")),
        answer='{"schema":"jamcalc/1"}',
        recipe=f'title = {json.dumps(text)}\ningredients = ["3 lb plums", "1/2 cup honey", "1/2 cup bottled lemon juice"]\n',
        screen=f"{text}\n",
        figures=(("plum", '{"ph":3.4}'),),
    )


def kept(**changes: Any) -> Kept:
    """A shelf batch of plums, six half-pints, ten minutes."""
    plain: dict[str, Any] = {
        "uid": f"{random.getrandbits(128):032x}",
        "title": "Plum spread",
        "made": MADE,
        "written": "2026-07-14T18:05:00Z",
        "version": "0.1.0",
        "command": "batch",
        "standing": "calculated",
        "storage": "shelf",
        "own_weeks": None,
        "freezes": None,
        "altitude_ft": None,
        "batch_ph": None,
        "jar": "half-pint",
        "jars": spread(5.0, 6.2, 7.0),
        "ph": spread(3.1, 3.4, 3.9),
        "solids_percent": spread(18.0, 21.0, 24.0),
        "minutes_half_pint": 10,
        "minutes_pint": None,
        "fruits": (FruitOf(item="plum", grams=1279.0, as_bought_g=1361.0),),
        "papers": papers(),
    }
    return Kept(**{**plain, **changes})


def finish(**said: Any) -> Entry:
    """A finish written on the day after the batch was made, unless `day` says otherwise."""
    return Entry(**{"kind": "finish", "written": "2026-07-15T09:00:00Z", "day": date(2026, 7, 15), **said})


def taken(jar: str = "half-pint", count: int = 1, **said: Any) -> Entry:
    plain = {"kind": "taken", "written": "2026-08-01T09:00:00Z", "day": date(2026, 8, 1)}
    return Entry(**{**plain, **said, "jars": Jars(jar=jar, count=count)})


def jars(**counts: int) -> tuple[Jars, ...]:
    """jars(half_pint=6, pint=2)."""
    return tuple(Jars(jar=name.replace("_", "-"), count=count) for name, count in counts.items())


def with_entries(*entries: Entry, **changes: Any) -> Kept:
    return kept(entries=entries, **changes)


def write(path: str, count: int) -> None:
    """Keep `count` batches (0: for ever) and finish each, saying so once the book has acknowledged it."""
    from jamcalc.book.store import Book

    number = 0
    with Book(path) as book:
        while not count or number < count:
            number += 1
            batch = kept(title=f"Batch {number} of {sys.argv[3]}")
            print("kept", book.keep(batch), batch.uid, flush=True)
            book.enter(book_number(book, batch.uid), lambda _: finish(ph=3.5, filled=jars(half_pint=6)))
            print("finished", 0, batch.uid, flush=True)


def book_number(book: Any, uid: str) -> int:
    return next(each.number for each in book.batches(last=20) if each.uid == uid)


def die(path: str) -> None:
    """Write until the pages spill into the file, and be killed before the end."""
    from jamcalc.book import rows
    from jamcalc.book.store import Book

    with Book(path) as book, book._writes() as connection:
        connection.execute("PRAGMA cache_size = 1")
        for number in range(900, 910):
            rows.add_batch(connection, kept(number=number, papers=papers("plums " * 5000)))
        os.kill(os.getpid(), signal.SIGKILL)


if __name__ == "__main__":
    if sys.argv[3] == "dies":
        die(sys.argv[1])
    write(sys.argv[1], int(sys.argv[2]))
