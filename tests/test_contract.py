"""What other people's scripts rely on: the JSON key for key, shelf and cold, readings, minutes, names read cautiously."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from typing import Any

import pytest

import jamcalc
from jamcalc import facts

RANGE = {"low", "typical", "high"}
KEYS: dict[str, set[str]] = {
    "": {
        "schema", "command", "title", "storage", "ingredients", "lemon_juice", "pectin", "calcium_water", "acidity", "set",
        "solids_percent",
        "water_activity", "yield", "process", "findings", "refused", "cautions", "sources",
    },
    "lemon_juice": {"g", "ml", "measure"},
    "pectin": {"g", "tsp", "measure"},
    "calcium_water": {"ml", "tsp", "calcium_mg", "measure"},
    "acidity": {"ph", "ph_before_lemon", "titratable_percent", "meter_needed"},
    "set": {"pectin_percent", "calcium_mg_per_g_pectin", "calcium_from_fruit_mg", "class", "too_much_calcium"},
    "yield": {"mass_g", "hot_volume_ml", "jar", "jars", "full_jars", "over_ml", "headspace_mm"},
}  # fmt: skip
INGREDIENT = {"item", "role", "as_bought_g", "grams", "ml", "measure"}
ROLES = {"fruit", "sweetener", "acid", "pectin", "calcium water", "liquid", "other"}
PROCESS = {"minutes", "altitude_ft", "boiling_point_c", "by_band"}


def batch(*lines: str, **options: Any) -> dict[str, Any]:
    result = jamcalc.batch(list(lines), **{"draws": 0, **options})
    return json.loads(json.dumps(result.to_dict(), allow_nan=False))  # type: ignore[no-any-return]


def ids(answer: dict[str, Any]) -> list[str]:
    return [finding["id"] for finding in answer["findings"]]


def command(*words: str, text: str | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "jamcalc", *words], capture_output=True, text=True, input=text, timeout=300, check=False)


def holds_to_the_contract(answer: dict[str, Any], name: str) -> None:
    """Every key of the contract, every range in order, and what must agree with what."""
    for part, keys in KEYS.items():
        assert keys <= (answer[part] if part else answer).keys(), part
    assert answer["schema"] == "jamcalc/1"
    assert answer["command"] == name
    assert answer["storage"] in ("shelf", "cold")
    ranges = [answer["acidity"][key] for key in ("ph", "ph_before_lemon", "titratable_percent")]
    ranges += [answer["solids_percent"], answer["yield"]["mass_g"], answer["yield"]["hot_volume_ml"]]
    for each in ranges:
        assert each.keys() == RANGE
        assert each["low"] <= each["typical"] <= each["high"]
    for key in ("ph", "ph_before_lemon"):
        assert all(round(value, 2) == value for value in answer["acidity"][key].values())
    jars = answer["yield"]["jars"]
    assert {"low", "expected", "high", "heat"} <= jars.keys()
    assert jars["low"] <= jars["expected"] <= jars["high"] <= jars["heat"]
    assert answer["yield"]["full_jars"] == math.floor(jars["expected"])
    assert isinstance(jars["heat"], int)
    assert (answer["process"] is None) == (answer["storage"] == "cold")
    if answer["process"] is not None:
        assert answer["process"].keys() >= PROCESS
        assert 1 <= len(answer["process"]["by_band"]) <= 5  # of a tested recipe only those that its agency prints
        assert answer["standing"] == "tested" or len(answer["process"]["by_band"]) == 5
    assert answer["set"]["class"] in ("none", "soft", "medium", "firm")
    assert isinstance(answer["acidity"]["meter_needed"], bool)
    assert answer["refused"] is None or isinstance(answer["refused"], str)
    for ingredient in answer["ingredients"]:
        assert ingredient.keys() >= INGREDIENT
        assert ingredient["role"] in ROLES
        assert ingredient["grams"] > 0.0 or ingredient["role"] == "other"
    for key in ("findings", "cautions", "sources"):
        assert all({"id", "text"} <= each.keys() and each["id"] and each["text"] for each in answer[key])
    assert answer["sources"]
    assert 0.0 < answer["water_activity"] <= 1.0


# ---------------------------------------------------------------- the keys

QUESTIONS: list[tuple[tuple[str, ...], dict[str, Any]]] = [
    (("3 lb plums", "1 1/2 lb frozen blackberries"), {"sweetener": "honey", "altitude": "4300 ft", "draws": 500}),
    (("3 lb plums",), {"units": "metric", "jar": "pint"}),
    (("2 lb figs", "1/2 cup water"), {"sweetener": "stevia extract"}),
    (("2 lb elderberries",), {}),
    (("3 cups apple juice", "4 cups mashed strawberries", "1/2 cup sugar", "1 tsp citric acid"), {"store": "cold"}),
    (("10 g plums",), {}),
    (("100 kg plums",), {"set": "firm"}),
    (("1 kg plums", "1 packet standard pectin", "4 cups sugar"), {}),
    (("2 lb guavas",), {"reading": "batch pH 3.9"}),
    (("2 lb plums",), {"altitude": "12000 ft"}),
]


@pytest.mark.parametrize(("lines", "options"), QUESTIONS, ids=[lines[0] for lines, _ in QUESTIONS])
def test_batch_json(lines: tuple[str, ...], options: dict[str, Any]) -> None:
    holds_to_the_contract(batch(*lines, **options), "batch")


@pytest.mark.parametrize("name", ["raspberry-blueberry", "peach-pineapple-spread", "refrigerated-apple-spread"])
def test_check_and_scale_json(name: str) -> None:
    holds_to_the_contract(json.loads(json.dumps(jamcalc.check(name, draws=0).to_dict(), allow_nan=False)), "check")
    from jamcalc import api

    scaled = json.loads(json.dumps(api.scale_answer(name, times=1.5, draws=0).to_dict(), allow_nan=False))
    holds_to_the_contract(scaled, "scale")


@pytest.mark.parametrize(
    "words",
    [
        ("strawberry-rhubarb", "--want", "9 pints"),
        ("raspberry-blueberry", "--times", "2", "--jar", "quart"),
        ("strawberry-no-sugar", "--fruit", "500 g mashed strawberries"),
    ],
)
def test_a_scale_that_is_refused_prints_the_whole_object(words: tuple[str, ...]) -> None:
    done = command("scale", *words, "--json")
    assert done.returncode == 1
    answer = json.loads(done.stdout)
    holds_to_the_contract(answer, "scale")
    assert done.stderr == f"jamcalc: {answer['refused']}\n"
    assert answer["scaled"] is None
    quiet = command("scale", *words)
    assert (quiet.returncode, quiet.stdout, quiet.stderr) == (1, "", done.stderr)


def test_the_json_of_the_command_is_that_of_python() -> None:
    done = command("batch", "3 lb plums", "--sweetener", "honey", "--altitude", "4300 ft", "--json")
    assert done.returncode == 0
    printed = json.loads(done.stdout)
    holds_to_the_contract(printed, "batch")
    assert printed == json.loads(json.dumps(jamcalc.batch(["3 lb plums"], sweetener="honey", altitude="4300 ft").to_dict()))


def test_what_a_script_reads_off_a_batch() -> None:
    answer = batch("3 lb plums", sweetener="honey", altitude="4300 ft")
    plum = answer["ingredients"][0]
    assert (plum["item"], plum["role"], plum["as_bought_g"]) == ("plum", "fruit", 1360.8)
    assert plum["grams"] < plum["as_bought_g"]
    assert plum["measure"].endswith("cups mashed")
    assert answer["yield"]["jar"] == "half-pint"
    assert answer["yield"]["headspace_mm"] == 6.35
    assert answer["process"]["altitude_ft"] == 4300
    assert answer["process"]["minutes"] == 20
    assert answer["process"]["boiling_point_c"] == pytest.approx(95.6, abs=0.3)
    lemon = next(each for each in answer["ingredients"] if each["role"] == "acid")
    assert (lemon["grams"], lemon["measure"]) == (answer["lemon_juice"]["g"], answer["lemon_juice"]["measure"])
    titratable = answer["acidity"]["titratable_percent"]
    assert 0.3 < titratable["typical"] < 3.0


# ---------------------------------------------------------------- shelf or cold

ON_THE_SHELF = [
    "strawberries",
    "blueberries",
    "raspberries",
    "yellow peaches",
    "plums",
    "blackberries",
    "sour cherries",
    "apples",
    "pears",
    "rhubarb",
]


@pytest.mark.parametrize("name", ON_THE_SHELF)
@pytest.mark.parametrize("sweetener", [None, "honey", "maple syrup", "sugar", "stevia extract"])
def test_for_the_shelf_as_dosed(name: str, sweetener: str | None) -> None:
    answer = batch(f"3 lb {name}", sweetener=sweetener)
    assert answer["storage"] == "shelf"
    assert answer["acidity"]["ph"]["high"] <= 4.00
    assert not answer["acidity"]["meter_needed"]
    assert answer["process"]["minutes"] == 10
    assert answer["process"]["altitude_ft"] is None


NEVER = ["elderberries", "white peaches", "white nectarines", "melon", "watermelon", "pumpkin", "bananas", "figs", "tomatoes", "mangoes",
         "papaya",
         "persimmons", "asian pears", "dates", "coconut", "zucchini", "hot peppers", "bell peppers", "carrots", "onions",
         "cucumbers"]  # fmt: skip


@pytest.mark.parametrize("name", NEVER)
@pytest.mark.parametrize(
    "more", [(), ("3 lb strawberries",), ("10 kg cranberries", "1 cup bottled lemon juice")], ids=["alone", "in a mix", "a trace"]
)
def test_never_for_the_shelf_however_little(name: str, more: tuple[str, ...]) -> None:
    answer = batch("1 g " + name if len(more) == 2 else "2 lb " + name, *more)
    assert answer["storage"] == "cold"
    assert answer["process"] is None
    reasons = set(ids(answer)) & {"do-not-can", "tested-only"}
    assert len(reasons) == 1
    text = next(finding["text"] for finding in answer["findings"] if finding["id"] in reasons)
    assert len(text) > 60  # why, and what to do instead
    assert batch("2 lb " + name, *more, reading="batch pH 3.2")["storage"] == "cold"


def test_a_cold_answer_says_how_long_and_how() -> None:
    keeping = batch("2 lb figs")["keeping"]
    assert "3 weeks" in keeping
    assert "1/2 in" in keeping


# ---------------------------------------------------------------- readings


def test_a_fruit_reading_is_plus_or_minus_a_tenth_and_the_model_a_tenth_more() -> None:
    answer = batch("3 lb plums", reading="plum pH 3.4 TA 1.2 Brix 12")
    assert answer["acidity"]["ph_before_lemon"] == {"low": 3.3, "typical": 3.4, "high": 3.6}
    assert answer["lemon_juice"]["g"] == 0.0
    assert answer["storage"] == "shelf"


def test_a_mild_reading_asks_for_more_lemon_juice() -> None:
    doses = [batch("3 lb plums", reading=f"plum pH {ph} TA 1.0")["lemon_juice"]["g"] for ph in (3.4, 3.95, 4.1)]
    assert doses[0] == 0.0 < doses[1] < doses[2]


def test_brix_moves_solids() -> None:
    low, high = (batch("3 lb plums", reading=f"plum Brix {brix}")["solids_percent"]["typical"] for brix in (8, 16))
    assert high - low > 5.0


@pytest.mark.parametrize(
    ("reading", "kept", "found", "meter"),
    [
        ("3.9", "shelf", None, False),
        ("4.2", "shelf", None, False),
        ("4.21", "cold", "measure", True),
        ("4.3", "cold", "measure", True),
        ("4.7", "cold", "ph-over-limit", True),
    ],
)
def test_a_reading_of_the_batch_decides_for_guava(reading: str, kept: str, found: str | None, meter: bool) -> None:
    assert batch("2 lb guavas")["storage"] == "cold"
    assert "measure" in ids(batch("2 lb guavas"))
    answer = batch("2 lb guavas", reading=f"batch pH {reading}")
    assert answer["storage"] == kept
    assert answer["acidity"]["ph"]["typical"] == float(reading)
    assert answer["acidity"]["meter_needed"] is meter
    reasons = set(ids(answer)) & {"measure", "ph-over-limit"}
    assert reasons == ({found} if found else set())


@pytest.mark.parametrize("reading", ["plum pH 15", "plum pH -1", "plum pH NaN", "plum", "plum pH", "pear pH 3.9"])
def test_a_reading_that_cannot_be_is_refused(reading: str) -> None:
    done = command("batch", "3 lb plums", "--reading", reading, "--json")
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1


# ---------------------------------------------------------------- store, altitude, jar


@pytest.mark.parametrize(
    ("words", "code", "kept"),
    [
        (("3 lb plums", "--store", "shelf"), 0, "shelf"),
        (("3 lb plums", "--store", "cold"), 0, "cold"),
        (("3 lb figs", "--store", "cold"), 0, "cold"),
        (("3 lb figs",), 0, "cold"),
        (("3 lb figs", "--store", "shelf"), 1, "cold"),
        (("3 lb guavas", "--store", "shelf"), 1, "cold"),
        (("3 lb plums", "--jar", "quart", "--store", "shelf"), 1, "cold"),
        (("3 lb plums", "--altitude", "10001 ft"), 1, "cold"),
        (("3 lb plums", "--altitude", "12000 ft", "--store", "cold"), 0, "cold"),
    ],
)
def test_exit_codes_of_batch(words: tuple[str, ...], code: int, kept: str) -> None:
    done = command("batch", *words, "--json")
    assert done.returncode == code
    answer = json.loads(done.stdout)
    holds_to_the_contract(answer, "batch")
    assert answer["storage"] == kept
    assert (answer["refused"] is not None) == (code == 1)
    assert (done.stderr != "") == (code == 1)
    if code:
        assert answer["refused"] in done.stderr


@pytest.mark.parametrize("jar", ["quart", "500 mL", "pint and a half jar"])
def test_a_large_jar_is_cold(jar: str) -> None:
    answer = batch("3 lb plums", jar=jar)
    assert (answer["storage"], answer["process"]) == ("cold", None)
    assert "jar-too-large" in ids(answer)


HALF_PINT, PINT = [10, 15, 20, 25, 30], [20, 25, 30, 35, 35]


@pytest.mark.parametrize(
    ("feet", "band"),
    [(-500, 0), (0, 0), (1000, 0), (1001, 1), (3000, 1), (3001, 2), (6000, 2), (6001, 3), (8000, 3), (8001, 4), (10000, 4)],
)
def test_minutes_by_band(feet: int, band: int) -> None:
    for jar, row in (("half-pint", HALF_PINT), ("quarter-pint", HALF_PINT), ("pint", PINT)):
        process = batch("3 lb plums", jar=jar, altitude=f"{feet} ft")["process"]
        assert process["minutes"] == row[band]
        assert [each["minutes"] for each in process["by_band"]] == row
        assert process["altitude_ft"] == feet


def test_altitude_in_metres_is_the_same_band() -> None:
    assert batch("3 lb plums", altitude="1310 m")["process"]["minutes"] == 20
    assert batch("3 lb plums", altitude="1310 m")["process"]["altitude_ft"] == pytest.approx(4298, abs=0.5)


# ---------------------------------------------------------------- names read cautiously


@pytest.mark.parametrize(
    ("text", "item", "words"),
    [
        ("3 lb cherries", "sweet_cherry", "sour"),
        ("3 lb peaches", "peach", "white"),
        ("3 lb nectarines", "nectarine", "white"),
        ("3 lb grapes", "grape", "less acid"),
    ],
)
def test_an_ambiguous_fruit_takes_the_cautious_reading_and_says_so(text: str, item: str, words: str) -> None:
    answer = batch(text)
    assert answer["ingredients"][0]["item"] == item
    assert any(words in finding["text"] for finding in answer["findings"])


def test_lemon_juice_without_bottled_is_fresh_and_weak() -> None:
    fresh = batch("3 lb plums", "1/4 cup lemon juice")
    bottled = batch("3 lb plums", "1/4 cup bottled lemon juice")
    assert "fresh-lemon" in ids(fresh)
    assert any(each["item"] == "fresh_lemon_juice" for each in fresh["ingredients"])
    assert "fresh-lemon" not in ids(bottled)
    assert fresh["lemon_juice"]["g"] > bottled["lemon_juice"]["g"]  # more in all, since fresh counts for less


@pytest.mark.parametrize("text", ["2 lb white peaches", "2 lb white-flesh nectarines"])
def test_white_flesh_is_never_canned(text: str) -> None:
    assert "do-not-can" in ids(batch(text))


@pytest.mark.parametrize(
    ("words", "hint"),
    [
        (("3 lb plums", "2 tsp pectin"), "calcium-set"),
        (("3 lb plums", "--sweetener", "stevia blend"), "erythritol"),
        (("3 lb plums", "1/2 cup honey", "--sweetener", "honey"), "honey"),
        (("4 cups strawberries",), "mashed"),
        (("2,5 kg plums",), "2,5"),
        (("2 lb stawberries",), "strawberry"),
        (("NaN lb plums",), "NaN"),
        (("101 kg plums",), "100 kg"),
        (("8 oz apple juice",), "fl oz"),
    ],
)
def test_what_is_asked_back_is_one_line_and_exit_2(words: tuple[str, ...], hint: str) -> None:
    done = command("batch", *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1
    assert hint in done.stderr


def test_every_fit_fruit_is_answered_for() -> None:
    """Cold only where the high pH is held from memory or judgement, or where more lemon juice than 150 g per kg would be needed."""
    fit = [facts.fruit(key) for key in facts.keys("fruit") if facts.fruit(key).fit.fitness == "fit"]
    weak = {fruit.key for fruit in fit if fruit.ph.high_grade in ("memory", "judgement")}
    answers = {fruit.key: batch(f"1 kg {fruit.plural}") for fruit in fit if fruit.plural not in ("peaches", "nectarines")}
    cold = {key for key, answer in answers.items() if answer["storage"] == "cold"}
    out_of_reach = {key for key in cold if {"lemon-out-of-reach", "ph-over-limit"} & set(ids(answers[key]))}
    assert {"mulberry", "guava"} <= out_of_reach
    assert weak <= cold <= weak | out_of_reach
    assert len(weak) <= 8
    assert len(cold) < len(answers) / 2
