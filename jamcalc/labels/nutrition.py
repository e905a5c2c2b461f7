"""Nutrition of the finished spread from food tables: what 100 g hold, and the same fruit as a full-sugar jam.

An estimate, never a laboratory value; rounding is panel's business, claims are judged elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields

from jamcalc import facts
from jamcalc.errors import InputError
from jamcalc.formula.mixture import soluble_percent
from jamcalc.jars.filling import density_g_per_ml, fill_ml
from jamcalc.labels.panel import lay_out
from jamcalc.nouns.asked import FruitPart
from jamcalc.nouns.known import Acidulant, Estimate, Jar, Sweetener, exactly
from jamcalc.nouns.label import Composition, Panel
from jamcalc.nouns.outcome import BatchResult
from jamcalc.words.phrases import joined, plain

NUTRIENTS = tuple(field.name for field in fields(Composition) if field.name not in ("g_per_ml", "left_out"))
NOTHING = exactly(0.0)
HOT_FILL_DEGC = 90.0  # as the yield is worked out


def panel(result: BatchResult) -> Panel:
    """The nutrition panel of the batch.

    Parameters
    ----------
    result : the answer; grams of its ingredients, its solids [%] and its yield [g] are used

    Returns
    -------
    Panel : per serving of 1 tbsp (15 mL) and per 100 g; each quantity a range where the sugar of the fruit is one

    References: CFR-101-9, CFR-101-12.
    """
    return lay_out("this spread", composition(result))


def reference_panel(result: BatchResult) -> Panel:
    """The same fruit as a full-sugar jam by the standard of identity, worked out by the same tables.

    100 g of jam = (45 or 47 parts of fruit + 55 parts of sugar), boiled to 65 % dissolved solids

    Parameters
    ----------
    result : the answer; only the proportions of its fruits count

    Returns
    -------
    Panel : named, as a comparison on a label must name its reference

    References: CFR-150-160; 47 parts only where every fruit is of its group I.
    """
    standard = facts.table("label")["standard"]
    parts = _fruit_parts(result)
    every_group_1 = all(part.fruit.us_jam_group == 1 for part in parts)
    fruit_parts = standard["fruit_parts_group_1" if every_group_1 else "fruit_parts"]
    sugar_parts = standard["sweetener_solids_parts"]
    fruit_g = sum(part.grams for part in parts)
    shares: dict[str, Estimate] = dict.fromkeys(NUTRIENTS, NOTHING)
    dissolved = sugar_parts
    for part in parts:
        share = fruit_parts * part.grams / fruit_g
        _add(shares, _of_fruit(part), share / 100)
        dissolved += share * soluble_percent(part).typical / 100
    _add(shares, _of_sugar(), sugar_parts / 100)
    finished = dissolved / (standard["solids_percent"] / 100)
    made_of = f"{fruit_parts:g} parts fruit to {sugar_parts:g} of sugar"
    food = f"full-sugar {_names(parts)} jam, {made_of} at {standard['solids_percent']:g} % solids"
    insoluble = sum(fruit_parts * part.grams / fruit_g * part.fruit.insoluble_percent.typical / 100 for part in parts)
    density = _density(standard["solids_percent"], insoluble / finished * 100)
    return lay_out(food, _composition(shares, finished, density))


def composition(result: BatchResult) -> Composition:
    """What 100 g of the finished spread hold: the sum of the ingredients over the mass that boiling leaves.

    finished mass = dissolved solids in / solids fraction, held between the yield and the sum of the ingredients,
    because what stays on pot and spoon takes jam, not water

    Parameters
    ----------
    result : the answer; `ingredients` with grams

    Returns
    -------
    Composition : per 100 g

    Raises
    ------
    InputError : an ingredient with a food's role that the tables do not hold
    """
    totals: dict[str, Estimate] = dict.fromkeys(NUTRIENTS, NOTHING)
    left_out: list[str] = []
    dissolved_g = 0.0
    for part in _fruit_parts(result):
        _add(totals, _of_fruit(part), part.grams / 100)
        dissolved_g += part.grams * soluble_percent(part).typical / 100
    for ingredient in result.ingredients:
        if ingredient.role == "sweetener":
            sweetener = facts.sweetener(ingredient.item)
            _add(totals, _of_sweetener(sweetener), ingredient.grams / 100)
            dissolved_g += ingredient.grams * sweetener.soluble_solids_percent.typical / 100
        elif ingredient.role == "acid":
            acidulant = facts.acidulant(ingredient.item)
            _add(totals, _of_acid(acidulant), ingredient.grams / 100)
            dissolved_g += ingredient.grams * acidulant.soluble_solids_percent.typical / 100
        elif ingredient.role == "other":
            left_out.append(plain(ingredient.name, 60))
        elif ingredient.role == "pectin":
            _add(totals, _of_pectin(result.batch.pectin_kind), ingredient.grams / 100)
            dissolved_g += ingredient.grams
    _add(totals, {"calcium_mg": exactly(result.calcium_water.calcium_mg)}, 1.0)
    everything_g = sum(ingredient.grams for ingredient in result.ingredients)
    by_solids_g = dissolved_g / (result.solids_percent.typical / 100)
    finished_g = min(max(by_solids_g, result.yield_.mass_g.typical), everything_g)
    return _composition(totals, finished_g, _density_g_per_ml(result, 20.0), left_out)


def net_weight_g(result: BatchResult, jar: Jar) -> float:
    """What one jar of the batch weighs net: the volume that it is filled with, hot, times the density at that heat.

    Parameters
    ----------
    result : the answer; its solids [%] and headspace [mm] are used
    jar : the jar

    Returns
    -------
    float : [g]; within about 4 %, as jars differ
    """
    hot = _density_g_per_ml(result, HOT_FILL_DEGC)
    return fill_ml(jar, result.yield_.headspace_mm) * hot


# ---------------------------------------------------------------- what each ingredient brings, per 100 g


def _fruit_parts(result: BatchResult) -> tuple[FruitPart, ...]:
    if not result.batch.fruits:
        raise InputError("There is no fruit in it to work with.")
    return result.batch.fruits


def _of_fruit(part: FruitPart) -> dict[str, Estimate]:
    """A measured Brix moves sugars in proportion; carbohydrate and energy follow the sugars, whatever moves them."""
    fruit = part.fruit
    energy = facts.table("label")["energy"]
    soluble = facts.table("label")["soluble_fibre_fraction"]
    fiber, protein, fat = fruit.nutrients["fibre_g"], fruit.nutrients["protein_g"], fruit.nutrients["fat_g"]
    other_g = max(0.0, fruit.nutrients["carbohydrate_g"].typical - fruit.sugars_percent.typical)
    sugars = fruit.sugars_percent.times(soluble_percent(part).typical / fruit.soluble_solids_percent.typical)
    carbohydrate = Estimate(low=sugars.low + other_g, typical=sugars.typical + other_g, high=sugars.high + other_g)
    kcal = [
        energy["protein_kcal_per_g"] * protein.typical
        + energy["fat_kcal_per_g"] * fat.typical
        + energy["carbohydrate_kcal_per_g"] * max(0.0, total - fiber.typical)
        + energy["soluble_fibre_kcal_per_g"] * soluble[side] * fiber.typical
        for side, total in (("low", carbohydrate.low), ("typical", carbohydrate.typical), ("high", carbohydrate.high))
    ]
    return {
        "energy_kcal": Estimate(low=kcal[0], typical=kcal[1], high=kcal[2]),
        "carbohydrate_g": carbohydrate,
        "fibre_g": fiber,
        "sugars_g": sugars,
        "protein_g": protein,
        "fat_g": fat,
        "sodium_mg": fruit.nutrients["sodium_mg"],
        "calcium_mg": fruit.calcium_mg,
        "potassium_mg": fruit.potassium_mg,
    }


def _of_sweetener(sweetener: Sweetener) -> dict[str, Estimate]:
    """Whatever sugars a sweetener brings are added sugars, those of a carrier too."""
    return {
        "energy_kcal": sweetener.energy_kcal_per_g.times(100),
        "carbohydrate_g": sweetener.carbohydrate_percent,
        "sugars_g": sweetener.sugars_percent,
        "added_sugars_g": sweetener.sugars_percent,
        "sugar_alcohol_g": sweetener.sugar_alcohol_percent,
        "calcium_mg": sweetener.calcium_mg,
    }


def _of_sugar() -> dict[str, Estimate]:
    """Pure sugar by its label factor, for the reference."""
    kcal = facts.table("label")["energy"]["carbohydrate_kcal_per_g"] * 100
    whole = exactly(100.0)
    return {"energy_kcal": exactly(kcal), "carbohydrate_g": whole, "sugars_g": whole, "added_sugars_g": whole}


def _of_acid(acidulant: Acidulant) -> dict[str, Estimate]:
    """Acids count as carbohydrate, as in the food tables, where carbohydrate is what is left over."""
    dissolved = acidulant.soluble_solids_percent
    return {
        "energy_kcal": dissolved.times(facts.table("label")["energy"]["carbohydrate_kcal_per_g"]),
        "carbohydrate_g": dissolved,
        "sugars_g": acidulant.sugars_percent,
        "calcium_mg": acidulant.calcium_mg,
    }


def _of_pectin(kind: str) -> dict[str, Estimate]:
    """Pectin is soluble fiber; the dextrose that a packet is cut with is sugar, and added."""
    label = facts.table("label")
    total: float = label["pectin"][kind]["carbohydrate_percent"]
    sugars = Estimate(**label["pectin"][kind]["sugars_percent"])
    fiber = Estimate(low=total - sugars.high, typical=total - sugars.typical, high=total - sugars.low)
    by_sugar, by_fiber = label["energy"]["carbohydrate_kcal_per_g"], label["energy"]["soluble_fibre_kcal_per_g"]
    kcal = [by_sugar * sugar + by_fiber * (total - sugar) for sugar in (sugars.low, sugars.typical, sugars.high)]
    return {
        "energy_kcal": Estimate(low=kcal[0], typical=kcal[1], high=kcal[2]),
        "carbohydrate_g": exactly(total),
        "fibre_g": fiber,
        "sugars_g": sugars,
        "added_sugars_g": sugars,
    }


# ---------------------------------------------------------------- small arithmetic


def _add(totals: dict[str, Estimate], brings: Mapping[str, Estimate], hundreds: float) -> None:
    for nutrient, content in brings.items():
        so_far = totals[nutrient]
        totals[nutrient] = Estimate(
            low=so_far.low + content.low * hundreds,
            typical=so_far.typical + content.typical * hundreds,
            high=so_far.high + content.high * hundreds,
        )


def _composition(totals: Mapping[str, Estimate], finished_g: float, g_per_ml: float, left_out: Iterable[str] = ()) -> Composition:
    return Composition(
        **{nutrient: amount.times(100 / finished_g) for nutrient, amount in totals.items()},
        g_per_ml=g_per_ml,
        left_out=tuple(left_out),
    )


def _density_g_per_ml(result: BatchResult, degc: float) -> float:
    insoluble_g = sum(part.grams * part.fruit.insoluble_percent.typical / 100 for part in _fruit_parts(result))
    return _density(result.solids_percent.typical, insoluble_g / result.yield_.mass_g.typical * 100, degc)


def _density(solids_percent: float, insoluble_percent: float, degc: float = 20.0) -> float:
    return density_g_per_ml(100 - solids_percent - insoluble_percent, solids_percent, insoluble_percent, degc)


def _names(parts: tuple[FruitPart, ...]) -> str:
    names = list(dict.fromkeys(part.fruit.name for part in sorted(parts, key=lambda part: -part.grams)))
    return joined(names)
