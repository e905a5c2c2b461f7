"""How long it keeps, in words: own weeks only of a tested recipe, days over the wall, and no freezing of what must not be."""

from __future__ import annotations

from typing import Any

import pytest

from jamcalc.answers.keeping import kept


@pytest.mark.parametrize(
    ("standing", "own_weeks", "freezes", "says"),
    [
        ("published", None, None, "about 3 weeks, or frozen up to a year"),
        ("tested", None, None, "about 3 weeks. "),
        ("tested", 4, False, "within 4 weeks; do not freeze it"),
        ("published", 2, None, "within 2 weeks. "),
        ("published", 9, True, "about 3 weeks, or frozen up to a year"),
        ("published", None, False, "about 3 weeks; do not freeze it"),
        ("published", None, True, "about 3 weeks, or frozen up to a year"),
    ],
)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_cold_answer_says_what_its_recipe_says(
    standing: Any, own_weeks: float | None, freezes: bool | None, says: str, units: str
) -> None:
    found = kept("cold", units=units, standing=standing, own_weeks=own_weeks, freezes=freezes)
    assert says in found
    assert "Not for the shelf." in found


@pytest.mark.parametrize(("freezes", "frozen"), [(None, True), (True, True), (False, False)])
def test_what_is_too_mild_keeps_for_days_whatever_its_recipe_says(freezes: bool | None, frozen: bool) -> None:
    found = kept("days", units="us", standing="published", own_weeks=9, freezes=freezes)
    assert "a few days only" in found
    assert ("do not freeze it" in found) == (not frozen)
