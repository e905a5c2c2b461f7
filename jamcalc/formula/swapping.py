"""Another acid in the place of bottled lemon juice: how much of it, by the larger of two rules.

    equal acid, both at their weak ends (lemon juice 4.5 %, lime juice 3.5 %, citric acid as the monohydrate at its lightest spoon)
    the swap that agencies print, by volume

The swaps in print are no equal amounts of acid, and one for one is too little lime juice: so the larger counts. Whether it is enough
for the shelf is worked out anew by the solver.
"""

from __future__ import annotations

import math
from dataclasses import replace

from jamcalc import facts
from jamcalc.formula.batch_acidity import lemon_in_lines_g
from jamcalc.formula.mixture import LEMON, Doses
from jamcalc.nouns.asked import AcidPart, Batch
from jamcalc.nouns.known import Acidulant
from jamcalc.nouns.outcome import AcidDose
from jamcalc.words import measures

ACIDS = (LEMON, "bottled_lime_juice", "citric_acid")  # what a dose may be measured in: each of a known least strength
WEIGHED_TO_G = 0.5  # a kitchen scale for spices
LITTLE_ACID_G = facts.limit("little_acid_g").typical


def dose(lemon_g: float, key: str, units: str) -> AcidDose:
    """The acid that takes the place of so much bottled lemon juice, never rounded down.

    Parameters
    ----------
    lemon_g : bottled lemon juice [g]
    key : one of ACIDS
    units : us or metric; a powder is weighed in metric kitchens

    Returns
    -------
    AcidDose : `grams` is what `measure` typically holds

    Sources: CFR-146-114, USDA-GUIDE3, NCHFP-SALSA and the acid's own.
    """
    lemon, acid = facts.acidulant(LEMON), facts.acidulant(key)
    lemon_ml = lemon_g / lemon.g_per_ml.typical
    equal_g = lemon_g * lemon.strength_percent.low / acid.strength_percent.low
    printed_ml = lemon_ml * (1.0 if acid.instead_of_lemon is None else acid.instead_of_lemon.typical)
    if units == "metric" and is_powder(acid):
        grams = max(equal_g, printed_ml * acid.g_per_ml.typical)
        grams = math.ceil(grams / WEIGHED_TO_G - 1e-9) * WEIGHED_TO_G
        return AcidDose(item=key, name=acid.name, grams=grams, measure=measures.grams_text(grams))
    least_g_per_ml = acid.g_per_ml.low if is_powder(acid) else acid.g_per_ml.typical
    measure = measures.measured(max(equal_g / least_g_per_ml, printed_ml), units, never_less=True)
    return AcidDose(item=key, name=acid.name, grams=measure.ml * acid.g_per_ml.typical, ml=measure.ml, measure=measure.text)


def is_powder(acid: Acidulant) -> bool:
    """A pure acid, in a spoon that may be filled loosely."""
    return acid.ph is None


def in_its_place(batch: Batch, doses: Doses, acid: AcidDose) -> tuple[Batch, Doses]:
    """The batch with this acid as one more line, and the doses without the lemon juice that it replaces."""
    part = AcidPart(acidulant=facts.acidulant(acid.item), grams=acid.grams, ml=acid.ml, said=acid.measure)
    return replace(batch, acids=(*batch.acids, part)), replace(doses, lemon_g=lemon_in_lines_g(batch))


def as_lemon_g(part: AcidPart) -> float:
    """Bottled lemon juice [g] with as much acid as a line of another acid, both as usual."""
    return part.grams * part.acidulant.strength_percent.typical / facts.acidulant(LEMON).strength_percent.typical
