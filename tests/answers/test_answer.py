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
