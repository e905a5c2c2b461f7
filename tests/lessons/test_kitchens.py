"""Some simulated kitchens: what the book teaches them holds. README has the table of many (tests/kitchens_simulated.py)."""

from __future__ import annotations

import statistics
from functools import cache

import kitchens_simulated
from kitchens_simulated import TOPICS, Run, simulate

SOME, BATCHES = 12, 20


@cache
def honest() -> Run:
    return simulate(SOME, BATCHES, seed=11)


def share(covered: list[bool]) -> float:
    return statistics.mean(covered)


def test_the_ranges_hold_the_truth() -> None:
    """Nine in ten are meant; of so few kitchens a tenth may be missing by chance."""
    for topic in TOPICS:
        assert 0.8 <= share(honest().topics[topic].covered) <= 1.0, topic


def test_they_narrow_and_the_jars_come_out_truer() -> None:
    assert statistics.mean(honest().topics["yield"].narrower) < 0.6
    assert statistics.mean(honest().topics["spoon"].narrower) < 0.6
    assert statistics.mean(honest().taught_off) < 0.8 * statistics.mean(honest().untaught_off)


def test_lies_do_not_break_them() -> None:
    lying = simulate(SOME, BATCHES, seed=12, lies=0.1)
    for topic in TOPICS:
        assert share(lying.topics[topic].covered) >= 0.75, topic


def test_another_pot_is_found_within_five_batches() -> None:
    assert share([each is not None for each in simulate(SOME, 21, seed=13, change=True).found_within]) > 0.8


def test_a_kitchen_as_the_tables_say_is_answered_as_they_say() -> None:
    """Within what its own batches differ by, 0.05 of the jars."""
    plain = simulate(SOME, BATCHES, seed=14, as_tables=True)
    assert statistics.mean(plain.taught_off) < statistics.mean(plain.untaught_off) + 0.05 * kitchens_simulated.BY_TABLES_JARS / 2.0


def test_readme_has_every_row() -> None:
    text = kitchens_simulated.README.read_text(encoding="utf-8").split("<!-- kitchens -->")[1].split("<!-- end -->")[0]
    made = kitchens_simulated.table(1, 17).splitlines()
    held = text.strip().splitlines()
    assert held[0].startswith(f"| of {kitchens_simulated.KITCHENS} kitchens, {kitchens_simulated.BATCHES} batches each |")
    assert [line.split(" | ")[0] for line in held[1:]] == [line.split(" | ")[0] for line in made[1:]]
