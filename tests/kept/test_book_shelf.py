"""What a finish means for the jars, and the dates: against the limits of 21 CFR 114.80 (4.6) and our rule (4.20), and a calendar."""

from __future__ import annotations

from datetime import date

import pytest
from book_sample import MADE, finish, jars, spread, taken, with_entries
from hypothesis import given
from hypothesis import strategies as st

from jamcalc.kept.entries import Entry, Jars, Kept
from jamcalc.kept.now import now, total
from jamcalc.kept.record import listed
from jamcalc.kept.safety import advice, marks
from jamcalc.kept.shelf import a_year_after, rows, rows_of

SAME_DAY, NEXT_DAY, LATER = MADE, date(2026, 7, 15), date(2026, 7, 20)


def ids(batch: Kept) -> list[str]:
    return [mark.id for mark in marks(batch, now(batch))]


def todo(batch: Kept, today: date) -> str:
    state = now(batch)
    return advice(batch, state, marks(batch, state), today)


# ---------------------------------------------------------------- off the shelf


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ({}, []),
        ({"ph": 4.20}, []),
        ({"ph": 4.204}, []),  # compared as it is reported, to two decimals
        ({"ph": 4.21}, ["ph-read"]),
        ({"ph": 4.61}, ["ph-read"]),
        ({"processed_min": 10.0}, []),
        ({"processed_min": 9.5}, ["minutes-under"]),
        ({"processed_min": 0.0}, ["minutes-under"]),
        ({"unsealed": jars(half_pint=1)}, ["unsealed"]),
        ({"unsealed": ()}, []),
        ({"filled": jars(half_pint=6)}, []),
        ({"filled": jars(quarter_pint=12)}, []),
        ({"filled": jars(half_pint=4, pint=1)}, ["larger-jar"]),
        ({"filled": jars(quart=1)}, ["larger-jar"]),
        ({"filled": jars(pail=1)}, ["larger-jar"]),  # a jar that is not known here
        ({"filled": jars(pint=3), "ph": 4.4, "processed_min": 5.0}, ["ph-read", "larger-jar"]),
        ({"filled": (Jars(jar="250-ml", count=7),)}, ["jar-closure"]),  # twist-off: no time is published for its lid
        ({"filled": (*jars(half_pint=3), Jars(jar="250-ml-clip", count=2))}, ["jar-closure"]),
        ({"filled": (Jars(jar="250-ml", count=7),), "processed_min": 5.0}, ["jar-closure", "minutes-under"]),
        ({"stored": "refrigerator", "ph": 4.4}, ["ph-read"]),
    ],
)
def test_what_takes_jars_off_the_shelf(said: dict[str, object], expected: list[str]) -> None:
    assert ids(with_entries(finish(**{"filled": jars(half_pint=6), **said}))) == expected


def test_jars_with_another_lid_belong_in_the_cold() -> None:
    """Canned again in the same jars they would be no better: USDA's times are for two-piece lids."""
    batch = with_entries(finish(filled=(*jars(half_pint=3), Jars(jar="250-ml", count=7))))
    assert [(row.jars.jar, bool(row.off_shelf)) for row in rows_of(batch, NEXT_DAY)] == [("half-pint", False), ("250-ml", True)]
    assert "put them in the refrigerator" in todo(batch, NEXT_DAY)
    assert "process them again" not in todo(batch, NEXT_DAY)
    assert ids(with_entries(finish(filled=(Jars(jar="250-ml", count=7),), stored="refrigerator"), storage="cold")) == []


def test_pints_answered_with_half_pints_need_their_own_minutes() -> None:
    batch = with_entries(finish(filled=jars(half_pint=3, pint=2), processed_min=12.0), minutes_pint=20)
    (mark,) = marks(batch, now(batch))
    assert (mark.id, mark.jars) == ("minutes-under", ("pint",))
    assert [(row.jars.jar, bool(row.off_shelf)) for row in rows_of(batch, NEXT_DAY)] == [("half-pint", False), ("pint", True)]


def test_a_pint_answer_serves_a_smaller_jar() -> None:
    answered = {"minutes_half_pint": None, "minutes_pint": 20, "jar": "pint"}
    assert ids(with_entries(finish(filled=jars(half_pint=6), processed_min=20.0), **answered)) == []
    assert ids(with_entries(finish(filled=jars(half_pint=6), processed_min=15.0), **answered)) == ["minutes-under"]


COLD = {"storage": "cold", "minutes_half_pint": None}


def test_a_cold_batch_is_marked_in_the_pantry_and_nowhere_else() -> None:
    for place, expected in (("pantry", ["cold-in-pantry"]), ("refrigerator", []), ("freezer", []), (None, [])):
        assert ids(with_entries(finish(filled=jars(pint=2), stored=place, ph=4.1), **COLD)) == expected
    moved = with_entries(finish(stored="pantry"), finish(stored="refrigerator"), **COLD)
    assert ids(moved) == ["cold-in-pantry"], "it stays marked"


