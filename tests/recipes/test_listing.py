"""The list of recipes, read from the top of their files, says what reading them in full says."""

from __future__ import annotations

from jamcalc.reading import supplied
from jamcalc.recipes import listing, tested


def test_the_list_says_what_the_recipes_say() -> None:
    held = {each.name: each for each in listing.listed()}
    assert tuple(held) == supplied.names()
    for name, each in held.items():
        recipe = tested.shipped(name)
        assert recipe.source is not None
        assert (each.title, each.by, each.keep) == (recipe.title, recipe.source.by, recipe.keep or "shelf")
        assert each.standing == tested.standing(recipe)
