"""What the book may move and what it may not: `milder` clause by clause, the floor, and a fruit within what is held of it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.formula import taught
from jamcalc.formula.solver import Floor, Solved, solve
from jamcalc.nouns.asked import Batch
from jamcalc.nouns.learned import Learned, OfFruit, Taught


@cache
def batch(*lines: str, **options: Any) -> Batch:
    return jamcalc.batch(list(lines or ("3 lb plums",)), **{"sweetener": "honey", "draws": 0, **options}).batch


@cache
def solved(acid: str = "bottled_lemon_juice") -> Solved:
    plain = batch()
    return solve(replace(plain, settings=replace(plain.settings, acid=acid)))


def said(value: float, next_sd: float = 0.1) -> Taught:
    return Taught(value=value, sd=0.05, next_sd=next_sd, table=0.0, table_sd=0.2, batches=9, lots=0.1)


def plums(**known: Any) -> Learned:
    return Learned(fruits=(OfFruit(item="plum", **known),))


# ---------------------------------------------------------------- what is milder


def with_lemon(one: Solved, grams: float) -> Solved:
    return replace(one, pot=replace(one.pot, doses=replace(one.pot.doses, lemon_g=grams)))


def with_high(one: Solved, high: float) -> Solved:
    return replace(one, acidity=replace(one.acidity, ph=replace(one.acidity.ph, high=high)))


def with_minutes(one: Solved, band: int, more: int) -> Solved:
    assert one.process is not None
    rows = [replace(each, minutes=each.minutes + more * (place == band)) for place, each in enumerate(one.process.by_band)]
    return replace(one, process=replace(one.process, by_band=tuple(rows)))


def cold(one: Solved) -> Solved:
    return replace(one, process=None, verdict=replace(one.verdict, storage="cold"))


def test_an_answer_is_not_milder_than_itself() -> None:
    for one in (solved(), solved("citric_acid"), cold(solved())):
        assert not taught.milder(one, one)


def test_a_drop_less_lemon_juice_is_milder_and_a_drop_more_is_not() -> None:
    one = solved()
    grams = one.pot.doses.lemon_g
    assert grams > 0.0
    assert taught.milder(with_lemon(one, grams - 0.01), one)
    assert not taught.milder(with_lemon(one, grams + 0.01), one)


def test_less_of_another_acid_is_milder_and_so_is_none() -> None:
    one = solved("citric_acid")
    assert one.acid is not None
    for grams, milder in ((one.acid.grams - 0.01, True), (one.acid.grams + 0.01, False)):
        assert taught.milder(replace(one, acid=replace(one.acid, grams=grams)), one) == milder
    assert taught.milder(replace(one, acid=None), one)
    assert taught.milder(replace(one, acid=None), replace(one, acid=replace(one.acid, grams=0.5)))  # however little there was
    assert not taught.milder(one, replace(one, acid=None))


def test_a_hundredth_less_on_the_high_side_is_milder() -> None:
    one = solved()
    high = one.acidity.ph.high
    assert taught.milder(with_high(one, high - 0.01), one)
    assert not taught.milder(with_high(one, high + 0.01), one)


def test_a_refusal_that_is_lost_is_milder_and_a_new_one_is_not() -> None:
    one = solved()
    refused = replace(one, verdict=replace(one.verdict, refused="not like this"))
    assert taught.milder(one, refused)
    assert not taught.milder(refused, one)
    assert not taught.milder(refused, refused)


def test_the_shelf_where_it_was_cold_is_milder_and_cold_never_is() -> None:
    one = solved()
    assert one.verdict.storage == "shelf"
    assert taught.milder(one, cold(one))
    assert not taught.milder(cold(one), one)


def test_the_shelf_without_minutes_is_milder_than_anything() -> None:
    one = solved()
    untimed = replace(one, process=None)
    assert taught.milder(untimed, one)
    assert taught.milder(one, untimed)
    assert not taught.milder(cold(one), untimed)


@pytest.mark.parametrize("band", range(5))
def test_a_minute_less_in_any_band_is_milder(band: int) -> None:
    one = solved()
    assert taught.milder(with_minutes(one, band, -1), one)
    assert not taught.milder(with_minutes(one, band, 1), one)


# ---------------------------------------------------------------- the floor


def test_what_the_tables_say_is_the_floor() -> None:
    one = solved()
    floored = solve(batch(), Floor(lemon_g=one.needed.lemon_g + 20.0, high_ph=one.acidity.ph.high + 0.3))
    assert floored.needed.lemon_g >= one.needed.lemon_g + 20.0
    assert floored.acidity.ph.high == pytest.approx(one.acidity.ph.high + 0.3, abs=1e-9)
    assert floored.verdict.storage == "cold"  # what is reported is what is decided on
    idle = solve(batch(), Floor(lemon_g=1.0, high_ph=2.0))
    assert (idle.needed.lemon_g, idle.acidity) == (one.needed.lemon_g, one.acidity)


@pytest.mark.parametrize("thrown_away", range(4))
def test_a_round_that_is_thrown_away_takes_something_of_the_book_with_it(thrown_away: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """First the sweetness and the strengths, then the raised high end, at last the jars too: then it is the answer of the tables."""
    verdicts = iter([True] * thrown_away + [False])
    monkeypatch.setattr(taught, "milder", lambda *_: next(verdicts))
    known = plums(solids_percent=said(20.0), highest_ph=facts.fruit("plum").ph.high + 0.2)
    found = both(replace(known, pectin=said(0.3), calcium=said(0.3), jars=said(-0.3)))
    answer, tables = found.answer, found.tables
    assert (answer.pot.solids_percent > tables.pot.solids_percent + 2.0) == (thrown_away == 0)
    assert (answer.gel_set.pectin_percent < 0.9 * tables.gel_set.pectin_percent) == (thrown_away == 0)
    assert (answer.needed.lemon_g > tables.needed.lemon_g + 5.0) == (thrown_away < 2)
    assert (answer.yield_.jars.expected < 0.9 * tables.yield_.jars.expected) == (thrown_away < 3)


# ---------------------------------------------------------------- her fruit


def both(learned: Learned, **options: Any) -> taught.BothWays:
    return taught.solve_both_ways(replace(batch(**options), learned=learned))


def test_a_high_end_is_raised_and_never_lowered() -> None:
    """A plum read at 4.3 counts as one that may be so again; one read at 3.5 leaves the table's high end where it is."""
    held = facts.fruit("plum").ph
    mild, sour = both(plums(highest_ph=held.high + 0.2)), both(plums(highest_ph=held.low))
    assert mild.answer.needed.lemon_g > mild.tables.needed.lemon_g + 5.0
    assert sour.answer.pot.doses.lemon_g == sour.tables.pot.doses.lemon_g
    assert sour.answer.acidity.ph.high == sour.tables.acidity.ph.high
    for highest in (7.5, 9.0):  # what lies beyond all that can be read is taken to be the most that can
        assert both(plums(highest_ph=highest)).answer.acidity.ph.high == both(plums(highest_ph=7.5)).answer.acidity.ph.high


