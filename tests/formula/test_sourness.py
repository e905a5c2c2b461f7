"""What is reported of acidity: titration by hand, ranges from each fruit's own ends, and readings that no fruit has, each at its edge."""

from __future__ import annotations

from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.nouns.outcome import BatchResult


def check(*lines: str, reading: Any = None, **more: Any) -> BatchResult:
    return jamcalc.check({"title": "A jam", "ingredients": list(lines), "boil_min": 0, **more}, draws=0, reading=reading)


def is_odd(result: BatchResult) -> bool:
    odd = "reading-odd" in {finding.id for finding in result.findings}
    assert not odd or result.storage == "cold"
    return odd


# ---------------------------------------------------------------- titratable acidity, as citric


def titratable_g(*lines: str, reading: Any = None) -> float:
    result = check(*lines, reading=reading)
    return result.acidity.titratable_percent.typical / 100.0 * result.yield_.mass_g.typical


@pytest.mark.parametrize(("fruit", "g_per_equivalent"), [("raspberry", 64.04), ("lemon", 64.04), ("plum", 67.04), ("apple", 67.04)])
def test_a_measured_acidity_comes_back_as_citric_acid(fruit: str, g_per_equivalent: float) -> None:
    """Grams to an equivalent: citric 192.12 / 3 = 64.04, malic 134.09 / 2 = 67.04 (CRC Handbook of Chemistry and Physics)."""
    held = facts.fruit(fruit)
    assert held.titrated_as == {64.04: "citric", 67.04: "malic"}[g_per_equivalent]
    found_g = titratable_g(f"1 kg prepared {held.plural}", reading=f"{fruit} pH 3.2 TA 1.50")
    assert found_g == pytest.approx(15.0 * 64.04 / g_per_equivalent, rel=0.015)


def test_what_is_added_is_titrated_in_full() -> None:
    """10 g of the powder as usually sold; at pH 8.1 all but a hundredth of its last proton is gone (third pKa 6.396)."""
    powder = facts.acidulant("citric_acid").strength_percent.typical / 100.0
    added_g = titratable_g("1 kg prepared strawberries", "10 g citric acid") - titratable_g("1 kg prepared strawberries")
    assert added_g == pytest.approx(10.0 * powder, rel=0.015)


def test_the_range_is_that_of_the_fruits() -> None:
    result = check("600 g prepared strawberries", "400 g prepared raspberries")
    span, mass_g = result.acidity.titratable_percent, result.yield_.mass_g.typical
    for end in ("low", "high"):
        shift_g = sum(
            grams / 100.0 * (getattr(held, end) - held.typical)
            for grams, held in ((600.0, facts.fruit("strawberry").titratable_percent), (400.0, facts.fruit("raspberry").titratable_percent))
        )
        assert getattr(span, end) == pytest.approx(span.typical + 100.0 * shift_g / mass_g, abs=0.006)
    measured = check("1 kg prepared strawberries", reading="strawberry pH 3.4 TA 0.9").acidity.titratable_percent
    assert measured.low == measured.typical == measured.high


@pytest.mark.parametrize("fruit", ["plum", "blackberry", "pear"])
def test_the_drawn_low_end_counts_the_lemon_juice_once_it_is_in_and_not_before(fruit: str) -> None:
    """By its weight against the fruit's: half a batch with half the juice is as sour, and without the juice it is the fruit alone."""

    def drawn(grams: float, lemon_g: float) -> Any:
        lines = [f"{grams:g} g prepared {facts.fruit(fruit).plural}", *([f"{lemon_g:g} g bottled lemon juice"] if lemon_g else [])]
        return jamcalc.check({"title": "A jam", "ingredients": lines, "boil_min": 0}, draws=400).acidity

    plain, sour, half = drawn(1000, 0), drawn(1000, 80), drawn(500, 40)
    assert sour.ph_before_lemon.low == pytest.approx(plain.ph.low, abs=0.011)
    assert sour.ph.low < plain.ph.low - 0.04
    assert half.ph.low == sour.ph.low


