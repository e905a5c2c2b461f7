"""From doses to measures: acid never down, powders on a scale, the rest to the nearest spoon; and what the measure holds is what counts."""

from __future__ import annotations

from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.formula import assemble, rounding
from jamcalc.formula.mixture import Doses
from jamcalc.nouns.asked import Batch, Settings
from jamcalc.reading import several
from jamcalc.words import measures

LEMON_G_PER_ML = facts.acidulant("bottled_lemon_juice").g_per_ml.typical


def batch(*texts: str, sweetener: str | None = None, **more: Any) -> Batch:
    return assemble.put_together(several.read_lines(list(texts)), Settings(draws=0, **more), sweetener=sweetener)


def doses(lemon_g: float = 0.0, *sweetener_g: float, pectin_g: float = 0.0, calcium_water_ml: float = 0.0) -> Doses:
    return Doses(lemon_g=lemon_g, sweetener_g=sweetener_g, pectin_g=pectin_g, calcium_water_ml=calcium_water_ml)


PLUMS, METRIC = batch("1 kg prepared plums"), batch("1 kg prepared plums", units="metric")


# ---------------------------------------------------------------- a powder on the scale


@pytest.mark.parametrize(
    ("needed_g", "text"),
    [
        (17.4, "17 g"),  # to the gram where that is within 3 %
        (8.7, "8.5 g"),  # else to the half: 9 g would be 3.4 % more
        (3.4, "3.5 g"),
        (3.3, "3.3 g"),  # else to the tenth: 3.5 g would be 6 % more, and 3 g 9 % less
        (1.23, "1.2 g"),
        (1.0, "1 g"),
        (0.52, "0.5 g"),  # 3.8 % less: the nearest tenth, as no step is within 3 %
        (0.02, "0.1 g"),  # what no scale shows is a tenth
        (0.0, "none"),
    ],
)
def test_a_metric_kitchen_weighs_its_pectin(needed_g: float, text: str) -> None:
    """Within 3 %: level spoons and scales are no better than that (judgement)."""
    found = rounding.measured(METRIC, doses(pectin_g=needed_g))
    assert found.pectin.text == text
    assert found.doses.pectin_g == pytest.approx(0.0 if text == "none" else float(text.removesuffix(" g")))


def test_a_powder_is_weighed_within_three_per_cent_from_two_grams_on() -> None:
    for hundredths in range(50, 2500, 7):
        needed_g = hundredths / 100.0
        found_g = rounding.measured(METRIC, doses(pectin_g=needed_g)).doses.pectin_g
        assert abs(found_g - needed_g) <= (0.03 * needed_g + 1e-9 if needed_g >= 2.0 else 0.05 + 1e-9), needed_g


def test_a_us_kitchen_counts_its_pectin_in_spoons() -> None:
    """3.0 g a level teaspoon, to the half, the quarter or the eighth within 5 %."""
    for needed_g, text in (
        (10.6, "1 tbsp + 1/2 tsp"),
        (12.6, "1 tbsp + 1 tsp"),
        (6.8, "2 1/4 tsp"),
        (6.45, "2 1/4 tsp"),
        (1.15, "1/4 tsp + 1/8 tsp"),
    ):
        found = rounding.measured(PLUMS, doses(pectin_g=needed_g))
        assert found.pectin.text == text
        assert found.doses.pectin_g == pytest.approx(found.pectin.ml / measures.TSP_ML * 3.0)
    own = rounding.measured(batch("1 kg prepared plums", pectin_g_per_tsp=2.0), doses(pectin_g=7.0))
    assert own.pectin.text == "1 tbsp + 1/2 tsp"
    assert own.doses.pectin_g == pytest.approx(7.0)


# ---------------------------------------------------------------- calcium water


def test_calcium_water_is_in_spoons_or_in_millilitres() -> None:
    us, metric = (rounding.measured(each, doses(calcium_water_ml=20.1)) for each in (PLUMS, METRIC))
    assert us.calcium_water.text == "1 tbsp + 1 tsp"
    assert us.doses.calcium_water_ml == pytest.approx(4 * measures.TSP_ML)
    assert metric.calcium_water.text == "20 mL"
    assert metric.doses.calcium_water_ml == 20.0
    for each in (PLUMS, METRIC):
        none = rounding.measured(each, doses())
        assert (none.calcium_water.text, none.doses.calcium_water_ml) == ("none", 0.0)


# ---------------------------------------------------------------- acid


@pytest.mark.parametrize("units", ["us", "metric"])
@pytest.mark.parametrize("needed_g", [0.3, 2.0, 7.7, 15.0, 31.0, 61.0, 98.0, 122.5, 400.0])
def test_acid_is_never_measured_down(units: str, needed_g: float) -> None:
    found = rounding.measured(batch("1 kg prepared plums", units=units), doses(needed_g))
    assert found.doses.lemon_g >= needed_g
    assert found.doses.lemon_g >= found.lemon.ml * LEMON_G_PER_ML - 1e-9
    assert found.lemon.ml * LEMON_G_PER_ML >= needed_g * (1.0 - 1e-9)