@pytest.mark.parametrize(
    ("first", "later", "day", "expected"),
    [
        ({"ph": 4.35}, {"ph": 3.9}, NEXT_DAY, ["ph-read"]),  # the higher reading stays, whenever the lower comes
        ({"ph": 3.9}, {"ph": 4.35}, LATER, ["ph-read"]),
        ({"processed_min": 5.0}, {"processed_min": 10.0}, NEXT_DAY, []),  # processed again within the day
        ({"processed_min": 5.0}, {"processed_min": 10.0}, LATER, ["minutes-under"]),
        ({"processed_min": 10.0}, {"processed_min": 5.0}, LATER, ["minutes-under"]),
        ({"unsealed": jars(half_pint=1)}, {"unsealed": ()}, NEXT_DAY, []),
        ({"unsealed": jars(half_pint=1)}, {"unsealed": ()}, LATER, ["unsealed"]),
        ({"unsealed": ()}, {"unsealed": jars(half_pint=1)}, LATER, ["unsealed"]),
        ({"filled": jars(quart=6)}, {"filled": jars(half_pint=6)}, LATER, []),  # a jar's size is seen, and not measured
    ],
)
def test_corrections(first: dict[str, object], later: dict[str, object], day: date, expected: list[str]) -> None:
    batch = with_entries(finish(**{"filled": jars(half_pint=6), **first}), finish(day=day, **later))
    assert ids(batch) == expected


def test_what_to_do_is_said_with_both_ways_out_of_it() -> None:
    seal = with_entries(finish(filled=jars(half_pint=6), unsealed=jars(half_pint=2), stored="pantry"))
    assert todo(seal, NEXT_DAY).startswith("Within 24 hours")
    assert "process them again" in todo(seal, NEXT_DAY)
    for day in (NEXT_DAY, LATER):
        assert "discard them, do not taste" in todo(seal, day)
    sour = with_entries(finish(filled=jars(half_pint=6), ph=4.35))
    assert "process" not in todo(sour, NEXT_DAY)
    assert "about 3 weeks" in todo(sour, NEXT_DAY)
    assert "a few days only" in todo(with_entries(finish(ph=4.7)), NEXT_DAY)
    assert todo(with_entries(finish(ph=4.1)), NEXT_DAY) == ""
    cold = with_entries(finish(filled=jars(half_pint=6), ph=4.35, stored="freezer"))
    assert todo(cold, LATER) == "They are kept cold: in the refrigerator (about 3 weeks), or frozen up to a year."


# ---------------------------------------------------------------- dates

# Counted on a printed calendar: July, August and December have 31 days, June 30; 2028 is a leap year.
CALENDAR = [
    (date(2026, 7, 14), "year", date(2027, 7, 14)),
    (date(2026, 7, 14), "3 weeks", date(2026, 8, 4)),
    (date(2026, 7, 14), "3 days", date(2026, 7, 17)),
    (date(2026, 7, 14), "4 weeks", date(2026, 8, 11)),
    (date(2026, 12, 20), "3 weeks", date(2027, 1, 10)),
    (date(2026, 12, 30), "3 days", date(2027, 1, 2)),
    (date(2026, 6, 10), "3 weeks", date(2026, 7, 1)),
    (date(2028, 2, 10), "3 weeks", date(2028, 3, 2)),
    (date(2027, 2, 10), "3 weeks", date(2027, 3, 3)),
    (date(2028, 2, 29), "year", date(2029, 2, 28)),
    (date(2027, 2, 28), "year", date(2028, 2, 28)),
    (date(2028, 2, 27), "3 days", date(2028, 3, 1)),
]


@pytest.mark.parametrize(("made", "span", "last"), CALENDAR)
def test_dates_against_a_calendar(made: date, span: str, last: date) -> None:
    cold = {"3 weeks": spread(3.1, 3.4, 4.2), "3 days": spread(3.9, 4.3, 4.7), "4 weeks": spread(3.9, 4.3, 4.7)}
    changes = COLD | {"ph": cold[span], "own_weeks": 4.0 if span == "4 weeks" else None, "standing": "tested"} if span in cold else {}
    batch = with_entries(finish(day=made, filled=jars(half_pint=2)), made=made, **changes)
    for today, past in ((made, False), (last, False), (date.fromordinal(last.toordinal() + 1), True)):
        (row,) = rows_of(batch, today)
        assert (row.until, row.kind, row.past) == (last, "best by" if span == "year" else "use by", past)


