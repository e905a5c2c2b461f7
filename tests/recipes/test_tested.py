"""Who is tested: a recipe that comes with the program, unchanged or scaled by it, and no file on its own word."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import jamcalc
from jamcalc import api, facts
from jamcalc.errors import NotPossible
from jamcalc.formula import storage
from jamcalc.labels import card
from jamcalc.labels.card import CardRequest
from jamcalc.nouns.written import PrintedTime
from jamcalc.reading import recipefile, recipetext, supplied
from jamcalc.recipes import tested

WORD = {"standing": "tested", "by": "my aunt"}
OURS = [name for name in supplied.names() if (held := tested.shipped(name)).source and held.source.standing == "tested"]
PRINTED = [name for name in OURS if tested.shipped(name).keep != "cold"]
SPREAD = "peach-pineapple-spread"


def check(recipe: Any, **more: Any) -> Any:
    return jamcalc.check(recipe, draws=0, **more)


def ids(result: Any) -> list[str]:
    return [finding.id for finding in result.findings]


def on_word(*ingredients: str, **more: Any) -> dict[str, Any]:
    return {"title": "My aunt's", "ingredients": list(ingredients), "source": WORD, **more}


# ---------------------------------------------------------------- a file's own word

ON_THEIR_WORD = {
    "mangoes at 5 minutes": on_word("2 lb mangoes", process_min=5),
    "tomatoes": on_word("2 lb tomatoes", process_min=5),
    "figs at 1 minute": on_word("2 lb figs", process_min=1),
    "mulberries": on_word("2 lb mulberries", process_min=10),
    "pears in 3 kg of water": on_word("1 kg pears", "3 kg water", process_min=10),
    "bananas with lemon": on_word("4 cups mashed bananas", "1/2 cup bottled lemon juice", process_min=15),
    "white peaches": on_word("4 cups mashed white peaches", "1/2 cup bottled lemon juice", process_min=15),
    "elderberries": on_word("4 cups mashed elderberries", "1/2 cup bottled lemon juice", process_min=20),
    "pumpkin": on_word("4 cups mashed pumpkin", "2 cups sugar", process_min=60),
    "papaya": on_word("1 kg papayas", "60 g bottled lemon juice", process_min=10),
    "strawberries in quarts": on_word("4 cups mashed strawberries", "1/2 cup bottled lemon juice", process_min=10, **{"yield": "1 quart"}),
    "strawberries at 5 minutes": on_word("4 cups mashed strawberries", "1/4 cup bottled lemon juice", process_min=5),
    "a table of its own": on_word("2 lb mangoes", process={"half-pint": {"0-10000": 5}}),
    "a table of short times": on_word("4 cups mashed strawberries", "1/4 cup bottled lemon juice", process={"half-pint": {"0-10000": 5}}),
    "said to be scaled": on_word("2 lb mangoes", process_min=5, scaled_from=SPREAD, factor=1),
    "said to be scaled from nothing": on_word("2 lb mangoes", process_min=5, scaled_from="no-such-recipe", factor=2),
    "an extra": on_word("4 cups mashed strawberries", "1/4 cup bottled lemon juice", process_min=10, extras=["2 cloves garlic"]),
}


@pytest.mark.parametrize("case", ON_THEIR_WORD)
def test_no_file_is_tested_on_its_own_word(case: str) -> None:
    result = check(ON_THEIR_WORD[case])
    assert result.standing == "tested, on your word"
    assert (result.storage, result.process) == ("cold", None)
    assert "tested-on-your-word" in ids(result)
    assert any("ested, on your word" in finding.text for finding in result.findings)


def test_nor_does_a_card_print_its_minutes() -> None:
    made = card.content(check(on_word("2 lb mangoes", process_min=5)), CardRequest())
    assert "5 min" not in repr(made)


def test_what_is_sour_enough_may_stand_on_a_shelf_by_the_rule_alone() -> None:
    result = check(on_word("4 cups mashed blueberries", "1/4 cup bottled lemon juice", process_min=10), altitude="4300 ft")
    assert (result.storage, result.standing) == ("shelf", "tested, on your word")
    assert result.process is not None
    assert result.process.minutes == 20


def test_a_file_kept_cold_on_its_word_says_so_and_is_refused_nothing() -> None:
    result = check(on_word("2 lb mangoes", keep="cold"))
    assert (result.storage, result.refused) == ("cold", None)
    assert "tested-on-your-word" in ids(result)


@settings(derandomize=True, deadline=None, max_examples=60)
@given(
    minutes=st.integers(1, 40),
    fruit=st.sampled_from(["strawberries", "blueberries", "mangoes", "plums", "figs", "cranberries"]),
    sugar_g=st.integers(0, 350),
    jar=st.sampled_from(["half-pint", "pint"]),
    source=st.sampled_from([None, WORD, {**WORD, "standing": "published"}]),
    table=st.booleans(),
    altitude=st.sampled_from([None, "900 ft", "4300 ft", "9000 ft"]),
)
def test_no_file_gets_fewer_minutes_than_the_table_below_full_sugar(
    minutes: int, fruit: str, sugar_g: int, jar: str, source: Any, table: bool, altitude: str | None
) -> None:
    recipe: dict[str, Any] = {"title": "Jam", "ingredients": [f"1000 g prepared {fruit}", "80 g bottled lemon juice"]}
    recipe["ingredients"] += [f"{sugar_g} g sugar"] if sugar_g else []
    recipe |= {"process": {jar: {"0-10000": minutes}}} if table else {"process_min": minutes}
    recipe |= {"source": source} if source else {}
    result = check(recipe, jar=jar, altitude=altitude)
    if result.process is not None:
        least = facts.table("process")["minutes"][jar]["by_band"]
        assert result.solids_percent.high < 60.0
        assert all(band.minutes >= row for band, row in zip(result.process.by_band, least, strict=True))
    elif minutes < facts.table("process")["minutes"][jar]["by_band"][0]:
        assert result.refused


# ---------------------------------------------------------------- one of ours, and one of ours changed


def text_of(name: str) -> dict[str, Any]:
    return tomllib.loads(recipetext.write_text(tested.shipped(name)))


def without(recipe: dict[str, Any], key: str) -> dict[str, Any]:
    return {name: value for name, value in recipe.items() if name != key}


@pytest.mark.parametrize("name", OURS)
def test_ours_is_tested_by_its_content_under_any_name_and_title(name: str, tmp_path: Path) -> None:
    path = tmp_path / "another name.toml"
    path.write_text(recipetext.write_text(replace(tested.shipped(name), title="Grandmother's")), encoding="utf-8")
    for recipe in (name, path, {**text_of(name), "title": "Mine"}):
        assert check(recipe).standing == "tested"


def changed(name: str) -> dict[str, dict[str, Any]]:
    """One of ours with one thing in it changed, for each thing that matters."""
    recipe = text_of(name)
    lines = recipe["ingredients"]
    swap = {"peaches": "mangoes", "apple": "cranberry", "grape": "cranberry", "pineapple": "mangoes"}
    other = [f"{line.rsplit(' ', 1)[0]} {swap[word]}" for line in lines for word in line.split()[-1:] if word in swap]
    made = {
        "an acid less": {**recipe, "ingredients": [line for line in lines if "lemon" not in line]},
        "less acid": {**recipe, "ingredients": [line.replace("1/4 cup", "2 tbsp") if "lemon" in line else line for line in lines]},
        "fresh for bottled": {**recipe, "ingredients": [line.replace("bottled ", "fresh ") for line in lines]},
        "a banana more": {**recipe, "ingredients": [*lines, "1 cup mashed bananas"]},
        "a line less": {**recipe, "ingredients": lines[1:]},
        "water": {**recipe, "ingredients": [*lines, "4 cups water"]},
        "honey for sugar": {**recipe, "ingredients": [line.replace("sugar", "honey") for line in lines]},
        "5 minutes": {**without(recipe, "process"), "process_min": 5},
        "a shorter table": {**without(recipe, "process_min"), "process": {"half-pint": {"0-10000": 5}, "quart": {"0-10000": 5}}},
        "another boil": {**recipe, "boil_min": 0, "simmer_min": 0},
        "covered": {**recipe, "covered": True},
        "headspace": {**recipe, "headspace": "1 in"},
        "garlic": {**recipe, "extras": ["3 cloves garlic"]},
        "other steps": {**recipe, "steps": ["Stir it cold and fill it."]},
        "another agency": {**recipe, "source": {**recipe["source"], "by": "my aunt"}},
        "quarts": {**recipe, "yield": "2 quarts"},
    }
    made |= {f"mango for fruit {number}": {**recipe, "ingredients": [new, *lines[1:]]} for number, new in enumerate(other, 1)}
    return {case: said for case, said in made.items() if said != recipe}


@pytest.mark.parametrize("case", changed(SPREAD))
def test_ours_with_one_thing_changed_is_not_ours(case: str) -> None:
    result = check(changed(SPREAD)[case])
    assert result.standing == "tested, on your word"
    assert "tested-on-your-word" in ids(result)
    if result.storage == "shelf":
        assert result.acidity.ph.high <= storage.SHELF_HIGH_SIDE_PH


@pytest.mark.parametrize("name", [name for name in OURS if name != SPREAD])
def test_none_of_ours_stays_ours_when_it_is_changed(name: str) -> None:
    for case, recipe in changed(name).items():
        try:
            read = recipefile.from_mapping(recipe)
        except jamcalc.errors.JamcalcError:
            continue  # a cold recipe with a time is no recipe at all
        assert tested.standing(read) == "tested, on your word", case


# ---------------------------------------------------------------- scaled


@pytest.mark.parametrize("name", OURS)
@pytest.mark.parametrize("how", [{"times": 1.5}, {"times": 1 / 3}, {"times": 2}, {"want": "7 {}"}, {"times": 7.77}])
def test_scaled_by_the_program_it_stays_tested_in_its_file_too(name: str, how: dict[str, Any]) -> None:
    stated = tested.shipped(name).stated_yield
    assert stated is not None
    how = {way: said.format(facts.jar(stated.jar).plural) if isinstance(said, str) else said for way, said in how.items()}
    made = api.scale_answer(name, **how, draws=0)
    assert made.result.standing == "tested"
    assert made.recipe.scaled_from == name
    again = recipefile.from_text(recipetext.write_text(made.recipe), "mine.toml")
    assert check(again).standing == "tested"
    twice = api.scale_answer(again, times=2, draws=0)
    assert twice.result.standing == "tested"
    assert twice.recipe.factor == pytest.approx(2 * made.scaled.factor)


def test_scaled_by_the_fruit_on_hand_it_stays_tested() -> None:
    made = api.scale_answer(SPREAD, fruit=["9 cups mashed peaches", "6 cups mashed pineapple"], draws=0)
    again = recipefile.from_text(recipetext.write_text(made.recipe))
    assert (made.result.standing, check(again).standing) == ("tested", "tested")
    assert made.scaled.factor == pytest.approx(2.25)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("bottled lemon juice", "water"),
        ("factor = 2", "factor = 3"),
        ("simmer_min = 15", "simmer_min = 1"),
        ("mashed peaches", "mashed mangoes"),
    ],
)
def test_a_scaled_file_that_was_changed_is_not_ours(old: str, new: str) -> None:
    text = recipetext.write_text(api.scale(SPREAD, times=2))
    assert old in text
    result = check(recipefile.from_text(text.replace(old, new)))
    assert result.standing == "tested, on your word"
    again = api.scale_answer(recipefile.from_text(text.replace(old, new)), times=2, draws=0)
    assert (again.result.standing, again.recipe.scaled_from) == ("tested, on your word", "")


def test_another_sweetener_loses_it() -> None:
    made = api.scale_answer(SPREAD, sweetener="honey", draws=0)
    assert made.result.standing == "calculated"
    assert made.recipe.scaled_from == ""


# ---------------------------------------------------------------- the time that its agency prints


def test_the_time_is_the_agencys_own_at_every_height_and_in_both_jars() -> None:
    """USDA Complete Guide to Home Canning (AIB 539), Guide 7, table 1: peach-pineapple spread, half-pints and pints."""
    rows = {"half-pint": [15, 20, 20, 25, 25], "pint": [20, 25, 30, 35, 35], "quarter-pint": [15, 20, 20, 25, 25]}
    for jar, row in rows.items():
        for feet, minutes in zip((500, 2000, 4300, 7000, 9500), row, strict=True):
            result = check(SPREAD, jar=jar, altitude=f"{feet} ft")
            assert result.standing == "tested"
            assert result.process is not None
            assert (result.process.minutes, [band.minutes for band in result.process.by_band]) == (minutes, row)
    assert check(SPREAD, altitude="10500 ft").refused


def shipped_with(monkeypatch: pytest.MonkeyPatch, *times: PrintedTime, process_min: float | None = None) -> Any:
    """The spread, as if it came with these printed minutes."""
    ours = replace(tested.shipped(SPREAD), printed_times=times, process_min=process_min)
    monkeypatch.setattr(tested, "shipped", lambda name: ours)
    return ours


@pytest.mark.parametrize("altitude", ["1500 ft", "4300 ft", "9000 ft"])
def test_one_printed_time_holds_for_its_jar_and_band_alone(monkeypatch: pytest.MonkeyPatch, altitude: str) -> None:
    ours = shipped_with(monkeypatch, process_min=15)
    low = check(ours, altitude="500 ft")
    assert low.process is not None
    assert [band.minutes for band in low.process.by_band] == [15]
    for more in ({"altitude": altitude}, {"jar": "pint"}):
        result = check(ours, **more)
        assert (result.storage, result.process) == ("cold", None)
        assert result.refused
        assert {"no-printed-time", "larger-jar"} & set(ids(result))


def test_a_row_for_pints_is_none_for_half_pints(monkeypatch: pytest.MonkeyPatch) -> None:
    ours = shipped_with(monkeypatch, PrintedTime(jar="pint", by_band=(15, None, 20, None, None)))
    assert check(ours, jar="pint").process.minutes == 15
    assert "no-printed-time" in ids(check(ours, jar="half-pint"))
    assert "no-printed-time" in ids(check(ours, jar="pint", altitude="2000 ft"))
    assert check(ours, jar="pint", altitude="5000 ft").process.minutes == 20


def test_a_tested_recipe_without_a_printed_time_is_not_put_on_a_shelf(monkeypatch: pytest.MonkeyPatch) -> None:
    ours = shipped_with(monkeypatch)
    result = check(ours)
    assert (result.storage, result.process) == ("cold", None)
    assert result.refused


def test_a_file_of_the_same_name_takes_nothing_from_ours(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path(SPREAD).write_text(recipetext.write_text(recipefile.from_mapping(on_word("2 lb mangoes", process_min=5))), encoding="utf-8")
    assert check(SPREAD).standing == "tested, on your word"
    assert api.scale(SPREAD, times=2).scaled_from == ""
    assert tested.shipped(SPREAD).stated_yield is not None


def test_whole_packets_stay_as_many_when_scaled_again() -> None:
    packets = recipefile.from_mapping({"title": "Jam", "ingredients": ["1 cup mashed plums", "1 packet no-sugar pectin", "1 cup sugar"]})
    for times in (7, 34, 50, 100):
        assert api.scale(packets, times=times).factor is None
        assert api.scale_answer(packets, times=times, draws=0).scaled.factor == times
    with pytest.raises(NotPossible):
        api.scale(packets, fruit="1/4 cup mashed plums")


@pytest.mark.parametrize("name", OURS)
def test_a_scaled_file_that_notes_an_altitude_is_still_tested(name: str) -> None:
    """The altitude chooses among the agency's printed times; it makes no other recipe."""
    noted = api.scale_answer(name, times=2, altitude="4300 ft").recipe
    assert noted.altitude_ft == 4300
    again = recipefile.from_text(recipetext.write_text(noted))
    here, there = check(again), check(name, altitude="4300 ft")
    assert (here.standing, there.standing) == ("tested", "tested")
    assert (here.storage, here.process) == (there.storage, there.process)
    elsewhere = check(again, altitude="9500 ft")  # said at the time, it comes before what the file notes
    assert (elsewhere.standing, elsewhere.process) == ("tested", check(name, altitude="9500 ft").process)
