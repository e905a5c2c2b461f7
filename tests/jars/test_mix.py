"""The jar mix against every mix there is, and its laws."""

from __future__ import annotations

import ctypes
import itertools
import os
import random
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jamcalc.jars import mix as jarmix
from jamcalc.jars.mix import JAR_IS_WORTH_ML, LARGER_FIRST_ML, MOST_NODES, Mix, Stock, best_mix, plan

# Fills at 1/4 in of common jars: US nominal sizes, the same by the bore arithmetic, and metric twist-off jars
FILLS_ML = (118.3, 236.6, 354.9, 473.2, 239.0, 479.0, 360.0, 232.0, 352.0, 298.0, 95.0)
HALF_PINT, PINT, QUARTER = (
    Stock(jar=jar, count=n, fill_ml=ml) for jar, n, ml in (("half-pint", 11, 236.6), ("pint", 5, 473.2), ("quarter-pint", 4, 118.3))
)


def cost_ml(over_ml: float, counts: Sequence[int], jars: Sequence[Stock]) -> float:
    """The objective as `best_mix` states it."""
    return over_ml + sum(
        n * (JAR_IS_WORTH_ML - LARGER_FIRST_ML * (stock.fill_ml / 1000) ** 2) for n, stock in zip(counts, jars, strict=True)
    )


def brute_force_ml(volume_ml: float, jars: Sequence[Stock]) -> float:
    best = volume_ml
    for counts in itertools.product(*(range(stock.count + 1) for stock in jars)):
        held_ml = sum(n * stock.fill_ml for n, stock in zip(counts, jars, strict=True))
        if held_ml <= volume_ml + 0.01:
            best = min(best, cost_ml(max(volume_ml - held_ml, 0), counts, jars))
    return best


def found_ml(mix: Mix, jars: Sequence[Stock]) -> float:
    counts = dict(mix.jars)
    return cost_ml(mix.over_ml, [counts.get(stock.jar, 0) for stock in jars], jars)


def stocks(chosen: random.Random) -> list[Stock]:
    kinds = chosen.sample(FILLS_ML, chosen.randint(1, 4))
    return [Stock(jar=f"jar {ml}", count=chosen.randint(0, 6), fill_ml=ml) for ml in kinds]


def test_no_mix_is_better(capfd: pytest.CaptureFixture[str]) -> None:
    chosen = random.Random(20260714)
    for _ in range(200):
        jars, volume_ml = stocks(chosen), chosen.uniform(0, 6000)
        mix = best_mix(volume_ml, jars)
        assert found_ml(mix, jars) == pytest.approx(brute_force_ml(volume_ml, jars), abs=0.02)
        assert all(n <= next(stock.count for stock in jars if stock.jar == jar) for jar, n in mix.jars)
        fills_ml = {stock.jar: stock.fill_ml for stock in jars}
        assert sum(n * fills_ml[jar] for jar, n in mix.jars) + mix.over_ml == pytest.approx(volume_ml, abs=0.011)
    if os.name == "posix":
        ctypes.CDLL(None).fflush(None)  # what the solver's own library still holds back
    assert capfd.readouterr() == ("", "")  # nothing of its own may come into a script's JSON


def test_one_more_jar_never_makes_it_worse() -> None:
    chosen = random.Random(5)
    for _ in range(60):
        jars, volume_ml = stocks(chosen), chosen.uniform(0, 5000)
        more = [*jars, Stock(jar="one more", count=1, fill_ml=chosen.choice(FILLS_ML))]
        assert found_ml(best_mix(volume_ml, more), more) <= found_ml(best_mix(volume_ml, jars), jars) + 0.02


def test_the_same_question_has_the_same_answer_in_any_order() -> None:
    wide = Stock(jar="wide half-pint", count=11, fill_ml=236.6)
    first = plan(1800, 2050, 2250, [HALF_PINT, PINT, QUARTER, wide])
    for jars in itertools.permutations([HALF_PINT, PINT, QUARTER, wide]):
        assert plan(1800, 2050, 2250, jars) == first


@pytest.mark.parametrize(
    ("volume_ml", "mix"),
    [
        (0, ()),
        (100, ()),
        (236.6, (("half-pint", 1),)),
        (5 * 236.6, (("pint", 2), ("half-pint", 1))),  # fewest jars
        (473.2 + 118.3, (("pint", 1), ("quarter-pint", 1))),  # not three quarters and a half: larger first
        (100_000, (("pint", 5), ("half-pint", 11), ("quarter-pint", 4))),
    ],
)
def test_plain_cases(volume_ml: float, mix: tuple[tuple[str, int], ...]) -> None:
    assert best_mix(volume_ml, [HALF_PINT, PINT, QUARTER]).jars == mix


