"""The recipes that come with the program: each reads, names its source, and equals its printed figures (printed_recipes.toml)."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

import jamcalc
from jamcalc import api, facts
from jamcalc.jars import process
from jamcalc.nouns.said import Line
from jamcalc.reading import extras, recipefile, recipetext, supplied

NAMES = supplied.names()
PRINTED = {
    each["name"]: each for each in tomllib.loads(Path(__file__).parents[1].joinpath("printed_recipes.toml").read_text("utf-8"))["recipe"]
}
# NIST Handbook 44, Appendix C: customary units in mL and g
UNITS = {"cup": 236.588, "tbsp": 14.7868, "tsp": 4.92892, "floz": 29.5735, "lb": 453.592, "oz": 28.3495, "packet": 1.0}
CLOSE = 2e-3
# Addresses are those of agencies; seasonalandsimple.info is University of Missouri Extension's.
AGENCIES = (".edu", ".gov", "seasonalandsimple.info")
TESTED = {name for name, printed in PRINTED.items() if printed["origin"] == "agency"}


def size(line: Line, unit: str) -> float:
    """The amount of a line in a printed unit."""
    amount = line.amount
    held = {"lb": amount.grams, "oz": amount.grams, "packet": amount.count}.get(unit, amount.ml)
    assert held is not None, line.text
    return held / UNITS[unit]


def within(value: float, printed: Any) -> bool:
    low, high = printed if isinstance(printed, list) else (printed, printed)
    return bool(low * (1 - CLOSE) <= value <= high * (1 + CLOSE))


# ---------------------------------------------------------------- as printed


def test_every_recipe_has_its_printed_figures_and_none_is_left_over() -> None:
    assert set(NAMES) == set(PRINTED)
    for printed in PRINTED.values():
        assert printed["source"]
        assert printed["grade"] in ("seen", "memory")


@pytest.mark.parametrize("name", NAMES)
def test_it_equals_its_printed_figures(name: str) -> None:
    recipe, printed = recipefile.read(name), PRINTED[name]
    assert sorted(line.item for line in recipe.lines) == sorted(item for _, _, item, _ in printed["amounts"])
    for number, unit, item, form in printed["amounts"]:
        line = next(each for each in recipe.lines if each.item == item)
        if unit == "oz" and line.amount.count == 1:  # a packet by its printed weight
            assert within((line.amount.grams or 0) / UNITS["oz"], number), line.text
        else:
            assert within(size(line, unit), number), line.text
        assert not form or line.form == form
    stated = recipe.stated_yield
    assert stated is not None
    least, most, jar = printed["jars"]
    assert (stated.low, stated.high, stated.jar) == (pytest.approx(least, abs=0.001), pytest.approx(most, abs=0.001), jar)
    headspace_in = printed.get("headspace_in")
    assert (recipe.headspace_mm or 0) / 25.4 == pytest.approx(headspace_in or 0)
    for minutes, key in ((recipe.boil_min, "boil_min"), (recipe.simmer_min, "simmer_min")):
        assert (minutes is None) == (key not in printed), key
        assert minutes is None or within(minutes, printed[key])


@pytest.mark.parametrize("name", NAMES)
def test_its_extras_are_those_printed(name: str) -> None:
    recipe, printed = recipefile.read(name), PRINTED[name].get("extras", [])
    assert len(recipe.extras) == len(printed)
    for number, unit, word in printed:
        extra = next(each for each in recipe.extras if word in each)
        found = re.match(r"(\d+ \d+/\d+|\d+/\d+|\d+) ?", extra)
        assert found, extra
        value = sum(float(top) / float(bottom or 1) for top, bottom in re.findall(r"(\d+)(?:/(\d+))?", found[1]))
        assert within(value, number), extra
        assert extra[found.end() :].startswith(f"{unit} " if unit else ""), extra


@pytest.mark.parametrize("name", NAMES)
def test_its_minutes_are_those_printed_and_no_more(name: str) -> None:
    recipe, printed = recipefile.read(name), PRINTED[name]
    rows = {time.jar: [minutes or 0 for minutes in time.by_band] for time in recipe.printed_times}
    if rows:
        assert rows == printed["process"]
    else:  # the lowest band alone
        assert ([] if recipe.process_min is None else [[recipe.process_min, 0, 0, 0, 0]]) == list(printed.get("process", {}).values())
    if "process" in printed:
        jar = recipe.stated_yield.jar  # type: ignore[union-attr]
        assert recipe.process_min == printed["process"][jar][0]


@pytest.mark.parametrize("name", NAMES)
def test_it_keeps_as_printed(name: str) -> None:
    recipe, printed = recipefile.read(name), PRINTED[name]
    assert (recipe.keep == "cold") == printed.get("cold", False) == (recipe.process_min is None)
    assert recipe.keep_weeks == printed.get("weeks")
    # where nothing is printed a file may still say that gelatin is not frozen
    assert recipe.freeze == printed.get("freeze") or (recipe.freeze is False and "freeze" not in printed)


@pytest.mark.parametrize("name", sorted(TESTED))
def test_a_tested_recipe_keeps_its_storage_and_its_agencys_minutes(name: str) -> None:
    printed = PRINTED[name]
    if printed.get("cold"):
        result = jamcalc.check(name, draws=0)
        assert (result.storage, result.refused, result.process) == ("cold", None, None)
        assert result.keeping == "In the refrigerator (40 F or below) within 4 weeks; do not freeze it. Not for the shelf."
        return
    for jar in ("half-pint", "pint"):  # none is taken from another jar
        row = printed["process"].get(jar, [0] * 5)
        for minutes, altitude in zip(row, ("500 ft", "2000 ft", "4300 ft", "7000 ft", "9000 ft"), strict=True):
            result = jamcalc.check(name, jar=jar, altitude=altitude, draws=0)
            assert (result.process.minutes if result.process else 0) == minutes, (jar, altitude)
            assert (result.storage, bool(result.refused)) == (("shelf", False) if minutes else ("cold", True)), (jar, altitude)


@pytest.mark.parametrize(
    ("key", "value"),
    [("keep_weeks", 52), ("freeze", True), ("extras", ["2 tbsp unflavored gelatin powder"]), ("ingredients", ["4 cups apple juice"])],
)
def test_a_tested_recipe_that_is_changed_keeps_no_longer_for_it(key: str, value: Any) -> None:
    ours = tomllib.loads(recipetext.write_text(recipefile.read("refrigerated-apple-spread")))
    assert "within 4 weeks" in jamcalc.check(ours, draws=0).keeping
    assert "about 3 weeks" in jamcalc.check({**ours, key: value}, draws=0).keeping


# ---------------------------------------------------------------- who stands behind it


def test_tested_is_an_agencys_own_and_a_packers_is_not() -> None:
    for name in NAMES:
        source = recipefile.read(name).source
        assert source is not None
        assert (source.standing == "tested") == (name in TESTED), name
        if source.standing == "tested":
            assert re.search(r"Department of Agriculture|Extension|National Center", source.by), name
        if PRINTED[name]["origin"] == "packer" and re.search("University|Extension", source.by):
            assert re.match(r"an? \w+ (?:packer|maker), printed by ", source.by), name


def test_no_address_but_an_agencys() -> None:
    for name in NAMES:
        url = recipefile.read(name).source.url  # type: ignore[union-attr]
        assert not url or (urlsplit(url).hostname or "").endswith(AGENCIES), name


def test_the_list_groups_them_by_who_stands_behind_them(capsys: pytest.CaptureFixture[str]) -> None:
    from jamcalc.cli.main import main

    assert main(["recipes"]) == 0
    said = capsys.readouterr().out
    assert max(map(len, said.splitlines())) <= 80
    tested, published = said.split("\nPublished")
    assert tested.startswith("Tested")
    for name in NAMES:
        assert re.search(rf"^ +- {name}: ", tested if name in TESTED else published, re.MULTILINE), name
        by = recipefile.read(name).source.by  # type: ignore[union-attr]
        assert by[:1].upper() + by[1:] in " ".join(said.split()), by


# ---------------------------------------------------------------- the kind of recipe


def test_there_are_a_dozen_and_some_are_calcium_set() -> None:
    assert len(NAMES) >= 12
    pectins = [line.item for name in NAMES for line in recipefile.read(name).lines if line.role == "pectin"]
    assert pectins.count("calcium-set") >= 4


@pytest.mark.parametrize("name", NAMES)
def test_recipe_reads_and_has_its_source(name: str) -> None:
    recipe = recipefile.read(name)
    assert recipe.name == name
    assert recipe.source is not None
    assert recipe.source.by
    assert recipe.steps
    assert any(line.role == "fruit" for line in recipe.lines)


@pytest.mark.parametrize("name", NAMES)
def test_by_path_or_by_name_is_the_same(name: str) -> None:
    path = Path(__file__).parents[2] / "recipes" / f"{name}.toml"
    assert recipefile.read(path) == recipefile.read(name)


@pytest.mark.parametrize("name", NAMES)
def test_written_out_it_is_the_same_recipe(name: str) -> None:
    recipe = recipefile.read(name)
    assert recipefile.from_text(recipetext.write_text(recipe), name) == recipe


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("times", [0.5, 2, 3])
def test_it_is_checked_and_scaled(name: str, times: float) -> None:
    assert jamcalc.check(name, draws=0).refused is None
    packets = any(line.role == "pectin" and line.amount.count for line in recipefile.read(name).lines)
    made = api.scale_answer(name, times=times, draws=0)
    assert made.scaled.factor == (max(1.0, times) if packets else times)
    assert made.result.refused is None


@pytest.mark.parametrize("name", NAMES)
def test_low_sugar_is_not_processed_for_less_than_the_table(name: str) -> None:
    recipe = recipefile.read(name)
    jar = facts.jar(recipe.stated_yield.jar)  # type: ignore[union-attr]
    if recipe.process_min is not None and name not in TESTED:
        assert recipe.process_min >= process.table_minutes(jar.size_class, jar.name)[0]


def test_calcium_set_pectin_comes_with_calcium_water() -> None:
    for name in NAMES:
        roles = {line.role: line.item for line in recipefile.read(name).lines}
        assert ("calcium water" in roles) == (roles.get("pectin") == "calcium-set"), name


def test_gelatin_makes_it_a_cold_recipe() -> None:
    for name in NAMES:
        recipe = recipefile.read(name)
        assert recipe.keep == "cold" or not extras.unfit_extras(recipe.extras), name


def test_gelatin_is_never_said_to_be_frozen_unless_its_source_says_so() -> None:
    own = {"ingredients": ["4 cups apple juice"], "keep": "cold", "extras": ["2 tbsp gelatin"]}
    for recipe in ("refrigerated-apple-spread", "apple-jelly-gelatin", own):
        assert "do not freeze" in jamcalc.check(recipe, draws=0).keeping
    assert "frozen up to a year" in jamcalc.check({**own, "freeze": True}, draws=0).keeping


def test_a_file_alone_makes_no_jam_keep_longer() -> None:
    own = {"ingredients": ["4 cups mashed cranberries", "1 cup sugar"], "keep": "cold"}
    assert "about 3 weeks" in jamcalc.check({**own, "keep_weeks": 9}, draws=0).keeping
    assert "within 2 weeks" in jamcalc.check({**own, "keep_weeks": 2}, draws=0).keeping
    with pytest.raises(jamcalc.errors.RecipeError, match='keep = "cold"'):
        jamcalc.check({"ingredients": own["ingredients"], "keep_weeks": 2, "process_min": 10})
