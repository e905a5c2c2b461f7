"""Recipes read exactly as written: shipped ones, bad ones, tested ones, and answers written out and read back."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.labels import card
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.written import Recipe
from jamcalc.prints import wall_page
from jamcalc.reading import recipefile, recipetext, supplied
from jamcalc.recipes import tested, to_recipe
from jamcalc.screens import answer_screen
from jamcalc.words import measures

BAD = Path(__file__).parents[1].joinpath("bad")
NAMES = supplied.names()
SHELF_OR_METER = {"measure"}


def check(recipe: Any, **options: Any) -> BatchResult:
    return jamcalc.check(recipe, **{"draws": 0, **options})


def ids(result: BatchResult) -> list[str]:
    return [finding.id for finding in result.findings]


def own(*ingredients: str, **more: Any) -> dict[str, Any]:
    return {"title": "A jam of mine", "ingredients": list(ingredients), **more}


def command(*words: str, text: str | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "jamcalc", *words], capture_output=True, text=True, input=text, timeout=300, check=False)


# ---------------------------------------------------------------- the recipes that come with the program


@pytest.mark.parametrize("name", NAMES)
def test_every_recipe_is_answered_for_and_nothing_is_added(name: str) -> None:
    recipe, result = recipefile.read(name), check(name)
    assert result.solution.converged
    assert result.standing == tested.standing(recipe)
    assert result.refused is None
    written = {line.item for line in recipe.lines}
    assert {each.item for each in result.ingredients if each.role in ("fruit", "sweetener", "acid")} <= written
    acid_g = sum(each.grams for each in result.ingredients if each.role == "acid")
    assert (acid_g > 0.0) == any(line.role == "acid" for line in recipe.lines)
    assert (result.calcium_water.ml > 0.0) == any(line.role == "calcium water" for line in recipe.lines)


@pytest.mark.parametrize("name", NAMES)
def test_a_published_recipe_is_for_the_shelf_or_for_the_meter(name: str) -> None:
    recipe, result = recipefile.read(name), check(name)
    if recipe.keep == "cold":
        assert result.storage == "cold"
    elif result.standing == "tested":
        assert result.storage == "shelf"
    else:
        assert (result.storage == "shelf") == (result.acidity.ph.high <= 4.00)
        assert result.storage == "shelf" or set(ids(result)) & SHELF_OR_METER


# ---------------------------------------------------------------- the bad ones

EXPECTED: dict[str, tuple[str, int]] = {
    "check-banana": ("tested-only", 1),
    "check-five-minutes": ("time-under-table", 1),
    "check-fresh-pepper": ("unfit-extra", 1),
    "check-impossible-yield": ("yield-differs", 0),
    "check-jar-too-large": ("jar-too-large", 1),
    "check-lemon-halved": ("measure", 0),
    "check-white-peach": ("do-not-can", 1),
}


def test_every_bad_recipe_has_its_expectation() -> None:
    assert {path.stem for path in BAD.glob("check-*.toml")} == EXPECTED.keys()
    for path in BAD.glob("check-*.toml"):
        first = path.read_text(encoding="utf-8").splitlines()[0]
        assert first.startswith("# check: ")
        assert "exit 1" not in first or EXPECTED[path.stem][1] == 1


@pytest.mark.parametrize("name", EXPECTED)
def test_a_bad_recipe_gets_its_finding_and_exit_code(name: str) -> None:
    finding, code = EXPECTED[name]
    done = command("check", str(BAD / f"{name}.toml"), "--json")
    assert done.returncode == code
    answer = json.loads(done.stdout)
    assert finding in [each["id"] for each in answer["findings"]]
    assert (answer["refused"] is not None) == (code == 1)
    assert done.stderr == (f"jamcalc: {answer['refused']}\n" if code else "")
    if code or finding == "measure":
        assert (answer["storage"], answer["process"]) == ("cold", None)


def test_the_impossible_yield_names_both_numbers() -> None:
    text = next(finding.text for finding in check(BAD / "check-impossible-yield.toml").findings if finding.id == "yield-differs")
    assert "13" in text
    assert "9" in text


def test_half_the_lemon_juice_says_how_much_is_short() -> None:
    result = check(BAD / "check-lemon-halved.toml")
    assert "lemon-short" in ids(result)
    assert result.lemon_juice.measure == "2 tbsp"


# ---------------------------------------------------------------- exit codes of check

STRAWBERRY = (
    "4 cups mashed strawberries",
    "3/4 cup sugar",
    "1/4 cup bottled lemon juice",
    "2 tsp calcium-set pectin",
    "2 tsp calcium water",
)
PLUM = ("4 cups mashed plums", "1 cup sugar", "2 tsp calcium-set pectin", "2 tsp calcium water")


@pytest.mark.parametrize(
    ("recipe", "finding"),
    [
        (own("4 cups mashed mulberries"), "ph-over-limit"),
        (own("3 cups mashed strawberries", "1 tbsp mashed elderberries"), "do-not-can"),
        (own(*STRAWBERRY, extras=["1 cup chopped walnuts"]), "unfit-extra"),
        (own(*STRAWBERRY, process_min=9), "time-under-table"),
        (own(*STRAWBERRY, process_min=10, **{"yield": "2 pints"}), "time-under-table"),
        (own(*STRAWBERRY, **{"yield": "1 quart"}), "jar-too-large"),
    ],
)
def test_what_check_refuses(recipe: dict[str, Any], finding: str) -> None:
    result = check(recipe)
    assert result.refused is not None
    assert finding in ids(result)
    assert result.refused == next(each.text for each in result.findings if each.id == finding)
    assert (result.storage, result.process) == ("cold", None)


@pytest.mark.parametrize(
    "recipe", [own(*PLUM), own(*PLUM, **{"yield": "9 half-pints"}), own("4 cups mashed strawberries"), own(*STRAWBERRY, process_min=10)]
)
def test_what_check_only_remarks_on(recipe: dict[str, Any]) -> None:
    assert check(recipe).refused is None


def test_a_recipe_kept_cold_is_refused_nothing() -> None:
    for lines in (("4 cups mashed bananas",), ("4 cups mashed mulberries",), STRAWBERRY):
        recipe = own(*lines, keep="cold", extras=["1 cup chopped walnuts"])
        result = check(recipe, altitude="12000 ft")
        assert (result.storage, result.refused) == ("cold", None)


def test_above_10000_ft_a_jam_for_the_shelf_is_refused() -> None:
    result = check(own(*STRAWBERRY, process_min=10), altitude="12000 ft")
    assert result.refused is not None
    assert "10,000 ft" in result.refused


def test_dry_spices_change_nothing() -> None:
    plain, spiced = check(own(*STRAWBERRY)), check(own(*STRAWBERRY, extras=["1 cinnamon stick", "zest of 1 lemon"]))
    assert (spiced.storage, spiced.refused) == ("shelf", None)
    assert spiced.acidity == plain.acidity
    assert [each.name for each in spiced.ingredients if each.role == "other"] == ["1 cinnamon stick", "zest of 1 lemon"]


# ---------------------------------------------------------------- tested, published, one's own

TESTED = {"standing": "tested", "by": "an extension service", "title": "Invented for this test", "year": 2001}


@pytest.mark.parametrize("source", [None, {**TESTED, "standing": "published"}, TESTED])
def test_figs_are_judged_by_the_table_whoever_is_said_to_stand_behind_them(source: dict[str, Any] | None) -> None:
    figs = own("4 cups mashed figs", "1 cup sugar", "1/4 cup bottled lemon juice", process_min=7)
    result = check({**figs, "source": source} if source else figs)
    assert set(ids(result)) >= {"tested-only", "time-under-table"}
    assert (result.storage, result.process) == ("cold", None)
    assert result.refused


def test_a_longer_time_of_its_own_is_kept() -> None:
    process = check(own(*STRAWBERRY, process_min=25), altitude="4300 ft").process
    assert process is not None
    assert process.minutes == 35


def test_full_sugar_may_keep_its_own_short_time() -> None:
    full = own(
        "4 cups mashed strawberries", "7 cups sugar", "1/4 cup bottled lemon juice", "1 packet standard pectin", process_min=5, boil_min=1
    )
    result = check(full)
    assert result.solids_percent.typical >= 60.0
    assert result.refused is None
    assert result.process is not None
    assert result.process.minutes == 5


# ---------------------------------------------------------------- exactly as written


def test_lemon_juice_is_shown_as_it_is_written() -> None:
    for text, grams in (("100 g", 100.0), ("1/3 cup + 1 tsp", None), ("60 mL", None)):
        lemon = check(own("4 cups mashed plums", f"{text} bottled lemon juice")).lemon_juice
        assert lemon.measure == text
        assert grams is None or lemon.grams == pytest.approx(grams)
    two = check(own("4 cups mashed plums", "1/4 cup bottled lemon juice", "30 g bottled lemon juice")).lemon_juice
    assert two.measure == measures.grams_text(two.grams)


def test_without_pectin_or_calcium_none_is_made_up() -> None:
    result = check(own("4 cups mashed strawberries", "1 cup sugar"))
    assert (result.pectin.grams, result.calcium_water.ml, result.lemon_juice.grams) == (0.0, 0.0, 0.0)
    assert result.gel_set.strength == "none"


SETS = [("1/2", "1/2", "none"), ("3", "3", "medium"), ("6", "9", "firm"), ("9", "9", "soft"), ("9", "1/4", "none")]


@pytest.mark.parametrize(("pectin", "calcium", "strength"), SETS)
def test_the_set_to_expect(pectin: str, calcium: str, strength: str) -> None:
    lines = (
        "4 cups mashed peaches",
        "3/4 cup sugar",
        "1/4 cup bottled lemon juice",
        f"{pectin} tsp calcium-set pectin",
        f"{calcium} tsp calcium water",
    )
    result = check(own(*lines))
    assert result.gel_set.strength == strength
    assert (f"set-{strength}" in ids(result)) == (strength != "medium")


def test_jars_as_the_recipe_counts_them() -> None:
    assert check(own(*STRAWBERRY, **{"yield": "2 pints"})).yield_.jar == "pint"
    assert check(own(*STRAWBERRY, **{"yield": "2 pints"}), jar="half-pint").process is not None
    assert check(own(*STRAWBERRY)).yield_.jar == "half-pint"


def test_a_reading_in_check() -> None:
    assert "measure" in ids(check(own(*PLUM)))
    assert check(own(*PLUM), reading="batch pH 4.1").storage == "shelf"
    assert check(own(*PLUM), reading="batch pH 4.3").storage == "cold"
    assert check(own(*PLUM), reading="plum pH 3.8").acidity.ph.high == pytest.approx(4.0, abs=0.03)  # the meter's 0.1 and the model's


# ---------------------------------------------------------------- when it did not turn out


@pytest.mark.parametrize(
    ("found", "ingredients", "words"),
    [
        ("runny", ("4 cups mashed peaches", "1 cup sugar", "1/2 tsp calcium-set pectin", "1 tsp calcium water"), "short of pectin"),
        ("runny", STRAWBERRY, "two days"),
        ("weeping", STRAWBERRY, "halve the calcium water"),
        (
            "stiff",
            ("4 cups mashed strawberries", "1 cup sugar", "8 tsp calcium-set pectin", "8 tsp calcium water"),
            "more pectin than a medium set",
        ),
        ("stiff", STRAWBERRY, "juice or water"),
        ("grainy", ("4 cups mashed strawberries", "3 cups erythritol", "2 tsp calcium-set pectin"), "Erythritol is over"),
        ("grainy", STRAWBERRY, "two causes"),
    ],
)
def test_found_gives_advice(found: str, ingredients: tuple[str, ...], words: str) -> None:
    result = check(own(*ingredients), found=found)
    texts = [finding.text for finding in result.findings if finding.id == f"found-{found}"]
    assert any(words in text for text in texts)
    assert any("new batch" in text for text in texts)
    assert not any(each.startswith("found-") for each in ids(check(own(*ingredients))))


# ---------------------------------------------------------------- written out and read back

BATCHES: dict[str, tuple[tuple[str, ...], dict[str, Any]]] = {
    "plain": (("3 lb plums",), {"sweetener": "honey"}),
    "blend": (("3 lb plums", "1 1/2 lb frozen blackberries", "1 cup apple juice"), {"sweetener": "maple syrup", "altitude": "4300 ft"}),
    "no lemon": (("4 cups mashed strawberries",), {"sweetener": "sugar"}),
    "a drop of lemon": (("3 lb strawberries",), {"sweetener": "maple syrup"}),
    "cold": (("2 lb figs", "1/2 cup water"), {"sweetener": "honey"}),
    "to be measured": (("2 lb guavas",), {}),
    "floor": (("3 lb plums", "1 cup bottled lemon juice"), {"sweetener": "honey"}),
    "floor too low": (("3 lb plums", "1 tbsp bottled lemon juice"), {}),
    "two lemon juices": (("3 lb plums", "1/4 cup lemon juice"), {"sweetener": "honey"}),
    "citric acid": (("3 lb plums", "1/2 tsp citric acid"), {}),
    "metric": (("1500 g plums",), {"sweetener": "honey", "units": "metric"}),
    "pints": (("5 lb peaches",), {"sweetener": "allulose", "jar": "pint", "set": "firm"}),
    "intense": (("3 lb pears",), {"sweetener": "stevia extract"}),
    "lines": (("3 lb plums", "1/2 cup honey", "50 g sugar", "4 tsp calcium-set pectin", "3 tsp calcium water"), {}),
    "another pectin": (("2 lb plums", "1 packet no-sugar pectin", "1 cup sugar"), {}),
    "boiled longer": (("3 lb apples", "1 cup water"), {"sweetener": "sugar", "boil": 5, "simmer": 20}),
    "ambiguous": (("3 lb cherries",), {"sweetener": "honey"}),
    "tiny": (("100 g raspberries",), {"sweetener": "honey"}),
}


def written_out(result: BatchResult) -> Recipe:
    return recipefile.from_text(recipetext.write_text(to_recipe.recipe_of(result)))


@pytest.mark.parametrize("name", BATCHES)
def test_a_batch_written_out_is_checked_to_the_same_numbers(name: str) -> None:
    lines, options = BATCHES[name]
    result = jamcalc.batch(list(lines), **{"draws": 0, **options})
    again = check(written_out(result), altitude=options.get("altitude"))
    same(result, again)
    assert again.storage == result.storage
    assert again.refused is None
    assert (again.process and again.process.minutes) == (result.process and result.process.minutes)
    assert "yield-differs" not in ids(again)
    assert "lemon-short" not in ids(again) or result.storage == "cold"


def same(one: BatchResult, other: BatchResult) -> None:
    for which in ("low", "typical", "high"):
        assert getattr(other.acidity.ph, which) == pytest.approx(getattr(one.acidity.ph, which), abs=0.0101)
    assert other.yield_.jars.expected == pytest.approx(one.yield_.jars.expected, abs=0.01)
    grams = [{(each.item, each.role): 0.0 for each in (*one.ingredients, *other.ingredients)} for _ in range(2)]
    for sums, result in zip(grams, (one, other), strict=True):
        for each in result.ingredients:
            sums[each.item, each.role] += each.grams
    assert grams[1] == pytest.approx(grams[0], abs=0.1)


@pytest.mark.parametrize("name", ["plain", "blend", "cold", "metric", "floor", "lines"])
def test_a_batch_written_out_is_scaled_by_one_to_the_same_numbers(name: str) -> None:
    from jamcalc import api

    lines, options = BATCHES[name]
    result = jamcalc.batch(list(lines), **{"draws": 0, **options})
    same(result, api.scale_answer(written_out(result), times=1, draws=0).result)


def test_an_own_spoon_of_pectin_is_written_in_grams() -> None:
    result = jamcalc.batch(["3 lb plums"], pectin_spoon=2.1, calcium_spoon=20, draws=0)
    recipe = written_out(result)
    assert "g calcium-set pectin" in next(line.text for line in recipe.lines if line.role == "pectin")
    assert check(recipe).pectin.grams == pytest.approx(result.pectin.grams, abs=0.1)


def test_a_file_written_by_the_command_is_read_by_the_command(tmp_path: Path) -> None:
    path = tmp_path / "my.toml"
    made = command("batch", "3 lb plums", "--sweetener", "honey", "--json", "-o", str(path))
    checked = command("check", str(path), "--json")
    piped = command("check", "-", "--json", text=path.read_text(encoding="utf-8"))
    assert (made.returncode, checked.returncode, piped.returncode) == (0, 0, 0)
    first, second = json.loads(made.stdout), json.loads(checked.stdout)
    assert second["acidity"]["ph"]["high"] == pytest.approx(first["acidity"]["ph"]["high"], abs=0.0101)
    assert second["lemon_juice"]["g"] == pytest.approx(first["lemon_juice"]["g"], abs=0.1)
    assert second["yield"]["jars"]["expected"] == pytest.approx(first["yield"]["jars"]["expected"], abs=0.0101)
    assert second["storage"] == first["storage"] == "shelf"
    assert json.loads(piped.stdout)["acidity"] == second["acidity"]


def test_an_answer_is_somebodys_own_formula() -> None:
    recipe = written_out(jamcalc.batch(["3 lb plums"], sweetener="honey", title="Mine", draws=0))
    assert recipe.source is None
    assert recipe.standing == "calculated"
    assert (recipe.title, recipe.process_min, recipe.keep) == ("Mine", 10, None)
    assert recipe.steps
    cold = written_out(jamcalc.batch(["2 lb figs"], draws=0))
    assert (cold.process_min, cold.keep) == (None, "cold")


@pytest.mark.parametrize("name", BATCHES)
def test_saved_steps_hold_for_any_size_jar_and_altitude(name: str) -> None:
    lines, options = BATCHES[name]
    here = {"altitude": "4300 ft", "on_hand": ["40 half-pints", "40 pints"], **options}
    for result in (jamcalc.batch(list(lines), **{"draws": 0, **options}), jamcalc.batch(list(lines), **{"draws": 0, **here})):
        for step in written_out(result).steps:
            assert "above" not in step
            assert not re.match(r"(Wash|Boil the jars)\b.*\d", step.partition(", lid on")[0]), step


def test_every_jar_can_be_written_out() -> None:
    for key in facts.keys("jar"):
        result = jamcalc.batch(["20 lb plums"], jar=key.replace("-", " ") if key.startswith(tuple("123456789")) else key, draws=0)
        stated = written_out(result).stated_yield
        assert stated is not None
        assert stated.jar == key


@pytest.mark.parametrize("name", ["strawberry-no-sugar", "peach-pineapple-spread", "refrigerated-grape-spread"])
@pytest.mark.parametrize("found", ["runny", "weeping", "stiff", "grainy"])
def test_advice_on_what_calcium_does_not_set_leaves_calcium_and_spoons_out(name: str, found: str) -> None:
    result = jamcalc.check(name, found=found, draws=0)
    said = " ".join(finding.text for finding in result.findings if finding.id == f"found-{found}")
    assert said
    assert "tsp" not in said
    assert "more calcium" not in said
    assert ("tested recipe" in said) == (result.standing == "tested")


def test_a_tested_recipe_in_a_larger_jar_is_not_the_tested_recipe() -> None:
    for jar in ("quart", "pint-and-a-half"):
        result = jamcalc.check("peach-pineapple-spread", jar=jar, draws=0)
        assert result.refused is not None
        assert result.process is None
        assert result.standing == "published"
        assert "larger-jar" in {finding.id for finding in result.findings}


def test_a_file_that_speaks_of_jars_and_minutes_in_general_gets_its_own() -> None:
    saved = recipetext.write_text(to_recipe.recipe_of(jamcalc.batch(["3 lb plums"], sweetener="honey", draws=0)))
    assert "the minutes for their size and your altitude" in saved
    result = check(recipefile.from_text(saved), altitude="4300 ft")
    work = result.order_of_work
    assert work[0].startswith(f"Wash {result.yield_.jars.heat} half-pints and keep them hot")
    assert sum(step.startswith("Boil the jars 20 min, lid on,") for step in work) == 1
    again = check(recipefile.from_text(saved)).order_of_work
    assert sum("the minutes for their size and your altitude" in step for step in again) == 1, "no altitude, no minutes"


# ---------------------------------------------------------------- a tested recipe is not contradicted


@pytest.mark.parametrize("name", [name for name in NAMES if tested.unchanged(recipefile.read(name))])
@pytest.mark.parametrize("altitude", ["0 ft", "4300 ft", "9000 ft"])
def test_a_tested_recipe_is_told_no_other_lemon_juice_and_no_other_boil(name: str, altitude: str) -> None:
    result = check(name, altitude=altitude)
    assert not {"lemon-short", "lemon-out-of-reach", "long-boil", "worth-measuring", "measure"} & set(ids(result))
    if recipefile.read(name).boil_min is None:  # our own two minutes are not the agency's
        html = wall_page.kitchen_html(result, card=card.content(result, card.CardRequest()))
        assert not re.search(r"\b2\s?min\b", html.split("</style>")[1])


def test_what_would_mend_a_recipe_stands_in_its_box() -> None:
    result = check(
        own("4 cups mashed plums", "1/2 cup honey", "2 tbsp bottled lemon juice", "2 tsp calcium-set pectin", "2 tsp calcium water")
    )
    assert "lemon-short" in ids(result)
    screen = printed(result)
    box = screen[screen.index("COLD until a meter") : screen.index("Findings")]
    assert "add " in box
    assert "Lemon juice is under" in box


def printed(result: BatchResult) -> str:
    from io import StringIO

    from rich.console import Console

    console = Console(width=80, file=StringIO(), color_system=None)
    console.print(answer_screen.answer(result))
    return console.file.getvalue()  # type: ignore[attr-defined,no-any-return]


@pytest.mark.parametrize("fruit", ["2 lb elderberries", "2 lb white peaches", "1 lb pumpkin"])
def test_a_do_not_can_fruit_is_refused_though_the_file_says_cold(fruit: str) -> None:
    mapping = {"title": "A spread", "kind": "spread", "ingredients": [fruit, "2 lb plums", "1 cup sugar"], "keep": "cold"}
    result = check(mapping)
    assert result.storage == "cold"
    assert result.refused is not None
    assert "cann" in result.refused


def test_what_a_cold_spread_is_made_of_is_not_refused() -> None:
    mapping = {
        "title": "A spread",
        "kind": "spread",
        "ingredients": ["2 lb plums", "1 cup sugar"],
        "keep": "cold",
        "extras": ["1/2 cup walnuts"],
    }
    result = check(mapping)
    assert (result.storage, result.refused) == ("cold", None)


SAYS_TEN = own(
    "3 lb plums",
    "1/2 cup honey",
    "1/2 cup bottled lemon juice",
    "4 tsp calcium-set pectin",
    "4 tsp calcium water",
    process_min=10,
    steps=["Boil it hard 1 minute with everything in.", "Process 10 minutes."],
)


@pytest.mark.parametrize(("height", "time"), [("4300 ft", "20 min"), (None, "the minutes for your altitude")])
def test_a_step_with_its_own_minutes_says_those_of_this_kitchen_too(height: str | None, time: str) -> None:
    result = check(SAYS_TEN, altitude=height)
    assert result.storage == "shelf"
    assert result.order_of_work[-1] == f"Process 10 minutes. In your kitchen: {time}."
    assert ("minutes-here" in ids(result)) == (height is not None)


def test_minutes_that_are_right_here_stand_alone() -> None:
    result = check(SAYS_TEN, altitude="500 ft")
    assert result.order_of_work[-1] == "Process 10 minutes."
    assert "minutes-here" not in ids(result)


def test_a_pot_is_measured_before_its_jars_are_in_the_canner() -> None:
    steps = check(SAYS_TEN, altitude="500 ft").order_of_work
    assert [step.split()[0] for step in steps] == ["Boil", "Measure", "Process"]