# ---------------------------------------------------------------- readings that no fruit has (the edges are judgement)


@pytest.mark.parametrize("fruit", ["plum", "strawberry", "peach", "blueberry"])
def test_a_ph_seven_tenths_outside_what_is_known_is_odd(fruit: str) -> None:
    """A meter that was not set reads some tenths off; a slip of the point, or the wrong jar, more than that."""
    held = facts.fruit(fruit)
    for ph, odd in (
        (held.ph.low - 0.71, True), (held.ph.low - 0.69, False), (held.ph.high + 0.69, False), (held.ph.high + 0.71, True),
    ):  # fmt: skip
        assert is_odd(check(f"1 kg prepared {held.plural}", reading=f"{held.name} pH {ph:.2f}")) == odd, ph


def test_a_reading_at_the_edge_of_what_is_odd_is_not_odd() -> None:
    """More than seven tenths outside, not seven tenths (judgement)."""
    strawberry = facts.fruit("strawberry")
    assert strawberry.ph.high + 0.7 == 4.7
    assert not is_odd(check("1 kg prepared strawberries", reading="strawberry pH 4.7"))


@pytest.mark.parametrize("fruit", ["plum", "strawberry", "apricot"])
def test_an_acidity_of_under_a_third_of_the_least_is_odd(fruit: str) -> None:
    """It would be a fruit with next to no buffer, which a little lemon juice brings down on paper alone."""
    held = facts.fruit(fruit)
    third = held.titratable_percent.low / 3.0
    for percent, odd in ((third * 0.97, True), (third * 1.03, False), (held.titratable_percent.high, False)):
        assert is_odd(check(f"1 kg prepared {held.plural}", reading=f"{held.name} TA {percent:.4f}")) == odd, percent


@pytest.mark.parametrize("fruit", ["plum", "strawberry", "blueberry"])
def test_a_brix_of_over_twice_the_most_is_odd(fruit: str) -> None:
    held = facts.fruit(fruit)
    twice = 2.0 * held.soluble_solids_percent.high
    for brix, odd in ((twice * 1.01, True), (twice * 0.99, False)):
        assert is_odd(check(f"1 kg prepared {held.plural}", reading=f"{held.name} Brix {brix:.2f}")) == odd, brix


def test_a_batch_far_under_the_sourest_that_its_fruit_can_be_is_odd() -> None:
    """Fruit alone is at the least as sour as its low pH."""
    plum = facts.fruit("plum")
    for ph, odd in ((plum.ph.low - 0.72, True), (plum.ph.low - 0.68, False), (3.4, False)):
        result = check("1 kg prepared plums", reading=f"batch pH {ph:.2f}")
        assert is_odd(result) == odd, ph


def test_one_odd_reading_among_several_is_enough() -> None:
    lines = ("500 g prepared plums", "500 g prepared strawberries")
    assert not is_odd(check(*lines, reading=["plum pH 3.4", "strawberry pH 3.4"]))
    assert is_odd(check(*lines, reading=["plum pH 3.4", "strawberry pH 5.4"]))


# ---------------------------------------------------------------- a reading of the batch


def test_with_a_reading_the_acid_taken_out_again_is_worth_what_it_is_without_one() -> None:
    """Plums with 50 g of juice, read at just what was worked out: before the juice they are what was worked out too."""
    lines = ("1 kg prepared plums", "50 g bottled lemon juice")
    plain = check(*lines).acidity
    read = check(*lines, reading=f"batch pH {plain.ph.typical:.2f}").acidity
    assert read.ph_before_lemon.typical == pytest.approx(plain.ph_before_lemon.typical, abs=0.02)
    assert read.ph.high == pytest.approx(plain.ph.typical + 0.1, abs=0.006)
    assert read.ph_before_lemon.high > read.ph.high + 0.03
    assert read.ph_before_lemon.low < read.ph_before_lemon.typical - 0.05 < read.ph_before_lemon.high - 0.1
