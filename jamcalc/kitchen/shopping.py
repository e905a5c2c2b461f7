"""What to set out for a batch, what of it the kitchen has, and what to buy.

Takes the amounts from the answer and the stores from the kitchen file; doses nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from jamcalc import facts
from jamcalc.facts import figure, table
from jamcalc.formula.mixture import LEMON
from jamcalc.kitchen import packages
from jamcalc.kitchen.household import Kitchen
from jamcalc.nouns.outcome import BatchResult, BuyLine, Ingredient, JarsOf
from jamcalc.words import measures
from jamcalc.words.phrases import bought, jar_words, weight

NOTHING = "-"
NOT_SAID = "?"


def to_buy(result: BatchResult, kitchen: Kitchen, jars: Sequence[tuple[str, int]], *, fruit_on_hand: bool) -> tuple[BuyLine, ...]:
    """Fruit, sweetener, lemon juice, pectin, calcium powder, jars and lids for a batch, against what there is.

    Parameters
    ----------
    result : the answer; its kitchen plan, where there is one, says which jars
    kitchen : its stores; None in it means not known
    jars : on hand, (key, how many)
    fruit_on_hand : False where the fruit is still to be bought

    Returns
    -------
    tuple : one line for each thing, in the order of the pot, jars last
    """
    units = result.batch.settings.units

    def sold(line: BuyLine, key: str) -> BuyLine:
        return replace(line, buy=packages.needed(key, line.to_buy, line.unit, kitchen, units))

    stores = dict(kitchen.sweeteners_g)
    rows = []
    for part in result.batch.fruits:
        on_hand = part.as_bought_g if fruit_on_hand else 0.0
        row = _grams(part.plural, part.as_bought_g, on_hand, bought(part.as_bought_g, units))
        rows.append(replace(row, buy=packages.fruit(part.fruit.key, row.to_buy, units)))
    for ingredient in result.ingredients:
        if ingredient.role == "sweetener":
            # a kitchen file that names any sweetener is taken to name them all
            rows.append(
                sold(
                    _grams(ingredient.name, ingredient.grams, stores.get(ingredient.item, 0.0 if stores else None), _measured(ingredient)),
                    ingredient.item,
                )
            )
        elif ingredient.item == LEMON and ingredient.ml is not None:
            rows.append(sold(_lemon(ingredient, ingredient.ml, kitchen.lemon_juice_ml, units), LEMON))
        elif result.acid is not None and (ingredient.item, ingredient.measure) == (result.acid.item, result.acid.measure):
            rows.append(_grams(ingredient.name, ingredient.grams, None, _measured(ingredient)))
        elif ingredient.role == "pectin":
            own = kitchen.pectin_g if result.batch.pectin_kind == "calcium-set" else None
            rows.append(sold(_grams(ingredient.name, ingredient.grams, own, _measured(ingredient)), result.batch.pectin_kind))
    if result.calcium_water.ml > 0.0:
        rows.append(sold(_calcium_powder(result.calcium_water.ml, kitchen.calcium_powder_g, units), "calcium_powder"))
    missing_jars = [sold(row, key) for key, row in _jars(result, jars)]
    lids = _lids(result, kitchen.lids)
    boxes = packages.lids(lids.to_buy, [row.buy for row in missing_jars], kitchen, units)
    return (*rows, *missing_jars, replace(lids, buy=boxes))


def _line(
    item: str, unit: Literal["g", "mL", "each"], needed: float, on_hand: float | None, needed_text: str, on_hand_text: str, to_buy_text: str
) -> BuyLine:
    """A line with what is missing; an unknown store counts as none, and its column says so."""
    missing = max(0.0, needed - (on_hand or 0.0))
    return BuyLine(
        item=item,
        unit=unit,
        needed=needed,
        on_hand=on_hand,
        to_buy=missing,
        needed_text=needed_text,
        on_hand_text=NOT_SAID if on_hand is None else on_hand_text if on_hand > 0.0 else NOTHING,
        to_buy_text=to_buy_text if missing > 0.0 else NOTHING,
    )


def _measured(ingredient: Ingredient) -> str:
    """The measure and what it weighs, once where it is weighed anyway."""
    return ingredient.measure if ingredient.measure.endswith(" g") else f"{ingredient.measure}, {weight(ingredient.grams)}"


def _grams(item: str, needed_g: float, on_hand_g: float | None, text: str) -> BuyLine:
    missing_g = needed_g - (on_hand_g or 0.0)
    buy = text if not on_hand_g else weight(math.ceil(missing_g) if missing_g >= 10.0 else missing_g)
    have = text if on_hand_g == needed_g else weight(on_hand_g or 0.0)
    return _line(item, "g", needed_g, on_hand_g, text, have, buy)


def _lemon(juice: Ingredient, needed_ml: float, on_hand_ml: float | None, units: str) -> BuyLine:
    missing_ml = max(0.0, needed_ml - (on_hand_ml or 0.0))
    more = measures.measured(missing_ml, units, never_less=True)
    have = f"{on_hand_ml or 0.0:.0f} mL" if units == "metric" else measures.nearest(on_hand_ml or 0.0).text
    return _line(juice.name, "mL", needed_ml, on_hand_ml, juice.measure, have, more.text if on_hand_ml else juice.measure)


def _calcium_powder(water_ml: float, on_hand_g: float | None, units: str) -> BuyLine:
    """Powder by whole jars of calcium water, as it is stirred together: half a teaspoon to half a cup."""
    rule = {name: figure(raw).typical for name, raw in table("kitchen")["calcium_water"].items()}
    makings = math.ceil(water_ml / measures.TSP_ML / rule["teaspoons_made"] - 1e-9)
    powder_tsp = makings * rule["powder_teaspoons"]
    grams = powder_tsp * rule["powder_g_per_teaspoon"]
    water = measures.jam_text(makings * rule["water_cups"] * measures.CUP_ML, units)
    spoons = "" if units == "metric" else f"{measures.spoons_text(powder_tsp)}, "
    text = f"{spoons}{weight(grams)}, in {water} water"
    return _line("calcium powder", "g", grams, on_hand_g, text, weight(on_hand_g or 0.0), weight(max(0.0, grams - (on_hand_g or 0.0))))


def _needed_jars(result: BatchResult) -> tuple[JarsOf, ...]:
    """The jars to have hot, and those that are missing for the high end."""
    plan, settings = result.kitchen, result.batch.settings
    if plan is None:
        jar = facts.jar(settings.jar)
        return (JarsOf(jar=jar.key, name=jar.name, count=result.yield_.jars.heat),)
    return (*plan.heat, *((plan.more_jars,) if plan.more_jars else ()))


def _jars(result: BatchResult, jars: Sequence[tuple[str, int]]) -> list[tuple[str, BuyLine]]:
    have, counts, names = dict(jars), dict[str, int](), dict[str, str]()
    for needed in _needed_jars(result):
        counts[needed.jar] = counts.get(needed.jar, 0) + needed.count
        names[needed.jar] = needed.name
    rows = []
    for key, count in counts.items():
        name, on_hand = names[key], have.get(key, 0) if jars else None
        missing = count - (on_hand or 0)
        row = _line(facts.jar(key).plural, "each", count, on_hand, str(count), str(on_hand), jar_words(name, missing))
        rows.append((key, row))
    return rows


def _lids(result: BatchResult, on_hand: int | None) -> BuyLine:
    """One new lid for each jar."""
    count = sum(needed.count for needed in _needed_jars(result))
    return _line("new lids", "each", count, on_hand, str(count), str(on_hand), str(count - (on_hand or 0)))