def test_four_more_jars_are_not_washed_for_a_teaspoon() -> None:
    jars = [Stock(jar="wide pint", count=9, fill_ml=477), Stock(jar="half-pint", count=9, fill_ml=239)]
    assert best_mix(2000, jars).jars == (("wide pint", 4),)  # 92 mL over; eight half-pints leave 88


def stock(**fills_ml: float) -> list[Stock]:
    return [Stock(jar=jar, count=9, fill_ml=ml) for jar, ml in fills_ml.items()]


@pytest.mark.parametrize(("small_ml", "jars"), [(245.0, (("large", 1),)), (247.0, (("large", 1),)), (248.0, (("small", 2),))])
def test_one_jar_more_must_put_away_a_tablespoon_more(small_ml: float, jars: tuple[tuple[str, int], ...]) -> None:
    """15 mL (judgement). Of 500 mL one large jar leaves 20; two small ones must leave less than 5."""
    assert best_mix(500.0, stock(large=480.0, small=small_ml)).jars == jars


def test_of_mixes_that_are_alike_the_one_with_the_larger_jars_is_taken() -> None:
    for larger in range(330, 460, 10):
        assert best_mix(500.0, stock(large=larger, middle=250.0, small=500.0 - larger)).jars == (("large", 1), ("small", 1)), larger


@pytest.mark.parametrize(
    ("low_ml", "expected_ml", "high_ml", "heat"),
    [
        (240.0, 473.2, 473.2, {"pint": 1, "half-pint": 1}),  # the half-pint is for the low end alone
        (100.0, 240.0, 473.2, {"pint": 1, "half-pint": 1}),  # and here for what is expected
        (480.0, 480.0, 500.0, {"pint": 1, "half-pint": 1}),  # a last spoon at the high end: the smallest jar that is left
        (473.2, 473.2, 473.2, {"pint": 1}),
    ],
)
def test_hot_are_the_jars_of_every_end(low_ml: float, expected_ml: float, high_ml: float, heat: dict[str, int]) -> None:
    planned = plan(low_ml, expected_ml, high_ml, [replace(PINT, count=3), replace(HALF_PINT, count=2)])
    assert dict(planned.heat) == heat
    assert planned.short_ml == 0.0


def cupboard(chosen: random.Random) -> list[Stock]:
    """More kinds of jar than anyone owns, by the dozen."""
    return [Stock(jar=f"jar {n}", count=chosen.choice((1, 3, 12, 40)), fill_ml=chosen.uniform(95, 510)) for n in range(17)]


