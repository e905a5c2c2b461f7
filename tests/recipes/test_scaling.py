"""Scaling: the laws (nothing thinned out, nothing lost), the measures, and what does not scale."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from jamcalc import api, facts
from jamcalc.errors import InputError, JamcalcError, NotPossible
from jamcalc.formula.assemble import fruit_part
from jamcalc.jars.canner import pots_needed
from jamcalc.nouns.outcome import BatchResult
from jamcalc.nouns.said import Amount, Line
from jamcalc.nouns.written import Recipe
from jamcalc.reading import recipefile, recipetext, supplied
from jamcalc.reading.lines import read_line
from jamcalc.recipes import scaled
from jamcalc.recipes.portions import extra_portion, multiplied, portion, ratio, together
from jamcalc.recipes.scaling import Scaled, scale
from jamcalc.words.units import read_amount

KITCHEN = Path(__file__).parents[1].joinpath("recipes")  # what home cooks wrote: material for tests, not shipped


def kitchen(name: str) -> Recipe:
    """A recipe of the tests, or one that comes with the program."""
    own_file = KITCHEN / f"{name}.toml"
    return recipefile.read(own_file if own_file.exists() else name)


NAMES = (*supplied.names(), *(path.stem for path in sorted(KITCHEN.glob("*.toml"))))
UNPACKETED = [
    name
    for name in NAMES
    if all(line.role != "pectin" or line.item == "calcium-set" or line.amount.ml is not None for line in kitchen(name).lines)
]
FACTORS = (0.11, 0.25, 1 / 3, 0.5, 0.73, 1.0, 1.27, 1.5, 2.0, 2.37, 3.0, 5.5, 7.9, 11.3)


def own(*lines: str, more: str = "") -> Recipe:
    listed = ", ".join(f'"{line}"' for line in lines)
    return recipefile.from_text(f"ingredients = [{listed}]\n{more}", "own.toml")


def size(line: Line) -> float:
    return next(value for value in (line.amount.grams, line.amount.ml, line.amount.count) if value is not None)


def kinds(amount: Amount) -> tuple[float | None, ...]:
    """Grams, milliliters and count, whichever an amount has."""
    return amount.grams, amount.ml, amount.count


def least_acid_ratio(new: Recipe, old: Recipe) -> float:
    """Acid to fruit of the measures, over acid to fruit as tested: the least over all pairs of lines."""
    pairs = list(zip(new.lines, old.lines, strict=True))
    acids = [ratio(one.amount, other.amount) for one, other in pairs if one.role == "acid"]
    fruits = [ratio(one.amount, other.amount) for one, other in pairs if one.role == "fruit"]
    return min(acids, default=math.inf) / max(fruits)


def ids(scaled: Scaled) -> set[str]:
    return {finding.id for finding in scaled.findings}


# ---------------------------------------------------------------- laws


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("factor", FACTORS)
def test_acid_is_never_thinned_out(name: str, factor: float) -> None:
    recipe = kitchen(name)
    scaled = scale(recipe, times=factor)
    for new in (scaled.recipe, scaled.pots.recipe):
        assert least_acid_ratio(new, recipe) >= 1 - 1e-9


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("factor", FACTORS)
def test_measures_stay_near_the_exact_amount(name: str, factor: float) -> None:
    scaled = scale(kitchen(name), times=factor)
    for row, old, new in zip(scaled.rows, kitchen(name).lines, scaled.recipe.lines, strict=True):
        off = ratio(new.amount, multiplied(old.amount, scaled.factor)) - 1
        assert row.off_percent == pytest.approx(100 * off, abs=0.01)
        if old.role == "acid":  # up, and once more where the fruit was rounded up; under a tablespoon by an eighth of a teaspoon
            assert -1e-9 <= off <= 0.065 or size(new) - size(old) * scaled.factor < 0.7 * scaled.pots.number
        elif old.role in ("pectin", "calcium water"):
            assert abs(off) <= 0.05 + 1e-9
        else:
            assert abs(off) <= 0.031 or abs(size(new) - size(old) * scaled.factor) < 0.31 * scaled.pots.number  # 1/16 tsp for each pot


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("factor", FACTORS)
def test_every_amount_is_multiplied_as_it_was_read(name: str, factor: float) -> None:
    for line in kitchen(name).lines:
        there = multiplied(line.amount, factor)
        for given, times in zip(kinds(line.amount), kinds(there), strict=True):
            assert times == (None if given is None else pytest.approx(factor * given))
        assert ratio(there, line.amount) == pytest.approx(factor)


@pytest.mark.parametrize("name", NAMES)
def test_doubled_and_halved_is_the_recipe(name: str) -> None:
    recipe = kitchen(name)
    double = scale(recipe, times=2).recipe
    back = scale(double, times=0.5).recipe
    for new, twice, old in zip(back.lines, double.lines, recipe.lines, strict=True):
        assert 1.9 * size(old) < size(twice) < 2.2 * size(old)
        assert size(new) == pytest.approx(size(old), rel=1e-6 if old.role != "acid" else 0.03)


@pytest.mark.parametrize("text", ["1 lb grape juice", "1 lb 4 oz water", "1 lb white grape juice concentrate"])
@pytest.mark.parametrize("factor", [0.25, 0.5, 3.0])
def test_a_pound_of_what_is_poured_can_be_halved(text: str, factor: float) -> None:
    """Less than a pound of it cannot be said in ounces, which may be of weight or of volume."""
    new = portion(read_line(text), factor)
    assert ratio(new.amount, read_line(text).amount) == pytest.approx(factor, rel=0.02)
    assert read_line(new.text).amount == new.amount
    assert ratio(together(new, 3).amount, new.amount) == pytest.approx(3)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("factor", [1.0, 2.0, 3.0, 5.5, 7.3, 9.0])
def test_pots_sum_to_the_whole(name: str, factor: float) -> None:
    recipe = kitchen(name)
    scaled = scale(recipe, times=factor)
    number = scaled.pots.number
    for share, whole in zip(scaled.pots.recipe.lines, scaled.recipe.lines, strict=True):
        assert number * size(share) == pytest.approx(size(whole), rel=1e-9)
    for share, whole in zip(scaled.pots.recipe.extras, scaled.recipe.extras, strict=True):
        if share != whole:  # what is counted goes as it is: "2 cinnamon sticks"
            assert number * (read_amount(share)[0].ml or 0) == pytest.approx(read_amount(whole)[0].ml, rel=1e-9)
    if scaled.recipe.stated_yield and scaled.pots.recipe.stated_yield:
        assert scaled.pots.number * scaled.pots.recipe.stated_yield.middle == pytest.approx(scaled.recipe.stated_yield.middle, abs=0.05)


@pytest.mark.parametrize("name", UNPACKETED)
@pytest.mark.parametrize("jars", [3, 5, 8])
def test_twice_the_jars_is_twice_the_fruit(name: str, jars: int) -> None:
    recipe = kitchen(name)
    one, two = (scale(recipe, want=f"{count} half-pints") for count in (jars, 2 * jars))
    assert two.factor == pytest.approx(2 * one.factor, rel=1e-12)
    for less, more in zip(one.recipe.lines, two.recipe.lines, strict=True):
        if less.role == "fruit":
            assert size(more) == pytest.approx(2 * size(less), rel=0.065)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("factor", [0.25, 1.27, 5.5])
def test_a_scaled_recipe_can_be_written_out_and_read(name: str, factor: float) -> None:
    scaled = scale(kitchen(name), times=factor).recipe
    again = recipefile.from_text(recipetext.write_text(scaled), name)
    assert again.lines == scaled.lines
    assert again.source == scaled.source


# ---------------------------------------------------------------- three ways


def test_by_the_jars_wanted() -> None:
    scaled = scale(recipefile.read("apricot-plum"), want="9 half-pints")  # states 4 to 5
    assert scaled.factor == pytest.approx(2)
    assert [line.text for line in scaled.recipe.lines][:2] == ["4 lb apricots", "1 lb plums"]
    assert (scaled.recipe.stated_yield.low, scaled.recipe.stated_yield.high) == (8, 10)  # type: ignore[union-attr]


def test_by_jars_of_another_size() -> None:
    recipe = kitchen("blackberry")
    small = scale(recipe, want="9 quarter-pints")
    assert small.factor == pytest.approx(1, rel=0.01)
    assert small.recipe.stated_yield.jar == "quarter-pint"  # type: ignore[union-attr]
    assert scale(recipe, jar="quarter-pint").recipe.stated_yield.middle == pytest.approx(9, rel=0.01)  # type: ignore[union-attr]
    assert scale(recipe, want="9 quarter-pints", jar="quarter-pints").factor == small.factor


def test_our_own_estimate_is_the_base_where_nothing_is_stated() -> None:
    recipe = own("4 cups mashed plums", "1/2 cup honey")
    scaled = scale(recipe, want="9 half-pints", predicted_jars=4.5)
    assert scaled.factor == pytest.approx(2)
    assert "yield-base" in ids(scaled)
    assert scaled.recipe.stated_yield is None
    with pytest.raises(InputError, match="states no yield"):
        scale(recipe, want="9 half-pints")


def test_by_the_fruit_on_hand() -> None:
    """5 lb of strawberries, 6 percent caps and stems, 232 g a mashed cup: the figures of the data files."""
    part = fruit_part(read_line("5 lb strawberries"))
    tested = fruit_part(read_line("8 cups mashed strawberries"))
    for text in ("5 lb", "5 lb strawberries", f"{part.grams:.6f} g mashed strawberries"):
        assert scale(kitchen("strawberry-agave"), fruit=text).factor == pytest.approx(part.grams / tested.grams)


def test_the_scarcest_fruit_decides_and_the_rest_is_left_over() -> None:
    scaled = scale(recipefile.read("apricot-plum"), fruit=["5 lb apricots", "1 lb plums"])
    assert scaled.factor == pytest.approx(2)
    assert [part.text for part in scaled.left_over] == ["1 lb apricots"]
    assert scaled.left_over[0].item == "apricot"
    assert scaled.left_over[0].grams == pytest.approx(fruit_part(read_line("1 lb apricots")).grams)
    assert "left-over" in ids(scaled)


def test_one_weight_for_several_fruits_is_all_of_them_together() -> None:
    scaled = scale(recipefile.read("apricot-plum"), fruit="5 lb")
    assert scaled.factor == pytest.approx(2)
    assert "fruit-together" in ids(scaled)


@pytest.mark.parametrize(
    ("ways", "words"),
    [
        ({}, "in one way"),
        ({"times": 2, "want": "9 half-pints"}, "in one way"),
        ({"times": float("nan")}, "nan times"),
        ({"times": 0}, "0 times"),
        ({"times": -1}, "-1 times"),
        ({"times": 1e9}, "times is no batch"),
        ({"times": True}, "True times"),
        ({"times": "2"}, "2 times is no batch"),
        ({"want": "9"}, "which jar"),
        ({"want": "9 buckets"}, "buckets"),
        ({"want": "9 half-pints", "jar": "quarter-pint"}, "name two jars"),
        ({"fruit": "5 lb plums"}, "another fruit is a new formula"),
        ({"fruit": "1/2 cup honey"}, "another fruit is a new formula"),
        ({"fruit": "5 cups"}, "needs a form"),
        ({"fruit": []}, "write the fruit on hand"),
        ({"fruit": ""}, "empty"),
        ({"fruit": "[red]5[/] lb"}, "does not begin with an amount"),
        ({"fruit": ["5 lb", "3 lb"]}, "no item"),
    ],
)
def test_what_cannot_be_read(ways: dict[str, object], words: str) -> None:
    with pytest.raises(JamcalcError, match=words) as caught:
        scale(kitchen("blackberry"), **ways)  # type: ignore[arg-type]
    assert caught.value.exit_code == 2
    assert "\n" not in str(caught.value)


def test_a_volume_for_several_fruits_says_which() -> None:
    with pytest.raises(InputError, match="of which fruit"):
        scale(recipefile.read("raspberry-blueberry"), fruit="9 cups")


# ---------------------------------------------------------------- pots


@pytest.mark.parametrize(
    ("cups", "number", "finding"),
    [
        (4, 1, None),
        (8, 1, None),
        (8.5, 1, "large-pot"),
        (12, 1, "large-pot"),
        (12.5, 2, "pots"),
        (16, 2, "pots"),
        (17, 3, "pots"),
        (40, 5, "pots"),
    ],
)
def test_pots_of_calcium_set_jam(cups: float, number: int, finding: str | None) -> None:
    scaled = scale(kitchen("blackberry"), times=cups / 4)
    assert scaled.pots.number == number
    assert ids(scaled) & {"large-pot", "pots"} == ({finding} if finding else set())


def test_two_pounds_turned_into_eleven() -> None:
    recipe = own("2 lb strawberries", "1/2 cup honey", "2 tbsp bottled lemon juice", "2 tsp calcium-set pectin", "2 tsp calcium water",
                 more='yield = "4 to 5 half-pints"\nprocess_min = 10')  # fmt: skip
    scaled = scale(recipe, fruit="11 lb")
    assert scaled.factor == pytest.approx(5.5)
    assert scaled.pots.number == 3
    assert {"pots", "process-stays"} <= ids(scaled)
    assert least_acid_ratio(scaled.pots.recipe, recipe) >= 1 - 1e-9
    assert scaled.recipe.process_min == 10
    assert [row.measure_text for row in scaled.rows] == [
        "11 lb 1 oz", "2 3/4 cups + 1 tbsp", "1/2 cup + 3 tbsp + 3/4 tsp", "3 tbsp + 1 1/2 tsp", "3 tbsp + 1 1/2 tsp",
    ]  # fmt: skip
    assert [row.measure_text for row in scaled.pots.rows] == [
        "3 lb 11 oz", "3/4 cup + 3 tbsp", "3 tbsp + 2 1/4 tsp", "1 tbsp + 1/2 tsp", "1 tbsp + 1/2 tsp",
    ]  # fmt: skip
    assert [row.exact_text for row in scaled.rows] == ["11 lb", "2.75 cups", "0.688 cup", "3.67 tbsp", "3.67 tbsp"]


def test_packets_go_whole_and_one_to_a_pot() -> None:
    recipe = kitchen("blueberry-apple-juice")
    three = scale(recipe, times=2.2)
    assert (three.factor, three.pots.number) == (3, 3)
    assert three.pots.recipe.lines == recipe.lines
    assert [row.measure_text for row in three.rows if row.role == "pectin"] == ["3 packets"]
    assert {"whole-packets", "pots"} <= ids(three)
    assert scale(recipe, want="11 half-pints").pots.number == 1  # it states 10 to 11
    assert scale(recipe, want="12 half-pints").pots.number == 2
    assert scale(recipe, times=0.5).factor == 1


def test_spooned_pectin_may_be_split_but_one_batch_is_one_pot() -> None:
    recipe = kitchen("peach-no-sugar-pectin")
    more = scale(recipe, times=1.5)
    assert (more.factor, more.pots.number) == (1.5, 2)
    assert [row.measure_text for row in more.pots.rows if row.role == "pectin"] == ["2 tbsp + 1/2 tsp"]  # 6.75
    assert scale(recipe, times=0.5).pots.number == 1


def test_liquid_pectin_goes_by_the_pouch() -> None:
    recipe = own("4 cups mashed plums", "6 cups sugar", "2 pouches liquid pectin")
    half, twice = scale(recipe, times=0.5), scale(recipe, times=2)
    assert (half.factor, half.pots.number, half.recipe.lines[2].amount.count) == (0.5, 1, 1)
    assert (twice.factor, twice.pots.number, twice.pots.recipe.lines[2].amount.count) == (2, 2, 2)
    assert twice.rows[2].measure_text == "4 pouches"
    assert scale(recipe, times=0.7).factor == 1


def test_fruit_for_part_of_a_packet() -> None:
    recipe = kitchen("strawberry-no-sugar-pectin")
    two = scale(recipe, fruit="3000 g mashed strawberries")
    assert two.pots.number == 2
    assert two.left_over[0].grams == pytest.approx(600)
    assert scale(recipe, fruit="1170 g mashed strawberries").pots.number == 1
    with pytest.raises(NotPossible, match="whole packet"):
        scale(recipe, fruit="500 g mashed strawberries")


# ---------------------------------------------------------------- jars and minutes


@pytest.mark.parametrize(
    ("name", "jar"),
    [("blackberry", "pint"), ("blackberry", "three-quarter-pint"), ("blackberry", "quart"), ("peach-pineapple-spread", "quart")],
)
def test_never_a_larger_jar_than_was_tested(name: str, jar: str) -> None:
    for ways in ({"jar": jar}, {"want": f"3 {facts.jar(jar).plural}"}, {"times": 2, "jar": jar}):
        with pytest.raises(NotPossible):
            scale(kitchen(name), **ways)  # type: ignore[arg-type]


@pytest.mark.parametrize("jar", ["pint", "three-quarter-pint"])
def test_a_larger_jar_that_the_source_prints_a_time_for(jar: str) -> None:
    """USDA Complete Guide to Home Canning, Guide 7: the spread's own pint row, 20, 25, 30, 35 min."""
    made = api.scale_answer("peach-pineapple-spread", times=2, jar=jar, draws=0)
    assert made.result.standing == "tested"
    assert made.result.process is not None
    assert [band.minutes for band in made.result.process.by_band] == [20, 25, 30, 35, 35]


