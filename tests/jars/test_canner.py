"""Canner loads and pots: nothing lost, nothing overfull, the largest jar decides the time."""

from __future__ import annotations

import math
import re
from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jamcalc import facts
from jamcalc.errors import NotPossible
from jamcalc.jars.canner import Load, capacity, load_findings, loads, pots_needed
from jamcalc.nouns.known import Jar
from jamcalc.words.measures import CUP_ML

MINUTES = {"half-pint": 20, "pint": 30}  # 3,001 to 6,000 ft
USUAL = {"half-pint": 12, "pint": 8}


def batch(**counts: int) -> list[tuple[Jar, int]]:
    return [(facts.jar(key.replace("_", "-")), count) for key, count in counts.items()]


@pytest.mark.parametrize(
    ("holds", "expected"),
    [
        ((), USUAL),
        ((("jar", 7),), {"half-pint": 7, "pint": 7}),
        ((("quart", 7),), {"half-pint": 7, "pint": 7}),
        ((("half-pint", 12), ("pint", 9)), {"half-pint": 12, "pint": 9}),
        ((("pint", 9),), {"half-pint": 9, "pint": 9}),
        ((("half-pint", 5),), {"half-pint": 5, "pint": 5}),
        ((("half-pint", 14),), {"half-pint": 14, "pint": 8}),
    ],
)
def test_capacity(holds: tuple[tuple[str, int], ...], expected: dict[str, int]) -> None:
    assert capacity(holds) == expected


@pytest.mark.parametrize(
    ("jars", "expected"),
    [
        ({}, []),
        ({"half_pint": 12}, [((("half-pint", 12),), 20)]),
        ({"half_pint": 13}, [((("half-pint", 12),), 20), ((("half-pint", 1),), 20)]),
        ({"half_pint": 4, "pint": 2}, [((("pint", 2), ("half-pint", 4)), 30)]),  # together, at the time of the pint
        ({"half_pint": 12, "pint": 2}, [((("pint", 2),), 30), ((("half-pint", 12),), 20)]),  # riding along would save nothing
        ({"half_pint": 8, "pint": 9}, [((("pint", 8),), 30), ((("pint", 1), ("half-pint", 8)), 30)]),
        ({"quarter_pint": 3, "half_pint": 2}, [((("half-pint", 2), ("quarter-pint", 3)), 20)]),
        ({"quarter_pint": 3, "wide_half_pint": 2}, [((("wide-half-pint", 2), ("quarter-pint", 3)), 20)]),  # the larger first
        ({"three_quarter_pint": 2}, [((("three-quarter-pint", 2),), 30)]),
    ],
)
def test_loads(jars: dict[str, int], expected: list[tuple[tuple[tuple[str, int], ...], int]]) -> None:
    assert [(load.jars, load.minutes) for load in loads(batch(**jars), MINUTES, USUAL)] == expected


@given(
    half_pints=st.integers(min_value=0, max_value=60), pints=st.integers(min_value=0, max_value=40),
    holds=st.sampled_from([USUAL, *({"half-pint": small, "pint": large} for small, large in ((7, 7), (9, 4), (14, 9), (1, 1)))]),
)  # fmt: skip
def test_every_jar_once_in_as_few_loads_as_there_can_be(half_pints: int, pints: int, holds: dict[str, int]) -> None:
    planned = loads(batch(half_pint=half_pints, pint=pints), MINUTES, holds)
    total: Counter[str] = Counter()
    for load in planned:
        jars = dict(load.jars)
        assert sum(n / holds[key] for key, n in jars.items()) <= 1 + 1e-9
        assert load.minutes == (30 if "pint" in jars else 20)
        total.update(jars)
    assert total == Counter({key: n for key, n in (("half-pint", half_pints), ("pint", pints)) if n})
    alone = math.ceil(pints / holds["pint"]) + math.ceil(half_pints / holds["half-pint"])
    assert alone - 1 <= len(planned) <= alone


def test_a_quart_has_no_time() -> None:
    with pytest.raises(NotPossible, match="quart has no published process time"):
        loads(batch(quart=1), MINUTES, USUAL)


def test_what_to_know_about_several_loads() -> None:
    assert load_findings([Load(jars=(("pint", 2),), minutes=30)], "us") == ()
    (finding,) = load_findings(loads(batch(half_pint=13), MINUTES, USUAL), "us")
    assert "2 canner loads, 20 + 20 min" in finding.text