@pytest.mark.parametrize("reading", ["plum pH 3.5", "plum TA 1.2", None])
def test_a_ph_that_was_read_of_this_lot_stands_before_the_book_and_an_acidity_does_not(reading: str | None) -> None:
    found = both(plums(highest_ph=facts.fruit("plum").ph.high + 0.2), reading=reading)
    raised = found.answer.acidity.ph_before_lemon.high > found.tables.acidity.ph_before_lemon.high + 0.1
    assert raised == (reading != "plum pH 3.5")


@pytest.mark.parametrize(("ph", "shown"), [(None, None), (3.45, 3.45), (1.0, "low"), (6.0, "high")])
def test_a_likely_ph_is_shown_within_what_is_held_of_the_fruit(ph: float | None, shown: Any) -> None:
    """Before the lemon juice plums alone are at the pH of her lots, or at the end of the table's range; it decides nothing."""
    held = facts.fruit("plum").ph
    found = both(Learned() if ph is None else plums(ph=said(ph)))
    middle = held.typical if shown is None else getattr(held, shown) if isinstance(shown, str) else shown
    now = found.answer.acidity
    assert now.ph_before_lemon.typical == pytest.approx(middle, abs=0.05)  # the honey's water and ash are in the pot
    assert (now.ph.high, now.ph_before_lemon.high) == (found.tables.acidity.ph.high, found.tables.acidity.ph_before_lemon.high)
    assert found.answer.pot.doses.lemon_g == found.tables.pot.doses.lemon_g
    for each in (now.ph, now.ph_before_lemon):
        assert each.low <= each.typical <= each.high
        assert round(each.typical, 2) == each.typical  # no meter tells more
    read = both(plums(ph=said(2.9)), reading="batch pH 3.7").answer.acidity
    assert read.ph.typical == 3.7  # a meter on this batch stands before the book


