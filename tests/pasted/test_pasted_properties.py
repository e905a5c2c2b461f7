"""Laws of plain text: an answer or a line for each row, in bounded time; what is written reads back; no unlisted food stands on a shelf."""

from __future__ import annotations

import contextlib
import re
import time
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from jamcalc import api, facts
from jamcalc.errors import InputError, RecipeError
from jamcalc.pasted import reader
from jamcalc.reading import recipefile, recipetext

PLUMS = ["3 lb plums", "1/2 cup honey", "1/2 cup bottled lemon juice", "4 tsp calcium-set pectin", "4 tsp calcium water"]
ROWS = [
    "Plum jam", "Title: Jam", "Ingredients:", "Method", "Notes", "For the jam:", "", "---", *PLUMS, "2 cups chopped onions",
    "1 cinnamon stick",
    "a pinch of salt", "juice of 2 lemons", "1/4 cup brandy", "Makes 5 half-pints", "Yield: 3 pints", "Source: an aunt", "From an old book",
    "Mash the plums.", "Stir in 1 cup sugar.", "Add onions.", "Process 10 minutes.", "Water bath 5 min", "Leave 1/4 inch headspace.",
    "Boil hard 1 minute.", "Keep in the refrigerator.", "Prep time: 10 minutes", "3 fruit jam", "honey or sugar", "2 cups", "chopped",
    "1. 5 lb plums",
    "kohlrabi", "We love it.", "Serve on toast.", "6 onions", "-3 lb plums", "Onions: 2 cups", "title = 'x'", "Method: Mash (2 cups) it.",
]  # fmt: skip
ODD = st.text(alphabet=st.characters(codec="utf-8"), max_size=30) | st.sampled_from(
    ["\x00", "\x1b[31m", "\u202e", "\u200b", "\u00bd", "\u00b9/\u2082", "\ufeff", "\t", "\u00a0", "\r", "\u2028", "[/b]", "&frac12;",
    "(", ")", ":", "=", "*", "9" * 400, "'", '"', "\\"]
)  # fmt: skip
ANY_ROW = (
    st.sampled_from(ROWS) | st.builds(lambda row, odd, at: row[:at] + odd + row[at:], st.sampled_from(ROWS), ODD, st.integers(0, 30)) | ODD
)


@settings(max_examples=400, derandomize=True)
@given(st.lists(ANY_ROW, max_size=25))
def test_any_text_gives_a_recipe_or_a_line_for_each_row_that_stops_it(rows: list[str]) -> None:
    text = "\n".join(rows)
    try:
        recipe = reader.from_text(text, "my.txt")
    except RecipeError as error:
        told = error.problems
    else:
        told = []
    assert all(re.match(r"my\.txt: (row [0-9]+: )?", line) and line.isprintable() and len(line) < 500 for line in told)
    if told:
        return
    titled = replace(recipe, title=recipe.title or "Jam")
    assert recipefile.from_text(recipetext.write_text(titled), "again.toml") == titled
    assert recipe.standing in ("calculated", "published")


@settings(max_examples=60, derandomize=True)
@given(st.lists(st.sampled_from(ROWS), min_size=3, max_size=14))
def test_a_text_and_the_recipe_file_made_of_it_have_one_answer(rows: list[str]) -> None:
    try:
        recipe = replace(reader.from_text("\n".join([*PLUMS, *rows])), title="Jam")
        answer = api.check(recipe, draws=0)
    except InputError:
        return
    again = api.check(recipefile.from_text(recipetext.write_text(recipe), "again.toml"), draws=0)
    assert {**again.to_dict(), "findings": []} == {**answer.to_dict(), "findings": []}


VEGETABLES = [str(facts.table("items")["vegetable"][key][0]) for key in facts.keys("vegetable")]
UNKNOWN = ["kohlrabi", "quux", "peanuts", "mushrooms", "egg yolks"]
HIDING = [
    "Stir in the {}.", "Add 2 cups chopped {}.", "Fold in diced {} and fill the jars.", "Add the honey, the {} and the lemon juice.",
    "Add a cup of {}.",
    "Mash the plums, then add {}.", "2 cups chopped {}", "{}: 2 cups", "{}, chopped", "Add 1 lb. {}", "In a pot, combine the plums and {}.",
    "Cook the {} with the plums.", "Mix in\u00a0the\u200b {}.", "Finally stir in some {}", "ADD THE {}!", "Cook; add {}; boil.",
    "Add two cups of {}.",
]  # fmt: skip


@settings(max_examples=200, derandomize=True)
@given(
    st.sampled_from([*VEGETABLES, *UNKNOWN]), st.sampled_from(HIDING), st.sampled_from(["", "\n", "Method\n", "Directions:\n", "\nNotes\n"])
)
def test_nothing_hidden_stands_on_a_shelf(food: str, row: str, head: str) -> None:
    said = row.format(food.upper() if row.isupper() else food)
    for text in ("\n".join(["Plum jam", *PLUMS, head + said]), "\n".join(["Plum jam", said, *PLUMS]), "\n".join([said, *PLUMS])):
        try:
            answer = api.check(reader.from_text(text), draws=0)
        except InputError:
            continue
        assert answer.storage == "cold", text


@pytest.mark.parametrize(
    "text",
    [
        "Plum jam\n" + "\n".join(PLUMS) + "\nMethod\n" + ("add 1 cup of the honey and boil, " * 58 + "\n") * 30,
        "Plum jam\n" + "\n".join(PLUMS) + "\n" + "1 1/2 half a two three " * 80 + "\n",
        ("a (" * 600 + "\n") * 30,
        ("makes " * 300 + "\n") * 30,
        ("1 " * 900 + "\n") * 30,
        "\n" * 60_000,
        "- " * 30_000,
        ("process boil freeze keep in the " * 60 + "\n") * 30,
        "Plum jam\n" + "3 lb plums\n" * 900,
        ("for the " * 240 + ":\n") * 30,
    ],
    ids=range(10),
)
def test_the_work_is_bounded(text: str) -> None:
    started = time.process_time()
    with contextlib.suppress(RecipeError):
        reader.from_text(text)
    assert time.process_time() - started < 5.0
