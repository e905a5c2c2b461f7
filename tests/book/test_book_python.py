"""The batch book from Python."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

import jamcalc
from jamcalc.errors import InputError, NotPossible, UnknownItem
from jamcalc.kept.entries import Jars, Kept


def test_an_answer_is_kept_finished_and_taken(tmp_path: Path) -> None:
    answer = jamcalc.batch(["3 lb plums"], sweetener="honey", altitude=4300.0, draws=0)
    with jamcalc.Book(tmp_path / "book.sqlite") as book:
        number = book.keep(answer, made=date(2026, 7, 14))
        batch = book.batch(number)
        assert isinstance(batch, Kept)
        assert (batch.title, batch.ph, batch.minutes_half_pint) == (answer.title, answer.acidity.ph, 20)
        after = book.finish(number, jars="6 half-pints", ph=3.52, unsealed=1, stored="pantry", note="sharp", date=date(2026, 7, 13))
        assert after.entries[-1].ph == 3.52
        assert after.entries[-1].filled == (Jars(jar="half-pint", count=6),)
        assert book.finish(number, processed=20, jars=["5 half-pints", "1 pint"]).entries[-1].processed_min == 20.0
        book.take(number, "2 half-pints")
        assert [(row.jars.count, row.jars.jar, row.until) for row in book.shelf(date(2026, 8, 1)) if not row.off_shelf] == [
            (2, "half-pint", date(2027, 7, 13))
        ]
        (row,) = book.rows()
        assert (row["number"], row["jars_left"], row["ph_read"], row["made"]) == (1, 4, 3.52, "2026-07-13")


def test_what_cannot_be_is_said(tmp_path: Path) -> None:
    with jamcalc.Book(tmp_path / "book.sqlite") as book:
        number = book.keep(jamcalc.batch(["3 lb plums"], draws=0))
        for said, fault in (
            ({"phh": 3.5}, "knows no phh"),
            ({"found": "good"}, "well, runny"),
            ({"ph": float("nan")}, "0 to 14"),
            ({}, "what came of"),
        ):
            with pytest.raises(InputError, match=fault):
                book.finish(number, **said)  # type: ignore[arg-type]
        with pytest.raises(NotPossible, match="not known yet"):
            book.take(number)
        with pytest.raises(UnknownItem, match="no batch 9"):
            book.take(9)
        with pytest.raises(InputError, match="not kept"):
            book.keep(jamcalc.batch(["3 lb elderberries"], store="shelf", draws=0))
        assert len(book.batches()) == 1
