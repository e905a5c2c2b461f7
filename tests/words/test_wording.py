"""Words put into the order of the grammar: what is put otherwise is said, and nothing that is not on a list is dropped."""

from __future__ import annotations

import re

import pytest

from jamcalc.errors import InputError, JamcalcError, UnknownItem
from jamcalc.reading.lines import read_line
from jamcalc.reading.several import read_lines
from jamcalc.words.wording import is_amount_alone, turned, ways


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("strawberries - 2 lb", '"strawberries - 2 lb" is read as "2 lb strawberries".'),
        ("3 lb plums from the market", '"3 lb plums from the market" is read as "3 lb plums".'),
        ("1 lb currants red", '"currants red" is read as red currants.'),
        ("1 lemon juice", '"1 lemon juice" is read as "juice of 1 lemon".'),
    ],
)
def test_a_line_that_is_put_otherwise_says_so(line: str, said: str) -> None:
    assert said in [finding.text for finding in read_line(line).findings]


@pytest.mark.parametrize(
    "line",
    [
        *("3 lb plums from the moon", "3 lb plums with love", "3 lb plums and love", "plums and love 3 lb", "2 lb plums 1 lb"),
        *("3 lb 2 lb plums", "2 lb plums (3 lb pears)", "garlic plums 2 lb", "2 lb plums without sugar"),
        *("3 heaping cups sliced peaches", "1 cup water or juice"),
    ],
)
def test_what_is_not_on_a_list_is_not_dropped(line: str) -> None:
    with pytest.raises(JamcalcError):
        read_line(line)


@pytest.mark.parametrize(
    "line",
    ["3 lb plums (about 20) from the market", "lemon - juice of 1", "plums 3 lb 4 oz", "1 bag plums (2 lb)", "2 cups peaches cut up"],
)
def test_no_way_adds_a_word_that_means_a_food_or_a_number(line: str) -> None:
    numbers = re.findall(r"[0-9]+", line)
    for way in ways(line):
        assert set(re.findall(r"[0-9]+", way)) <= set(numbers)
        assert set(re.findall(r"[a-z]+", way)) - set(re.findall(r"[a-z]+", line)) <= {"of", "chopped", "pitted", "peeled"}


def test_a_name_is_turned_by_its_last_words_only() -> None:
    assert list(turned("currants red")) == ["red currants"]
    assert list(turned("lemon juice bottled")) == ["bottled lemon juice", "juice bottled lemon"]
    assert list(turned("plums")) == []


@pytest.mark.parametrize(
    ("text", "alone"), [("4 cups", True), ("1 lb 4 oz", True), (" juice of 1", True), ("4 cups plums", False), ("plums", False)]
)
def test_an_amount_alone_is_told_from_a_line(text: str, alone: bool) -> None:
    assert is_amount_alone(text) is alone


def test_plus_and_with_part_two_lines_and_no_amount() -> None:
    assert [line.item for line in read_lines(["3 lb plums + 1 cup honey"])] == ["plum", "honey"]
    assert [line.item for line in read_lines(["3 lb plums with 1 cup honey"])] == ["plum", "honey"]
    assert [line.item for line in read_lines(["1/4 cup + 1 tbsp honey"])] == ["honey"]
    assert [line.item for line in read_lines(["1 cup stevia blend with erythritol"])] == ["stevia_erythritol_blend"]
    with pytest.raises(UnknownItem):
        read_lines(["1/4 cup + 1 tbsp hony"])
    with pytest.raises(InputError, match="flesh"):
        read_lines(["2 lb nectarines (white)"])
