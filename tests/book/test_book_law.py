"""The law of what the book may teach: everything but daring.

Over every history, lying and random ones too, no answer with the book is for the shelf, has less acid, fewer minutes or a lower high side
where the tables alone have not. JAMCALC_MANY=1 draws 2,000 histories and as many sets of made-up teachings; a plain run fewer.
"""

from __future__ import annotations

import json
import math
import os
import random
from datetime import date
from typing import Any

import pytest
from book_sample import finish, jars, kept, papers
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import jamcalc
from jamcalc.book.store import Book
from jamcalc.formula import taught
from jamcalc.formula.solver import NO_FLOOR
from jamcalc.kept.entries import FruitOf, Kept, Papers, Used
from jamcalc.lessons.basis import KEY
from jamcalc.nouns.learned import Learned, OfFruit, Taught
from jamcalc.nouns.outcome import BatchResult

MANY = bool(os.environ.get("JAMCALC_MANY"))
HISTORIES = settings(
    max_examples=2000 if MANY else 50,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)

PLUMS = ["3 lb plums"]
FRUITS = ("plum", "blackberry", "peach", "pear", "strawberry", "fig", "apple", "raspberry")
NAMES = {"plum": "plums", "blackberry": "blackberries", "peach": "peaches", "pear": "pears", "strawberry": "strawberries", "fig": "figs",
         "apple": "apples", "raspberry": "raspberries"}  # fmt: skip


@st.composite
def questions(draw: st.DrawFn) -> tuple[list[str], dict[str, Any]]:
    """Ingredient lines and options of a batch."""
    fruits = draw(st.lists(st.sampled_from(FRUITS), min_size=1, max_size=3, unique=True))
    amounts = draw(st.lists(st.sampled_from([0.3, 1, 1.5, 3, 8]), min_size=len(fruits), max_size=len(fruits)))
    options: dict[str, Any] = {"sweetener": draw(st.sampled_from(["honey", "sugar", "maple syrup", "none"])), "draws": 0}
    if draw(st.booleans()):
        options["altitude"] = draw(st.sampled_from([500, 4300, 9500]))
    for name, values in {
        "store": ["cold"], "acid": ["citric acid", "bottled lime juice"], "jar": ["pint", "quarter-pint"], "set": ["soft", "firm"],
        "reading": [f"{fruits[0]} pH 3.9", f"{fruits[0]} Brix 9", "batch pH 4.1"],
    }.items():  # fmt: skip
        if draw(st.integers(0, 3)) == 0:
            options[name] = draw(st.sampled_from(values))
    lines = [f"{amount:g} lb {NAMES[fruit]}" for amount, fruit in zip(amounts, fruits, strict=True)]
    return lines + (["1/4 cup bottled lemon juice"] if draw(st.integers(0, 4)) == 0 else []), options


def number(draw: random.Random, low: float, high: float) -> float:
    return round(draw.uniform(low, high), 3)


