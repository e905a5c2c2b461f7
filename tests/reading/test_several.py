"""Several lines in one text, parted where both sides read whole; every problem told at once."""

from __future__ import annotations

import pytest

from jamcalc.errors import InputError, JamcalcError, RecipeError
from jamcalc.reading.lines import read_line
from jamcalc.reading.several import MOST_TEXT, read_lines

PARTED = {
    "3 lb plums, 1/2 cup honey": ["3 lb plums", "1/2 cup honey"],
    "3 lb plums and 1/2 cup honey": ["3 lb plums", "1/2 cup honey"],
    "3 lb plums; 1/2 cup honey": ["3 lb plums", "1/2 cup honey"],
    "3 lb plums\n1/2 cup honey\n": ["3 lb plums", "1/2 cup honey"],
    "3 lb plums, 2 lb pears and half a cup of honey": ["3 lb plums", "2 lb pears", "half a cup of honey"],
    "3 lb plums, pitted": ["3 lb plums pitted"],
    "3 lb plums, pitted and chopped, 2 lb pears": ["3 lb plums pitted and chopped", "2 lb pears"],
    "3 lb and 4 oz plums": ["3 lb 4 oz plums"],
    "6 large peaches and juice of a lemon": ["6 large peaches", "juice of a lemon"],
    "3 lb plums,2 lb pears": ["3 lb plums", "2 lb pears"],
    "1/4 cup and 1 tbsp bottled lemon juice": ["1/4 cup + 1 tbsp bottled lemon juice"],
}


@pytest.mark.parametrize(("text", "apart"), PARTED.items())
def test_lines_are_parted_where_both_sides_read(text: str, apart: list[str]) -> None:
    read = read_lines([text])
    wanted = [read_line(each) for each in apart]
    assert [(line.role, line.item, line.form, line.amount) for line in read] == [
        (line.role, line.item, line.form, line.amount) for line in wanted
    ]


def test_unquoted_words_may_be_several_lines() -> None:
    assert [line.item for line in read_lines(["3", "lb", "plums", "and", "1/2", "cup", "honey"])] == ["plum", "honey"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2,5 kg plums", "2.5 with a point"),
        ("1,300 g plums", "comma"),
        ("2 lb plums and pears", 'how much of each? Write them apart, such as "1 lb plums" "1 lb pears"'),
        ("3 lb plums, plumz", "plums plumz"),
        (",", "comma"),
        (" and ", "does not begin"),
    ],
)
def test_what_is_not_two_lines_is_one_error(text: str, said: str) -> None:
    with pytest.raises(JamcalcError) as caught:
        read_lines([text])
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("words", [["3 lb plums; 2 lb plumz; 3 cups pears"], ["3 lb plums", "2 lb plumz", "3 cups pears"]])
def test_every_problem_is_told_at_once(words: list[str]) -> None:
    with pytest.raises(RecipeError) as caught:
        read_lines(words)
    first, second = caught.value.problems
    assert "plumz" in first
    assert "mashed pears" in second


def test_a_text_without_end_is_one_error() -> None:
    for text in ("3 lb plums, " * 100_000, "1 lb a and " * 1_000, "\n" * 1_000_000):
        with pytest.raises((InputError, JamcalcError)) as caught:
            read_lines([text])
        assert len(str(caught.value)) < 400
    assert len("3 lb plums, " * 60) < MOST_TEXT
