"""Roots: what the thin covers over scipy give back, against roots that are known."""

from __future__ import annotations

import numpy
import pytest

from jamcalc import facts
from jamcalc.chemistry import acidity
from jamcalc.chemistry.roots import bracketed_root, fixed_point, many_roots
from jamcalc.formula import sourness
from jamcalc.nouns.asked import Batch, FruitPart


def test_one_root_and_no_root() -> None:
    found = bracketed_root(lambda x: x**3 - 2.0, 0.0, 2.0)
    assert found.converged
    assert found.value == pytest.approx(2.0 ** (1.0 / 3.0), abs=1e-9)
    with pytest.raises(ValueError, match="sign"):
        bracketed_root(lambda x: x**2 + 1.0, 0.0, 2.0)


def test_many_roots_of_steep_and_flat_curves() -> None:
    at = numpy.linspace(1.05, 8.8, 400)
    steepness = numpy.geomspace(0.05, 50.0, 400)
    found = many_roots(lambda x, where, steep: numpy.tanh(steep * (where - x)), 1.0, 9.0, (at, steepness), tolerance=1e-6)
    assert found == pytest.approx(at, abs=1e-5)


def test_values_that_reproduce_themselves() -> None:
    found = fixed_point(lambda values: [1.0 + 0.1 * values[1], 2.0 - 0.05 * values[0] ** 2], [1.0, 1.0])
    first, second = found.values
    assert found.converged
    assert first == pytest.approx(1.0 + 0.1 * second, abs=1e-6)
    assert second == pytest.approx(2.0 - 0.05 * first**2, abs=1e-6)


def test_values_that_run_away_from_their_own_result_are_found_too() -> None:
    """Applied to itself, 3 - 2 x swings further out each time; its fixed point is 1 for all that."""
    found = fixed_point(lambda values: [3.0 - 2.0 * values[0], 0.5 * values[0]], [1.5, 0.0])
    assert found.converged
    assert found.values == pytest.approx((1.0, 0.5), abs=1e-6)
    assert found.residual < 1e-5


def test_a_function_without_such_values_is_not_said_to_settle() -> None:
    assert not fixed_point(lambda values: [values[0] + 1.0], [0.0]).converged
    assert not fixed_point(lambda values: [values[0] ** 2 + 1.0], [0.0]).converged  # to where no float reaches


@pytest.mark.parametrize("fruits", [("plum",), ("melon",), ("lemon", "pear"), ("rhubarb", "banana", "strawberry")])
def test_drawn_ph_is_the_ph_of_each_draw(fruits: tuple[str, ...]) -> None:
    parts = tuple(FruitPart(fruit=facts.fruit(key), as_bought_g=500.0, grams=500.0, form="prepared") for key in fruits)
    draw = sourness._draw(Batch(fruits=parts))
    assert draw is not None
    drawn = acidity.drawn_ph(draw.fruits, facts.fruit(fruits[0]).ph.typical)
    for place in range(0, draw.draws, 499):
        pool = acidity.AcidPool(
            acid_mol={name: float(mol[place]) for name, mol in draw.fruits.acid_mol.items()},
            strong_ion_eq=float(draw.fruits.strong_ion_eq[place]),
            water_kg=float(numpy.broadcast_to(draw.fruits.water_kg, (draw.draws,))[place]),
        )
        assert drawn[place] == pytest.approx(acidity.pool_ph(pool), abs=2e-3)