def history(draw: random.Random) -> list[Kept]:
    """Batches of any truth or none: honest ones, ones with slips, and pure noise."""
    lies = draw.choice([0.0, 0.2, 1.0])
    batches = []
    for _ in range(draw.randint(1, 12)):
        fruit = draw.choice(FRUITS)
        lying = draw.random() < lies
        only = {
            "item": fruit, "ph": 3.5, "ph_high": number(draw, 3.6, 4.6), "batch_ph": 3.4, "batch_ph_high": number(draw, 3.5, 4.0),
            "slope": number(draw, 0.2, 1.0), "solids_percent": 12.0, "batch_solids_percent": 22.0, "spread_per_fruit": 1.3,
        }  # fmt: skip
        read = {
            "item": fruit,
            "ph": number(draw, 1.6, 7.4) if lying else number(draw, 3.0, 4.6),
            "solids_percent": number(draw, 1, 80) if lying else 12.0,
        }
        basis = {
            "jars": 6.2, "pectin_needed_g": number(draw, 5, 20), "pectin_g": number(draw, 5, 20), "calcium_mg": 300.0,
            "calcium_water_mg": 100.0, "calcium_water_ml": 30.0, "most_calcium_mg_per_g": number(draw, 10, 60),
            "only": draw.choice([only, None]), "read": draw.choice([[read], []]),
        }  # fmt: skip
        said: dict[str, Any] = {
            "ph": draw.choice([None, number(draw, 0, 14) if lying else number(draw, 3, 4)]),
            "brix": draw.choice([None, number(draw, 0, 90) if lying else number(draw, 18, 26)]),
            "found": draw.choice([None, "well", "runny", "stiff", "grainy", "weeping"]),
            "filled": jars(half_pint=draw.randint(1, 40) if lying else draw.randint(5, 7)),
        }
        if draw.random() < 0.2:
            said["used"] = (Used(line="3 tsp calcium-set pectin", item="calcium-set", role="pectin", grams=number(draw, 0.1, 90)),)
        plain = papers()
        batches.append(
            kept(
                uid=f"{draw.getrandbits(128):032x}",
                made=date(draw.choice([2016, 2024, 2026]), draw.randint(1, 12), 3),
                fruits=(FruitOf(item=fruit, grams=1279.0),),
                entries=(finish(**said),),
                papers=Papers(asked=json.dumps({KEY: basis}), answer=plain.answer, recipe=plain.recipe, screen="", figures=()),
            )
        )
    return batches


def acid_g(result: BatchResult) -> float:
    return result.acid.grams if result.acid is not None else 0.0


def hold_the_law(with_book: BatchResult, tables: BatchResult) -> None:
    assert with_book.lemon_juice.grams >= tables.lemon_juice.grams
    if tables.acid is not None:
        assert acid_g(with_book) >= acid_g(tables)
    assert with_book.acidity.ph.high >= tables.acidity.ph.high
    assert with_book.refused or not tables.refused
    if with_book.storage == "shelf":
        assert tables.storage == "shelf"
        assert with_book.process is not None
        assert tables.process is not None
        assert with_book.process.minutes >= tables.process.minutes
        assert all(mine.minutes >= theirs.minutes for mine, theirs in zip(with_book.process.by_band, tables.process.by_band, strict=True))


def answered(question: tuple[list[str], dict[str, Any]], teacher: Any) -> None:
    lines, options = question
    hold_the_law(jamcalc.batch(lines, **options, book=teacher), jamcalc.batch(lines, **options))


@HISTORIES
@given(question=questions(), seed=st.integers(0, 2**32))
def test_no_history_teaches_daring(tmp_path_factory: pytest.TempPathFactory, question: tuple[list[str], dict[str, Any]], seed: int) -> None:
    path = tmp_path_factory.mktemp("law") / "book.sqlite"
    with Book(path) as book:
        book.add(history(random.Random(seed)))
        answered(question, book)


@pytest.mark.parametrize("jars_on_hand", [["4 half-pints", "2 pints"], ["2 half-pints", "9 pints"], ["3 quarter-pints", "4 pints"]])
@pytest.mark.parametrize("factor", [0.2, 0.6, 1.5, 4.0])
@pytest.mark.parametrize("altitude", [None, 4300])
def test_jars_that_may_be_needed_keep_their_minutes(jars_on_hand: list[str], factor: float, altitude: float | None) -> None:
    """Fewer jars by the book may leave the pints out; should they be filled all the same, the time told must do for them."""
    learned = Learned(jars=Taught(value=math.log(factor), sd=0.05, next_sd=0.1, table=0.0, table_sd=0.2, batches=9, lots=0.1))
    answered((PLUMS, {"sweetener": "honey", "draws": 0, "on_hand": jars_on_hand, "altitude": altitude}), Saying(learned))


class Saying:
    """A teacher that says what it was told to."""

    def __init__(self, learned: Learned) -> None:
        self._learned = learned

    def learned(self, items: Any) -> Learned:
        return self._learned