def test_an_own_formula_in_a_larger_jar_takes_the_time_of_the_table() -> None:
    recipe = own("4 cups mashed plums", "1/2 cup honey", more='yield = "4 half-pints"\nprocess_min = 10')
    scaled = scale(recipe, want="4 pints")
    assert scaled.factor == pytest.approx(2, rel=0.01)
    assert scaled.recipe.process_min is None
    assert "process-jar" in ids(scaled)
    with pytest.raises(NotPossible, match="too large"):
        scale(recipe, want="4 quarts")


def test_a_cold_recipe_may_fill_any_jar() -> None:
    scaled = scale(recipefile.read("refrigerated-apple-spread"), want="1 quart")
    assert scaled.factor == pytest.approx(1, rel=0.02)


def test_minutes_stay_and_a_recipe_times_one_is_itself() -> None:
    recipe = kitchen("raspberry-honey")
    twice = scale(recipe, times=2)
    assert (twice.recipe.simmer_min, twice.recipe.process_min, twice.recipe.headspace_mm) == (30, 10, recipe.headspace_mm)
    assert {"boil", "process-stays"} <= ids(twice)
    once = scale(recipe, times=1)
    assert once.recipe == recipe
    assert not once.findings


# ---------------------------------------------------------------- measures


@pytest.mark.parametrize(
    ("line", "factor", "expected"),
    [
        ("1/4 cup bottled lemon juice", 1.5, "1/3 cup + 2 tsp bottled lemon juice"),
        ("1/2 tsp citric acid", 1.2, "1/2 tsp + 1/8 tsp citric acid"),
        ("60 g bottled lemon juice", 1.34, "81 g bottled lemon juice"),
        ("2.5 g citric acid", 1.01, "2.6 g citric acid"),
        ("60 mL bottled lemon juice", 1.01, "61 mL bottled lemon juice"),
        ("2 tsp calcium-set pectin", 1.27, "2 1/2 tsp calcium-set pectin"),
        ("1 tsp calcium-set pectin", 0.19, "0.57 g calcium-set pectin"),
        ("1 tsp calcium water", 0.19, "0.94 mL calcium water"),
        ("6 g calcium-set pectin", 1.27, "7.6 g calcium-set pectin"),
        ("3 lb plums", 1.27, "3 lb 13 oz plums"),
        ("1/2 lb plums", 1.33, "302 g plums"),
        ("900 g prepared peaches", 1.27, "1145 g prepared peaches"),
        ("250 mL apple juice", 3, "750 mL apple juice"),
        ("1 metric cup honey", 1.5, "380 mL honey"),
        ("1 1/2 packets standard pectin", 2, "3 packets standard pectin"),
    ],
)
def test_measure_to_use(line: str, factor: float, expected: str) -> None:
    assert portion(read_line(line), factor).text == expected


