"""Amounts in people's words, against the same in figures."""

from __future__ import annotations

import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jamcalc.words.spoken import plainly

SAID = {
    "half a cup honey": "1/2 cup honey",
    "half cup honey": "1/2 cup honey",
    "a half cup of honey": "1/2 cup of honey",
    "half-pint raspberries": "1/2 pint raspberries",
    "a quarter of a cup sugar": "1/4 cup sugar",
    "three quarters of a cup sugar": "3/4 cup sugar",
    "two thirds of a cup sugar": "2/3 cup sugar",
    "a third of a cup water": "1/3 cup water",
    "three pounds plums": "3 pounds plums",
    "a pound of plums": "1 pound of plums",
    "one and a half cups sugar": "1 1/2 cups sugar",
    "2 and a half lb plums": "2 1/2 lb plums",
    "a cup and a half of sugar": "1 1/2 cup sugar",
    "3# plums": "3 lb plums",
    "2 1/2# plums": "2 1/2 lb plums",
    "a dozen medium plums": "12 medium plums",
    "two dozen small figs": "24 small figs",
    "half a dozen large peaches": "6 large peaches",
    "1 1/2 dozen small figs": "18 small figs",
    "about 3 lb plums": "3 lb plums",
    "a couple of pounds of plums": "2 pounds of plums",
    "2 12-oz bags cranberries": "24 oz cranberries",
    "two 12 oz bags of cranberries": "24 oz cranberries",
    "2 (12 oz) bags cranberries": "24 oz cranberries",
    "1 (1.75 oz) package standard pectin": "1 3/4 oz standard pectin",
    "a 1 lb clamshell of strawberries": "1 lb strawberries",
    "1/2 of a lemon": "1/2 lemon",
    "3 lb plums": "3 lb plums",
    "plums": "plums",
    "a": "a",
    "": "",
}


@pytest.mark.parametrize(("said", "plain"), SAID.items())
def test_words_become_figures(said: str, plain: str) -> None:
    assert plainly(said) == plain
    assert plainly(said.capitalize()).lower() == plain.lower()
    assert plainly(plain) == plain, "what is plain stays"


@settings(deadline=None, derandomize=True, max_examples=300)
@given(
    st.lists(
        st.sampled_from([*"0123456789/.-#()~½", " ", "a", "and", "half", "dozen", "of", "oz", "bag", "two", "couple", "lb", "x", "about"]),
        max_size=40,
    ).map("".join)
)
def test_any_words_come_back_as_words(text: str) -> None:
    assert isinstance(plainly(" ".join(text.split())[:120]), str)


def test_it_loads_nothing_slow() -> None:
    assert "pint" not in getattr(sys.modules["jamcalc.words.spoken"], "__dict__", {})
