"""Claims and names: the regulation's own examples and limits, each with its paragraph; then batches that sit on either side."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from label_sample import batch_result

from jamcalc.labels import claims, legal_name, nutrition
from jamcalc.nouns.label import Claim
from jamcalc.nouns.outcome import BatchResult


def review(result: BatchResult) -> dict[str, Claim]:
    return {each.id: each for each in claims.review(result, nutrition.panel(result), nutrition.reference_panel(result))}


# ---------------------------------------------------------------- outside checks


@pytest.mark.parametrize(
    ("amount", "reference", "reduced", "light"),
    [
        # 21 CFR 101.60(b)(4)(ii), examples (memory): "reduced from 150 to 100 calories", 33 1/3 percent
        (100, 150, True, True),
        # 101.60(c)(5)(ii) (memory): "sugar content has been lowered from 8 g to 6 g per serving", 25 percent exactly
        (6, 8, True, False),
        # 101.60(b)(5)(ii) (memory): "from 108 calories per 3 oz to 83 calories per 3 oz" is printed as 25 percent fewer;
        # it is 23.1: the regulation's own example fails its own rule, and fails here
        (83, 108, False, False),
        # 101.60(c)(6)(ii) (memory): "from 17 g per 3 oz to 13 g per 3 oz", printed as 25 percent less, is 23.5
        (13, 17, False, False),
        # 101.56(b)(3) (memory): cheesecake of 200 calories against 300, one third, to be compared as fractions
        (200, 300, True, True),
        (200.01, 300, True, False),
        (0, 0, False, False),
    ],
)  # fmt: skip
def test_comparisons_of_the_regulation(amount: float, reference: float, reduced: bool, light: bool) -> None:
    assert claims.is_reduced(amount, reference) is reduced
    assert claims.is_light(amount, reference) is light


def test_percentages_of_the_examples() -> None:
    assert claims.percent_less(83, 108) == pytest.approx(23.1, abs=0.05)
    assert claims.percent_less(13, 17) == pytest.approx(23.5, abs=0.05)


def test_limits_of_the_regulation() -> None:
    assert claims.is_sugar_free(0.49)  # 101.60(c)(1): less than 0.5 g
    assert not claims.is_sugar_free(0.5)
    assert not claims.is_sugar_free(0.18 * 2.8)  # 18 g of a spread with 2.8 g in 100 g: the ceiling
    assert claims.is_low_calorie(40, 40)  # 101.60(b)(2): 40 calories or less
    assert not claims.is_low_calorie(15, 40.1)  # a small reference amount is judged per 50 g as well
    assert not claims.is_low_calorie(40.1, 20)


@pytest.mark.parametrize(
    ("fruits", "sugar_g", "name"),
    [
        # 150.160: 47 parts of a fruit of group I, 45 of group II, to 55 of sweetener solids, at 65 % solids
        ({"strawberry": 470}, 550, "jam"), ({"strawberry": 460}, 550, "fruit spread"),
        ({"peach": 450}, 550, "jam"), ({"peach": 440}, 550, "fruit spread"),
        # a mix counts 47 only where all of it is group I
        ({"strawberry": 225, "peach": 225}, 550, "jam"), ({"strawberry": 225, "raspberry": 225}, 550, "fruit spread"),
        # each fruit of a mix at least one fifth, pineapple one tenth; apple at most half
        ({"peach": 410, "plum": 40}, 550, "fruit spread"), ({"peach": 400, "pineapple": 50}, 550, "jam"),
        ({"peach": 225, "apple": 225}, 550, "jam"), ({"peach": 200, "apple": 250}, 550, "fruit spread"),
        # 150.140: jelly is of juice
        ({"apple_juice": 450}, 550, "jelly"),
    ],
)  # fmt: skip
def test_standards_of_identity(fruits: dict[str, float], sugar_g: float, name: str) -> None:
    """Boiled down to 66 % solids, so that only the parts decide."""
    first = batch_result(fruits, {"sugar": sugar_g}, lemon_g=0, pectin_g=1, calcium_mg=0, boiled_off_g=0)
    total = sum(each.grams for each in first.ingredients)
    boiled = batch_result(
        fruits, {"sugar": sugar_g}, lemon_g=0, pectin_g=1, calcium_mg=0, boiled_off_g=total * (1 - first.solids_percent.typical / 66)
    )
    assert legal_name.name_by_law(boiled) == name


def test_65_percent_solids_make_the_difference() -> None:
    fruits = {"strawberry": 470.0}
    assert (
        legal_name.name_by_law(batch_result(fruits, {"sugar": 550}, lemon_g=0, pectin_g=1, calcium_mg=0, boiled_off_g=60)) == "fruit spread"
    )
    assert legal_name.name_by_law(batch_result(fruits, {"sugar": 550}, lemon_g=0, pectin_g=1, calcium_mg=0, boiled_off_g=160)) == "jam"


def test_the_standard_wants_a_nutritive_sweetener() -> None:
    found = review(batch_result({"strawberry": 470}, {"sugar": 400, "erythritol": 150}, boiled_off_g=200))
    assert not found["jam"].holds
    assert "not a nutritive carbohydrate" in found["jam"].figure


# ---------------------------------------------------------------- batches


def test_sweetened_with_honey() -> None:
    found = review(batch_result({"plum": 900, "blackberry": 450}, {"honey": 250}))
    holds = {key for key, claim in found.items() if claim.holds}
    assert holds == {"reduced_sugar", "reduced_calorie", "light", "fruit_spread"}
    assert found["no_added_sugar"].figure == "honey added"
    assert "full-sugar plum and blackberry jam, 45 parts fruit to 55 of sugar at 65 % solids" in found["reduced_sugar"].note


def test_nothing_added() -> None:
    found = review(batch_result({"strawberry": 900}))
    assert found["unsweetened"].holds
    assert found["no_added_sugar"].holds
    assert found["low_calorie"].holds
    assert not found["sugar_free"].holds  # the sugar of the fruit counts
    assert not found["low_sugar"].holds  # not defined


def test_low_calorie_fails_on_50_g_though_the_spoonful_is_small() -> None:
    found = review(batch_result({"blueberry": 900}, {"honey": 120}))
    assert not found["low_calorie"].holds
    assert "in a spoonful" in found["low_calorie"].figure


@pytest.mark.parametrize("key", ["erythritol", "stevia_extract", "allulose", "xylitol"])
def test_sweet_without_sugar_is_not_unsweetened(key: str) -> None:
    found = review(batch_result({"strawberry": 900}, {key: 100 if key != "stevia_extract" else 1}))
    assert found["no_added_sugar"].holds
    assert not found["unsweetened"].holds


@pytest.mark.parametrize("key", ["honey", "maple_syrup", "apple_juice_concentrate", "granulated_sucralose"])
def test_what_brings_sugar_breaks_no_added_sugar(key: str) -> None:
    assert not review(batch_result({"strawberry": 900}, {key: 100}))["no_added_sugar"].holds


def test_packet_pectin_brings_sugar() -> None:
    found = review(batch_result({"strawberry": 900}, pectin_kind="no-sugar", pectin_g=49))
    assert not found["no_added_sugar"].holds
    assert "dextrose" in found["no_added_sugar"].figure
    assert not found["unsweetened"].holds


def test_juice_that_sweetens_is_asked_after() -> None:
    found = review(batch_result({"strawberry": 900, "apple_juice": 200}))
    assert "Juice counts as fruit here" in found["no_added_sugar"].note


def test_a_full_sugar_jam_is_not_reduced_against_itself() -> None:
    found = review(batch_result({"strawberry": 470}, {"sugar": 550}, lemon_g=0, pectin_g=1, calcium_mg=0, boiled_off_g=160))
    assert found["jam"].holds
    assert not found["reduced_sugar"].holds
    assert not found["light"].holds


def test_saccharin_has_a_standard_of_its_own() -> None:
    assert "21 CFR 150.161" in review(batch_result({"strawberry": 900}, {"saccharin": 1}))["jam"].note


@pytest.mark.parametrize(
    ("extra", "name"),
    [
        ("2 tbsp unflavored gelatin", "unflavored gelatin"), ("1 1/2 cups of chopped dates", "chopped dates"), ("a pinch of salt", "salt"),
        ("1 cinnamon stick", "cinnamon stick"), ("\u00bd tsp vanilla extract", "vanilla extract"), ("zest of 1 lemon", "zest of 1 lemon"),
        ("5-spice powder", "5-spice powder"), ("12", "12"), ("", ""), ("2g mace", "mace"), ("1 glass sherry", "glass sherry"),
    ],
)  # fmt: skip
def test_extras_lose_their_amount_only(extra: str, name: str) -> None:
    assert legal_name.extra_name(extra) == name


def test_what_no_table_weighs_leaves_no_claim_standing() -> None:
    plain = batch_result({"strawberry": 900})
    carried = replace(plain, batch=replace(plain.batch, unfit_extras=("1 cup chopped dates", "2 tbsp liquid sweetener")))
    found = review(carried)
    assert {key for key, claim in found.items() if claim.holds} == {"fruit_spread"}
    assert found["unsweetened"].figure == "sweetened with liquid sweetener"
    assert found["no_added_sugar"].figure.endswith("not worked out: chopped dates and liquid sweetener")


def test_claims_in_a_title() -> None:
    found = review(batch_result({"plum": 900}, {"honey": 200})).values()
    said = [each.id for each in claims.in_title("Sugar-free light plum spread, no sugar added, low-sugar", found)]
    assert said == ["sugar_free", "no_added_sugar", "low_sugar"]  # light holds
    assert claims.in_title("Delight of plums", found) == ()


def test_whom_it_binds_is_always_said() -> None:
    given = claims.to_dict(review(batch_result({"plum": 900})).values())
    text = json.dumps(given)
    assert "Home use and a fair entry are not sale" in text
    assert "cottage-food" in text
    assert "Estimate from food tables, not a laboratory value" in text
    assert {"id", "name", "holds", "figure", "rule", "note"} == set(given["claims"][0])
