"""The drawn range: triangles as scipy has them, tied together as riper fruit is, and a low end that one batch in twenty lies under."""

from __future__ import annotations

from typing import Any

import numpy
import pytest
from scipy import stats

import jamcalc
from jamcalc import facts
from jamcalc.chemistry import ph_range
from jamcalc.chemistry.acidity import AcidPool
from jamcalc.formula import batch_acidity
from jamcalc.nouns.known import Estimate, exactly

DRAWS = 4000
NO_POOL = AcidPool(acid_mol={}, strong_ion_eq=0.0, water_kg=0.0)


def columns(ph: Estimate, titratable: Estimate, draws: int = DRAWS, name: str = "plum") -> tuple[Any, Any]:
    """What a fruit is drawn from: pH and titratable acidity of each draw."""
    seen: list[Any] = []

    def keep(drawn_ph: Any, drawn_titratable: Any) -> AcidPool:
        seen.extend((drawn_ph, drawn_titratable))
        return NO_POOL

    ph_range.drawn(name, draws, ph, titratable, keep)
    return seen[0], seen[1]


@pytest.mark.parametrize("key", ["plum", "strawberry", "apple", "lemon", "blueberry"])
def test_each_figure_is_drawn_from_a_triangle_over_its_range(key: str) -> None:
    fruit = facts.fruit(key)
    for column, span in zip(columns(fruit.ph, fruit.titratable_percent), (fruit.ph, fruit.titratable_percent), strict=True):
        width = span.high - span.low
        triangle = stats.triang((span.typical - span.low) / width, loc=span.low, scale=width)
        for percent in (1, 5, 20, 50, 80, 95, 99):
            assert float(numpy.percentile(column, percent)) == pytest.approx(float(triangle.ppf(percent / 100.0)), abs=0.002 * width)


def test_riper_fruit_is_milder_and_holds_less_acid() -> None:
    """Tied by -0.6 (judgement) in normal scores, so nearly that in ranks: (6 / pi) asin(0.6 / 2) = 0.58."""
    fruit = facts.fruit("plum")
    tied = stats.spearmanr(*columns(fruit.ph, fruit.titratable_percent)).statistic
    assert tied == pytest.approx(-0.58, abs=0.035)


def test_what_is_known_exactly_is_not_drawn() -> None:
    fruit = facts.fruit("plum")
    ph, titratable = columns(fruit.ph, exactly(1.25))
    assert set(titratable.tolist()) == {1.25}
    assert len(set(ph.tolist())) == DRAWS


def test_two_fruits_are_drawn_apart_and_one_fruit_always_alike() -> None:
    fruit = facts.fruit("plum")
    one, again, other = (columns(fruit.ph, fruit.titratable_percent, name=name)[0] for name in ("plum", "plum", "pear"))
    assert (one == again).all()
    assert abs(stats.spearmanr(one, other).statistic) < 0.05


@pytest.mark.parametrize("key", ["plum", "strawberry", "rhubarb", "blueberry", "apple"])
def test_one_fruit_alone_is_under_its_low_end_one_time_in_twenty(key: str) -> None:
    """A fruit keeps its own pH, so the low end is the twentieth part of its triangle."""
    ph = facts.fruit(key).ph
    low = ph.low + (0.05 * (ph.high - ph.low) * (ph.typical - ph.low)) ** 0.5
    found = jamcalc.check({"title": "One", "ingredients": [f"1 kg prepared {facts.fruit(key).plural}"]}, draws=DRAWS).acidity
    assert found.ph.low == pytest.approx(low, abs=0.012)
    assert found.ph_before_lemon.low == found.ph.low


def test_lemon_juice_is_drawn_too_about_its_usual_strength() -> None:
    juice = facts.acidulant("bottled_lemon_juice").strength_percent
    fruit = AcidPool(acid_mol={"malic": numpy.full(DRAWS, 0.06)}, strong_ion_eq=0.03, water_kg=0.85)
    draw = ph_range.Draw(draws=DRAWS, fruits=fruit, juice=juice)
    lemon = batch_acidity.lemon_pool("typical").times(60.0)
    plain = draw.low_ph(NO_POOL, None, 3.6)
    strong, usual = (draw.low_ph(NO_POOL, lemon.times(times), 3.4) for times in (juice.high / juice.typical, 1.0))
    held = ph_range.Draw(draws=DRAWS, fruits=fruit, juice=exactly(juice.typical)).low_ph(NO_POOL, lemon, 3.4)
    assert strong < usual < held < plain
    assert held - usual < 0.05


def test_where_no_draw_is_near_the_typical_ph_is_shown() -> None:
    lye = AcidPool(acid_mol={"malic": numpy.full(10, 0.001)}, strong_ion_eq=1.0, water_kg=1.0)
    assert ph_range.Draw(draws=10, fruits=lye, juice=exactly(5.0)).low_ph(NO_POOL, None, 3.5) == 3.5