@pytest.mark.parametrize(
    ("line", "factor"), [("60 g bottled lemon juice", 1.0001), ("60 mL bottled lemon juice", 1.001), ("1/3 cup lemon juice", 1.0004)]
)
def test_an_acid_is_not_rounded_down_by_a_hair(line: str, factor: float) -> None:
    tested = read_line(line)
    assert ratio(portion(tested, factor).amount, tested.amount) >= factor * (1 - 1e-9)


def test_extras_go_up_where_an_amount_is_written() -> None:
    assert extra_portion("2 tbsp unflavored gelatin", 2) == "1/4 cup unflavored gelatin"
    assert extra_portion("1 cinnamon stick", 2) == "1 cinnamon stick"
    assert extra_portion("1 tsp vanilla extract", 1) == "1 tsp vanilla extract"
    scaled = scale(recipefile.read("refrigerated-apple-spread"), times=2)
    assert scaled.recipe.extras[0] == "1/4 cup unflavored gelatin powder"
    said = next(finding.text for finding in scaled.findings if finding.id == "extras")
    assert said == "Scaled with the rest: 1/4 cup unflavored gelatin powder and 1/4 cup liquid low-calorie sweetener."
    assert "spices" not in ids(scaled)


def test_only_spices_go_by_taste() -> None:
    extras = ["1/2 tsp ground cinnamon", "1 cinnamon stick", "gelatin to set"]
    recipe = own("4 cups mashed plums", more=f'keep = "cold"\nextras = {extras}')
    said = {finding.id: finding.text for finding in scale(recipe, times=2).findings}
    assert said["spices"].endswith("go by taste: 1 tsp ground cinnamon and 1 cinnamon stick.")
    assert said["extras-as-written"] == "No amount that scales is written with gelatin to set: take 2 times as much."
    assert "extras" not in said


