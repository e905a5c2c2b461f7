"""Published values: every case in tests/published/*.toml, each with its publisher's (or a stated) tolerance.

One adapter for each kind of case turns its printed inputs into a number of ours. Nothing is tuned to a case;
one that we miss stays in with `xfail`, its reason and what `we_find` instead: it turns red when it passes, and when it moves.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from scipy.optimize import brentq

import jamcalc
from jamcalc import facts
from jamcalc.chemistry import acidity, many_pools, setting, sweetness
from jamcalc.formula import batch_acidity
from jamcalc.formula.mixture import LEMON
from jamcalc.jars import filling
from jamcalc.nouns.asked import Batch, FruitPart

Inputs = Mapping[str, Any]
Answer = float | dict[str, float]

FOLDER = Path(__file__).with_name("published")
REQUIRED = {"id", "what", "inputs", "expected", "tolerance", "tolerance_reason", "source", "grade"}
OPTIONAL = {"tolerance_is", "url", "xfail", "we_find"}
GRADES = {"seen", "memory", "common practice", "judgement", "computed"}


def load(name: str) -> list[dict[str, Any]]:
    return tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))["case"]  # type: ignore[no-any-return]


CASES = {f"{path.stem}/{case['id']}": case for path in sorted(FOLDER.glob("*.toml")) for case in load(path.stem)}
MISSED = {name: case for name, case in CASES.items() if "xfail" in case}  # each with what we find instead


# ---------------------------------------------------------------- acidity


def mixture_ph(inputs: Inputs) -> float:
    return acidity.mixture_ph(inputs["moles_per_kg_water"], inputs["strong_ion_difference"])


def mcilvaine_ph(inputs: Inputs) -> float:
    total_ml = inputs["phosphate_02m_ml"] + inputs["citric_01m_ml"]
    phosphate = 0.2 * inputs["phosphate_02m_ml"] / total_ml
    return acidity.mixture_ph({"phosphoric": phosphate, "citric": 0.1 * inputs["citric_01m_ml"] / total_ml}, 2.0 * phosphate)


def fruit_kilogram(inputs: Inputs) -> acidity.AcidPool:
    return acidity.fruit_pool(
        ph=inputs["ph"],
        titratable_percent=inputs["titratable_percent"],
        titrated_as=inputs["titrated_as"],
        acid_share=inputs["acid_share"],
        water_kg_per_kg=inputs["water_fraction"],
    )


def ph_after_acid(inputs: Inputs) -> float:
    """One kilogram of fruit of known pH and acidity, with acid added."""
    acids = {acid: grams / facts.acid_constants(acid).molar_mass for acid, grams in inputs.get("add_g_per_kg", {}).items()}
    added = acidity.AcidPool(acid_mol=acids, strong_ion_eq=0.0, water_kg=0.0)
    lemon = batch_acidity.lemon_pool("weak").times(inputs.get("bottled_lemon_g_per_kg", 0.0))
    return acidity.pool_ph(acidity.pooled([fruit_kilogram(inputs), added, lemon]))


def ph_change_on_acid(inputs: Inputs) -> float:
    before: float = inputs["ph"]
    return ph_after_acid(inputs) - before


def ph_of_titrated_fruit(inputs: Inputs) -> float:
    """The pH of a fruit whose titratable acidity and strong ions are known, and its pH is not.

    The titration adds strong base until pH 8.1, so the acids are those that read 8.1 with the base added.
    """
    water = inputs["water_fraction"]
    titrated_as = facts.acid_constants(inputs["titrated_as"])
    base: float = inputs["titratable_percent"] * 10.0 * titrated_as.protons / titrated_as.molar_mass / water
    salt = inputs["strong_ion_difference_meq_per_kg"] / 1000.0 / water
    share = {acid: part / facts.acid_constants(acid).molar_mass for acid, part in inputs["acid_share"].items()}

    def acids(grams: float) -> dict[str, float]:
        return {acid: part * grams for acid, part in share.items()}

    grams = brentq(lambda grams: acidity.mixture_ph(acids(grams), base + salt) - acidity.TITRATION_END_PH, 0.1, 100.0)
    return float(acidity.mixture_ph(acids(grams), salt))


def amounts(grams: Mapping[str, float]) -> batch_acidity.Sourables:
    parts = tuple(
        FruitPart(fruit=facts.fruit(facts.lookup(name, ("fruit", "juice")).key), as_bought_g=weight, grams=weight, form="prepared")
        for name, weight in grams.items()
    )
    return batch_acidity.Sourables(batch=Batch(fruits=parts), sweetener_g=(), added_water_g=0.0)


def blend_ph(inputs: Inputs) -> float:
    return acidity.pool_ph(amounts(inputs["grams"]).pool("typical"))


def lemon_g_per_kg(inputs: Inputs) -> float:
    """Bottled juice that brings the cautious side of one kilogram of one fruit to 4.00, were there no limit to it."""
    kilogram = amounts({inputs["fruit"]: 1000.0})
    target = 4.00 - batch_acidity.MODEL_MARGIN_PH
    dose = many_pools.dose_for_ph(kilogram.cautious_pool(), batch_acidity.lemon_pool("weak"), target, 1000.0)
    assert dose is not None
    return dose


# ---------------------------------------------------------------- density and water activity


def density_20c_g_per_ml(inputs: Inputs) -> float:
    return filling.density_g_per_ml(100.0 - inputs["solids_percent"], inputs["solids_percent"], 0.0, 20.0)


def solution_water_activity(inputs: Inputs) -> float:
    molar_mass = facts.figure(facts.table("solutes")[inputs["solute"]]["molar_mass"]).typical
    return sweetness.water_activity(1000.0, {inputs["solute"]: inputs["molality"] * molar_mass})


def mixture_water_activity(inputs: Inputs) -> float:
    return sweetness.water_activity(inputs["water_g"], inputs["solutes_g"])


# ---------------------------------------------------------------- set


def pot_ph(inputs: Inputs) -> float:
    fruit = amounts({part["fruit"]: part["grams"] for part in inputs["fruits"]}).pool("typical")
    lemon = batch_acidity.lemon_pool("typical").times(inputs["lemon_g"])
    water = acidity.AcidPool(acid_mol={}, strong_ion_eq=0.0, water_kg=inputs["water_g"] / 1000.0)
    return acidity.pool_ph(acidity.pooled([fruit, lemon, water]))


def calcium_set_dose(inputs: Inputs) -> dict[str, float]:
    """Pectin and calcium for a pot of fruit, sugar, lemon juice and water, with no boil-off."""
    lemon = facts.acidulant(LEMON)
    batch_g = inputs["sugar_g"] + inputs["lemon_g"] + inputs["water_g"] + sum(part["grams"] for part in inputs["fruits"])
    soluble_g = inputs["sugar_g"] + inputs["lemon_g"] * lemon.soluble_solids_percent.typical / 100.0
    shares, on_hand_mg = [], 0.0
    for part in inputs["fruits"]:
        fruit, grams = facts.fruit(facts.lookup(part["fruit"], ("fruit", "juice")).key), part["grams"]
        soluble_g += grams / 100.0 * part.get("solids_percent", fruit.soluble_solids_percent.typical)
        on_hand_mg += grams / 100.0 * part.get("calcium_mg", fruit.calcium_mg.typical) * fruit.calcium_available.typical
        shares.append((grams / batch_g, fruit.texture, fruit.native_pectin_percent.typical))
    solids = 100.0 * soluble_g / batch_g
    percent = setting.pectin_percent(solids, setting.texture_credit_percent(shares), inputs["firmness"])
    pectin_g = percent / 100.0 * batch_g
    need = setting.calcium_to_add(pectin_g, solids, inputs.get("ph") or pot_ph(inputs), 0.05, on_hand_mg, inputs["firmness"])
    return {
        "pectin_tsp": pectin_g / setting.pectin_g_per_tsp(),
        "calcium_water_tsp": need.added_mg / setting.calcium_water_mg_per_tsp(),
        "calcium_added_mg": need.added_mg,
        "ratio": setting.calcium_ratio(pectin_g, on_hand_mg + need.added_mg),
        "pectin_g_per_kg": 10.0 * percent,
        "calcium_added_mg_per_g": need.added_mg / pectin_g,
    }


def ratio_wanted(inputs: Inputs) -> float:
    return setting.wanted_ratio(inputs["solids_percent"], inputs["ph"], inputs["citrate_mol_per_l"], inputs["firmness"])


def too_much_calcium(inputs: Inputs) -> float:
    return setting.too_much_calcium(inputs["pectin_g"], 0.0, inputs["calcium_mg"], inputs["solids_percent"], inputs["carboxyl_meq_per_g"])


# ---------------------------------------------------------------- jars


def half_pints(inputs: Inputs) -> float:
    """Jars that a recipe file with these keys is expected to fill."""
    answer = jamcalc.check(inputs, draws=0).yield_
    assert answer.jar == "half-pint"
    return answer.jars.expected


ADAPTERS: dict[str, Callable[[Inputs], Answer]] = {
    "mixture_ph": mixture_ph,
    "mcilvaine_ph": mcilvaine_ph,
    "ph_after_acid": ph_after_acid,
    "ph_change_on_acid": ph_change_on_acid,
    "ph_of_titrated_fruit": ph_of_titrated_fruit,
    "blend_ph": blend_ph,
    "lemon_g_per_kg": lemon_g_per_kg,
    "density_20c_g_per_ml": density_20c_g_per_ml,
    "solution_water_activity": solution_water_activity,
    "mixture_water_activity": mixture_water_activity,
    "calcium_set_dose": calcium_set_dose,
    "ratio_wanted": ratio_wanted,
    "too_much_calcium": too_much_calcium,
    "half_pints": half_pints,
}


# ---------------------------------------------------------------- the tests


def allowed(expected: Any, tolerance: float, tolerance_is: str) -> tuple[float, float]:
    """The lowest and highest answer that agrees with a number or a printed range."""
    low, high = expected if isinstance(expected, list) else (expected, expected)
    return (low / tolerance, high * tolerance) if tolerance_is == "factor" else (low - tolerance, high + tolerance)


def parameters() -> list[Any]:
    missed = {name: pytest.mark.xfail(strict=True, raises=AssertionError, reason=case["xfail"]) for name, case in MISSED.items()}
    return [pytest.param(case, id=name, marks=[missed[name]] if name in missed else []) for name, case in CASES.items()]


@pytest.mark.parametrize("case", parameters())
def test_published_value(case: dict[str, Any]) -> None:
    answer = ADAPTERS[case["what"]](case["inputs"])
    expected, tolerance = case["expected"], case["tolerance"]
    answers = answer if isinstance(answer, dict) else {case["what"]: answer}
    wanted = expected if isinstance(expected, dict) else {case["what"]: expected}
    for name in wanted:
        value = answers[name]
        width = tolerance[name] if isinstance(tolerance, dict) else tolerance
        low, high = allowed(wanted[name], width, case.get("tolerance_is", "difference"))
        assert low <= value <= high, f"{name}: {value:.4g} is not in {low:.4g} to {high:.4g} ({case['source']})"


@pytest.mark.parametrize("case", MISSED.values(), ids=MISSED)
def test_a_miss_has_not_grown(case: dict[str, Any]) -> None:
    # a miss is known by its size: what is written beside it must go on being what we find
    answer = ADAPTERS[case["what"]](case["inputs"])
    assert answer == pytest.approx(case["we_find"], rel=0.005)


@pytest.mark.parametrize("name", CASES)
def test_case_is_complete(name: str) -> None:
    case = CASES[name]
    assert REQUIRED <= case.keys() <= REQUIRED | OPTIONAL
    assert case["grade"] in GRADES
    assert case["source"]
    assert case["tolerance_reason"]
    assert ("xfail" in case) == ("we_find" in case)
    assert case.get("tolerance_is", "difference") in ("difference", "factor")


def test_no_case_is_lost_and_no_adapter_idle() -> None:
    assert len(CASES) == sum(len(load(path.stem)) for path in FOLDER.glob("*.toml"))  # no id twice in a file
    assert {case["what"] for case in CASES.values()} == ADAPTERS.keys()


def test_the_number_of_yield_recipes_is_the_same_everywhere() -> None:
    assert f" {len(load('yields'))} published jam recipes" in facts.source("YIELD-RECIPES").text


def test_printed_yields_are_met_as_a_group() -> None:
    """Within a jar of the stated range for 80 % or more, and no bias worth a jar in two and a half batches."""
    rows = [(case["id"], *case["expected"], half_pints(case["inputs"])) for case in load("yields")]
    within = [low - 1.0 <= ours <= high + 1.0 for _, low, high, ours in rows]
    bias = sum(ours - (low + high) / 2.0 for _, low, high, ours in rows) / len(rows)
    print(f"\n{'half-pints':30} stated   ours")
    for (name, low, high, ours), close in zip(rows, within, strict=True):
        print(f"{name:30} {f'{low} to {high}' if low < high else str(low):>8} {ours:6.1f}{'' if close else '  over a jar off'}")
    print(f"{sum(within)} of {len(rows)} within a jar of the stated range; bias {bias:+.2f} jar")
    assert sum(within) >= 0.8 * len(rows)
    assert abs(bias) <= 0.4
