"""The solver reckons with the batch that it is given: with a fruit of somebody's own, not with the table's of that name."""

from __future__ import annotations

import copy
import pickle
from dataclasses import replace

import pytest

from jamcalc import facts
from jamcalc.answers.answer import answer
from jamcalc.formula.solver import Solved, solve
from jamcalc.nouns.asked import Batch, FruitPart, Settings
from jamcalc.nouns.known import Fruit

PLUM = facts.fruit("plum")


def of(*fruits: Fruit) -> Batch:
    parts = tuple(FruitPart(fruit=fruit, as_bought_g=1000.0, grams=1000.0, form="prepared") for fruit in fruits)
    return Batch(fruits=parts, settings=Settings(draws=0))


def solved(*fruits: Fruit) -> Solved:
    return solve(of(*fruits))


def sourer(key: str) -> Fruit:
    return replace(PLUM, key=key, ph=replace(PLUM.ph, low=2.9, typical=3.0, high=3.1))


@pytest.mark.parametrize("key", ["plum", "damson"])
def test_an_own_fruit_is_answered_from_its_own_figures(key: str) -> None:
    table, own = solved(PLUM), solved(sourer(key))
    assert table.pot.doses.lemon_g > 0.0
    assert own.pot.doses.lemon_g == 0.0
    assert own.acidity.ph.high < 3.3
    assert solved(PLUM).acidity == table.acidity  # nothing of it stays behind


def test_own_fruit_and_the_table_s_are_two_kinds_in_one_pot() -> None:
    both = solved(PLUM, sourer("plum"))
    assert solved(sourer("plum")).acidity.ph.high < both.acidity.ph.high


def test_an_own_fruit_is_answered_whole() -> None:
    assert answer(solved(sourer("damson")), command="batch").to_dict()["storage"] == "shelf"


@pytest.mark.parametrize(
    "held",
    [
        PLUM.acid_share,
        PLUM.nutrients,
        facts.sweetener("honey").solutes,
        facts.sweetener("white_grape_juice_concentrate").acid_share,
        facts.acidulant("bottled_lemon_juice").acid_share,
    ],
)
def test_facts_cannot_be_changed_by_whoever_reads_them(held: object) -> None:
    with pytest.raises(TypeError):
        held["malic"] = 0.0  # type: ignore[index]


def test_what_cannot_be_changed_can_be_copied() -> None:
    for copied in (copy.deepcopy(PLUM), pickle.loads(pickle.dumps(PLUM))):
        assert copied == PLUM
        with pytest.raises(TypeError):
            copied.acid_share.pop("malic")