def test_the_freezer_keeps_a_year_and_days_in_the_refrigerator_add_up() -> None:
    frozen = with_entries(finish(filled=jars(pint=2), stored="freezer"), **COLD)
    assert rows_of(frozen, NEXT_DAY)[0].until == date(2027, 7, 14)
    thawed = with_entries(
        finish(filled=jars(pint=2), stored="refrigerator"),  # made on 14 July
        finish(day=date(2026, 7, 24), stored="freezer"),  # after 10 days
        finish(day=date(2026, 9, 1), stored="refrigerator"),  # 11 days are left
        **COLD,
    )
    assert rows_of(thawed, date(2026, 9, 1))[0].until == date(2026, 9, 12)


def test_a_reading_over_the_wall_leaves_a_few_days_whatever_the_answer_said() -> None:
    for changes in (COLD, COLD | {"own_weeks": 4.0, "standing": "tested"}, {}):
        batch = with_entries(finish(filled=jars(pint=2), stored="refrigerator", ph=4.7), **changes)
        assert rows_of(batch, NEXT_DAY)[0].until == date(2026, 7, 17)


def test_the_day_that_it_was_made_can_be_said_later() -> None:
    batch = with_entries(finish(filled=jars(half_pint=1), made=date(2026, 7, 10)))
    assert rows_of(batch, NEXT_DAY)[0].until == date(2027, 7, 10)
    assert listed(batch, NEXT_DAY)["made"] == "2026-07-10"


def test_jars_off_the_shelf_have_the_date_of_the_cold_and_none_once_it_is_too_late() -> None:
    batch = with_entries(finish(filled=jars(half_pint=2), ph=4.4, stored="pantry"))
    (row,) = rows_of(batch, NEXT_DAY)
    assert (row.until, row.past, [mark.id for mark in row.off_shelf]) == (date(2026, 8, 4), False, ["ph-read"])
    (row,) = rows_of(batch, date(2026, 8, 5))
    assert (row.until, row.past) == (None, True)
    late = with_entries(finish(filled=jars(half_pint=2), ph=4.4, stored="pantry"), finish(day=LATER, stored="refrigerator"))
    (row,) = rows_of(late, LATER)
    assert (row.until, row.past) == (None, True), "four days in the pantry"


def test_what_is_past_or_off_the_shelf_stands_on_top_then_the_oldest() -> None:
    made = {1: date(2026, 8, 1), 2: date(2026, 7, 1), 3: date(2025, 6, 1), 4: date(2026, 8, 2)}
    said = {4: {"ph": 4.4, "stored": "pantry"}}
    batches = [
        with_entries(finish(day=day, filled=jars(half_pint=1), **said.get(number, {})), number=number, made=day)
        for number, day in made.items()
    ]
    assert [row.batch.number for row in rows(batches, date(2026, 8, 3))] == [3, 4, 2, 1]


# ---------------------------------------------------------------- jars left


def test_a_jar_that_may_do_harm_is_not_taken_off_the_list_unseen() -> None:
    start = finish(filled=jars(half_pint=3), unsealed=jars(half_pint=1))
    thrown = Entry(kind="thrown", written="2026-08-01T09:00:00Z", day=date(2026, 8, 1), jars=taken().jars)
    for gone, sealed, unsealed in (
        ([], 2, 1),
        ([taken()], 1, 1),
        ([taken(count=2)], 0, 1),
        ([taken(count=3)], 0, 0),
        ([taken(of_unsealed=True)], 2, 0),
        ([thrown], 2, 0),
        ([thrown, thrown], 1, 0),
    ):
        state = now(with_entries(start, *gone))
        assert (total(state.left), total(state.left_unsealed)) == (sealed, unsealed)


COUNTS = st.integers(0, 12)


@given(filled=COUNTS, unsealed=COUNTS, gone=st.lists(st.tuples(st.integers(1, 5), st.booleans(), st.booleans()), max_size=8))
def test_jars_are_neither_made_nor_lost(filled: int, unsealed: int, gone: list[tuple[int, bool, bool]]) -> None:
    """Against a subtraction: what is left is what was filled less what went, and never less than nothing."""
    entries = [
        Entry(
            kind="thrown" if thrown else "taken",
            written="2026-08-01T09:00:00Z",
            day=date(2026, 8, 1),
            jars=taken(count=count).jars,
            of_unsealed=bad,
        )
        for count, thrown, bad in gone
    ]
    unsealed = min(filled, unsealed)
    state = now(with_entries(finish(filled=jars(half_pint=filled), unsealed=jars(half_pint=unsealed)), *entries))
    assert state.jars_left == max(0, filled - sum(count for count, _, _ in gone))
    assert total(state.left_unsealed) <= unsealed


@given(day=st.dates(date(1900, 1, 1), date(2199, 12, 31)))
def test_a_year_is_never_longer_than_a_year(day: date) -> None:
    after = a_year_after(day)
    assert 365 <= (after - day).days <= 366
    assert (after.month, after.day) in ((day.month, day.day), (2, 28))