@pytest.mark.parametrize(("reading", "likely"), [(None, 3.1), ("plum TA 1.2", 3.1), ("plum Brix 12", 3.1), ("plum pH 3.6", 3.6)])
def test_only_a_ph_of_this_lot_stands_before_the_likely_one(reading: str | None, likely: float) -> None:
    now = both(plums(ph=said(3.1)), reading=reading).answer.acidity.ph_before_lemon
    assert now.typical == pytest.approx(likely, abs=0.05)  # the honey's water and ash are in the pot


def test_the_low_end_stays_unless_the_likely_ph_is_lower_still() -> None:
    held = facts.fruit("plum").ph
    for ph in (held.low, held.typical, held.high):
        found = both(plums(ph=said(ph)))
        for now, before in zip(*((each.acidity.ph, each.acidity.ph_before_lemon) for each in (found.answer, found.tables)), strict=True):
            assert now.low == min(before.low, now.typical)
            assert now.low < now.typical or ph == held.low


def test_a_likely_ph_under_the_drawn_low_end_is_the_low_end() -> None:
    """Of a range that is drawn few come out at its very end: lots that are all there lie below what is said of any lot."""
    lowest = facts.fruit("plum").ph.low
    drawn = both(Learned(), draws=400).answer.acidity.ph_before_lemon
    now = both(plums(ph=said(lowest)), draws=400).answer.acidity.ph_before_lemon
    assert drawn.low > now.typical
    assert now.low == now.typical == pytest.approx(lowest, abs=0.05)


@pytest.mark.parametrize("key", ["plum", "date"])  # twice the sugar of a date would be more than all of it
@pytest.mark.parametrize("value", [0.0, 12.0, 99.0])
@pytest.mark.parametrize("next_sd", [0.1, 2.0, 50.0])
def test_dissolved_solids_are_learned_within_what_is_not_odd(key: str, value: float, next_sd: float) -> None:
    """Half the table's low end to twice its high one (judgement), and no more than the fruit has room for beside its fiber."""
    fruit = facts.fruit(key)
    held, known = fruit.soluble_solids_percent, OfFruit(item=key, solids_percent=said(value, next_sd))
    now = taught._with_solids(fruit, known).soluble_solids_percent
    least, most = held.low / 2.0, min(2.0 * held.high, 100.0 - fruit.insoluble_percent.high)
    assert least <= now.low <= now.typical <= now.high <= most
    assert now.typical == pytest.approx(min(max(value, least), most))
    spread = taught.RANGE_SD * next_sd
    assert now.low == pytest.approx(max(least, now.typical - spread))
    assert now.high == pytest.approx(min(most, now.typical + spread))


def test_a_brix_that_was_read_of_this_lot_stands_before_the_book() -> None:
    sweet = plums(solids_percent=said(20.0))
    plain, learned = both(sweet, reading="plum Brix 10"), both(sweet)
    assert plain.answer.pot.solids_percent == plain.tables.pot.solids_percent
    sour = both(sweet, reading="plum pH 3.5")  # which says nothing of its sugar
    for found in (learned, sour):
        assert found.answer.pot.solids_percent > found.tables.pot.solids_percent + 2.0


def test_the_tables_are_worked_out_without_the_book_and_without_a_draw() -> None:
    learned = replace(plums(ph=said(3.2), solids_percent=said(18.0)), pectin=said(0.3), jars=said(-0.2))
    found = both(learned, draws=400)
    assert found.tables.asked.learned == Learned()
    assert found.tables.asked.settings.draws == 0
    assert found.tables.needed == solved().needed
    assert found.answer.needed.pectin_g < found.tables.needed.pectin_g  # and the book does move what it may
