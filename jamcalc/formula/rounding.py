"""From the doses that were found to what a kitchen can measure: acid never down, the rest to the nearest spoon.

Only here is anything rounded before it is reported; all that is reported is worked out from the measured amounts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from jamcalc import facts
from jamcalc.chemistry import setting
from jamcalc.formula.mixture import LEMON, Doses
from jamcalc.nouns.asked import Batch, SweetenerPart
from jamcalc.words import measures

INTENSE = facts.limit("intense_sweetness_times").typical
NONE = measures.Measure(text="none", ml=0.0)


@dataclass(frozen=True, kw_only=True)
class Measured:
    """The doses as measured out, and how each is measured."""

    doses: Doses
    lemon: measures.Measure
    sweeteners: tuple[measures.Measure, ...]
    pectin: measures.Measure
    calcium_water: measures.Measure


def measured(batch: Batch, needed: Doses, most_lemon_g: float | None = None) -> Measured:
    """The doses in measures that a kitchen owns. What the cook has written stays as written.

    `most_lemon_g` holds a dose that is for taste alone: nothing rests on it, so it may be measured down to its cap.
    """
    units = batch.settings.units
    lemon_g_per_ml = facts.acidulant(LEMON).g_per_ml.typical
    lemon = measures.measured(needed.lemon_g / lemon_g_per_ml, units, never_less=True)
    if most_lemon_g is not None and lemon.ml * lemon_g_per_ml > most_lemon_g >= needed.lemon_g:
        less = (measures.measured(needed.lemon_g / lemon_g_per_ml * (1.0 - 0.01 * step), units, never_less=True) for step in range(1, 50))
        lemon = next((smaller for smaller in less if smaller.ml * lemon_g_per_ml <= most_lemon_g), lemon)
        needed = replace(needed, lemon_g=lemon.ml * lemon_g_per_ml)

    per_tsp = setting.pectin_g_per_tsp(batch.settings.pectin_g_per_tsp)
    pectin_tsp = needed.pectin_g / per_tsp
    written_pectin = batch.pectin_g is not None
    pectin = _weighed(needed.pectin_g, per_tsp) if units == "metric" else measures.teaspoons(pectin_tsp)
    calcium_water = _calcium_water(batch, needed)
    sweeteners = [_sweetener(part, grams, units) for part, grams in zip(batch.sweeteners, needed.sweetener_g, strict=True)]
    return Measured(
        doses=Doses(
            lemon_g=max(lemon.ml * lemon_g_per_ml, needed.lemon_g),
            sweetener_g=tuple(grams for _, grams in sweeteners),
            pectin_g=needed.pectin_g if written_pectin else pectin.ml / measures.TSP_ML * per_tsp,
            calcium_water_ml=calcium_water.ml,
        ),
        lemon=lemon,
        sweeteners=tuple(measure for measure, _ in sweeteners),
        pectin=measures.Measure(text=_written(batch, "pectin") or NONE.text, ml=pectin_tsp * measures.TSP_ML) if written_pectin else pectin,
        calcium_water=calcium_water,
    )


def _weighed(grams: float, g_per_tsp: float) -> measures.Measure:
    """A powder on a kitchen scale, where spoons are not counted in: to the gram, the half or the tenth, whichever is within 3 %."""
    if grams <= 0.0:
        return NONE
    near = (max(round(grams / step), 1) * step for step in (1.0, 0.5, 0.1))
    weighed = next((near_g for near_g in near if abs(near_g / grams - 1.0) <= measures.CLOSE), max(round(grams, 1), 0.1))
    return measures.Measure(text=measures.grams_text(weighed), ml=weighed / g_per_tsp * measures.TSP_ML)


def _calcium_water(batch: Batch, needed: Doses) -> measures.Measure:
    if batch.calcium_water_ml is not None:
        return measures.Measure(text=_written(batch, "calcium water"), ml=batch.calcium_water_ml)
    if needed.calcium_water_ml <= 0.0:
        return NONE
    if batch.settings.units == "metric":
        return measures.metric(needed.calcium_water_ml)
    return measures.teaspoons(needed.calcium_water_ml / measures.TSP_ML)


def _sweetener(part: SweetenerPart, grams: float, units: str) -> tuple[measures.Measure, float]:
    """A sweetener as measured, and what that weighs: by the cup where it has a cup weight, else by the gram."""
    sweetener = part.sweetener
    per_cup = sweetener.g_per_cup
    if part.grams is not None:
        return measures.Measure(text=part.said, ml=part.ml or 0.0), part.grams
    if units == "metric" or per_cup is None or sweetener.sweetness.typical >= INTENSE:
        rounded = float(f"{grams:.2g}") if grams < 10.0 else float(round(grams))
        return measures.Measure(text=measures.grams_text(rounded), ml=0.0), rounded
    measure = measures.nearest(grams / per_cup.typical * measures.CUP_ML)
    return measure, measure.ml / measures.CUP_ML * per_cup.typical


def as_written(batch: Batch, doses: Doses) -> Measured:
    """Nothing rounded: a recipe that is read exactly as it stands."""
    lemon_ml = doses.lemon_g / facts.acidulant(LEMON).g_per_ml.typical
    pectin_tsp = doses.pectin_g / setting.pectin_g_per_tsp(batch.settings.pectin_g_per_tsp)
    return Measured(
        doses=doses,
        lemon=measures.Measure(text=lemon_said(batch, doses.lemon_g), ml=lemon_ml),
        sweeteners=tuple(measures.Measure(text=part.said, ml=part.ml or 0.0) for part in batch.sweeteners),
        pectin=measures.Measure(text=_written(batch, "pectin") or "none", ml=pectin_tsp * measures.TSP_ML),
        calcium_water=measures.Measure(text=_written(batch, "calcium water") or "none", ml=doses.calcium_water_ml),
    )


def lemon_said(batch: Batch, grams: float) -> str:
    """The lemon juice of the lines in their own words; in grams where there are several."""
    said = [line.amount.text for line in batch.lines if line.item == LEMON]
    return said[0] if len(said) == 1 else measures.grams_text(grams) if said else NONE.text


def _written(batch: Batch, role: str) -> str:
    return next((line.amount.text for line in batch.lines if line.role == role), "")