@pytest.mark.parametrize(
    ("line", "pots", "expected"),
    [
        ("3 1/2 tsp calcium-set pectin", 3, "3 tbsp + 1 1/2 tsp calcium-set pectin"),
        ("3 tsp calcium-set pectin", 4, "1/4 cup calcium-set pectin"),
        ("1/3 cup + 2 tsp honey", 4, "1 1/2 cups honey"),
        ("3/4 cup + 7 tsp honey", 3, "2 1/2 cups + 3 tbsp honey"),
        ("1 1/8 tsp citric acid", 3, "1 tbsp + 1/4 tsp + 1/8 tsp citric acid"),
        ("3 lb 11 oz plums", 3, "11 lb 1 oz plums"),
        ("7 1/4 oz plums", 3, "1 lb 5 3/4 oz plums"),
        ("2.6 g citric acid", 3, "7.8 g citric acid"),
        ("302 g plums", 5, "1510 g plums"),
        ("61 mL bottled lemon juice", 3, "183 mL bottled lemon juice"),
        ("0.3 cup honey", 4, "1.2 cups honey"),
        ("1 packet standard pectin", 3, "3 packets standard pectin"),
    ],
)
def test_a_sum_of_measures_is_rounded_no_more(line: str, pots: int, expected: str) -> None:
    share = read_line(line)
    whole = together(share, pots)
    assert whole.text == expected
    assert size(whole) == pytest.approx(pots * size(share), rel=1e-9)


