"""Recipe files: every problem is named with file and key, nothing escapes as a traceback, and what is written reads back."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from jamcalc.errors import RecipeError, UnknownItem
from jamcalc.nouns.written import Recipe, RecipeSource, StatedYield
from jamcalc.reading import extras, recipefile, recipetext

BAD = sorted((Path(__file__).parents[1] / "bad").glob("*.toml"))
LINES = '["3 cups mashed plums", "1 cup mashed blackberries", "1/2 cup honey", "1/3 cup bottled lemon juice", "3 tsp calcium-set pectin"]'
WHOLE = f"""
title = "Plum and blackberry spread"
kind = "spread"
ingredients = {LINES}
boil_min = 2
simmer_min = 7.5
covered = true
yield = "5 to 6 half-pints"
headspace = "1/4 in"
process_min = 10
extras = ["1 cinnamon stick"]
steps = ["Mash \\"them\\" \\\\ well.", "Cook."]
[source]
standing = "tested"
by = "An extension service"
title = "A bulletin"
year = 2015
url = "https://example.org/jam"
"""


def problems(text: str) -> list[str]:
    with pytest.raises(RecipeError) as caught:
        recipefile.from_text(text, "my.toml")
    return caught.value.problems


def test_every_key_is_read() -> None:
    recipe = recipefile.from_text(WHOLE, "my.toml")
    assert (recipe.title, recipe.kind, recipe.name) == ("Plum and blackberry spread", "spread", "my.toml")
    assert recipe.standing == "tested, on your word"
    assert [line.role for line in recipe.lines] == ["fruit", "fruit", "sweetener", "acid", "pectin"]
    assert (recipe.boil_min, recipe.simmer_min, recipe.covered, recipe.process_min, recipe.keep) == (2, 7.5, True, 10, None)
    assert recipe.stated_yield == StatedYield(low=5, high=6, jar="half-pint", text="5 to 6 half-pints")
    assert recipe.headspace_mm == pytest.approx(6.35)
    assert recipe.extras == ("1 cinnamon stick",)
    assert recipe.steps == ('Mash "them" \\ well.', "Cook.")
    assert recipe.source == RecipeSource(
        standing="tested", by="An extension service", title="A bulletin", year=2015, url="https://example.org/jam"
    )


def test_a_recipe_needs_no_more_than_its_lines() -> None:
    recipe = recipefile.from_text(f"ingredients = {LINES}", "my plums.toml")
    assert (recipe.title, recipe.kind, recipe.standing, recipe.source) == ("my plums", "jam", "calculated", None)


def test_cups_of_jam_are_counted_as_half_pints() -> None:
    stated = recipefile.from_text(f'ingredients = {LINES}\nyield = "4 to 5 cups"', "my.toml").stated_yield
    assert stated == StatedYield(low=4, high=5, jar="half-pint", text="4 to 5 cups")


def test_pints_as_printed() -> None:
    stated = recipefile.from_text(f'ingredients = {LINES}\nyield = "2.5 to 2.5 pints"', "my.toml").stated_yield
    assert (stated.low, stated.high, stated.jar, stated.middle) == (2.5, 2.5, "pint", 2.5)  # type: ignore[union-attr]


# ---------------------------------------------------------------- problems


@pytest.mark.parametrize("path", [path for path in BAD if not path.name.startswith("check-")], ids=lambda path: path.stem)
def test_bad_file_is_named_in_one_line(path: Path) -> None:
    expected = [line.removeprefix("# expect: ") for line in path.read_text().splitlines() if line.startswith("# expect: ")]
    with pytest.raises(RecipeError) as caught:
        recipefile.read(path)
    found = caught.value.problems
    assert len(found) == len(expected)
    for want in expected:
        assert any(problem.startswith(f"{path.name}: {want}") and "\n" not in problem for problem in found), (want, found)


@pytest.mark.parametrize("path", [path for path in BAD if path.name.startswith("check-")], ids=lambda path: path.stem)
def test_bad_chemistry_is_still_a_readable_file(path: Path) -> None:
    assert recipefile.read(path).lines


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("boil_min = true", "my.toml: boil_min: true is not a number"),
        ("boil_min = -1", "my.toml: boil_min: -1 is not between 0 and 1440"),
        ("simmer_min = nan", "my.toml: simmer_min: nan is not between"),
        ("process_min = inf", "my.toml: process_min: inf is not between"),
        ("process_min = 0", "my.toml: process_min: 0 is not between"),
        (f"boil_min = {'9' * 3000}", "my.toml: boil_min: a number with very many digits is not between"),
        (f"boil_min = 0x{'f' * 5000}", "my.toml: boil_min: a number with very many digits is not between"),
        ("boil_min = 2020-01-01", "my.toml: boil_min: a date or time is not a number"),
        ("title = 3", "my.toml: title: 3 is not text"),
        ('title = ""', "my.toml: title: is empty"),
        ('title = "a\\u001b[31mb"', "my.toml: title: has control characters"),
        (f'title = "{"x" * 201}"', "my.toml: title: is longer than 200"),
        ('keep = "warm"', 'my.toml: keep: "warm" is not one of cold'),
        ("keep = []", "my.toml: keep: a list is not one of cold"),
        ("covered = 1", "my.toml: covered: 1 is neither true nor false"),
        ('steps = "mash"', 'my.toml: steps: "mash" is not a list'),
        (f"extras = {['cloves'] * 31}", "my.toml: extras: 31 entries"),
        ('yield = "many"', 'my.toml: yield: "many" does not begin with a number: write a number and a jar, such as "8 half-pints"'),
        ('yield = "5 buckets"', "my.toml: yield: "),
        ('headspace = "a finger"', "my.toml: headspace: "),
        ('source = "me"', 'my.toml: source: "me" is not a table'),
        ("[source]\nstanding = 'published'", "my.toml: source.by: missing"),
        ("[source]\nby = 'me'", "my.toml: source.standing: missing"),
        ("[source]\nby = 'me'\nstanding = 'published'\nyear = 2015.5", "my.toml: source.year: "),
        ("[source]\nby = 'me'\nstanding = 'published'\nurl = 'javascript:alert(1)'", "my.toml: source.url: is not an address"),
        ('"\\u001b[2Jx" = 1', "my.toml: "),
        ("yeild = 1", "my.toml: yeild: unknown key; did you mean yield?"),
        ("colour = 1", "my.toml: colour: unknown key; the keys are title, kind"),
    ],
)
def test_one_problem_one_line(line: str, expected: str) -> None:
    found = problems(f"ingredients = {LINES}\n{line}")
    assert len(found) == 1
    assert found[0].startswith(expected)
    assert found[0].isprintable()
    assert len(found[0]) < 250


@pytest.mark.parametrize("text", ["title = 'x'", "ingredients = []"])
def test_no_ingredients(text: str) -> None:
    assert problems(text) == ['my.toml: ingredients: missing; write ingredients = ["3 cups mashed plums", "1/2 cup honey"]']


def test_all_problems_at_once() -> None:
    found = problems('ingredients = ["3 lb plumz", "2 bananas", "", "1/2 cup honey"]\nboil_min = "x"\nspare = 1')
    assert [problem.split(": ")[1] for problem in found] == ["spare", "ingredients[1]", "ingredients[2]", "ingredients[3]", "boil_min"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a" * 70_000, "more than 64 KB"),
        ("x = " + "[" * 20_000, "nested too deeply"),
        ("x = 9" + "9" * 5000, "not TOML"),
        ("x = 2020-99-99", "not TOML"),
        ('title = "x"\ntitle = "y"', "not TOML"),
        ("", "ingredients: missing"),
    ],
)
def test_torn_text(text: str, expected: str) -> None:
    with pytest.raises(RecipeError) as caught:
        recipefile.read(io.BytesIO(text.encode()))
    assert len(caught.value.problems) == 1
    assert caught.value.problems[0].startswith(f"standard input: {expected}")


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"\xff\xfet\0", "saved as UTF-16"),
        (b"title = \0", "not a text file"),
        (b"title = '\xe9'", "not UTF-8 text (byte 10)"),
        (b"x" * 65537, "more than 64 KB"),
        (b"\x89PNG\r\n\x1a\n\0", "not a text file"),
    ],
)
def test_not_a_text_file(tmp_path: Path, content: bytes, expected: str) -> None:
    path = tmp_path / "my.toml"
    path.write_bytes(content)
    with pytest.raises(RecipeError) as caught:
        recipefile.read(path)
    assert caught.value.problems[0].startswith(f"my.toml: {expected}")


def test_places_that_hold_no_recipe(tmp_path: Path) -> None:
    with pytest.raises(RecipeError, match="is a folder"):
        recipefile.read(tmp_path)
    with pytest.raises(RecipeError, match="cannot be read"):
        recipefile.read("x" * 5000)
    with pytest.raises(UnknownItem, match="near: raspberry-blueberry") as caught:
        recipefile.read("rasberry-blueberry")
    assert "raspberry-blueberry" in caught.value.near
    with pytest.raises(UnknownItem, match="no such file"):
        recipefile.read(tmp_path / "nothing.toml")
    with pytest.raises(UnknownItem):
        recipefile.read("\0")


def test_bytes_text_and_a_windows_mark_are_read() -> None:
    text = f"ingredients = {LINES}"
    plain = recipefile.read(io.StringIO(text))
    assert recipefile.read(io.BytesIO(b"\xef\xbb\xbf" + text.encode())) == plain
    assert recipefile.read(io.StringIO("\ufeff" + text)) == plain


def test_a_stream_of_another_coding() -> None:
    with pytest.raises(RecipeError, match="not UTF-8"):
        recipefile.read(io.TextIOWrapper(io.BytesIO(b"title = '\xe9'"), encoding="utf-8"))


def test_a_mapping_made_in_python() -> None:
    recipe = recipefile.from_mapping({"ingredients": ("3 cups mashed plums",), "extras": ("1 cinnamon stick",)})
    assert (recipe.title, recipe.lines[0].item, recipe.extras) == ("recipe", "plum", ("1 cinnamon stick",))
    with pytest.raises(RecipeError, match="recipe: 1: unknown key"):
        recipefile.from_mapping({"ingredients": ["3 cups mashed plums"], 1: 2})  # type: ignore[dict-item]


# ---------------------------------------------------------------- writing


def awkward() -> Recipe:
    recipe = recipefile.from_text(WHOLE, "my.toml")
    return replace(
        recipe, title='He said "jam" \\ [bold]x[/] # é ½', headspace_mm=7.3, boil_min=2.25, covered=False,
        stated_yield=StatedYield(low=4.25, high=5.5, jar="pint", text="4.25 to 5.5 pints"), source=None)  # fmt: skip


@pytest.mark.parametrize("recipe", [recipefile.from_text(WHOLE, "my.toml"), awkward()], ids=["whole", "awkward"])
def test_what_is_written_reads_back(recipe: Recipe) -> None:
    assert recipefile.from_text(recipetext.write_text(recipe), "other.toml") == recipe


def test_a_yield_without_words_of_its_own() -> None:
    recipe = replace(awkward(), stated_yield=StatedYield(low=6.67, high=8, jar="half-pint"))
    stated = recipefile.from_text(recipetext.write_text(recipe)).stated_yield
    assert (stated.low, stated.high, stated.jar) == (6.67, 8, "half-pint")  # type: ignore[union-attr]


@pytest.mark.parametrize(("mm", "text"), [(6.35, "1/4 in"), (12.7, "1/2 in"), (28.575, "1 1/8 in"), (25.4, "1 in"), (6.0, "6 mm")])
def test_headspace_is_written_as_a_cook_writes_it(mm: float, text: str) -> None:
    written = recipetext.write_text(replace(awkward(), headspace_mm=mm))
    assert f'headspace = "{text}"' in written
    assert recipefile.from_text(written).headspace_mm == pytest.approx(mm, abs=1e-9)


def test_control_characters_are_escaped() -> None:
    """Titles made in Python may hold anything; the file stays one that TOML readers accept."""
    written = recipetext.write_text(replace(awkward(), title="a\x7f\x1b\nb"))
    with pytest.raises(RecipeError, match="title: has control characters"):
        recipefile.from_text(written)


# ---------------------------------------------------------------- extras

FIT = ["1 cinnamon stick", "2 cinnamon sticks, broken", "1 tsp vanilla extract", "1 vanilla bean, split and scraped", "zest of 1 lemon",
       "1 tbsp grated orange zest", "1/2 tsp ground ginger", "3 whole cloves", "1/4 tsp almond extract", "2 star anise",
       "5 allspice berries and 1 pinch salt", "1/4 teaspoon freshly grated nutmeg", "4 cardamom pods", "2 dried bay leaves"]  # fmt: skip
UNFIT = ["1 jalapeno pepper, minced", "2 tbsp fresh ginger", "1 tsp ginger", "1/2 cup walnuts", "1 sprig fresh basil",
         "almonds", "1 lemon", "1 cinnamon stick and 2 hot peppers", "2 tbsp unflavored gelatin", "rum", "mint", "", "1", "berries",
         "1 garlic clove", "fresh lemon thyme", "dry white wine", "\u751f\u59dc"]  # fmt: skip


@pytest.mark.parametrize("extra", FIT)
def test_dry_spices_extracts_and_zest_are_fit(extra: str) -> None:
    assert extras.unfit_extras((extra,)) == ()


@pytest.mark.parametrize("extra", UNFIT)
def test_anything_else_is_unfit(extra: str) -> None:
    assert extras.unfit_extras(("1 cinnamon stick", extra)) == (extra,)


# ---------------------------------------------------------------- minutes by jar and band, and what a file was scaled from


PLAIN = {"title": "Plum jam", "ingredients": ["4 cups mashed plums"]}


def printed(**process: Any) -> dict[str, tuple[int | None, ...]]:
    read = recipefile.from_mapping({**PLAIN, "process": {key.replace("_", "-"): row for key, row in process.items()}})
    return {time.jar: time.by_band for time in read.printed_times}


def test_a_printed_table_is_read_band_by_band_and_nothing_is_filled_in() -> None:
    assert printed(half_pint={"0-1000": 15, "1001-3000": 20, "3001-6000": 20, "above 6000": 25}) == {"half-pint": (15, 20, 20, 25, 25)}
    assert printed(half_pint={"0-1000 ft": 10, "1,001-6,000 ft": 15}) == {"half-pint": (10, 15, 15, None, None)}
    assert printed(pint={"0-1000": 10}) == {"pint": (10, None, None, None, None)}
    assert printed(half_pint={"6001-8000": 25}, pint={"0-10000": 35}) == {"half-pint": (None, None, None, 25, None), "pint": (35,) * 5}


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"0-2000": 10}, "no altitude band"),  # cuts a band in two
        ({"500-1000": 10}, "no altitude band"),
        ({"1001-9000": 10}, "no altitude band"),
        ({"3001-1000": 10}, "no altitude band"),
        ({"above 10000": 10}, "no altitude band"),
        ({"sea level": 10}, "no altitude band"),
        ({"": 10}, "no altitude band"),
        ({"\u0661-1000": 10}, "no altitude band"),
        ({"0-1000": 0}, "whole minutes"),
        ({"0-1000": 2.5}, "whole minutes"),
        ({"0-1000": True}, "whole minutes"),
        ({"0-1000": "10"}, "whole minutes"),
        ({"0-1000": 10, "0-3000": 15}, "twice"),
        ({"0-1000": 20, "1001-3000": 15}, "never takes fewer"),
        ({}, "not a table"),
        (10, "not a table"),
    ],
)
def test_a_printed_table_with_a_slip_in_it_is_reported(row: Any, words: str) -> None:
    with pytest.raises(RecipeError, match=words):
        printed(half_pint=row)


@pytest.mark.parametrize("process", [10, [], {}, {"bucket": {"0-1000": 10}}])
def test_a_printed_table_is_a_table_of_known_jars(process: Any) -> None:
    with pytest.raises(RecipeError, match=r"process"):
        recipefile.from_mapping({**PLAIN, "process": process})


def test_a_recipe_kept_cold_has_no_printed_minutes() -> None:
    with pytest.raises(RecipeError, match="not processed"):
        recipefile.from_mapping({**PLAIN, "keep": "cold", "process": {"pint": {"0-1000": 10}}})


@pytest.mark.parametrize("more", [{"scaled_from": "strawberry-rhubarb"}, {"factor": 2}, {"scaled_from": "x", "factor": 0}])
def test_scaled_from_and_its_factor_belong_together(more: dict[str, Any]) -> None:
    with pytest.raises(RecipeError, match="factor"):
        recipefile.from_mapping({**PLAIN, **more})


def test_printed_minutes_and_what_was_scaled_are_written_and_read_back() -> None:
    process = {"half-pint": {"0-1000": 15, "1001-6000": 20, "above 6000": 25}, "pint": {"0-1000": 20}}
    recipe = recipefile.from_mapping({**PLAIN, "process": process, "scaled_from": "strawberry-rhubarb", "factor": 1.0 / 3.0})
    assert recipefile.from_text(recipetext.write_text(recipe)) == recipe


# Spoons of spice are customary; a kilogram of salt or a cup of cinnamon is no extra (judgement).
@pytest.mark.parametrize("extra", ["1 kg salt", "1/4 cup salt", "20 g salt", "1 cup cinnamon", "1 lb ground cloves", "500 cinnamon sticks",
                                   "2 cups lemon zest", "1 cup vanilla extract"])  # fmt: skip
def test_a_heap_of_what_is_fit_by_the_spoon_is_unfit(extra: str) -> None:
    assert extras.unfit_extras((extra,)) == (extra,)


@pytest.mark.parametrize("extra", ["a pinch of salt", "1 tsp salt", "3 cinnamon sticks", "2 tbsp ground cinnamon", "1/4 cup lemon zest",
                                   "zest of 3 lemons", "2 tbsp vanilla extract", "1 vanilla bean", "salt", "12 whole cloves"])  # fmt: skip
def test_a_customary_amount_of_spice_is_fit(extra: str) -> None:
    assert extras.unfit_extras((extra,)) == ()


def test_heaps_are_summed_over_all_extras() -> None:
    assert extras.unfit_extras(("1/4 cup cinnamon", "1/4 cup cloves", "1 tsp allspice")) == (
        "1/4 cup cinnamon",
        "1/4 cup cloves",
        "1 tsp allspice",
    )
    assert extras.unfit_extras(("1/4 cup cinnamon", "1 tsp salt", "2 tsp lemon zest")) == ()


# Customary in traces (common practice): dry pepper, chili and cayenne to a tablespoon, butter to half a teaspoon, in all of a batch.
TRACES = ["1/4 cup + 1 tbsp ground cinnamon", "1/2 tsp black pepper", "1 tsp freshly ground black pepper", "black pepper",
          "a pinch of cayenne", "1/4 tsp cayenne pepper", "cayenne",
          "1 tbsp dried chilli flakes", "1 tsp red pepper flakes", "1 tsp chile flakes, dried", "2 dried chilies", "1/2 tsp chili powder",
          "6 black peppercorns", "2 g ground white pepper", "1/2 tsp butter", "a pat of butter", "1/4 tsp unsalted butter", "2.5 ml butter",
          "1 pat butter against foam", "1 cinnamon stick and 1/2 tsp black pepper", "1/2 tsp smoked paprika"]  # fmt: skip
NO_TRACES = ["2 tbsp chilli flakes", "1/4 cup black pepper", "10 g cayenne", "1 tsp butter", "1 tbsp butter", "butter", "a knob of butter",
             "1 stick butter", "2 pats of butter", "5 g butter", "1/2 cup butter", "1 and 1/2 tsp butter", "1/2 tsp peanut butter",
             "1/2 tsp cocoa butter", "1/2 tsp garlic butter", "1 fresh chili", "2 cayenne peppers", "cayenne peppers", "1 cayenne pepper",
             "a cayenne pepper", "1 tsp red pepper", "1 chili", "2 chilies, ground", "1 tsp chili paste", "1 tsp dried chili paste",
             "1 tsp chili oil", "1 tsp black pepper in oil", "1/2 tsp garlic pepper", "1 tsp garlic powder", "1 tsp dried garlic",
             "1 tbsp basil in oil", "2 tbsp ground almonds", "1 tsp ground bell pepper", "1 jalapeno", "1 tsp green pepper",
             "1 black pepper",
             "1/2 T butter", "half a stick of butter", "1/2 tsp (2 g) butter", "4 dried chilies"]  # fmt: skip


@pytest.mark.parametrize("extra", TRACES)
def test_a_customary_trace_is_fit(extra: str) -> None:
    assert extras.unfit_extras((extra,)) == ()


@pytest.mark.parametrize("extra", NO_TRACES)
def test_more_than_a_trace_or_anything_fresh_is_unfit(extra: str) -> None:
    assert extras.unfit_extras(("1 cinnamon stick", extra)) == (extra,)


def test_traces_are_summed_over_all_extras() -> None:
    assert extras.unfit_extras(("1/4 tsp butter", "1/4 tsp butter", "1 tsp cayenne", "2 tsp chili flakes")) == ()
    assert extras.unfit_extras(("1/2 tsp butter", "1 cinnamon stick", "1/4 tsp butter")) == ("1/2 tsp butter", "1/4 tsp butter")
    assert extras.unfit_extras(("2 tsp cayenne", "1/2 tsp butter", "2 tsp black pepper")) == ("2 tsp cayenne", "2 tsp black pepper")
