"""The recipes that come with the program: each reads, names its source, and stays what the source prints."""

from __future__ import annotations

from pathlib import Path

import pytest

from jamcalc import extras, recipefile, recipetext

NAMES = recipefile.names()
TESTED = {"peach-pineapple-spread", "refrigerated-apple-spread", "refrigerated-grape-spread"}


def test_there_are_a_dozen_and_most_are_calcium_set() -> None:
    assert len(NAMES) >= 12
    pectins = [line.item for name in NAMES for line in recipefile.read(name).lines if line.role == "pectin"]
    assert pectins.count("calcium-set") >= 8


@pytest.mark.parametrize("name", NAMES)
def test_recipe_reads_and_has_its_source(name: str) -> None:
    recipe = recipefile.read(name)
    assert recipe.name == name
    assert recipe.source is not None
    assert recipe.source.by
    assert recipe.stated_yield is not None
    assert recipe.steps
    assert recipe.standing == ("tested" if name in TESTED else "published")
    assert any(line.role == "fruit" for line in recipe.lines)


@pytest.mark.parametrize("name", NAMES)
def test_by_path_or_by_name_is_the_same(name: str) -> None:
    path = Path(recipefile.__file__).parents[1] / "recipes" / f"{name}.toml"
    if path.exists():  # a source checkout
        assert recipefile.read(path) == recipefile.read(name)


@pytest.mark.parametrize("name", NAMES)
def test_written_out_it_is_the_same_recipe(name: str) -> None:
    recipe = recipefile.read(name)
    assert recipefile.from_text(recipetext.write_text(recipe), name) == recipe


@pytest.mark.parametrize("name", NAMES)
def test_low_sugar_is_not_processed_for_five_minutes(name: str) -> None:
    recipe = recipefile.read(name)
    assert recipe.process_min is None or recipe.process_min >= 10


def test_calcium_set_pectin_comes_with_calcium_water() -> None:
    for name in NAMES:
        roles = {line.role: line.item for line in recipefile.read(name).lines}
        assert ("calcium water" in roles) == (roles.get("pectin") == "calcium-set"), name


def test_gelatin_makes_it_a_cold_recipe() -> None:
    for name in NAMES:
        recipe = recipefile.read(name)
        assert (recipe.keep == "cold") == bool(extras.unfit_extras(recipe.extras)), name


def test_the_tested_spread_is_as_the_agency_prints_it() -> None:
    """USDA Complete Guide to Home Canning, Guide 7: 4 cups pulp, 2 cups pineapple, 1/4 cup bottled lemon juice, half-pints 15 min."""
    recipe = recipefile.read("peach-pineapple-spread")
    assert [line.text for line in recipe.lines][:3] == ["4 cups mashed peaches", "2 cups mashed pineapple", "1/4 cup bottled lemon juice"]
    assert recipe.process_min == 15
    assert (recipe.stated_yield.low, recipe.stated_yield.high) == (5, 6)  # type: ignore[union-attr]