@pytest.mark.parametrize(
    ("cups", "volume_ml", "pots", "potfuls", "holding", "ids"),
    [
        (4, 1200, (), 1, None, []),
        (8, 2400, (), 1, None, []),
        (9, 2700, (), 1, None, ["large-pot"]),
        (12, 3600, (), 1, None, ["large-pot"]),
        (12.1, 3600, (), 2, None, ["pots"]),
        (20, 6000, (), 3, None, ["pots"]),
        (6, 1800, (8.0,), 1, 1, []),  # 8 qt is 7.57 L
        (8, 2600, (8.0,), 1, 1, ["full-pot"]),
        (8, 3900, (8.0,), 2, 1, ["pots"]),  # more than half the pot
        (6, 1800, (8.0, 4.0), 1, 2, []),
        (6, 2000, (2.0, 3.0), 2, 1, ["pots", "full-pot"]),
    ],
)
def test_pots(cups: float, volume_ml: float, pots: tuple[float, ...], potfuls: int, holding: int | None, ids: list[str]) -> None:
    planned = pots_needed(cups, volume_ml, pots, calcium_set=True)
    assert (planned.potfuls, planned.pots_that_hold_one, [f.id for f in planned.findings]) == (potfuls, holding, ids)
    assert planned.mashed_cups_each * potfuls == pytest.approx(cups)


@pytest.mark.parametrize(
    ("cups", "volume_ml", "source"),
    [
        (12.1, 3600, "LM-PACKER-QUESTIONS"),
        (8, 3900, "POT-ROOM"),
        (20, 3700, "LM-PACKER-QUESTIONS"),
        (13, 12000, "POT-ROOM"),
        (13, 3900, "POT-ROOM"),  # two by either
    ],
)
def test_why_it_takes_several_pots_is_the_reason_that_asks_for_more_of_them(cups: float, volume_ml: float, source: str) -> None:
    finding = next(each for each in pots_needed(cups, volume_ml, (8.0, 4.0), calcium_set=True).findings if each.id == "pots")
    assert finding.sources == (source,)


@pytest.mark.parametrize(("pot_quarts", "full"), [(8.0, False), (7.99, True)])
def test_a_pot_that_is_a_third_full_is_not_more_than_a_third_full(pot_quarts: float, full: bool) -> None:
    third_ml = 8.0 * 4.0 * CUP_ML / 3.0
    found = [each.id for each in pots_needed(6.0, third_ml, (pot_quarts,), calcium_set=True).findings]
    assert found == (["full-pot"] if full else [])


@pytest.mark.parametrize(("cups", "potfuls"), [(12.0, 1), (16.0, 2), (24.0, 3), (24.1, 4)])
def test_parts_of_just_eight_cups_are_not_parted_again(cups: float, potfuls: int) -> None:
    assert pots_needed(cups, calcium_set=True).potfuls == potfuls
    thirds = math.fsum([cups / 3.0] * 3) * (1.0 + 1e-15)  # as conversions leave it
    assert pots_needed(thirds, calcium_set=True).potfuls == potfuls


@pytest.mark.parametrize(("calcium_set", "times"), [(True, 2.0), (False, 4.0)])
@pytest.mark.parametrize("potfuls", [1, 2, 3])
def test_a_pot_filled_to_just_its_share_holds_it(calcium_set: bool, times: float, potfuls: int) -> None:
    """Half of the pot with calcium-set pectin, a quarter with any other (docstring): at the edge it is still one that holds."""
    share_ml = 8.0 * 4.0 * CUP_ML / times
    planned = pots_needed(6.0, potfuls * share_ml, (8.0, 7.9), calcium_set=calcium_set)
    assert (planned.potfuls, planned.pots_that_hold_one) == (potfuls, 1)
    assert pots_needed(6.0, 1.001 * potfuls * share_ml, (8.0, 7.9), calcium_set=calcium_set).potfuls == potfuls + 1


def test_full_sugar_jam_foams() -> None:
    assert pots_needed(6, 2000, (8.0,), calcium_set=False).potfuls == 2
    assert pots_needed(6, 1800, (8.0,), calcium_set=False).potfuls == 1


def test_a_metric_kitchen_hears_no_cups_and_quarts() -> None:
    """Whatever there is to say of pots; 8 quarts are 7.57 L, 16 cups 3.8 L."""
    said = [
        finding.text
        for cups, volume_ml, pots in ((9, 2000, ()), (16, 4000, ()), (8, 2600, (8.0,)), (8, 3900, (8.0,)), (6, 2000, (2.0,)))
        for finding in pots_needed(cups, volume_ml, pots, calcium_set=True, units="metric").findings
    ]
    assert len(said) == 6
    assert not [text for text in said if re.search("cup|quart", text)]
    assert "Cook it as 2 equal potfuls of 950 mL mashed fruit: a pot of 7.57 L takes about 3.8 L of jam at a full boil." in said


def test_a_pot_of_one_quart_is_one_quart() -> None:
    (text,) = [each.text for each in pots_needed(3, 700, (1.0,), calcium_set=True).findings if each.id == "pots"]
    assert text == "Cook it as 2 equal potfuls of 1 1/2 cups mashed fruit: a pot of 1 quart takes about 1/2 quart of jam at a full boil."


def test_a_second_layer_is_of_half_pints_and_there_must_be_some() -> None:
    pints = Load(jars=(("pint", 8),), minutes=30)
    beside = Load(jars=(("pint", 7), ("half-pint", 1)), minutes=30)
    assert "second layer" not in load_findings((pints, pints, beside), "us")[0].text
    assert "second layer" in load_findings((pints, Load(jars=(("quarter-pint", 3),), minutes=20)), "us")[0].text