@pytest.mark.parametrize("units", ["us", "metric"])
def test_only_acid_for_taste_may_be_measured_down_and_only_to_its_cap(units: str) -> None:
    """At most 60 g per kg where the shelf is out of reach (common practice): a measure above that is one too many."""
    kilogram = batch("1 kg prepared bananas", units=units)
    for needed_g in (30.0, 59.3, 59.9, 60.0):
        up = rounding.measured(kilogram, doses(needed_g)).doses.lemon_g
        held = rounding.measured(kilogram, doses(needed_g), 60.0).doses.lemon_g
        assert (held == up) if up <= 60.0 else (0.95 * needed_g <= held <= 60.0), needed_g
    assert up > 60.0 or units == "metric"  # no spoons hold 60 g and no more
    # a dose that is over the cap already is the cook's own, and stays
    assert rounding.measured(kilogram, doses(80.0), 60.0).doses.lemon_g >= 80.0


# ---------------------------------------------------------------- sweeteners


@pytest.mark.parametrize("name", ["stevia extract", "monk fruit extract", "pure sucralose", "saccharin", "aspartame"])
def test_an_intense_sweetener_is_weighed_in_every_kitchen(name: str) -> None:
    """From 50 times sugar by weight a spoon of the powder is no measure (judgement): the least of these are some 150 to 250."""
    result = jamcalc.batch(["3 lb plums"], sweetener=name, draws=0)
    (sweet,) = (each for each in result.ingredients if each.role == "sweetener")
    assert sweet.measure.endswith(" g")
    assert sweet.grams < 10.0


def test_a_sweetener_by_the_cup_or_by_the_gram() -> None:
    honey = batch("1 kg prepared plums", sweetener="honey")
    found = rounding.measured(honey, doses(0.0, 170.0))
    assert found.sweeteners[0].text == "1/2 cup"
    assert found.doses.sweetener_g == (pytest.approx(339.0 / 2.0),)
    metric = rounding.measured(batch("1 kg prepared plums", sweetener="honey", units="metric"), doses(0.0, 170.4))
    assert (metric.sweeteners[0].text, metric.doses.sweetener_g) == ("170 g", (170.0,))
    few = rounding.measured(batch("1 kg prepared plums", sweetener="honey", units="metric"), doses(0.0, 7.348))
    assert (few.sweeteners[0].text, few.doses.sweetener_g) == ("7.3 g", (7.3,))


# ---------------------------------------------------------------- what is written stays


@pytest.mark.parametrize("dosed", [True, False])
def test_what_the_cook_has_written_stays_as_written(dosed: bool) -> None:
    own = batch("1 kg prepared plums", "7 tsp calcium-set pectin", "5 tsp calcium water", "1/3 cup honey", "1/4 cup bottled lemon juice")
    assert own.pectin_g is not None
    assert own.calcium_water_ml is not None
    written = doses(own.acids[0].grams, 113.0, pectin_g=own.pectin_g, calcium_water_ml=own.calcium_water_ml)
    found = rounding.measured(own, written) if dosed else rounding.as_written(own, written)
    assert [found.pectin.text, found.calcium_water.text, found.sweeteners[0].text] == ["7 tsp", "5 tsp", "1/3 cup"]
    assert found.lemon.text == "1/4 cup"
    assert found.sweeteners[0].ml == pytest.approx(measures.CUP_ML / 3)
    assert found.pectin.ml == pytest.approx(7 * measures.TSP_ML)
    assert found.calcium_water.ml == pytest.approx(5 * measures.TSP_ML)
    assert found.lemon.ml == pytest.approx(measures.CUP_ML / 4)
    assert found.doses.pectin_g == own.pectin_g
    assert found.doses.calcium_water_ml == own.calcium_water_ml
    assert found.doses.sweetener_g == (pytest.approx(113.0),)


def test_what_was_weighed_has_no_volume() -> None:
    weighed = batch("1 kg prepared plums", "100 g honey")
    for found in (rounding.measured(weighed, doses(0.0, 100.0)), rounding.as_written(weighed, doses(0.0, 100.0))):
        assert (found.sweeteners[0].text, found.sweeteners[0].ml) == ("100 g", 0.0)
    few = rounding.measured(batch("1 kg prepared plums", sweetener="stevia_extract"), doses(0.0, 0.31))
    assert (few.sweeteners[0].text, few.sweeteners[0].ml) == ("0.31 g", 0.0)
    little = rounding.measured(METRIC, doses(calcium_water_ml=0.5))
    assert (little.calcium_water.text, little.doses.calcium_water_ml) == ("0.5 mL", 0.5)


def test_what_is_not_written_is_none_where_nothing_is_dosed() -> None:
    found = rounding.as_written(PLUMS, doses())
    assert (found.lemon.text, found.pectin.text, found.calcium_water.text) == ("none", "none", "none")
    assert rounding.lemon_said(batch("1 kg plums", "1 tbsp bottled lemon juice", "20 g bottled lemon juice"), 35.2) == "35 g"
    assert rounding.lemon_said(PLUMS, 0.0) == "none"
