"""The answer as plain dictionaries for JSON: the keys, units and rounding that scripts rely on.

Rounds what was computed and names it; computes and decides nothing, reads and writes nothing.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from jamcalc.nouns.known import Acidulant, Estimate, Figure, Fit, Fruit, Jar, Sweetener
from jamcalc.nouns.learned import OfFruit
from jamcalc.nouns.said import Finding

if TYPE_CHECKING:
    from jamcalc.nouns.outcome import (
        AcidDose,
        Acidity,
        BatchResult,
        BuyLine,
        CalciumWaterDose,
        FromBook,
        GelSet,
        Ingredient,
        JarsOf,
        KitchenPlan,
        LemonDose,
        Packages,
        PectinDose,
        Yield,
    )
    from jamcalc.nouns.timing import Process

SCHEMA = "jamcalc/1"


def to_dict(result: BatchResult) -> dict[str, Any]:
    """The whole answer of batch, check or scale, ready for `json.dumps(..., allow_nan=False)`.

    Parameters
    ----------
    result : the answer, at full precision except for pH, on whose reported figure storage was decided

    Returns
    -------
    dict : pH to 0.01; grams, milliliters and percent to 0.1, titratable acidity and pectin to 0.01 %, water activity
        to 0.001; a number that is not finite becomes None, for JSON knows no NaN
    """
    solution = result.solution
    return {
        "schema": SCHEMA,
        "command": result.command,
        "title": result.title,
        "standing": result.standing,
        "storage": result.storage,
        "keeping": result.keeping,
        "ingredients": [_ingredient(ingredient) for ingredient in result.ingredients],
        "lemon_juice": _lemon(result.lemon_juice),
        "acid": None if result.acid is None else _acid(result.acid),
        "pectin": _pectin(result.pectin),
        "calcium_water": _calcium_water(result.calcium_water),
        "acidity": _acidity(result.acidity),
        "set": _set(result.gel_set),
        "solids_percent": _range(result.solids_percent, 1),
        "water_activity": _number(result.water_activity, 3),
        "yield": _yield(result.yield_),
        "process": None if result.process is None else process_dict(result.process),
        "findings": _findings(result.findings),
        "refused": result.refused,
        "cautions": _findings(result.cautions),
        "order_of_work": list(result.order_of_work),
        "working": [{"what": step.what, "how": step.how, "value": step.value, "sources": list(step.sources)} for step in result.working],
        "solution": {"converged": solution.converged, "residual": _finite(solution.residual), "iterations": solution.iterations},
        "sources": [{"id": source.key, "text": source.text} for source in result.sources],
        **({} if result.rescue is None else {"rescue": _acid(result.rescue)}),
        **({} if result.kitchen is None else {"kitchen": _kitchen(result.kitchen)}),
        **({"learned": [_learned(moved) for moved in result.from_book]} if result.from_book else {}),
        **({"to_buy": [_to_buy(line) for line in result.to_buy]} if result.to_buy else {}),
    }


def _lemon(lemon: LemonDose) -> dict[str, Any]:
    return {
        "g": _number(lemon.grams),
        "ml": _number(lemon.ml),
        "measure": lemon.measure,
        "needed_g": _number(lemon.needed_g),
        "replaced_by": lemon.replaced_by,
    }


def _pectin(pectin: PectinDose) -> dict[str, Any]:
    return {
        "g": _number(pectin.grams),
        "tsp": _number(pectin.teaspoons, 3),
        "measure": pectin.measure,
        "needed_g": _number(pectin.needed_g),
    }


def _calcium_water(calcium_water: CalciumWaterDose) -> dict[str, Any]:
    return {
        "ml": _number(calcium_water.ml),
        "tsp": _number(calcium_water.teaspoons, 3),
        "calcium_mg": _number(calcium_water.calcium_mg),
        "measure": calcium_water.measure,
        "optional": calcium_water.optional,
    }


def _acidity(acidity: Acidity) -> dict[str, Any]:
    return {
        "ph": _range(acidity.ph, 2),
        "ph_before_lemon": _range(acidity.ph_before_lemon, 2),
        "titratable_percent": _range(acidity.titratable_percent, 2),
        "meter_needed": acidity.meter_needed,
    }


def _set(gel_set: GelSet) -> dict[str, Any]:
    return {
        "pectin_percent": _number(gel_set.pectin_percent, 2),
        "calcium_mg_per_g_pectin": _number(gel_set.calcium_mg_per_g_pectin),
        "calcium_from_fruit_mg": _number(gel_set.calcium_from_fruit_mg),
        "class": gel_set.strength,
        "too_much_calcium": gel_set.too_much_calcium,
    }


def _yield(yield_: Yield) -> dict[str, Any]:
    return {
        "mass_g": _range(yield_.mass_g, 1),
        "hot_volume_ml": _range(yield_.hot_volume_ml, 1),
        "jar": yield_.jar,
        "jars": {
            "low": _number_down(yield_.jars.low),
            "expected": _number_down(yield_.jars.expected),
            "high": _number_down(yield_.jars.high),
            "heat": yield_.jars.heat,
        },
        "full_jars": yield_.full_jars,
        "over_ml": _number(yield_.over_ml),
        "headspace_mm": _number(yield_.headspace_mm, 2),
    }


def _acid(dose: AcidDose) -> dict[str, Any]:
    ml = None if dose.ml is None else _number(dose.ml)
    return {"item": dose.item, "g": _number(dose.grams), "ml": ml, "measure": dose.measure}


def _kitchen(plan: KitchenPlan) -> dict[str, Any]:
    pots = plan.pots
    return {
        "heat": _jars(plan.heat),
        "fill": {"low": _jars(plan.fill_low), "expected": _jars(plan.fill_expected), "high": _jars(plan.fill_high)},
        "over_ml": _number(plan.over_ml),
        "short_ml": _number(plan.short_ml),
        "more_jars": None if plan.more_jars is None else _jars((plan.more_jars,))[0],
        "loads": [{"jars": _jars(load.jars), "minutes": load.minutes, "by_band": list(load.by_band)} for load in plan.loads],
        "most_loads": plan.most_loads,
        "pots": {
            "number": pots.potfuls,
            "mashed_cups_each": _number(pots.mashed_cups_each, 2),
            "pots_that_hold_one": pots.pots_that_hold_one,
            "each": [{"item": share.name, "measure": share.measure} for share in pots.shares],
        },
    }


def _learned(moved: FromBook) -> dict[str, Any]:
    without, with_book = (figure if isinstance(figure, str) else _number(figure, 2) for figure in (moved.without, moved.with_book))
    return {"what": moved.what, "from_batches": moved.from_batches, "without": without, "with": with_book}


def _jars(jars: Iterable[JarsOf]) -> list[dict[str, Any]]:
    return [{"jar": kind.name, "count": kind.count} for kind in jars]


def _to_buy(line: BuyLine) -> dict[str, Any]:
    return {
        "item": line.item,
        "unit": line.unit,
        "needed": _number(line.needed),
        "on_hand": None if line.on_hand is None else _number(line.on_hand),
        "to_buy": _number(line.to_buy),
        "measure": line.needed_text,
        "to_buy_measure": line.to_buy_text,
        "buy": None if line.buy is None else _packages(line.buy),
    }


def _packages(buy: Packages) -> dict[str, Any]:
    return {"count": _number(buy.count), "package": buy.package, "size": buy.size or None, "measure": buy.measure}


def process_dict(process: Process) -> dict[str, Any]:
    """The boiling-water process: the `process` object of an answer, and all that `process --json` prints.

    Parameters
    ----------
    process : minutes for a jar at an altitude [ft]; altitude None means that `minutes` is the lowest band's

    Returns
    -------
    dict : altitude to 0.1 ft, boiling point to 0.1 degC, one entry in `by_band` for each published band
    """
    return {
        "jar": process.jar,
        "minutes": process.minutes,
        "altitude_ft": None if process.altitude_ft is None else _number(process.altitude_ft),
        "boiling_point_c": _number(process.boiling_point_degc),
        "by_band": [{"feet": band.feet, "metres": band.metres, "minutes": band.minutes} for band in process.by_band],
    }


def _ingredient(ingredient: Ingredient) -> dict[str, Any]:
    return {
        "item": ingredient.item,
        "name": ingredient.name,
        "role": ingredient.role,
        "as_bought_g": None if ingredient.as_bought_g is None else _number(ingredient.as_bought_g),
        "grams": _number(ingredient.grams),
        "ml": None if ingredient.ml is None else _number(ingredient.ml),
        "measure": ingredient.measure,
    }


def _findings(findings: Iterable[Finding]) -> list[dict[str, str]]:
    return [{"id": finding.id, "kind": finding.kind, "text": finding.text} for finding in findings]


def _range(estimate: Estimate, digits: int) -> dict[str, float | None]:
    return {
        "low": _number(estimate.low, digits),
        "typical": _number(estimate.typical, digits),
        "high": _number(estimate.high, digits),
    }


def _finite(value: float) -> float | None:
    return float(value) if math.isfinite(value) else None


def _number(value: float, digits: int = 1) -> float | None:
    # adding zero turns -0.0 into 0.0
    return round(float(value), digits) + 0.0 if math.isfinite(value) else None


def _number_down(value: float) -> float | None:
    # jar counts go down to 0.01, so that `full_jars` stays the floor of the `expected` that is printed
    return math.floor(value * 100 + 1e-9) / 100 if math.isfinite(value) else None


def item_dict(item: Fruit | Sweetener | Acidulant | Jar) -> dict[str, Any]:
    """One item of the facts with every figure, as `facts --json` prints it."""
    return dataclasses.asdict(
        item, dict_factory=lambda pairs: {key: dict(value) if isinstance(value, Mapping) else value for key, value in pairs}
    )


def yours(known: OfFruit) -> dict[str, Any]:
    """What her own batches say of a fruit, with one standard deviation of the next lot to either side."""
    figures: dict[str, Any] = {}
    for name, taught in (("ph", known.ph), ("soluble_solids_percent", known.solids_percent)):
        if taught is not None:
            ends = {"low": taught.value - taught.next_sd, "typical": taught.value, "high": taught.value + taught.next_sd}
            figures[name] = {**{end: _number(value, 2) for end, value in ends.items()}, "from_batches": taught.batches}
    if known.readings:
        figures["ph_read"] = {"low": known.read_low, "high": known.read_high, "from_batches": known.readings}
    return figures


def source_keys(item: Fruit | Sweetener | Acidulant | Jar) -> tuple[str, ...]:
    """The sources that an item's figures name, in the order of the figures."""
    keys: dict[str, None] = {}
    for field in dataclasses.fields(item):
        value = getattr(item, field.name)
        figures = value.values() if isinstance(value, Mapping) else (value,)
        for figure in figures:
            if isinstance(figure, Figure | Fit):
                keys.update(dict.fromkeys(figure.sources))
            if isinstance(figure, Figure):
                for extreme in (figure.extreme_low, figure.extreme_high):
                    keys.update(dict.fromkeys(extreme.sources if extreme else ()))
        if field.name.endswith("_sources"):
            keys.update(dict.fromkeys(value))
    return tuple(keys)
