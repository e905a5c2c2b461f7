"""The Python calls: words and numbers alike, the same limits, one line where something cannot be read."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import jamcalc
from jamcalc import api
from jamcalc.errors import InputError, JamcalcError, UnknownItem
from jamcalc.nouns.asked import Settings
from jamcalc.reading import recipefile, recipetext

RECIPE = {
    "title": "A jam of mine",
    "ingredients": ["4 cups mashed strawberries", "3/4 cup sugar", "2 tsp calcium-set pectin", "2 tsp calcium water"],
}


def settings(**options: Any) -> Settings:
    return api.settings_from(**options)


# ---------------------------------------------------------------- options


def test_the_defaults_are_those_of_the_model() -> None:
    assert settings() == Settings()


@pytest.mark.parametrize(
    ("options", "field", "value"),
    [
        ({"set": "firm"}, "firmness", "firm"),
        ({"jar": "pint"}, "jar", "pint"),
        ({"jar": "8-ounce jar"}, "jar", "half-pint"),
        ({"altitude": "4300 ft"}, "altitude_ft", 4300.0),
        ({"altitude": 4300}, "altitude_ft", 4300.0),
        ({"altitude": -500.0}, "altitude_ft", -500.0),
        ({"altitude": "1000 m"}, "altitude_ft", 3280.84),
        ({"store": "cold"}, "store", "cold"),
        ({"boil": "3"}, "boil_min", 3.0),
        ({"boil": 3}, "boil_min", 3.0),
        ({"boil": 0}, "boil_min", 0.0),
        ({"simmer": "2 1/2 min"}, "simmer_min", 2.5),
        ({"headspace": "1/2 in"}, "headspace_mm", 12.7),
        ({"headspace": 12.7}, "headspace_mm", 12.7),
        ({"units": "metric"}, "units", "metric"),
        ({"sweetness": "20"}, "sweetness_percent", 20.0),
        ({"sweetness": 0}, "sweetness_percent", 0.0),
        ({"pectin_spoon": 2.5}, "pectin_g_per_tsp", 2.5),
        ({"calcium_spoon": "20"}, "calcium_water_mg_per_tsp", 20.0),
        ({"draws": 0}, "draws", 0),
    ],
)
def test_options_in_words_or_numbers(options: dict[str, Any], field: str, value: Any) -> None:
    found = getattr(settings(**options), field)
    assert found == (pytest.approx(value, abs=0.01) if isinstance(value, float) else value)


@pytest.mark.parametrize(
    "options",
    [
        {"set": "hard"}, {"units": "imperial"}, {"store": "cupboard"}, {"jar": "bucket"}, {"jar": ""},
        {"altitude": "9 parsec"}, {"altitude": float("nan")}, {"altitude": float("inf")}, {"altitude": 1e9},
        {"boil": -1}, {"boil": 1e9}, {"boil": "long"}, {"boil": float("nan")}, {"simmer": 1441}, {"simmer": "-3"},
        {"headspace": 0.0}, {"headspace": -6.0}, {"headspace": 1000.0},
        {"sweetness": -1}, {"sweetness": 151}, {"sweetness": "sweet"}, {"sweetness": float("nan")},
        {"pectin_spoon": 0}, {"pectin_spoon": 21}, {"calcium_spoon": 0.5}, {"calcium_spoon": 501}, {"draws": -1}, {"draws": 10**9},
    ],
    ids=str,
)  # fmt: skip
def test_options_that_cannot_be_meant(options: dict[str, Any]) -> None:
    with pytest.raises(JamcalcError) as caught:
        settings(**options)
    assert caught.value.exit_code == 2
    assert len(str(caught.value).splitlines()) == 1


# ---------------------------------------------------------------- batch


def test_one_line_or_several() -> None:
    one, other = jamcalc.batch("3 lb plums", draws=0), jamcalc.batch(("3 lb plums",), draws=0)
    assert one.to_dict() == other.to_dict()


@pytest.mark.parametrize("reading", ["plum pH 3.4", ["plum pH 3.4"], ("plum pH 3.4",)])
def test_one_reading_or_several(reading: Any) -> None:
    assert jamcalc.batch(["3 lb plums"], reading=reading, draws=0).acidity.ph_before_lemon.typical == 3.4
    assert api.readings_from(None) == ()


UNREADABLE = [
    [],
    "",
    [""],
    ["plums"],
    ["3 lb"],
    ["1/2 cup honey"],
    ["9**9**9 g plums"],
    ["1e400 g plums"],
    ["-2 lb plums"],
    ["x" * 2_000_000],
]


@pytest.mark.parametrize("lines", UNREADABLE, ids=lambda lines: str(lines)[:20])
def test_lines_that_cannot_be_read(lines: Any) -> None:
    with pytest.raises(JamcalcError) as caught:
        jamcalc.batch(lines)
    assert caught.value.exit_code == 2
    assert len(str(caught.value)) < 400


def test_a_sweetener_by_any_of_its_names() -> None:
    for name, key in (("honey", "honey"), ("Agave Nectar", "agave_syrup"), ("granulated sugar", "sugar")):
        assert any(each.item == key for each in jamcalc.batch(["3 lb plums"], sweetener=name, draws=0).ingredients)
    with pytest.raises(UnknownItem) as caught:
        jamcalc.batch(["3 lb plums"], sweetener="hony")
    assert "honey" in caught.value.near


def test_a_title() -> None:
    assert jamcalc.batch(["3 lb plums"], title="Mine", draws=0).title == "Mine"
    assert jamcalc.batch(["3 lb plums"], draws=0).title == "Plum spread"


def test_wanted_jars_are_compared_with_the_fruit_on_hand() -> None:
    result = jamcalc.batch(["3 lb plums"], want="12 half-pints", draws=0)
    text = next(finding.text for finding in result.findings if finding.id == "want")
    assert f"{12 / result.yield_.jars.expected:.2f}" in text
    pints = jamcalc.batch(["3 lb plums"], want="6 pints", draws=0)
    assert pints.yield_.jar == "pint"
    assert jamcalc.batch(["3 lb plums"], want="6 pints", jar="pint", draws=0).yield_ == pints.yield_


def test_two_sizes_of_jar_are_a_clash() -> None:
    with pytest.raises(InputError, match="two jars"):
        jamcalc.batch(["3 lb plums"], want="8 half-pints", jar="pint")


# ---------------------------------------------------------------- check and scale


def test_a_recipe_in_any_shape_is_the_same_recipe(tmp_path: Path) -> None:
    recipe = recipefile.from_mapping(RECIPE)
    path = tmp_path / "mine.toml"
    path.write_text(recipetext.write_text(recipe), encoding="utf-8")
    answers = []
    for shape in (recipe, RECIPE, path, str(path), io.BytesIO(path.read_bytes()), io.StringIO(path.read_text(encoding="utf-8"))):
        answers.append(jamcalc.check(shape, draws=0).to_dict())
    assert all(answer == answers[0] for answer in answers)
    assert api.recipe_from(recipe) is recipe


def test_scale_gives_a_recipe() -> None:
    half = jamcalc.scale(RECIPE, times="1/2")
    assert half.title == "A jam of mine"
    assert half.lines[0].amount.ml == pytest.approx(2 * 236.588, rel=0.01)
    twice = jamcalc.scale(RECIPE, times=2)
    assert jamcalc.check(twice, draws=0).acidity.ph.typical == pytest.approx(jamcalc.check(RECIPE, draws=0).acidity.ph.typical, abs=0.011)


def test_scale_with_another_sweetener_is_a_calculated_formula() -> None:
    made = api.scale_answer("raspberry-blueberry", sweetener="honey", draws=0)
    assert made.result.standing == "calculated"
    assert "substituted" in {finding.id for finding in made.result.findings}
    assert {each.item for each in made.result.ingredients if each.role == "sweetener"} == {"honey"}
    assert made.recipe.source is None


@pytest.mark.parametrize("found", ["burnt", ""])
def test_found_is_one_of_four(found: str) -> None:
    with pytest.raises(InputError, match="runny"):
        jamcalc.check(RECIPE, found=found)


PLAIN = {
    "title": "Plum",
    "ingredients": ["4 cups mashed plums", "1/2 cup honey", "1/4 cup bottled lemon juice", "2 tsp calcium-set pectin"],
}


def test_the_jar_that_is_named_is_the_jar_that_is_answered_for() -> None:
    """A pint boils longer than a half-pint: whoever asks for pints must not be told the minutes of half-pints."""
    in_pints = {**PLAIN, "yield": "2 pints"}
    assert jamcalc.check(in_pints, draws=0).yield_.jar == "pint"
    assert jamcalc.check(in_pints, jar="half-pint", draws=0).yield_.jar == "half-pint"
    for how in ({"times": 2, "jar": "pint"}, {"want": "9 pints"}, {"times": 2, "jar": "pint", "sweetener": "erythritol"}):
        made = api.scale_answer(PLAIN, **how, draws=0).result
        assert made.yield_.jar == "pint", how
        assert made.process is None or made.process.jar == "pint", how
    assert api.scale_answer(in_pints, sweetener="erythritol", draws=0).result.yield_.jar == "pint"
    assert api.scale_answer(in_pints, jar="half-pint", draws=0).result.yield_.jar == "half-pint"


@pytest.mark.parametrize("depth", ["1 mm", "2 in"])
def test_a_shelf_jar_is_filled_to_a_quarter_inch_whatever_was_asked(depth: str) -> None:
    result = jamcalc.batch(["3 lb plums"], headspace=depth, altitude=0)
    assert result.storage == "shelf"
    assert any("fill hot to 1/4 in headspace" in step for step in result.order_of_work)
    assert "headspace" in [finding.id for finding in result.findings]


def test_a_batch_that_fills_no_jar_is_said_to() -> None:
    small, enough = (jamcalc.batch([line], altitude=0) for line in ("3 oz plums", "3 lb plums"))
    assert small.yield_.full_jars == 0
    assert "part-jar" in [finding.id for finding in small.findings]
    assert "part-jar" not in [finding.id for finding in enough.findings]


def test_a_measured_fruit_is_shown_a_tenth_to_either_side() -> None:
    before = jamcalc.batch(["3 lb plums"], reading="plum pH 3.4").acidity.ph_before_lemon
    assert (before.low, before.typical, before.high) == pytest.approx((3.3, 3.4, 3.6), abs=0.03)  # and 0.1 for the model


def test_a_measured_cup_of_fruit_stands_as_it_was_written() -> None:
    by_cup, by_weight = jamcalc.batch(["2 1/2 cups mashed strawberries", "2 lb plums"]).ingredients[:2]
    assert by_cup.measure == "2 1/2 cups mashed"
    assert by_weight.measure.endswith("cups mashed")


@pytest.mark.parametrize("nothing", [None, [], [None], [3]])
def test_what_is_no_text_is_refused_like_any_other_slip(nothing: Any) -> None:
    with pytest.raises(InputError):
        jamcalc.batch(nothing)


def test_jars_without_a_kind_are_of_the_kind_in_use() -> None:
    six = jamcalc.batch(["plums"], want="6 jars", draws=0)
    assert six.yield_.jar == "half-pint"
    assert six.to_dict() == jamcalc.batch(["plums"], want="6 half-pints", draws=0).to_dict()
    in_pints = jamcalc.batch(["plums"], want="6 jars", jar="pint", draws=0)
    assert in_pints.to_dict() == jamcalc.batch(["plums"], want="6 pints", draws=0).to_dict()
    on_hand = jamcalc.batch(["3 lb plums"], on_hand="9 jars", draws=0)
    assert on_hand.to_dict() == jamcalc.batch(["3 lb plums"], on_hand="9 half-pints", draws=0).to_dict()
    assert jamcalc.scale({**PLAIN, "yield": "2 pints"}, want="4 jars") == jamcalc.scale({**PLAIN, "yield": "2 pints"}, want="4 pints")


def test_what_was_left_unsaid_is_said() -> None:
    """A bare altitude is feet; a batch without a sweetener has none."""
    bare = jamcalc.batch(["3 lb plums"], altitude="4300", draws=0)
    assert bare.process is not None
    assert bare.process.altitude_ft == 4300
    assert "Altitude 4300 is read as feet: write m after meters." in [each.text for each in bare.findings]
    assert "no-sweetener" in [each.id for each in bare.findings]
    said = jamcalc.batch(["3 lb plums"], altitude="4,300 ft", sweetener="none", draws=0)
    assert not {each.id for each in said.findings} & {"altitude-read", "no-sweetener"}
    assert "no-sweetener" not in [each.id for each in jamcalc.batch(["3 lb plums", "1/2 cup honey"], draws=0).findings]


@pytest.mark.parametrize("call", [jamcalc.batch, lambda lines: jamcalc.check({"title": "Thimble", "ingredients": lines})])
def test_what_fills_no_spoon_is_no_batch(call: Callable[[list[str]], object]) -> None:
    """A few milligrams of fruit made 0.00 jars."""
    with pytest.raises(InputError, match="too little for a pot: write at least 10 g"):
        call(["4 mg plums", "1 g sugar"])
    call(["10 g plums"])
