"""Every way that once led round the rule, and its siblings: jars, amounts, sweeteners, fruits and readings that no table answers for."""

from __future__ import annotations

import json
from typing import Any

import pytest

import jamcalc
from jamcalc import api, facts
from jamcalc.cli.main import main
from jamcalc.formula import storage

CLOSED = [key for key in facts.table("jars") if facts.jar(key).closure]
FIT = [key for key in facts.keys("fruit") if facts.fruit(key).fit.fitness == "fit"]
WEAK = [key for key in FIT if facts.fruit(key).ph.high_grade not in storage.HELD_UP]


def batch(*lines: str, **more: Any) -> Any:
    return jamcalc.batch(list(lines), draws=0, **more)


def check(*lines: str, reading: Any = None, jar: Any = None, **more: Any) -> Any:
    return jamcalc.check({"title": "A jam", "ingredients": list(lines), **more}, draws=0, reading=reading, jar=jar)


def ids(result: Any) -> list[str]:
    return [finding.id for finding in result.findings]


def is_cold(result: Any, *findings: str) -> bool:
    return (result.storage, result.process) == ("cold", None) and set(findings) <= set(ids(result))


# ---------------------------------------------------------------- jars


@pytest.mark.parametrize("key", CLOSED)
def test_clip_and_one_piece_jars_are_kept_cold(key: str) -> None:
    jar = facts.jar(key).name
    why = "jar-too-large" if facts.jar(key).size_class == "too large" else "jar-closure"
    assert is_cold(batch("3 lb blueberries", jar=jar), why)
    assert is_cold(check("4 cups mashed blueberries", "1/4 cup bottled lemon juice", process_min=10, jar=jar), why)
    assert batch("3 lb blueberries", jar=jar, store="shelf").refused


@pytest.mark.parametrize("jar", ["250 mL clip jar", "370 mL jar"])
def test_the_process_command_gives_no_minutes_for_them(jar: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["process", "--jar", jar, "--json"]) == 1
    said = json.loads(capsys.readouterr().out)
    assert said["minutes"] is None
    assert "two-piece" in said["refused"]


def test_they_are_not_filled_from_the_kitchen_either() -> None:
    result = batch("3 lb blueberries", on_hand=["12 250 mL clip jars", "6 half-pints"])
    assert result.storage == "shelf"
    assert {each.jar for each in result.kitchen.heat} == {"half-pint"}
    assert "clip" in " ".join(finding.text for finding in result.findings)
    cold = batch("2 lb figs", on_hand=["12 250 mL clip jars"])
    assert cold.storage == "cold"
    assert cold.kitchen.heat  # the refrigerator takes any jar


@pytest.mark.parametrize("lines", [("3 oz blueberries",), ("60 g prepared strawberries", "10 g sugar"), ("1 oz plums",)])
def test_a_batch_that_does_not_fill_a_jar_is_kept_cold(lines: tuple[str, ...]) -> None:
    assert is_cold(batch(*lines), "part-jar")
    assert is_cold(check(*lines, "1 tsp bottled lemon juice", process_min=10), "part-jar")
    assert is_cold(batch("1/2 lb blueberries", jar="pint"), "part-jar")


def test_nor_is_a_tested_recipe_scaled_to_less_than_a_jar() -> None:
    made = api.scale_answer("peach-pineapple-spread", times=0.1, draws=0)
    assert is_cold(made.result, "part-jar")


# ---------------------------------------------------------------- solids and sugars


@pytest.mark.parametrize("brix", [40, 60, 80])
@pytest.mark.parametrize("fruit", ["plum", "strawberry", "blueberry"])
def test_a_brix_that_no_fruit_has_is_odd(fruit: str, brix: int) -> None:
    assert is_cold(batch(f"1 kg {facts.fruit(fruit).plural}", reading=f"{fruit} Brix {brix}"), "reading-odd")


def test_a_brix_that_a_fruit_may_have_is_not() -> None:
    for fruit, brix in (("plum", 18), ("strawberry", 12), ("grape", 24)):
        assert "reading-odd" not in ids(batch(f"1 kg {facts.fruit(fruit).plural}", reading=f"{fruit} Brix {brix}"))


@pytest.mark.parametrize("sweetener", ["sugar", "honey", "xylitol", "fructose"])
def test_what_is_nearly_all_solids_is_no_jam(sweetener: str) -> None:
    result = check("100 g prepared blueberries", f"5 kg {sweetener}", process_min=5)
    assert result.solids_percent.typical > storage.MOST_SOLIDS_PERCENT
    assert is_cold(result, "too-thick")


@pytest.mark.parametrize("sweetener", ["xylitol", "erythritol"])
def test_solids_that_are_no_sugar_bring_no_short_time(sweetener: str) -> None:
    lines = ("1000 g prepared blueberries", f"2200 g {sweetener}", "60 g bottled lemon juice")
    result = check(*lines, process_min=5, boil_min=1)
    assert result.solids_percent.low >= 60.0
    assert is_cold(result, "time-under-table")
    assert result.refused


def test_the_low_end_of_the_sugars_counts() -> None:
    """Honey is 82 % sugars at the most and 75 at the least: at 60 % solids by the middle it is not at 60 by the low end."""
    found = {}
    for sugar_g in range(1100, 2400, 50):
        result = check("1000 g prepared blueberries", f"{sugar_g} g sugar", "60 g bottled lemon juice", process_min=5, boil_min=1)
        found[result.solids_percent.low] = result.process
    assert any(process is None for process in found.values())
    assert any(process is not None for process in found.values())
    assert all(process is None or solids >= 60.0 for solids, process in found.items())


@pytest.mark.parametrize("minutes", [1, 2, 4])
def test_a_time_is_not_raised_in_silence(minutes: int) -> None:
    result = check("1000 g prepared strawberries", "1700 g sugar", "60 g bottled lemon juice", process_min=minutes, boil_min=1)
    assert "time-raised" in ids(result)
    assert result.process is not None
    assert result.process.minutes == 5


# ---------------------------------------------------------------- fruits that no table answers for


@pytest.mark.parametrize("key", WEAK)
def test_a_fruit_whose_high_ph_nobody_has_seen_is_cold_until_measured(key: str) -> None:
    fruit = facts.fruit(key)
    line = f"1 kg prepared {fruit.plural}" if fruit.kind == "fruit" else f"1 L {fruit.plural}"
    assert is_cold(batch(line), "measure")
    assert batch(line, reading="batch pH 3.9").storage == "shelf"
    assert is_cold(batch("1 kg blueberries", line), "measure")
    read = batch(line, reading=f"{fruit.name} pH {fruit.ph.typical}")
    assert read.storage == ("shelf" if read.acidity.ph.high <= 4.0 else "cold")


def test_there_are_such_fruits() -> None:
    assert {"kiwi", "pomegranate", "passion_fruit"} <= set(WEAK)


SEVEN = ("plums", "peaches", "strawberries", "raspberries", "blueberries", "rhubarb", "apples")


def test_of_seven_fruits_the_batch_itself_is_read() -> None:
    lines = tuple(f"300 g prepared {name}" for name in SEVEN)
    assert is_cold(batch(*lines), "measure")
    assert batch(*lines, reading="batch pH 3.8").storage == "shelf"
    assert batch(*lines[:6]).storage == "shelf"
    assert batch(*lines, reading="apple pH 3.5 TA 0.5").storage == "shelf"  # six are left whose acidity nobody has measured
