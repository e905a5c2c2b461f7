"""Kitchen measures: what they say is what they hold, and a dose rounded up is never less."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jamcalc.words import measures, units

# NIST Handbook 44, Appendix C: 1 US cup = 236.5882365 mL, 1 oz = 28.349523125 g, 1 lb = 453.59237 g, all exact
CUP, LB, OZ = 236.5882365, 453.59237, 28.349523125
VOLUMES = st.floats(min_value=0.3, max_value=50_000)


@pytest.mark.parametrize(
    ("ml", "text"),
    [
        (0, "none"),
        (0.1, "1/8 tsp"),
        (CUP / 96, "1/2 tsp"),
        (CUP / 48, "1 tsp"),
        (CUP / 48 * 2.5, "2 1/2 tsp"),
        (CUP / 16, "1 tbsp"),
        (CUP / 16 * 1.5, "1 tbsp + 1 1/2 tsp"),
        (CUP / 4, "1/4 cup"),
        (60, "1/4 cup"),
        (CUP / 3, "1/3 cup"),
        (CUP * 5 / 16, "1/4 cup + 1 tbsp"),
        (CUP, "1 cup"),
        (CUP * 5.75, "5 3/4 cups"),
        (CUP * 5.8, "5 3/4 cups"),
    ],
)
def test_nearest(ml: float, text: str) -> None:
    assert measures.nearest(ml).text == text


def test_up_takes_the_measure_itself_when_it_fits() -> None:
    for ml in (CUP / 4, CUP / 3, CUP / 16, CUP / 48, CUP * 2.5):
        assert measures.up(ml).text == measures.nearest(ml).text
    assert measures.up(61.2).text == "1/4 cup + 1/2 tsp"
    assert measures.up(0).text == "none"


@settings(deadline=None, derandomize=True, max_examples=200)
@given(VOLUMES)
def test_up_is_never_less_and_little_more(ml: float) -> None:
    measure = measures.up(ml)
    assert ml <= measure.ml <= max(ml * 1.03, ml + measures.TSP_ML / 8)


@settings(deadline=None, derandomize=True, max_examples=200)
@given(VOLUMES)
def test_nearest_is_near(ml: float) -> None:
    assert abs(measures.nearest(ml).ml - ml) <= max(ml * 0.03, measures.TSP_ML / 8)


@settings(deadline=None, derandomize=True, max_examples=200)
@given(VOLUMES, st.sampled_from([measures.nearest, measures.up, measures.metric]))
def test_text_reads_back_to_the_same_volume(ml: float, measure_of: object) -> None:
    assert callable(measure_of)
    measure = measure_of(ml)
    amount, rest = units.read_amount(measure.text)
    assert rest == ""
    assert amount.ml == pytest.approx(measure.ml, rel=1e-9)
    assert measure.text.isascii()


@settings(deadline=None, derandomize=True, max_examples=200)
@given(st.floats(min_value=0.13, max_value=200))
def test_teaspoons_read_back_and_are_near(tsp: float) -> None:
    measure = measures.teaspoons(tsp)
    assert units.read_amount(measure.text)[0].ml == pytest.approx(measure.ml, rel=1e-9)
    assert abs(measure.ml / measures.TSP_ML - tsp) <= max(0.05 * tsp, 1 / 8)


@settings(deadline=None, derandomize=True, max_examples=200)
@given(VOLUMES)
def test_metric_never_less(ml: float) -> None:
    assert measures.metric(ml, never_less=True).ml >= ml * (1 - 1e-9)
    assert abs(measures.metric(ml).ml - ml) <= max(0.03 * ml, 0.1)


@pytest.mark.parametrize(
    ("tsp", "text"),
    [
        (0, "none"),
        (0.05, "1/8 tsp"),
        (2, "2 tsp"),
        (2.07, "2 tsp"),
        (4.4, "1 tbsp + 1 1/2 tsp"),
        (10.5, "3 tbsp + 1 1/2 tsp"),
        (5, "1 tbsp + 2 tsp"),
        (0.62, "1/2 tsp + 1/8 tsp"),
        (12, "1/4 cup"),
    ],
)
def test_teaspoons(tsp: float, text: str) -> None:
    assert measures.teaspoons(tsp).text == text


def test_metric() -> None:
    assert measures.metric(60.3).text == "60 mL"
    assert measures.metric(60.3, never_less=True).text == "61 mL"
    assert measures.metric(2.46).text == "2.5 mL"
    assert measures.metric(0.04).text == "0.1 mL"
    assert measures.metric(0).text == "none"


def test_fraction() -> None:
    assert [measures.fraction(x, 8) for x in (0, 0.125, 2.5, 2.49, 2.99)] == ["0", "1/8", "2 1/2", "2 1/2", "3"]


def test_cups_text() -> None:
    assert measures.cups_text(232 * 5.5, 232) == "5 1/2 cups"
    assert measures.cups_text(232, 232) == "1 cup"
    assert measures.cups_text(20, 240) == "1 tbsp + 1 tsp"


def test_grams_and_pounds() -> None:
    assert [measures.grams_text(g) for g in (1279.2, 9.97, 3.2, 3.0, 0.85, 0.999)] == ["1279 g", "10 g", "3.2 g", "3 g", "0.85 g", "1 g"]
    assert measures.pounds_text(2 * LB + 13 * OZ) == "2 lb 13 oz"
    assert measures.pounds_text(3 * LB) == "3 lb"
    assert measures.pounds_text(LB / 2) == "8 oz"
    assert measures.pounds_text(OZ * 1.75) == "1 3/4 oz"
    assert measures.pounds_text(2 * LB - 0.1) == "2 lb"


@pytest.mark.parametrize("bad", [-1.0, math.nan, math.inf])
def test_no_measure_of_nonsense(bad: float) -> None:
    for make in (measures.nearest, measures.up, measures.metric, measures.teaspoons):
        with pytest.raises(ValueError, match="not an amount"):
            make(bad)


def test_inches_to_the_eighth() -> None:
    assert [measures.inches_text(eighths * 3.175) for eighths in (0, 1, 2, 8, 9)] == ["0 in", "1/8 in", "1/4 in", "1 in", "1 1/8 in"]
    assert measures.inches_text(1.0) == "under 1/16 in"


def test_a_volume_in_what_the_cook_measures_with() -> None:
    assert measures.measured(60.0, "metric") == measures.metric(60.0)
    assert measures.measured(61.0, "us") == measures.nearest(61.0)
    assert measures.measured(61.0, "us", never_less=True) == measures.up(61.0)


SPOON = re.compile(r"(?:(?:[1-3] )?(?:1/4|1/2|3/4)|1/8|[1-2]) tsp|[1-3] tbsp|(?:\d+ )?(?:1/4|1/3|1/2|2/3|3/4) cups?|\d+ cups?")


@settings(deadline=None, derandomize=True, max_examples=300)
@given(VOLUMES, st.sampled_from([measures.nearest, measures.up, lambda ml: measures.teaspoons(ml / measures.TSP_ML)]))
def test_every_piece_of_a_measure_is_a_spoon_or_a_cup_of_a_drawer(ml: float, measure_of: Callable[[float], measures.Measure]) -> None:
    """1/8, 1/4, 1/2 and 1 tsp and the tablespoon: no 5/8, no 7/8, no 1 5/8, and never four teaspoons for want of a tablespoon."""
    for piece in measure_of(ml).text.split(" + "):
        assert SPOON.fullmatch(piece), measure_of(ml).text


def test_a_dose_of_acid_goes_up_to_a_spoon() -> None:
    for tsp, text in ((0.1, "1/8 tsp"), (0.13, "1/4 tsp"), (0.3, "1/4 tsp + 1/8 tsp"), (1.3, "1 1/4 tsp + 1/8 tsp"), (0.9, "1 tsp")):
        measure = measures.up(tsp * measures.TSP_ML)
        assert measure.text == text
        assert measure.ml == pytest.approx(units.read_amount(text)[0].ml, rel=1e-9)
