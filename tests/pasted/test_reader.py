"""Recipes in plain text: what each of many pasted ones holds, which row stops one, and what is written reads back the same."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from jamcalc import api
from jamcalc.errors import RecipeError
from jamcalc.nouns.written import Recipe
from jamcalc.pasted import reader
from jamcalc.reading import recipefile
from jamcalc.recipes import to_recipe

TEXTS = sorted((Path(__file__).parent / "texts").glob("*.txt"))
EXPECTED: dict[str, dict[str, Any]] = tomllib.loads((Path(__file__).parent / "expected.toml").read_text(encoding="utf-8"))
READ = [path for path in TEXTS if not path.stem.startswith("refused")]
REFUSED = [path for path in TEXTS if path.stem.startswith("refused")]
PLUMS = "3 lb plums\n1/2 cup honey\n1/2 cup bottled lemon juice\n4 tsp calcium-set pectin\n4 tsp calcium water\n"


def problems(text: str) -> list[str]:
    with pytest.raises(RecipeError) as caught:
        reader.from_text(text, "my.txt")
    return caught.value.problems


def rows(told: list[str]) -> list[int]:
    return [int(re.match(r"[^:]+: row ([0-9]+): ", line)[1]) for line in told]  # type: ignore[index]


def test_every_text_is_expected() -> None:
    assert {path.stem for path in TEXTS} == set(EXPECTED)
    assert len(TEXTS) >= 25


@pytest.mark.parametrize("path", READ, ids=lambda path: path.stem)
def test_what_a_text_holds(path: Path) -> None:
    wanted, recipe = EXPECTED[path.stem], reader.read(path)
    made = recipe.stated_yield
    assert {
        "title": recipe.title,
        "kind": recipe.kind,
        "items": [line.item for line in recipe.lines],
        "extras": list(recipe.extras),
        "by": recipe.source.by if recipe.source else "",
        "yield": [made.low, made.high, made.jar] if made else [],
        "process_min": recipe.process_min,
        "headspace_mm": recipe.headspace_mm,
        "boil_min": recipe.boil_min,
        "keep": recipe.keep,
        "steps": len(recipe.steps),
        "notes": len(recipe.notes),
    } == {
        "kind": "jam" if wanted["title"] else "spread", "extras": [], "by": "", "yield": [], "process_min": None, "headspace_mm": None,
        "boil_min": None, "keep": None, "steps": 0, "notes": 0,
        **{key: value for key, value in wanted.items() if key not in ("storage", "refused")},
    }  # fmt: skip
    answer = api.check(recipe, draws=0)
    assert answer.storage == wanted["storage"]
    assert wanted.get("refused", "") in (answer.refused or "")
    assert bool(answer.refused) == ("refused" in wanted)


@pytest.mark.parametrize("path", REFUSED, ids=lambda path: path.stem)
def test_which_row_stops_a_text(path: Path) -> None:
    with pytest.raises(RecipeError) as caught:
        reader.read(path)
    assert rows(caught.value.problems) == EXPECTED[path.stem]["rows"]
    assert EXPECTED[path.stem]["says"] in caught.value.problems[0]
    assert all(line.isprintable() and line.startswith(f"{path.name}: ") for line in caught.value.problems)


@pytest.mark.parametrize("path", READ, ids=lambda path: path.stem)
def test_a_text_written_as_a_recipe_file_gives_the_same_answer(path: Path) -> None:
    recipe = reader.read(path)
    answer = api.check(recipe, draws=0)
    text = to_recipe.as_written(recipe, answer)
    again = recipefile.from_text(text, "again.toml")
    assert again == replace(recipe, title=answer.title)
    second = api.check(again, draws=0)
    assert unread(second.to_dict()) == unread(answer.to_dict())
    assert all(f"# {note}\n" in text for note in recipe.notes)


def unread(answer: dict[str, Any]) -> dict[str, Any]:
    """An answer without what it says of the reading."""
    ids = {"text-title", "set-aside", "no-minutes", "note-kept"}
    return {**answer, "findings": [finding for finding in answer["findings"] if finding["id"] not in ids]}


# ---------------------------------------------------------------- which kind of file


@pytest.mark.parametrize(
    ("text", "is_toml"),
    [
        ('ingredients = ["3 lb plums"]', True),
        ("title = Plum jam\n3 lb plums", True),  # torn: it keeps the complaint of a recipe file
        ('title = "Plum"\ningredients = [\n"3 lb plums",\n', True),
        ("[source]\nby = me", True),
        ("a = 1\nb = 2", True),
        ("Plum jam\n3 lb plums", False),
        ("Plum jam = good\n3 lb plums\n1/2 cup honey", False),
        ("# Plum jam\n# 3 lb plums", False),
        ("[Plum jam]\n3 lb plums", False),
    ],
)
def test_the_kind_is_told_by_what_it_holds(text: str, is_toml: bool) -> None:
    assert reader.is_toml(text) == is_toml


def test_a_file_called_toml_is_toml(tmp_path: Path) -> None:
    for ending, says in ((".toml", "not TOML"), (".txt", "row 2")):
        path = tmp_path / f"plum{ending}"
        path.write_text("Plum jam\n3 lb plmus\n")
        with pytest.raises(RecipeError, match=says):
            reader.read(path)


def test_a_recipe_file_by_any_ending_is_read(tmp_path: Path) -> None:
    path = tmp_path / "plum.txt"
    path.write_text('title = "Plum"\ningredients = ["3 lb plums"]\n')
    assert reader.read(path).title == "Plum"
    assert reader.read("strawberry-rhubarb").standing == "published"


# ---------------------------------------------------------------- standing


def test_a_text_is_never_tested() -> None:
    text = f"Plum jam\nSource: an extension service, tested\nThis is a tested recipe.\n{PLUMS}"
    recipe = reader.from_text(text)
    assert recipe.standing == "published"
    assert reader.from_text(f"Plum jam\nTested recipe.\n{PLUMS}").standing == "calculated"


# ---------------------------------------------------------------- the title


@pytest.mark.parametrize(
    ("first", "title"),
    [
        ("3 fruit jam", "3 fruit jam"),
        ("2-Ingredient Plum Jam", "2-Ingredient Plum Jam"),
        ("Title: 1 lb plum jam", "1 lb plum jam"),
        ("Plum jam (makes 5 half-pints)", "Plum jam"),
        ("Plum jam - makes about 5 half pints", "Plum jam"),
        ("Plum Butter", "Plum Butter"),
        ("No-sugar plum jam", "No-sugar plum jam"),
        ("Grandma\u2019s \U0001f351 jam", "Grandma's \U0001f351 jam"),
    ],
)
def test_what_is_a_title(first: str, title: str) -> None:
    assert reader.from_text(f"{first}\n{PLUMS}").title == title


@pytest.mark.parametrize(
    "first", ["1 lb plum jam", "6 onoins", "2 cups chopped onoins", "Title: 2 cups onoins", "Onoins: 2 cups", "Onions"]
)
def test_what_may_be_an_ingredient_is_no_title(first: str) -> None:
    assert rows(problems(f"{first}\n{PLUMS}")) == [1]


def test_a_row_that_says_title_is_the_title() -> None:
    recipe = reader.from_text(f"From the kitchen of an aunt\nRecipe: Plum jam\n{PLUMS}")
    assert (recipe.title, recipe.source.by if recipe.source else "") == ("Plum jam", "the kitchen of an aunt")
    assert rows(problems(f"Title: Plum jam\nTitle: Plum spread\n{PLUMS}")) == [2]


def test_which_was_taken_is_said() -> None:
    said = {finding.id: finding.text for finding in reader.from_text(f"3 fruit jam\n{PLUMS}").taken}
    assert "taken as the title" in said["text-title"]
    assert "No title" in reader.from_text(PLUMS).taken[0].text


# ---------------------------------------------------------------- rows


@pytest.mark.parametrize("mark", ["- ", "* ", "\u2022", "\u2013 ", "\u25a2 ", "[ ] ", "1. ", "> ", "-"])
def test_bullets_and_numbers_are_no_part_of_an_ingredient(mark: str) -> None:
    rows = [f"{number}. {row}" if mark == "1. " else mark + row for number, row in enumerate(PLUMS.splitlines(), 1)]
    recipe = reader.from_text("Plum jam\n" + "\n".join(rows))
    assert [line.text for line in recipe.lines] == PLUMS.splitlines()


def test_a_single_sign_before_a_number_is_refused() -> None:
    assert rows(problems("Plum jam\n3 lb plums\n-1/2 cup honey\n1 cup sugar")) == [3]


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("Stir in the \u043enions.", "no letter of ours"),
        ("Stir in the \u202esnoino.", "control characters"),
        ("Stir in the on\u0336ions.", "no letter of ours"),
        ("\x1b[31m2 cups plums", "control characters"),
        ("1\u00b9/\u2082 cups bottled lemon juice", "no plain figure"),
        ("\u0663 cups bottled lemon juice", "no plain figure"),
        ("x" * 3000, "longer than"),
    ],
)
def test_what_shows_other_than_it_is_stops(row: str, says: str) -> None:
    told = problems(f"Plum jam\n{PLUMS}{row}\n")
    assert rows(told) == [7]
    assert says in told[0]


def test_what_is_unseen_hides_nothing() -> None:
    assert rows(problems(f"Plum jam\n{PLUMS}\nStir in the on\u200bions.")) == [8]
    assert rows(problems(f"Plum jam\n{PLUMS}\nStir in the \uff4fnions.")) == [8]


# ---------------------------------------------------------------- what is hidden


@pytest.mark.parametrize(
    "row",
    [
        "Stir in chopped onions.", "Stir in 2 cups chopped onions.", "Stir in a cup of kohlrabi.", "Fold in the diced quux.",
        "Add two cups of sugar.",
        "Add 1 cup more honey.", "Add another 2 lb plums.", "Add 5 lb plums.", "Cook, plus more fruit.",
        "Mash the plums and parsnips.", "Add 2 cups water.",
        "Cook 2 cups berries in it.", "Then 1 lb mango.", "Onions go in last.", "Add one 12-ounce bag of spinach.",
        "Serve: stir in onions first.",
        "Add carrots (2 cups).", "Carrots: 2 cups.", "Quux: 2 cups", "Put quux in the pot.", "Add 1/4 lb butter.",
        "Add a half-cup of cream.",
        "Add water until it is thin.", "Add 2 tbsp lemon juice.", "Sprinkle with 3 tablespoons cinnamon.", "Add garlic cloves.",
        "Stir in the bell pepper flakes and peppers.",
    ],
)  # fmt: skip
@pytest.mark.parametrize("head", ["", "Method\n"])
def test_what_a_step_puts_in_has_to_be_listed(row: str, head: str) -> None:
    told = problems(f"Plum jam\n{PLUMS}1/4 tsp red pepper flakes\n1/2 tsp ground cinnamon\n\n{head}{row}\n")
    assert len(told) == 1


@pytest.mark.parametrize("row", ["2 cups chopped onions", "Onions, 2 cups", "Quux: 2 cups", "I always add a zucchini.", "Plus 1 cup quux."])
def test_a_note_hides_nothing(row: str) -> None:
    assert rows(problems(f"Plum jam\n{PLUMS}\nNotes\n{row}\n")) == [9]
    assert rows(problems(f"Plum jam\nA note, to begin with.\n{row}\nIngredients\n{PLUMS}"))[:1] == [3] if row[0] != "2" else True


STEPS = (Path(__file__).parent / "steps.txt").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize("row", STEPS)
def test_what_steps_usually_say_stops_nothing(row: str) -> None:
    recipe = reader.from_text(f"Plum jam\n{PLUMS}1 tsp ground cinnamon\n1 vanilla bean, split\n\nMethod\n{row}\n")
    assert recipe.steps == (row,)


# ---------------------------------------------------------------- among the ingredients


@pytest.mark.parametrize(
    "row",
    [
        "kohlrabi, diced", "chopped onions", "3 lb plmus", "plus more fruit", "2 cups", "Onions:", "6 onoins", "2-3 lb pears",
        "1 T lemon juice",
        "honey or sugar", "1/2 cup honey or sugar", "sugar to taste", "1 cup honey, optional", "3 lb pears and", "2 lb pears, onions",
    ],
)  # fmt: skip
@pytest.mark.parametrize("last", [True, False])
def test_what_stands_among_the_ingredients_has_to_be_read(row: str, last: bool) -> None:
    text = f"Plum jam\n{PLUMS}{row}\n" if last else f"Plum jam\n{row}\n{PLUMS}".replace("\n", "\n3 lb pears\n", 1)
    assert rows(problems(text)) == [7 if last else 3]


def test_what_is_customary_is_set_aside_with_a_word() -> None:
    extras = (
        "1 tsp vanilla",
        "1 cinnamon stick, optional",
        "a pinch of salt",
        "salt to taste",
        "zest of 1 lemon",
        "1/2 tsp butter (optional)",
    )
    recipe = reader.from_text("Plum jam\n" + PLUMS + "\n".join(extras))
    assert recipe.extras == extras
    assert "1 tsp vanilla" in recipe.taken[0].text
    assert api.check(recipe, draws=0).storage == "shelf"


@pytest.mark.parametrize(
    "row", ["1/4 cup brandy", "2 tbsp grated fresh ginger", "1 cup chopped walnuts", "2 tbsp butter", "1 envelope gelatin"]
)
def test_what_is_known_and_unfit_goes_along_and_keeps_it_cold(row: str) -> None:
    recipe = reader.from_text(f"Plum jam\n{PLUMS}{row}")
    assert recipe.extras == (row,)
    answer = api.check(recipe, draws=0)
    assert answer.storage == "cold"
    assert answer.refused


# ---------------------------------------------------------------- what else is told


@pytest.mark.parametrize(
    ("row", "minutes"),
    [
        ("Process 10 minutes.", 10), ("Process in a boiling-water canner for 10 min.", 10), ("Processing time: 15 minutes", 15),
        ("Water bath for ten minutes.", 10), ("Process jars, covered by 1 inch of water, for 10 minutes, then wait 5 minutes.", 10),
        ("Process 10 minutes; add 5 minutes above 6,000 ft.", 10), ("Sterilize the jars in a boiling water bath for 10 minutes.", None),
        ("Simmer 10 minutes.", None), ("Process until done.", None), ("Then a 10 min. water bath.", 10),
        ("Cook 15 minutes, then process.", None), ("Boil 2 minutes. Process.", None),
    ],
)  # fmt: skip
def test_minutes_in_the_canner(row: str, minutes: float | None) -> None:
    assert reader.from_text(f"Plum jam\n{PLUMS}\n{row}").process_min == minutes


@pytest.mark.parametrize(
    "row", ["Process 10 to 15 minutes.", "Process for 1 hour.", "Process pints 10 minutes, half-pints 5 minutes.", "Process 900 minutes."]
)
def test_minutes_that_are_not_plain_are_asked_about(row: str) -> None:
    assert rows(problems(f"Plum jam\n{PLUMS}\n{row}")) == [8]


@pytest.mark.parametrize(
    ("row", "cold"),
    [
        ("Keep in the refrigerator for 3 weeks.", True), ("Store in the freezer up to a year.", True), ("Refrigerate.", True),
        ("Cool and freeze.", True),
        ("Refrigerate after opening.", False), ("Put a plate in the freezer.", False),
        ("Refrigerate any jars that have not sealed.", False),
        ("Let stand in the refrigerator overnight.", False), ("Process 10 minutes. Or keep in the refrigerator.", False),
    ],
)  # fmt: skip
def test_what_is_kept_cold(row: str, cold: bool) -> None:
    assert (reader.from_text(f"Plum jam\n{PLUMS}\n{row}").keep == "cold") == cold


@pytest.mark.parametrize(
    ("row", "made"),
    [
        ("Makes 5 half-pints", (5, 5, "half-pint")), ("Yield: about 5 half pint jars", (5, 5, "half-pint")),
        ("Yields 5 to 6 (8-ounce) jars", (5, 6, "half-pint")),
        ("Makes five half-pint (250 ml) jars.", (5, 5, "half-pint")), ("Yield: 4 cups", (4, 4, "half-pint")),
        ("Makes 3 pints of jam", (3, 3, "pint")),
        ("Makes 40 servings", None), ("Makes plenty", None),
    ],
)  # fmt: skip
def test_yields(row: str, made: tuple[float, float, str] | None) -> None:
    stated = reader.from_text(f"Plum jam\n{row}\n{PLUMS}").stated_yield
    assert (stated and (stated.low, stated.high, stated.jar)) == made


def test_a_yield_by_weight_is_asked_about() -> None:
    assert rows(problems(f"Plum jam\nMakes 3 lb of jam\n{PLUMS}")) == [2]


@pytest.mark.parametrize(
    ("row", "boil"),
    [
        ("Boil hard 1 minute.", 1), ("Bring to a full rolling boil for one minute, stirring.", 1), ("Boil 1 1/2 minutes.", 1.5),
        ("Boil 1 minute, add the pectin, boil 2 minutes.", None), ("Boil 5 to 10 minutes.", None),
        ("Boil the jars 10 minutes.", None), ("Put the jars in water. Boil 10 minutes.", None),
        ("Boil gently 20 minutes.", None), ("Simmer 10 minutes.", None),
    ],
)  # fmt: skip
def test_boils(row: str, boil: float | None) -> None:
    assert reader.from_text(f"Plum jam\n{PLUMS}\n{row}").boil_min == boil


@pytest.mark.parametrize(
    "row",
    ["Makes 5 half-pints with 2 cups onions", "From 2 cups chopped onions", "Process 10 minutes and stir in onions.",
     "Method (add onions): Mash.",
     "Source: my aunt, with 2 cups onions", "Notes: add a zucchini."],
)  # fmt: skip
def test_no_row_is_read_and_not_looked_at(row: str) -> None:
    assert rows(problems(f"Plum jam\n{row}\nIngredients\n{PLUMS}")) == [2]
    assert rows(problems(f"Plum jam\n{PLUMS}{row}\n")) == [7]


@pytest.mark.parametrize(
    "row",
    ["Leave out the lemon juice.", "Use water instead of lemon juice.", "The lemon juice is optional.",
     "You may halve the bottled lemon juice.",
     "No lemon juice needed.", "Lemon juice, if you like.", "Skip the lemon."],
)  # fmt: skip
def test_an_acid_that_may_be_left_out_is_asked_about(row: str) -> None:
    for head in ("", "Notes\n", "Method\n"):
        assert len(problems(f"Plum jam\n{PLUMS}\n{head}{row}\n")) == 1


@pytest.mark.parametrize(
    "row",
    [
        "Reduce the heat and add the lemon juice.",
        "Drain the plums, add the lemon juice.",
        "Without stirring, cook it; pour in the lemon juice.",
    ],
)
def test_an_acid_that_is_only_near_such_words_is_not(row: str) -> None:
    assert reader.from_text(f"Plum jam\n{PLUMS}\n{row}\n").steps == (row,)


@pytest.mark.parametrize("row", ["Use white-fleshed ones.", "I used Babcock.", "Peel the white peaches.", "White Peach Spread"])
def test_peaches_that_are_called_white_are_asked_about(row: str) -> None:
    peaches = PLUMS.replace("plums", "peaches")
    for text in (f"Peach jam\n{row}\n{peaches}", f"Peach jam\n{peaches}\nNotes\n{row}", f"{row}\n{peaches}"):
        assert len(problems(text)) == 1


def test_jars_that_the_answer_is_not_for_are_asked_about() -> None:
    assert rows(problems(f"Plum jam\n{PLUMS}\nLadle into quart jars.")) == [8]
    assert rows(problems(f"Plum jam\n{PLUMS}\nLadle into hot pint jars. Process 10 minutes.")) == [8]
    assert reader.from_text(f"Plum jam\nMakes 3 pints\n{PLUMS}\nLadle into pint jars. Process 10 minutes.").stated_yield
    assert reader.from_text(f"Freezer plum jam\n{PLUMS}\nPour into pint jars.").keep == "cold"
    assert reader.from_text(f"Plum jam\n{PLUMS}\nLadle into half-pint jars.").steps


@pytest.mark.parametrize("row", ["Seal with paraffin.", "Invert the jars for 5 minutes.", "No processing needed."])
def test_another_way_to_close_jars_is_told(row: str) -> None:
    said = [finding.text for finding in reader.from_text(f"Plum jam\n{PLUMS}\n{row}").taken]
    assert any("Row 8" in text and "boiling water" in text for text in said)


def test_a_text_without_ingredients_says_what_to_write() -> None:
    assert "no ingredients" in problems("Plum jam")[0]
    assert "no ingredients" in problems("")[0]
    assert rows(problems("<h1>Plum jam</h1>\n<li>3 lb plums</li>\n<li>1/2 cup honey</li>")) == [2, 3]


def test_an_acid_that_stands_twice_is_asked_about() -> None:
    assert rows(problems(f"Plum jam\n{PLUMS}1/2 cup bottled lemon juice\n")) == [7]
    assert reader.from_text(f"Plum jam\n{PLUMS}\nAdd 2 tbsp of the lemon juice, then the rest of it.\n").steps


def test_one_text_is_one_recipe() -> None:
    assert rows(problems(f"Plum jam\n{PLUMS}\nMethod\nMash.\n\nPlum jam II\nIngredients\n2 lb plums\n")) == [12]


@pytest.mark.parametrize("row", ["2 x 3 lb pears", "3", "lb pears", "cups chopped quux", "quux, chopped", "Pears, 2 lb"])
def test_half_an_ingredient_above_the_list_is_no_note(row: str) -> None:
    assert 2 in rows(problems(f"Plum jam\n{row}\n{PLUMS}"))


def test_two_headspaces_are_asked_about() -> None:
    assert rows(problems(f"Plum jam\n{PLUMS}\nLeave 1/4 inch headspace.\nLeave 1/2 inch headspace.")) == [9]
    assert reader.from_text(f"Plum jam\n{PLUMS}\nFill, leaving a half-inch headspace.").headspace_mm == pytest.approx(12.7)


def test_notes_are_named() -> None:
    recipe: Recipe = reader.from_text(f"Plum jam\nFrom an old tree.\nWe love it.\n{PLUMS}")
    assert recipe.notes == ("We love it.",)
    assert any(finding.text.startswith('Kept as a note: "We love it."') for finding in api.check(recipe, draws=0).findings)