@st.composite
def teachings(draw: st.DrawFn) -> Learned:
    """Anything at all, within what a book could ever come to say and beyond."""

    def made_up(low: float, high: float) -> Taught | None:
        if draw(st.booleans()):
            return None
        sd = draw(st.floats(0.01, 2.0))
        return Taught(
            value=draw(st.floats(low, high)), sd=sd, next_sd=1.5 * sd, table=0.0, table_sd=0.5, batches=draw(st.integers(0, 99)), lots=0.1
        )

    fruits = tuple(
        OfFruit(
            item=fruit,
            ph=made_up(1.0, 8.0),
            solids_percent=made_up(0.0, 90.0),
            highest_ph=(highest := draw(st.none() | st.floats(3.0, 40.0))),
            highest_batch=None if highest is None else 1,
        )
        for fruit in FRUITS
    )
    return Learned(jars=made_up(-1.5, 1.5), pectin=made_up(-1.5, 1.5), calcium=made_up(-1.5, 1.5), fruits=fruits)


@HISTORIES
@given(question=questions(), learned=teachings())
def test_no_teaching_whatever_teaches_daring(question: tuple[list[str], dict[str, Any]], learned: Learned) -> None:
    answered(question, Saying(learned))


def test_the_law_can_be_broken() -> None:
    """Or the tests above would test nothing: a book that took lemon juice away would be seen."""
    plain, sour = jamcalc.batch(["3 lb plums"], sweetener="honey"), jamcalc.batch(["3 lb plums"], sweetener="honey", reading="plum pH 3.2")
    with pytest.raises(AssertionError):
        hold_the_law(sour, plain)


@pytest.mark.parametrize("pounds", [0.5, 1, 3, 6])
def test_stronger_pectin_takes_no_lemon_juice_away(monkeypatch: pytest.MonkeyPatch, pounds: float) -> None:
    """Less pectin and less calcium water thin the pot less, and less juice would bring it to 4.00: the tables' dose stands all the same."""
    strong = Taught(value=0.4, sd=0.05, next_sd=0.1, table=0.0, table_sd=0.2, batches=9, lots=0.1)
    lines, options = [f"{pounds:g} lb blackberries"], {"sweetener": "honey", "draws": 0}
    teacher = Saying(Learned(pectin=strong))
    answered((lines, options), teacher)
    monkeypatch.setattr(taught, "Floor", lambda **_: NO_FLOOR)
    answered((lines, options), teacher)  # the second round is thrown away, and the tables' doses stand
    assert "pectin" not in {each.what for each in jamcalc.batch(lines, **options, book=teacher).from_book}
    monkeypatch.setattr(taught, "milder", lambda *_: False)
    with pytest.raises(AssertionError):  # without either guard the law is broken
        answered((lines, options), teacher)


@pytest.mark.parametrize("highest", [7.5, 14.0, 40.0])
def test_a_reading_that_can_be_none_is_answered_like_the_worst_that_can(highest: float) -> None:
    learned = Learned(fruits=(OfFruit(item="plum", readings=1, highest_ph=highest, highest_batch=1),))
    answer = jamcalc.batch(["3 lb plums"], sweetener="honey", book=Saying(learned))
    assert answer.storage == "cold"
    assert answer.acidity.ph.high > 4.6


def test_a_reading_above_the_table_raises_the_dose_at_once() -> None:
    mild = Learned(fruits=(OfFruit(item="plum", read_low=4.45, read_high=4.45, readings=1, highest_ph=4.55, highest_batch=1),))
    plain = jamcalc.batch(["3 lb plums"], sweetener="honey")
    raised = jamcalc.batch(["3 lb plums"], sweetener="honey", book=Saying(mild))
    assert raised.lemon_juice.grams > 1.2 * plain.lemon_juice.grams
    assert "book-high" in {each.id for each in raised.findings}
    # a reading of this lot is about this lot
    reading = "plum pH 3.5"
    read, read_taught = (jamcalc.batch(["3 lb plums"], sweetener="honey", reading=reading, book=book) for book in (None, Saying(mild)))
    assert read_taught.to_dict() == read.to_dict()
