"""The order of work: what its sentences say of one jar and of several."""

from __future__ import annotations

import pytest

from jamcalc.answers import order_of_work
from jamcalc.nouns.outcome import Task


@pytest.mark.parametrize(
    ("jars", "said"),
    [
        ({"half-pint": 1}, "Wash 1 half-pint and keep it hot."),
        ({"half-pint": 2}, "Wash 2 half-pints and keep them hot."),
        ({"pint": 1, "half-pint": 1}, "Wash 1 pint and 1 half-pint and keep them hot."),
        ({"250-ml": 1}, "Wash 1 jar of 250 mL and keep it hot."),
    ],
)
def test_jars_to_wash(jars: dict[str, int], said: str) -> None:
    kinds = [kind for key, count in jars.items() for kind in order_of_work.to_heat(key, count)]
    general = f"{order_of_work.GENERAL_JARS}."
    fruit = Task(text="Wash the fruit.")
    assert order_of_work.in_these_jars([Task(text=general), fruit], kinds, "10 min") == (Task(text=said, general=general), fruit)
    (task,) = order_of_work.of_a_recipe([said], ())
    assert task.kind == "routine"  # left off a card