def test_the_stated_yield_is_scaled_to_the_nearest_half() -> None:
    stated = scale(recipefile.read("strawberry-rhubarb"), times=1.313).recipe.stated_yield
    assert stated is not None
    assert (2 * stated.low, 2 * stated.high) == (round(2 * stated.low), round(2 * stated.high))
    small = scale(recipefile.read("strawberry-rhubarb"), times=0.06).recipe.stated_yield
    assert small is not None
    assert 0 < small.low < 0.5


@pytest.mark.parametrize("factor", [1.313, 2.297, 3.1])
def test_cups_of_fruit_are_said_to_the_nearest_half(factor: float) -> None:
    findings = scale(kitchen("strawberry-agave"), times=factor).findings
    found = next(finding for finding in findings if finding.id in ("pots", "large-pot"))
    assert "." not in found.text.removesuffix(".").replace("(1.9 kg)", "")


def test_the_table_shows_tested_exact_and_measure() -> None:
    row = scale(recipefile.read("raspberry-blueberry"), times=1.27).rows[3]
    assert (row.item, row.role, row.tested_text, row.exact_text) == ("lemon juice", "acid", "2 tbsp", "2.54 tbsp")
    assert read_amount(f"{row.measure_text} lemon juice")[0].ml == pytest.approx(
        2.54 * 14.78676478125 * (1 + row.off_percent / 100), rel=1e-3
    )


