"""Another acid in the place of lemon juice: how much, what the pot is then, and what may be asked for."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

import jamcalc
from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.formula import batch_acidity, storage, swapping
from jamcalc.formula.solver import solve
from jamcalc.nouns.asked import AcidPart
from jamcalc.nouns.outcome import BatchResult
from jamcalc.recipes import to_recipe
from jamcalc.words import measures

FRUITS = [
    ["3 lb plums"],
    ["3 lb apricots"],
    ["2 lb strawberries", "1 lb peaches"],
    ["1 kg nectarines"],
    ["2 lb sweet cherries", "1 lb pears"],
]
OTHERS = ["citric acid", "bottled lime juice"]


def batch(lines: list[str], **options: Any) -> BatchResult:
    return jamcalc.batch(lines, **{"sweetener": "honey", "draws": 0, **options})


def found(result: BatchResult, id: str) -> str | None:
    return next((finding.text for finding in result.findings if finding.id == id), None)


# ---------------------------------------------------------------- how much


def test_citric_acid_takes_the_printed_swap_where_that_is_more() -> None:
    """USDA, Complete Guide to Home Canning, Guide 3: 1/2 tsp citric acid for 2 Tbsp of bottled lemon juice."""
    lemon_g = 6 * measures.TSP_ML * facts.acidulant("bottled_lemon_juice").g_per_ml.typical
    dose = swapping.dose(lemon_g, "citric_acid", "us")
    assert dose.measure == "1/2 tsp"
    assert dose.grams == pytest.approx(0.5 * measures.TSP_ML * 0.93, rel=1e-6)


@pytest.mark.parametrize("lemon_g", [5.0, 15.0, 61.0, 122.0, 300.0])
@pytest.mark.parametrize("units", ["us", "metric"])
def test_never_less_acid_than_the_lemon_juice_brings(lemon_g: float, units: str) -> None:
    """Weak ends: 21 CFR 146.114 (lemon juice 4.5 %), Penniston 2008 (lime juice 3.5 g/100 mL), citric acid monohydrate (0.914)."""
    acid_g = 0.045 * lemon_g
    lime = swapping.dose(lemon_g, "bottled_lime_juice", units)
    assert 0.035 * lime.grams >= acid_g * (1.0 - 1e-9)
    assert lime.ml is not None
    assert lime.ml > lemon_g / 1.031  # one for one is not the same dose
    citric = swapping.dose(lemon_g, "citric_acid", units)
    least = citric.grams if citric.ml is None else citric.ml * 0.81
    assert 0.909 * least >= acid_g * (1.0 - 1e-9)


def test_a_metric_kitchen_weighs_its_powder() -> None:
    dose = swapping.dose(122.0, "citric_acid", "metric")
    assert dose.ml is None
    assert dose.measure.endswith(" g")


@pytest.mark.parametrize("lemon_ml", [30.0, 60.0, 123.0, 240.0, 600.0])
def test_a_metric_kitchen_weighs_the_printed_swap_to_the_next_half_gram(lemon_ml: float) -> None:
    """USDA, Complete Guide to Home Canning, Guide 3: a twelfth of the volume; a level teaspoon of citric acid holds 4.6 g (memory)."""
    printed_g = lemon_ml / 12.0 * 4.6 / measures.TSP_ML
    dose = swapping.dose(lemon_ml * 1.031, "citric_acid", "metric")
    assert printed_g * 0.995 <= dose.grams < printed_g * 1.005 + 0.5  # to the figures that are known of a teaspoon
    assert (2.0 * dose.grams).is_integer()
    assert dose.measure == measures.grams_text(dose.grams)


def test_lime_juice_is_measured_by_the_spoon_in_every_kitchen() -> None:
    """Penniston 2008: 3.5 g acid in 100 mL at the least; by SR28 a cup of lime juice weighs 246 g, of lemon juice 244 g.

    Seven tablespoons of lemon juice (4.5 %, 21 CFR 146.114) are as sour as 7 x 244 x 4.5 / (246 x 3.5) = 8.93 of lime juice: nine.
    """
    dose = swapping.dose(21 * measures.TSP_ML * 1.031, "bottled_lime_juice", "us")
    assert dose.measure == "1/2 cup + 1 tbsp"
    assert dose.grams == pytest.approx(9.0 / 16.0 * 246.0, rel=0.001)
    metric = swapping.dose(1031.0, "bottled_lime_juice", "metric")
    assert metric.ml is not None
    assert 1275.0 <= metric.ml <= 1.03 * 1275.0  # a round step at most 3 % over
    assert metric.measure.endswith(" mL")


def test_bottled_lemon_juice_takes_its_own_place() -> None:
    for spoons, said in ((2, "2 tbsp"), (4, "1/4 cup")):
        dose = swapping.dose(3 * spoons * measures.TSP_ML * 1.031, "bottled_lemon_juice", "us")
        assert dose.measure == said
        assert dose.grams == pytest.approx(3 * spoons * measures.TSP_ML * 1.031)


@pytest.fixture
def powder(monkeypatch: pytest.MonkeyPatch) -> Callable[[float], None]:
    """A pure acid of 0.8 to 1 g/mL, at least 90 % strong, for which so many mL to the mL of lemon juice are printed."""
    known = facts.acidulant

    def printed(times: float) -> None:
        citric = known("citric_acid")
        assert citric.instead_of_lemon is not None
        made_up = replace(
            citric,
            strength_percent=replace(citric.strength_percent, low=90.0),
            g_per_ml=replace(citric.g_per_ml, low=0.8, typical=1.0, high=1.0),
            instead_of_lemon=replace(citric.instead_of_lemon, low=times, typical=times, high=times),
        )
        monkeypatch.setattr(swapping.facts, "acidulant", lambda key: made_up if key == "citric_acid" else known(key))

    return printed


def test_of_a_powder_too_the_larger_of_both_rules_counts(powder: Callable[[float], None]) -> None:
    """400 g of lemon juice hold 18 g of acid at 4.5 %: 20 g of a powder of 90 %, in a spoon that may be filled with 0.8 g/mL 25 mL."""
    powder(0.001)
    weighed, by_spoon = (swapping.dose(400.0, "citric_acid", units) for units in ("metric", "us"))
    assert (weighed.grams, weighed.measure) == (20.0, "20 g")
    assert by_spoon.ml is not None
    assert 25.0 <= by_spoon.ml <= 1.03 * 25.0
    assert by_spoon.grams == pytest.approx(by_spoon.ml)  # as the spoon is usually filled
    powder(1.0)  # 400 g of lemon juice are 388 mL at 1.031 g/mL
    weighed, by_spoon = (swapping.dose(400.0, "citric_acid", units) for units in ("metric", "us"))
    assert weighed.grams == 388.0
    assert by_spoon.ml is not None
    assert 387.9 <= by_spoon.ml <= 1.03 * 388.0


def test_acid_lines_stand_for_the_lemon_juice_of_equal_acid() -> None:
    """As usual: citric acid at 99.5 %, lime juice at 4.6 %, against lemon juice at 5 % (USDA A-A-20144B)."""
    for key, percent in (("citric_acid", 99.5), ("bottled_lime_juice", 4.6), ("bottled_lemon_juice", 5.0)):
        part = AcidPart(acidulant=facts.acidulant(key), grams=10.0)
        assert swapping.as_lemon_g(part) == pytest.approx(10.0 * percent / 5.0)


# ---------------------------------------------------------------- the batch


@pytest.mark.parametrize("lines", FRUITS)
@pytest.mark.parametrize("acid", OTHERS)
@pytest.mark.parametrize("units", ["us", "metric"])
def test_a_batch_in_another_acid_is_as_safe(lines: list[str], acid: str, units: str) -> None:
    lemon, other = batch(lines, units=units), batch(lines, acid=acid, units=units)
    assert lemon.storage == other.storage == "shelf"
    assert other.acidity.ph.high <= storage.SHELF_HIGH_SIDE_PH
    assert other.acid is not None
    assert other.acid.name == acid
    answer = other.to_dict()
    assert answer["acid"] == {
        "item": other.acid.item, "g": round(other.acid.grams, 1), "ml": None if other.acid.ml is None else round(other.acid.ml, 1),
        "measure": other.acid.measure,
    }  # fmt: skip
    assert answer["lemon_juice"]["g"] == 0.0  # type: ignore[index]
    assert answer["lemon_juice"]["replaced_by"] == other.acid.item  # type: ignore[index]
    acids = [each for each in other.ingredients if each.role == "acid"]
    assert [(each.item, each.measure) for each in acids] == [(other.acid.item, other.acid.measure)]
    assert other.acid.name in " ".join(other.order_of_work)
    assert "lemon juice" not in " ".join(other.order_of_work)
    assert lemon.to_dict()["acid"] is None
    assert lemon.to_dict()["lemon_juice"]["replaced_by"] is None  # type: ignore[index]


def test_every_cautious_corner_holds_at_the_weak_end() -> None:
    for acid in OTHERS:
        solved = solve(batch(FRUITS[4]).batch)
        other = solve(jamcalc.batch(FRUITS[4], sweetener="honey", acid=acid, draws=0).batch)
        assert batch_acidity.high_side_ph(other.pot.amounts) <= 4.003 + 1e-6
        assert solved.acid is None


@pytest.mark.parametrize("acid", OTHERS)
def test_it_is_saved_and_read_back(acid: str) -> None:
    result = batch(FRUITS[0], acid=acid)
    recipe = to_recipe.recipe_of(result)
    assert [line.item for line in recipe.lines if line.role == "acid"] == [result.acid.item if result.acid else None]
    again = jamcalc.check(recipe, draws=0)
    assert again.storage == "shelf"
    assert again.acidity.ph.high == pytest.approx(result.acidity.ph.high, abs=0.011)


def test_the_cooks_own_lemon_juice_stays_and_the_rest_is_the_other_acid() -> None:
    result = batch(["3 lb plums", "1 tbsp bottled lemon juice"], acid="citric acid")
    assert [each.item for each in result.ingredients if each.role == "acid"] == ["bottled_lemon_juice", "citric_acid"]
    assert result.lemon_juice.measure == "1 tbsp"
    assert result.acid is not None
    recipe = to_recipe.recipe_of(result)
    assert [line.item for line in recipe.lines if line.role == "acid"] == ["bottled_lemon_juice", "citric_acid"]


def test_two_lines_of_one_acid_are_both_saved() -> None:
    result = batch(["3 lb plums", "1/4 tsp citric acid"], acid="citric acid")
    recipe = to_recipe.recipe_of(result)
    assert [line.item for line in recipe.lines if line.role == "acid"] == ["citric_acid", "citric_acid"]


def test_the_acid_that_was_worked_out_stands_below_the_cooks_own_lines() -> None:
    """As she wrote them, so that a saved recipe is read in her order; 1/4 tsp is 1.23 mL, 1 tbsp 14.79 mL."""
    result = batch(["3 lb plums", "1/4 tsp citric acid", "1 tbsp bottled lemon juice"], acid="bottled lime juice")
    assert result.acid is not None
    keys = [part.acidulant.key for part in result.batch.acids]
    assert keys == ["citric_acid", "bottled_lemon_juice", "bottled_lime_juice"]
    assert [part.ml for part in result.batch.acids] == [pytest.approx(1.232, abs=1e-3), pytest.approx(14.787, abs=1e-3), result.acid.ml]


def test_a_sour_batch_needs_none() -> None:
    result = batch(["2 lb rhubarb"], acid="citric acid")
    assert result.acid is None
    assert result.to_dict()["lemon_juice"]["replaced_by"] is None  # type: ignore[index]


def test_a_cold_batch_is_soured_in_it_too() -> None:
    result = batch(["3 lb pears"], acid="citric acid", store="cold")
    assert result.storage == "cold"
    assert result.acid is not None


def test_rescue_and_worth_are_said_in_it() -> None:
    high = batch(["1 kg blueberries"], acid="citric acid", reading="batch pH 4.25")
    assert high.rescue is not None
    assert high.rescue.item == "citric_acid"
    assert "citric acid" in str(found(high, "rescue"))
    worth = found(batch(["3 lb pears"], acid="citric acid"), "worth-measuring")
    assert worth
    assert "bottled lemon juice is enough" not in worth


@pytest.mark.parametrize("name", ["vinegar", "lemon juice", "lime juice", "fresh lime juice", "honey", "sulfuric acid"])
def test_an_acid_of_no_known_strength_is_refused(name: str) -> None:
    with pytest.raises(InputError, match=r'write "bottled lemon juice", .*"citric acid"'):  # what is taken unasked comes first
        batch(FRUITS[0], acid=name)


@pytest.mark.parametrize("name", ["Citric acid", "sour salt", "bottled lemon juice"])
def test_its_other_names(name: str) -> None:
    assert batch(FRUITS[0], acid=name).storage == "shelf"


def test_the_command_takes_it() -> None:
    words = [sys.executable, "-m", "jamcalc", "batch", "3 lb plums", "--acid", "citric acid", "--full"]
    done = subprocess.run(words, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0
    assert "citric acid" in done.stdout
    refused = subprocess.run([*words[:-2], "vinegar"], capture_output=True, text=True, timeout=300, check=False)
    assert refused.returncode == 2
    assert refused.stderr.count("\n") == 1


# ---------------------------------------------------------------- what is said of acid


@pytest.mark.parametrize("lines", [["4 cups mashed plums", "1 tbsp bottled lemon juice"], ["2 lb apricots", "1/8 tsp citric acid"],
                                   ["2 lb peaches", "1 tsp fresh lemon juice"]])  # fmt: skip
def test_an_acid_line_is_never_raised_in_silence(lines: list[str]) -> None:
    result = batch(lines)
    said = found(result, "acid-raised")
    assert said
    assert lines[1].split(" bottled")[0].split(" citric")[0].split(" fresh")[0] in said
    assert result.lemon_juice.measure.split(" and ")[0] in said


def test_an_acid_line_that_is_enough_needs_no_word() -> None:
    assert found(batch(["2 lb plums", "1/2 cup bottled lemon juice"]), "acid-raised") is None
    assert found(batch(["2 lb rhubarb", "1 tbsp bottled lemon juice"]), "acid-raised") is None


def test_a_swap_comes_with_its_amount() -> None:
    for result in (batch(FRUITS[0]), jamcalc.check("pineapple-grape-concentrate", draws=0), batch(FRUITS[1], units="metric")):
        text = next((caution.text for caution in result.cautions if caution.id == "bottled-lemon"), "")
        if result.lemon_juice.grams:
            for key in ("bottled_lime_juice", "citric_acid"):
                dose = swapping.dose(result.lemon_juice.grams, key, result.batch.settings.units)
                assert f"{dose.measure} of {dose.name}" in text
    tested = jamcalc.check("peach-pineapple-spread", draws=0)
    assert "In place of" not in next(caution.text for caution in tested.cautions if caution.id == "bottled-lemon")


def test_the_cooks_own_spoon_of_lemon_juice_is_still_a_spoon() -> None:
    """One US tablespoon is 14.79 mL, whatever the rest of the acid is dosed in."""
    left = batch(["3 lb plums", "1 tbsp bottled lemon juice"], acid="citric acid").lemon_juice
    assert left.ml == pytest.approx(14.79, abs=0.01)
    assert left.grams == pytest.approx(14.79 * facts.acidulant("bottled_lemon_juice").g_per_ml.typical, abs=0.05)


@pytest.mark.parametrize("tablespoons", [2, 8, 16, 48])
def test_citric_acid_is_never_less_than_the_swap_in_print(tablespoons: int) -> None:
    """USDA, Complete Guide to Home Canning, Guide 3: 1/2 tsp for 2 Tbsp of bottled lemon juice, so 1/4 tsp to the spoon."""
    lemon_g = 3 * tablespoons * measures.TSP_ML * facts.acidulant("bottled_lemon_juice").g_per_ml.typical
    dose = swapping.dose(lemon_g, "citric_acid", "us")
    assert dose.ml is not None
    assert dose.ml >= tablespoons / 4.0 * measures.TSP_ML * (1.0 - 1e-9)
