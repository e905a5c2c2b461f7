"""One weight for one measure, the cook's own name of a fruit, and the altitude that a saved recipe remembers."""

from __future__ import annotations

import re
from io import StringIO
from typing import Any

import pytest
from rich.console import Console

import jamcalc
from jamcalc import api
from jamcalc.answers import order_of_work
from jamcalc.formula.solver import solve
from jamcalc.kitchen import shopping
from jamcalc.kitchen.household import Kitchen
from jamcalc.labels import card, card_text
from jamcalc.nouns.label import CardRequest
from jamcalc.nouns.outcome import BatchResult
from jamcalc.prints import wall_page
from jamcalc.reading import recipefile, recipetext
from jamcalc.recipes import to_recipe
from jamcalc.screens import answer_screen
from jamcalc.words import measures, phrases


def batch(*lines: str, **options: Any) -> BatchResult:
    return jamcalc.batch(list(lines), **{"sweetener": "honey", "draws": 0, **options})


def screen(result: BatchResult) -> str:
    console = Console(width=80, file=StringIO(), color_system=None)
    console.print(answer_screen.answer(result))
    return console.file.getvalue()  # type: ignore[attr-defined,no-any-return]


# ---------------------------------------------------------------- weights


@pytest.mark.parametrize("grams", [10.5, 10.499999999999998, 10.500000000000002, 11.5, 12.5, 13.5, 22.5, 1234.5])
def test_a_half_gram_goes_up_everywhere(grams: float) -> None:
    said = {phrases.weight(grams).replace(",", ""), measures.grams_text(grams), phrases.bought(grams, "metric") if grams < 1000 else ""}
    assert said - {""} == {f"{int(grams + 0.51)} g"}


@pytest.mark.parametrize("tsp", [3.5, 4.5, 5.5, 7.5])
def test_one_measure_of_pectin_has_one_weight(tsp: float) -> None:
    """3 1/2 tsp at 3.0 g are 10.5 g: one weight in the pot, in what to buy, on the page for the wall."""
    result = batch("3 lb apricots", f"{measures.fraction(tsp, 2)} tsp calcium-set pectin")
    weight = f"{int(3.0 * tsp + 0.51)} g"
    row = next(line for line in screen(result).splitlines() if "calcium-set pectin" in line and " g" in line)
    assert weight in row
    bought = next(line for line in shopping.to_buy(result, Kitchen(), (), fruit_on_hand=True) if line.item == "calcium-set pectin")
    assert weight in bought.needed_text
    page = wall_page.kitchen_html(result, card=card.content(result, CardRequest()))
    assert weight in page.replace("\N{NO-BREAK SPACE}", " ").replace("&nbsp;", " ")


# ---------------------------------------------------------------- names

OWN = [
    ("huckleberries", "huckleberry", "blueberries"),
    ("damsons", "damson", "plums"),
    ("olallieberries", "olallieberry", "blackberries"),
    ("cherries", "cherry", "sweet cherries"),
    ("lingonberries", "lingonberry", "cranberries"),
]


@pytest.mark.parametrize(("plural", "singular", "ours"), OWN)
def test_the_cooks_own_name_stays_and_ours_is_a_note(plural: str, singular: str, ours: str) -> None:
    result = batch(f"4 cups mashed {plural}", "1/4 cup bottled lemon juice")
    assert result.title == f"{singular} spread".capitalize()
    assert result.ingredients[0].name == plural
    made = card.content(result, CardRequest())
    printed = made.value("ingredients")
    assert plural in printed
    assert plural != ours
    assert not re.search(rf"\b{ours}\b", printed.replace(plural, ""))
    assert any(plural in note.lower() for note in made.notes)
    again = jamcalc.check(to_recipe.recipe_of(result), draws=0)
    assert again.ingredients[0].name == plural


def test_a_name_of_ours_is_ours() -> None:
    assert batch("3 lb plum").ingredients[0].name == "plums"
    assert batch("3 lb yellow peaches").ingredients[0].name == "yellow peaches"


@pytest.mark.parametrize(("one", "many"), [("huckleberry", "huckleberries"), ("peach", "peaches"), ("damson", "damsons"), ("key", "keys")])
def test_plurals(one: str, many: str) -> None:
    assert phrases.plural(one) == many


# ---------------------------------------------------------------- altitude


@pytest.mark.parametrize("altitude", ["4300 ft", "1300 m", "0 ft", "-100 ft", "9000 ft"])
def test_a_saved_recipe_remembers_the_altitude(altitude: str) -> None:
    result = batch("3 lb plums", altitude=altitude)
    text = to_recipe.file_text(result)
    saved = recipefile.from_text(text)
    again = jamcalc.check(saved, draws=0)
    assert result.process is not None
    assert again.process is not None
    assert again.process.minutes == result.process.minutes
    assert again.process.altitude_ft == pytest.approx(result.process.altitude_ft)
    assert "altitude-from-recipe" in [finding.id for finding in again.findings]
    assert f"{result.process.minutes} min" in card_text.as_text(card.content(again, CardRequest()))


def test_an_option_beats_the_file_and_scaling_keeps_it() -> None:
    saved = recipefile.from_text(to_recipe.file_text(batch("3 lb plums", altitude="4300 ft")))
    high = jamcalc.check(saved, altitude="7000 ft", draws=0)
    assert high.process is not None
    assert high.process.minutes == 25
    assert "altitude-from-recipe" not in [finding.id for finding in high.findings]
    made = api.scale_answer(saved, times=2, draws=0)
    assert made.result.process is not None
    assert made.result.process.minutes == 20
    assert recipefile.from_text(recipetext.write_text(made.recipe)).altitude_ft == pytest.approx(4300.0)
    own = api.scale_answer("strawberry-rhubarb", times=2, altitude="4300 ft", draws=0)
    assert own.recipe.altitude_ft == pytest.approx(4300.0)


def test_a_recipe_of_no_kitchen_has_none() -> None:
    assert to_recipe.recipe_of(batch("3 lb plums")).altitude_ft is None
    assert "altitude =" not in recipetext.write_text(to_recipe.recipe_of(batch("3 lb plums")))


@pytest.mark.parametrize("said", ["high", 4300, "90000 ft"])
def test_an_altitude_that_cannot_be_read_is_a_problem_of_the_file(said: Any) -> None:
    with pytest.raises(jamcalc.errors.RecipeError, match="altitude"):
        recipefile.from_mapping({"title": "x", "ingredients": ["3 lb plums"], "altitude": said})


# ---------------------------------------------------------------- juice set aside


@pytest.mark.parametrize(
    ("fruit", "said"), [("1 cup mashed plums", "1/4 cup"), ("2 cups mashed plums", "1/2 cup"), ("6 cups mashed plums", "1 cup")]
)
def test_no_more_juice_is_set_aside_than_a_quarter_of_the_mash(fruit: str, said: str) -> None:
    result = jamcalc.batch([fruit], draws=0)
    work = " ".join(task.text for task in order_of_work.in_general(solve(result.batch)))
    assert f"set {said} of its juice aside" in work