@pytest.mark.parametrize(
    ("name", "factor", "measure", "exact"),
    [
        ("raspberry-blueberry", 2.57, "1 tbsp + 2 tsp", "1.71 tbsp"),
        ("strawberry-agave", 0.19, "3/4 tsp", "0.76 tsp"),
    ],
)
def test_the_exact_amount_stands_in_the_unit_of_its_measure(name: str, factor: float, measure: str, exact: str) -> None:
    row = next(row for row in scale(kitchen(name), times=factor).rows if row.role == "pectin")
    assert (row.measure_text, row.exact_text) == (measure, exact)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("factor", FACTORS)
def test_exact_and_measure_have_one_unit(name: str, factor: float) -> None:
    for row in scale(kitchen(name), times=factor).rows:
        units = [next(word.removesuffix("s") for word in text.split() if word.isalpha()) for text in (row.exact_text, row.measure_text)]
        assert units[0] == units[1], row


def test_pectin_that_is_weighed_has_its_exact_weight_beside_it() -> None:
    row = scale(own("1 lb plums", "1 tsp calcium-set pectin"), times=0.19).rows[1]
    assert row.measure_text == "0.57 g"
    assert row.exact_text == "0.57 g"


# ---------------------------------------------------------------- the answer for the whole


@pytest.mark.parametrize(("name", "factor"), [("blueberry-apple-juice", 2.5), ("strawberry-agave", 3), ("blackberry", 2.5)])
def test_pots_are_counted_once(name: str, factor: float) -> None:
    said = [finding.id for finding in api.scale_answer(kitchen(name), times=factor, draws=0).result.findings]
    assert len([one for one in said if one in ("pots", "large-pot")]) == 1
    swapped = [finding.id for finding in api.scale_answer(kitchen(name), times=factor, sweetener="honey", draws=0).result.findings]
    assert swapped.count("pots") == said.count("pots")


