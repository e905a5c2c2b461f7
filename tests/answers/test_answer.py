"""From what was solved to what is said: the title of an answer."""

from __future__ import annotations

import pytest

import jamcalc


@pytest.mark.parametrize(
    ("texts", "title"),
    [
        (("1 kg plums",), "Plum spread"),
        (("1 kg plums", "2 kg blackberries"), "Blackberry and plum spread"),
        (("1 kg plums", "2 kg blackberries", "3 kg apples"), "Apple, blackberry and plum spread"),
        (("1 kg plums", "1 lb plums"), "Plum spread"),
        (("3 kg plums", "1 kg Asian pears", "2 kg Concord grapes"), "Plum, Concord grape and Asian pear spread"),
    ],
)
def test_titles_name_the_fruit_by_weight(texts: tuple[str, ...], title: str) -> None:
    answer = jamcalc.batch(list(texts), draws=0)
    assert answer.title == answer.batch.title == title
    assert jamcalc.batch(list(texts), title="Mine", draws=0).title == "Mine"


@pytest.mark.parametrize("reading", [None, "plum pH 3.4", "batch pH 3.4"])
def test_the_low_end_is_called_drawn_only_where_draws_move_it(reading: str | None) -> None:
    few, many = (jamcalc.batch(["3 lb plums"], sweetener="honey", reading=reading, draws=draws) for draws in (0, 4000))
    said = next(step.how for step in many.working if step.what == "low end of pH")
    assert ("drawn" in said) == (few.acidity.ph.low != many.acidity.ph.low), said


@pytest.mark.parametrize("fruit", ["3 lb mangoes", "3 lb plums"])
def test_lemon_juice_is_called_measured_up_only_where_it_was(fruit: str) -> None:
    answer = jamcalc.batch([fruit], sweetener="honey", draws=0)
    said = next(step.value for step in answer.working if step.what == "bottled lemon juice")
    assert ("measured up" in said) == (answer.lemon_juice.grams >= answer.lemon_juice.needed_g), said