@pytest.mark.parametrize("most_nodes", [0, 1, 20])
def test_a_search_cut_short_is_no_worse_than_the_largest_jars_first_and_says_so(most_nodes: int) -> None:
    chosen = random.Random(9)
    short = 0
    for _ in range(10):
        jars, volume_ml = cupboard(chosen), chosen.uniform(1000, 40_000)
        mix = best_mix(volume_ml, jars, most_nodes)
        counts, left_ml = [], volume_ml
        for stock in sorted(jars, key=lambda each: -each.fill_ml):
            counts.append(min(stock.count, int(left_ml // stock.fill_ml)))
            left_ml -= counts[-1] * stock.fill_ml
        in_order = sorted(jars, key=lambda each: -each.fill_ml)
        assert found_ml(mix, jars) <= cost_ml(left_ml, counts, in_order) + 0.02
        assert sum(n * next(s.fill_ml for s in jars if s.jar == jar) for jar, n in mix.jars) <= volume_ml + 0.011
        short += not mix.best
    assert short > 0


def test_a_cupboard_of_seventeen_kinds_is_searched_by_a_bounded_number_of_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    """What once took half a minute; the steps are counted, so that a slow machine finds the same mix."""
    from scipy import optimize

    nodes, asked = list[int](), list[int]()
    whole = optimize.milp
    jarmix._searched.cache_clear()

    def counted(*words: Any, **options: Any) -> Any:
        asked.append(options["options"]["node_limit"])
        found = whole(*words, **options)
        nodes.append(found.mip_node_count or 0)
        return found

    monkeypatch.setattr(optimize, "milp", counted)
    chosen = random.Random(4)
    made = [plan(0.88 * ml, ml, 1.1 * ml, cupboard(chosen)) for ml in (9_000, 24_000, 60_000)]
    assert asked == 9 * [MOST_NODES]
    assert max(nodes) <= MOST_NODES + 1
    jarmix._searched.cache_clear()
    chosen = random.Random(4)
    assert [plan(0.88 * ml, ml, 1.1 * ml, cupboard(chosen)) for ml in (9_000, 24_000, 60_000)] == made

    asked.clear()
    many = plan(0.88 * 60_000, 60_000, 1.1 * 60_000, cupboard(chosen), shares=25 * [0.04])  # 25 potfuls
    assert set(asked) == {0}
    assert not many.best
    assert many.expected_mix.count > 100


def test_rounds_that_are_alike_are_searched_once(monkeypatch: pytest.MonkeyPatch) -> None:
    from scipy import optimize

    searched: list[object] = []
    whole = optimize.milp
    jarmix._searched.cache_clear()
    monkeypatch.setattr(optimize, "milp", lambda *words, **options: searched.append(1) or whole(*words, **options))
    plenty = [Stock(jar="pint", count=900, fill_ml=473.2), Stock(jar="half-pint", count=900, fill_ml=236.6)]
    made = plan(50_000, 60_000, 66_000, plenty, shares=25 * [0.04])
    assert len(searched) == 3
    assert made.best
    assert len(set(made.expected_rounds)) == 1


@pytest.mark.parametrize("cut_short", ["low_mix", "expected_mix", "high_mix"])
def test_a_plan_is_the_best_only_where_each_of_its_mixes_is(cut_short: str) -> None:
    planned = plan(900, 1000, 1100, [PINT, HALF_PINT])
    assert planned.best
    assert not replace(planned, **{cut_short: replace(planned.low_mix, best=False)}).best


def test_a_kitchen_of_a_few_kinds_is_searched_to_the_end() -> None:
    assert all(best_mix(ml, [HALF_PINT, PINT, QUARTER]).best for ml in (0, 500, 2050, 100_000))


def test_several_entries_of_one_jar_count_together() -> None:
    assert best_mix(2000, [PINT, PINT]).jars == (("pint", 4),)
    assert best_mix(5000, [PINT, PINT]).jars == (("pint", 10),)


@given(
    expected_ml=st.floats(min_value=0, max_value=20_000),
    counts=st.tuples(*[st.integers(min_value=0, max_value=12)] * 3),
)
@settings(max_examples=40, deadline=None)
def test_what_is_hot_covers_the_high_end_and_every_mix(expected_ml: float, counts: tuple[int, int, int]) -> None:
    jars = [Stock(jar=kind.jar, count=n, fill_ml=kind.fill_ml) for kind, n in zip((HALF_PINT, PINT, QUARTER), counts, strict=True)]
    planned = plan(0.88 * expected_ml, expected_ml, 1.1 * expected_ml, jars)
    hot = dict(planned.heat)
    for mix in (planned.low_mix, planned.expected_mix, planned.high_mix):
        assert all(n <= hot[jar] for jar, n in mix.jars)
    room_ml = sum(hot.get(stock.jar, 0) * stock.fill_ml for stock in jars)
    on_hand_ml = sum(stock.count * stock.fill_ml for stock in jars)
    assert planned.short_ml == pytest.approx(max(1.1 * expected_ml - on_hand_ml, 0), abs=0.02)
    assert room_ml + planned.short_ml >= 1.1 * expected_ml - 0.02
    assert planned.over_ml == planned.expected_mix.over_ml


def test_a_small_kitchen_with_nine_pounds() -> None:
    """About 4 litres against 7 half-pints and 2 pints: all jars full, the rest is named."""
    jars = [Stock(jar="half-pint", count=7, fill_ml=236.6), Stock(jar="pint", count=2, fill_ml=473.2)]
    planned = plan(3520, 4000, 4400, jars)
    assert planned.heat == planned.expected_mix.jars == (("pint", 2), ("half-pint", 7))
    assert planned.over_ml == pytest.approx(4000 - 2602.6)
    assert planned.short_ml == pytest.approx(4400 - 2602.6)


def test_no_jars_and_nonsense() -> None:
    planned = plan(900, 1000, 1100, [])
    assert planned.heat == ()
    assert planned.short_ml == 1100
    for volume_ml, jars in ((-1.0, [PINT]), (100.0, [Stock(jar="thimble", count=1, fill_ml=0)])):
        with pytest.raises(ValueError, match="not to be filled"):
            best_mix(volume_ml, jars)
