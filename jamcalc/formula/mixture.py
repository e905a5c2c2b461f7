"""What a pot of jam is made of: water, dissolved and undissolved solids, calcium and solutes, by simple addition.

Pure sums over a batch and its doses; which doses is the solver's business.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from jamcalc import facts
from jamcalc.chemistry import setting
from jamcalc.nouns.asked import Batch, FruitPart
from jamcalc.nouns.known import Estimate, Figure, Texture, exactly

LEMON = "bottled_lemon_juice"  # the acid that is dosed: bottled, since its strength is known
LIQUID_PECTIN_SOLIDS = facts.limit("liquid_pectin_solids_fraction").typical


@dataclass(frozen=True, kw_only=True)
class Doses:
    """The amounts that the solver finds or the cook has written, as they go into the pot."""

    lemon_g: float
    sweetener_g: tuple[float, ...]
    pectin_g: float
    calcium_water_ml: float

    @property
    def total_g(self) -> float:
        return self.lemon_g + math.fsum(self.sweetener_g) + self.pectin_g + self.calcium_water_ml


@dataclass(frozen=True, kw_only=True)
class Mixture:
    """The pot before it boils. Masses in grams; calcium in milligrams."""

    mass_g: float
    water_g: float
    soluble_g: Estimate
    insoluble_g: float
    calcium_from_fruit_mg: float  # all of it
    calcium_available_mg: float  # what the pectin can reach, from fruit, juice and sweetener
    native_pectin_g: float
    fruit_g: float


def mashed_cups(batch: Batch) -> float:
    """The fruit of a batch as if all of it were mashed [US cups]: what the pot rule counts in."""
    return sum(part.grams / part.fruit.mashed_g_per_cup.typical for part in batch.fruits)


def mix(batch: Batch, doses: Doses) -> Mixture:
    """Everything in the pot, added up. Mass in is mass here: nothing has boiled off yet.

    Lemon juice of the batch's own lines is part of `doses.lemon_g`; other acids are taken from the batch.
    """
    low = typical = high = insoluble = calcium_fruit = available = native = 0.0
    for part in batch.fruits:
        fruit, hundreds = part.fruit, part.grams / 100.0
        solids = soluble_percent(part)
        low += hundreds * solids.low
        typical += hundreds * solids.typical
        high += hundreds * solids.high
        insoluble += hundreds * fruit.insoluble_percent.typical
        calcium_fruit += hundreds * fruit.calcium_mg.typical
        available += hundreds * fruit.calcium_mg.typical * fruit.calcium_available.typical
        native += hundreds * fruit.native_pectin_percent.typical
    fruit_g = math.fsum(part.grams for part in batch.fruits)

    # Of what sweetener and juice bring, the usual share is within reach of the pectin (data/setting.toml).
    usual = setting.usual_available()
    others: list[tuple[float, Figure, Figure]] = [
        (grams, part.sweetener.soluble_solids_percent, part.sweetener.calcium_mg)
        for part, grams in zip(batch.sweeteners, doses.sweetener_g, strict=True)
    ]
    acids = [(part.grams, part.acidulant) for part in batch.acids if part.acidulant.key != LEMON]
    acids.append((doses.lemon_g, facts.acidulant(LEMON)))
    others += [(grams, acid.soluble_solids_percent, acid.calcium_mg) for grams, acid in acids]
    # Pectin powder is all solids, liquid pectin nearly all water; the salt in calcium water (19 g/L) is left out: judgement.
    dissolved = doses.pectin_g * (LIQUID_PECTIN_SOLIDS if batch.pectin_kind == "liquid" else 1.0)
    for grams, solids_percent, calcium_mg in others:
        dissolved += grams / 100.0 * solids_percent.typical
        available += grams / 100.0 * calcium_mg.typical * usual

    mass = fruit_g + doses.total_g + batch.water_g + math.fsum(grams for grams, _ in acids) - doses.lemon_g
    soluble = Estimate(low=low + dissolved, typical=typical + dissolved, high=high + dissolved)
    return Mixture(
        mass_g=mass,
        water_g=mass - soluble.typical - insoluble,
        soluble_g=soluble,
        insoluble_g=insoluble,
        calcium_from_fruit_mg=calcium_fruit,
        calcium_available_mg=available,
        native_pectin_g=native,
        fruit_g=fruit_g,
    )


def soluble_percent(part: FruitPart) -> Estimate:
    """Dissolved solids in the crushed fruit [g/100 g]: the table's range, or a refractometer reading in its place.

    A refractometer reads the juice alone; the crushed fruit also holds what does not dissolve.
    """
    if part.reading is None or part.reading.soluble_solids_percent is None:
        return part.fruit.soluble_solids_percent
    return exactly(part.reading.soluble_solids_percent * (1.0 - part.fruit.insoluble_percent.typical / 100.0))


def sugars_g(batch: Batch, doses: Doses) -> Estimate:
    """Sugars in the pot [g], of fruit, sweetener and juice: no sugar alcohol, no fiber, no acid."""
    parts = [(part.grams, part.fruit.sugars_percent) for part in batch.fruits]
    parts += [(grams, part.sweetener.sugars_percent) for part, grams in zip(batch.sweeteners, doses.sweetener_g, strict=True)]
    parts.append((doses.lemon_g, facts.acidulant(LEMON).sugars_percent))
    low, typical, high = (math.fsum(grams * getattr(share, end) / 100.0 for grams, share in parts) for end in ("low", "typical", "high"))
    return Estimate(low=low, typical=typical, high=high)


def solutes_g(batch: Batch, doses: Doses, titratable_as_citric_g: float) -> dict[str, float]:
    """Grams of each solute that binds water: fruit sugars as glucose, acids as citric, sweeteners by their own make-up."""
    solutes = {"glucose": 0.0, "citric_acid": titratable_as_citric_g}
    for part in batch.fruits:
        solutes["glucose"] += part.grams / 100.0 * part.fruit.sugars_percent.typical
    solutes["glucose"] += doses.lemon_g / 100.0 * facts.acidulant(LEMON).sugars_percent.typical
    for sweet, grams in zip(batch.sweeteners, doses.sweetener_g, strict=True):
        for solute, fraction in sweet.sweetener.solutes.items():
            solutes[solute] = solutes.get(solute, 0.0) + fraction * grams
    return solutes


def texture_shares(batch: Batch, finished_g: float) -> list[tuple[float, Texture, float]]:
    """Share of the finished mass, texture and native pectin [%] of each fruit, for the texture credit."""
    return [(part.grams / finished_g, part.fruit.texture, part.fruit.native_pectin_percent.typical) for part in batch.fruits]
