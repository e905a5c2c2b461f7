"""How the high side of pH of a batch falls as lemon juice goes in: the curve on the kitchen page.

Asks batch_acidity at a row of doses, all else in the pot as it is.
"""

from __future__ import annotations

from dataclasses import dataclass

from jamcalc import facts
from jamcalc.formula import batch_acidity
from jamcalc.formula.batch_acidity import Sourables
from jamcalc.formula.mixture import LEMON
from jamcalc.nouns.outcome import BatchResult
from jamcalc.words import measures

POINTS = 24
BEYOND = 2.0  # times the batch's own dose: what half of it and twice of it would do
STEPS_US = tuple(
    (tsp * measures.TSP_ML, text)
    for tsp, text in ((1, "tsp"), (3, "tbsp"), (6, "tbsp"), (12, "cup"), (24, "cup"), (48, "cup"), (96, "cup"))
)
STEPS_METRIC = tuple((ml, "mL") for ml in (5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0))
MOST_TICKS = 5


@dataclass(frozen=True, kw_only=True)
class LemonCurve:
    """(mL of bottled juice in all, high side of pH), the dose of this batch, and marks for the bottom of the drawing."""

    points: tuple[tuple[float, float], ...]
    here_ml: float
    ticks: tuple[tuple[float, str], ...]


def lemon_curve(result: BatchResult) -> LemonCurve | None:
    """The curve of one answer, from no lemon juice to twice what it holds.

    None where bottled lemon juice is not what decides: none in the pot, another acid beside it, the batch was measured, or
    the recipe is a tested one, in which nothing is to be changed.
    """
    batch = result.batch
    own = next((ingredient for ingredient in result.ingredients if ingredient.item == LEMON), None)
    others = [part for part in batch.acids if part.acidulant.key != LEMON]
    if own is None or own.grams <= 0.0 or others or batch.settings.batch_ph is not None or result.standing == "tested":
        return None
    g_per_ml = facts.acidulant(LEMON).g_per_ml.typical
    here_ml = own.grams / g_per_ml
    points = []
    for number in range(POINTS + 1):
        ml = here_ml * BEYOND * number / POINTS
        points.append((ml, batch_acidity.high_side_ph(amounts(result, ml * g_per_ml))))
    return LemonCurve(points=tuple(points), here_ml=here_ml, ticks=_ticks(here_ml * BEYOND, batch.settings.units))


def amounts(result: BatchResult, lemon_g: float) -> Sourables:
    """What is in the pot of an answer, with another dose of bottled lemon juice [g]."""
    grams = {ingredient.item: ingredient.grams for ingredient in result.ingredients if ingredient.role == "sweetener"}
    return Sourables(
        batch=result.batch,
        sweetener_g=tuple(grams.get(part.sweetener.key, part.grams or 0.0) for part in result.batch.sweeteners),
        added_water_g=result.batch.water_g + result.calcium_water.ml,
        lemon_g=lemon_g,
    )


def _ticks(most_ml: float, units: str) -> tuple[tuple[float, str], ...]:
    """Round doses along the curve: none, and at most five more; the unit stands at the last."""
    steps = STEPS_METRIC if units == "metric" else STEPS_US
    step, unit = next(((ml, unit) for ml, unit in steps if most_ml / ml <= MOST_TICKS + 0.01), steps[-1])
    unit_ml = {"tsp": measures.TSP_ML, "tbsp": 3 * measures.TSP_ML, "cup": measures.CUP_ML, "mL": 1.0}[unit]
    count = int(most_ml / step + 0.01)
    every = -(-count // MOST_TICKS) if count > MOST_TICKS else 1
    marks = [(0.0, "0")]
    for number in range(every, count + 1, every):
        amount = number * step / unit_ml
        text = f"{amount:g}" if unit == "mL" else measures.fraction(amount, 4)
        marks.append((number * step, f"{text} {unit}{'s' if unit == 'cup' and amount > 1 else ''}" if number + every > count else text))
    return tuple(marks)
