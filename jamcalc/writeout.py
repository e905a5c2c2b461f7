"""An answer as a recipe file that check and scale read back to the same numbers.

What the cook wrote stays in the cook's words; what was dosed is written in the measures of the answer.
Called by the command line and the guide, for -o FILE.toml.
"""

from __future__ import annotations

from jamcalc import facts, lines
from jamcalc.answer import PECTIN_NAMES
from jamcalc.measures import CUP_ML
from jamcalc.model import Line, Recipe, StatedYield
from jamcalc.outcome import BatchResult, Ingredient
from jamcalc.souring import LEMON


def recipe_of(result: BatchResult) -> Recipe:
    """The recipe of an answer: somebody's own formula, with no source."""
    batch, settings = result.batch, result.batch.settings
    written = [line for line in batch.lines if not (line.role == "acid" and line.item == LEMON)]
    roles = {line.role for line in batch.lines}
    for ingredient in result.ingredients:
        dosed = ingredient.item == LEMON or (ingredient.role in ("pectin", "calcium water") and ingredient.role not in roles) or _sized(result, ingredient)
        if dosed:
            written.append(_line(ingredient, result))
    jars = result.yield_.jars
    low, high = int(jars.low + 0.5), int(jars.high + 0.5)
    return Recipe(
        title=result.title,
        kind="spread",
        lines=tuple(written),
        boil_min=settings.boil_min,
        simmer_min=settings.simmer_min or None,
        covered=settings.covered,
        stated_yield=StatedYield(low=low, high=high, jar=settings.jar, text="") if low >= 1 else None,
        headspace_mm=settings.headspace_mm,
        process_min=result.process.by_band[0].minutes if result.process is not None else None,
        keep="cold" if result.storage == "cold" else None,
        extras=(*batch.extras, *batch.unfit_extras),
        steps=result.order_of_work,
    )


def _sized(result: BatchResult, ingredient: Ingredient) -> bool:
    return any(part.grams is None and part.sweetener.key == ingredient.item for part in result.batch.sweeteners)


def _line(ingredient: Ingredient, result: BatchResult) -> Line:
    """The line that reads back to what the measure holds; grams where a spoon of it was weighed by the cook."""
    name = {"calcium water": "calcium water", "pectin": PECTIN_NAMES[result.batch.pectin_kind]}.get(ingredient.role, "")
    if not name:
        kind = "sweetener" if ingredient.role == "sweetener" else "acid"
        name = str(facts.table("items")[kind][ingredient.item][0])
    own_spoon = ingredient.role == "pectin" and result.batch.settings.pectin_g_per_tsp is not None
    text = f"{ingredient.grams:.6g} g {name}" if own_spoon else f"{ingredient.measure} {name}"
    line = lines.read_line(text)
    if ingredient.role == "sweetener" and line.amount.ml is not None and line.amount.ml < 0.001 * CUP_ML:
        return lines.read_line(f"{ingredient.grams:.6g} g {name}")
    return line