def test_pots_are_spoken_of_in_the_same_words_whoever_asks() -> None:
    def of_pots(result: BatchResult) -> list[str]:
        return [finding.text for finding in result.findings if finding.id in ("pots", "large-pot")]

    for cups in (10, 16, 30):
        scaled = api.scale_answer(kitchen("blackberry"), times=cups / 4, draws=0).result
        batch = api.batch([f"{cups} cups mashed blackberries"], sweetener="honey", draws=0)
        assert of_pots(batch) == of_pots(scaled) == [finding.text for finding in pots_needed(cups, calcium_set=True).findings]
        assert of_pots(batch)


@pytest.mark.parametrize("way", [{"want": "9 pints"}, {"times": 2, "jar": "quart"}])
def test_a_recipe_that_is_not_scaled_is_answered_as_it_stands(way: dict[str, object]) -> None:
    with pytest.raises(NotPossible) as caught:
        api.scale_answer(kitchen("strawberry-agave"), **way, draws=0)
    result = api.not_scaled(kitchen("strawberry-agave"), str(caught.value), draws=0)
    assert result.refused == str(caught.value)
    assert (result.command, result.storage, result.process) == ("scale", "cold", None)
    assert result.yield_.jar == "half-pint"
    assert result.yield_.jars.expected == api.check(kitchen("strawberry-agave"), draws=0).yield_.jars.expected


def test_an_own_formula_is_refused_whole_as_well() -> None:
    result = scaled.refused(own("3 lb plums", "1/2 cup honey"), api.settings_from(draws=0), "no")
    assert (result.refused, result.yield_.jar) == ("no", "half-pint")


# ---------------------------------------------------------------- another sweetener


def test_a_swap_has_a_plain_title_and_a_table_of_what_is_new() -> None:
    made = api.scale_answer(kitchen("strawberry-agave"), sweetener="honey", times=1, draws=0)
    assert made.result.title == made.recipe.title == "Strawberry spread"
    rows = {row.item: row for row in made.scaled.rows}
    assert (rows["agave syrup"].measure_text, rows["agave syrup"].off_percent) == ("none", None)
    honey = next(each for each in made.result.ingredients if each.item == "honey")
    assert (rows["honey"].tested_text, rows["honey"].measure_text) == ("", honey.measure)
    lemon = rows["bottled lemon juice"].measure_text
    assert f"{lemon} bottled lemon juice: added, for the recipe has none." in {
        finding.text[0].lower() + finding.text[1:] for finding in made.result.findings
    }
    assert [row["measure"] for row in made.to_dict()["scaled"]["rows"]] == [row.measure_text for row in made.scaled.rows]


