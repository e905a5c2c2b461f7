"""The order of work: what its sentences say of one jar and of several."""

from __future__ import annotations

import re

import pytest

from jamcalc.answers import order_of_work
from jamcalc.labels.doing import ROUTINE
from jamcalc.recipes.to_recipe import LASTING


@pytest.mark.parametrize(
    ("jars", "said"),
    [
        ("1 half-pint", "Wash 1 half-pint and keep it hot."),
        ("2 half-pints", "Wash 2 half-pints and keep them hot."),
        ("1 pint and 1 half-pint", "Wash 1 pint and 1 half-pint and keep them hot."),
        ("1 jar of 250 mL", "Wash 1 jar of 250 mL and keep it hot."),
    ],
)
def test_jars_to_wash(jars: str, said: str) -> None:
    assert order_of_work.washing(jars, canner=False) == said
    assert re.search(ROUTINE, said)  # left off a card
    assert any(pattern.sub(general, said).startswith(order_of_work.GENERAL_JARS) for pattern, general in LASTING)
