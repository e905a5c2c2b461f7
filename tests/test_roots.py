"""Roots: many at once are the roots one by one, wherever the search starts and however the curve bends."""

from __future__ import annotations

import numpy
import pytest
from scipy.optimize.elementwise import find_root

from jamcalc import acidity, facts, souring
from jamcalc.model import Batch, FruitPart
from jamcalc.roots import many_roots


@pytest.mark.parametrize("start", [1.0, 3.5, 8.9])
def test_many_roots_of_steep_and_flat_curves(start: float) -> None:
    at = numpy.linspace(1.05, 8.8, 400)
    steepness = numpy.geomspace(0.05, 50.0, 400)
    found = many_roots(lambda x: numpy.tanh(steepness * (at - x)), start, 1.0, 9.0, 400, tolerance=1e-6)
    assert found == pytest.approx(at, abs=1e-5)


def test_a_root_outside_is_given_as_the_end() -> None:
    assert many_roots(lambda x: 20.0 - x, 3.5, 1.0, 9.0, 3) == pytest.approx(numpy.full(3, 9.0), abs=2e-3)


@pytest.mark.parametrize("fruits", [("plum",), ("melon",), ("lemon", "pear"), ("rhubarb", "banana", "strawberry")])
def test_drawn_ph_is_what_scipy_finds_one_by_one(fruits: tuple[str, ...]) -> None:
    parts = tuple(FruitPart(fruit=facts.fruit(key), as_bought_g=500.0, grams=500.0, form="prepared") for key in fruits)
    draw = souring._draw(Batch(fruits=parts))
    assert draw is not None
    pool = draw.fruits
    columns = [numpy.broadcast_to(amount / pool.water_kg, (draw.draws,)) for amount in (pool.strong_ion_eq, *pool.acid_mol.values())]

    def surplus(ph: numpy.ndarray, strong_ion: numpy.ndarray, *acids: numpy.ndarray) -> numpy.ndarray:
        return acidity._Balance(dict(zip(pool.acid_mol, acids, strict=True)), strong_ion).surplus(ph)  # type: ignore[no-any-return]

    bracket = (numpy.full(draw.draws, 1.0), numpy.full(draw.draws, 9.0))
    expected = find_root(surplus, bracket, args=tuple(columns), tolerances={"xatol": 1e-6}).x
    assert acidity.drawn_ph(pool, draw.draws) == pytest.approx(expected, abs=2e-3)