@pytest.mark.parametrize("name", ["strawberry-agave", "raspberry-honey", "peach-pineapple-spread", "peach-no-sugar-pectin"])
@pytest.mark.parametrize("factor", [1.0, 2.6, 5.5])
def test_the_pots_of_a_swap_sum_to_the_whole(name: str, factor: float) -> None:
    tested = kitchen(name)
    made = api.scale_answer(tested, sweetener="maple syrup", times=factor, draws=0)
    pots = made.scaled.pots
    whole = {(line.role, line.item): size(line) for line in made.recipe.lines}
    for line in pots.recipe.lines:
        assert pots.number * size(line) == pytest.approx(whole[line.role, line.item], rel=1e-9)
    again = api.check(recipefile.from_text(recipetext.write_text(made.recipe)), draws=0)
    assert again.acidity.ph.high == pytest.approx(made.result.acidity.ph.high, abs=0.0101)
    assert again.yield_.jars.expected == pytest.approx(made.result.yield_.jars.expected, abs=0.01)
    acid = [sum(size(line) for line in recipe.lines if line.role == "acid") for recipe in (tested, made.recipe)]
    assert acid[1] >= acid[0] * made.scaled.factor * (1 - 1e-9)


@pytest.mark.parametrize("factor", [1, 3])
def test_a_swap_brings_no_pectin_where_there_was_none(factor: float) -> None:
    tested = recipefile.read("peach-pineapple-spread")
    made = api.scale_answer(tested, sweetener="honey", times=factor, draws=0)
    assert not {each.role for each in made.result.ingredients} & {"pectin", "calcium water"}
    assert made.result.pectin.measure == made.result.calcium_water.measure == "none"
    assert made.recipe.steps == tested.steps
    assert [step for step in made.result.order_of_work if "Measure it" not in step] == list(tested.steps)
    said = {finding.id: finding.text for finding in made.result.findings}
    assert "set is not worked out" in said["set-not-reckoned"]
    assert "read honey where they say another" in said["substituted"]
    assert made.result.process is not None
    assert made.result.process.minutes == 15  # at least the recipe's own


def test_a_sweetener_changed_for_itself_is_compared_where_it_can_be() -> None:
    by_weight = own("3 lb plums", "200 g honey", "2 tsp calcium-set pectin")
    row = next(row for row in api.scale_answer(by_weight, sweetener="honey", draws=0).scaled.rows if row.item == "honey")
    assert (row.tested_text, row.off_percent) == ("200 g", None)
    assert "cup" in row.measure_text
    by_cup = own("3 lb plums", "2/3 cup honey", "2 tsp calcium-set pectin")
    row = next(row for row in api.scale_answer(by_cup, sweetener="honey", draws=0).scaled.rows if row.item == "honey")
    assert row.off_percent == pytest.approx(0, abs=3)


def test_there_must_be_a_sweetener_to_change() -> None:
    with pytest.raises(InputError, match="none to be changed"):
        api.scale_answer("refrigerated-apple-spread", sweetener="honey")


def test_in_a_metric_kitchen_the_pots_are_said_in_litres() -> None:
    findings = api.scale_answer("strawberry-rhubarb", times=6, units="metric").result.findings
    (pots,) = [finding.text for finding in findings if finding.id == "pots"]
    assert "mL mashed fruit" in pots or " L mashed fruit" in pots
    assert "cup" not in pots


@pytest.mark.parametrize(("times", "loads"), [(2.5, False), (3.0, True), (6.0, True)])
def test_canner_loads_go_by_the_jars_that_the_answer_expects(times: float, loads: bool) -> None:
    """One count of jars: where the recipe's own is another, that is said once and nothing is planned by it."""
    made = api.scale_answer("strawberry-rhubarb", times=times, altitude="500 ft")
    jars = max(1, round(made.result.yield_.jars.expected))
    said = [each.text for each in made.result.findings if each.id == "canner-loads"]
    assert (jars > 12) is loads
    assert [text.split(" are ")[0] for text in said] == ([f"{jars} half-pints"] if loads else [])


def test_a_cold_recipe_has_no_canner_loads() -> None:
    made = api.scale_answer("strawberry-freezer", times=6)
    assert "canner-loads" not in [each.id for each in made.result.findings]
