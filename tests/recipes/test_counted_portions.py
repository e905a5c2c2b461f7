"""A count that is scaled stays a count: what it may weigh goes with it, and so does the high side of its acidity."""

from __future__ import annotations

import pytest

import jamcalc
from jamcalc.errors import InputError
from jamcalc.reading.lines import read_line
from jamcalc.reading.recipefile import from_text
from jamcalc.reading.recipetext import write_text
from jamcalc.recipes.portions import portion, together

LINES = (
    *("6 large peaches", "a dozen medium plums", "2 pints strawberries", "a peck of apples", "3 stalks rhubarb", "a peck of pears"),
    *("2 4-quart baskets strawberries", "1/2 gallon blackberries"),
)


@pytest.mark.parametrize("text", LINES)
@pytest.mark.parametrize("factor", [0.5, 1.5, 2.0, 3.0])
def test_both_ends_of_a_count_go_with_it(text: str, factor: float) -> None:
    old = read_line(text)
    new = portion(old, factor)
    for one, other in (
        (new.amount.grams, old.amount.grams),
        (new.amount.light_g, old.amount.light_g),
        (new.amount.heavy_g, old.amount.heavy_g),
    ):
        assert one is not None
        assert other is not None
        assert one == pytest.approx(other * factor, rel=0.03)
    again = read_line(new.text)  # as it is written into a file
    assert (again.amount.light_g, again.amount.heavy_g) == (new.amount.light_g, new.amount.heavy_g)
    assert together(new, 2).amount.heavy_g == pytest.approx(2 * (new.amount.heavy_g or 0.0))


def test_too_little_to_count_is_refused() -> None:
    with pytest.raises(InputError, match="weigh the fruit"):
        portion(read_line("1 large peach"), 0.05)


@pytest.mark.parametrize("times", [1.5, 2.0])
def test_a_scaled_recipe_is_as_careful_as_its_own_count_and_so_is_its_file(times: float) -> None:
    lines = ["6 large peaches", "1/4 cup bottled lemon juice", "1/2 cup sugar", "2 tsp calcium-set pectin", "2 tsp calcium water"]
    scaled = jamcalc.scale({"title": "Peach", "kind": "jam", "ingredients": lines}, times=times)
    fruit = scaled.lines[0]
    assert fruit.amount.light_g is not None
    assert fruit.amount.heavy_g is not None
    written = from_text(write_text(scaled))
    assert jamcalc.check(written, draws=0).acidity.ph.high == jamcalc.check(scaled, draws=0).acidity.ph.high
    weighed = jamcalc.check(
        {"title": "Peach", "kind": "jam", "ingredients": [fruit.strict, *(line.text for line in scaled.lines[1:])]}, draws=0
    )
    assert jamcalc.check(scaled, draws=0).acidity.ph.high > weighed.acidity.ph.high
