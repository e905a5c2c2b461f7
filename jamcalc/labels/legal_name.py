"""What a batch is called by law (21 CFR 150), and what its extras are called, sweeten or set."""

from __future__ import annotations

import re

from jamcalc import facts
from jamcalc.nouns.known import Sweetener
from jamcalc.nouns.outcome import BatchResult
from jamcalc.words.phrases import plain

# The amount before the name of an extra: a number, a unit, "of".
AMOUNT = re.compile(
    r"(?:about )?(?:an? |\d+(?:[./]\d+)?(?:[ -]\d+/\d+)?(?: |(?=[a-z])))"
    r"(?:(?:tsp|teaspoons?|tbsp|tablespoons?|cups?|fl oz|oz|ounces?|lb|kg|mg|g|grams?|ml|pinch(?:es)?|dash(?:es)?|drops?)\b\.? ?)?"
    r"(?:of )?(?=\w)",
    re.IGNORECASE,
)


def name_by_law(result: BatchResult) -> str:
    """ "jam" or "jelly" where the standard of identity is met, else "fruit spread". References: CFR-150-160, CFR-150-140."""
    if shortfalls(result):
        return "fruit spread"
    return "jelly" if of_juice(result) else "jam"


def of_juice(result: BatchResult) -> bool:
    """Whether all of its fruit is juice."""
    return all(part.fruit.kind == "juice" for part in result.batch.fruits)


def shortfalls(result: BatchResult) -> list[str]:
    """Why it is neither jam nor jelly by law; empty where it is one."""
    standard = facts.table("label")["standard"]
    why = []
    if result.solids_percent.typical < standard["solids_percent"]:
        why.append(f"about {result.solids_percent.typical:.0f} % dissolved solids, {standard['solids_percent']:.0f} asked")
    fruits: dict[str, float] = {}
    for part in result.batch.fruits:
        fruits[part.fruit.key] = fruits.get(part.fruit.key, 0.0) + part.grams
    total_g = sum(fruits.values())
    groups = {part.fruit.us_jam_group for part in result.batch.fruits}
    fruit_parts = standard["fruit_parts_group_1" if groups == {1} else "fruit_parts"]
    sweet_g = sum(
        grams * sweetener.soluble_solids_percent.typical / 100
        for sweetener, grams in sweeteners(result)
        if sweetener.sugars_percent.typical >= standard["nutritive"]["sugars_percent_at_least"]
    )
    if sweet_g == 0:
        why.append("no nutritive sweetener")
    elif total_g * standard["sweetener_solids_parts"] < sweet_g * fruit_parts * (1 - 1e-9):
        why.append(f"fewer than {fruit_parts:g} parts of fruit to {standard['sweetener_solids_parts']:g} of sweetener solids")
    if any(sweetener.sugars_percent.typical < standard["nutritive"]["sugars_percent_at_least"] for sweetener, _ in sweeteners(result)):
        why.append("a sweetener that is not a nutritive carbohydrate")
    outside = [part.fruit.plural for part in result.batch.fruits if part.fruit.us_jam_group is None and part.fruit.key != "apple"]
    if outside and not of_juice(result):
        why.append(f"{outside[0]} are not on the list of the standard")
    if len(fruits) > standard["fruits_at_most"]:
        why.append(f"more than {standard['fruits_at_most']} fruits")
    if len(fruits) > 1:
        least = {key: standard["least_fraction_pineapple" if key == "pineapple" else "least_fraction"] for key in fruits}
        if any(grams < least[key] * total_g * (1 - 1e-9) for key, grams in fruits.items()):
            why.append("a fruit with too small a share of the mix")
    if fruits.get("apple", 0.0) > standard["apple_at_most_fraction"] * total_g * (1 + 1e-9):
        why.append("more than half of the fruit is apple")
    return why


# ---------------------------------------------------------------- what is carried along without a weight


def extra_name(extra: str) -> str:
    """An extra as an ingredient list names it: "2 tbsp unflavored gelatin" without the amount."""
    text = plain(extra)
    amount = AMOUNT.match(text)
    return text[amount.end() :] if amount else text


def extras_that(result: BatchResult, do: str) -> list[str]:
    """The extras that sweeten (`do` = "sweet") or set ("sets"), by the words of the label data."""
    return [extra_name(extra) for extra in result.batch.unfit_extras if extra_does(extra, do)]


def extra_does(extra: str, do: str) -> bool:
    """Whether an extra sweetens ("sweet") or sets ("sets")."""
    words = "|".join(facts.table("label")["extras"][do])
    return bool(re.search(rf"\b(?:{words})s?\b", extra, re.IGNORECASE))


def sweeteners(result: BatchResult) -> list[tuple[Sweetener, float]]:
    """Each sweetener with its grams as they go into the pot."""
    grams = {ingredient.item: ingredient.grams for ingredient in result.ingredients if ingredient.role == "sweetener"}
    return [(part.sweetener, grams.get(part.sweetener.key, part.grams or 0.0)) for part in result.batch.sweeteners]
