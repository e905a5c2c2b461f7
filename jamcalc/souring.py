"""How sour a batch is and how much lemon juice it needs: the chemistry of acidity.py applied to a whole batch.

One typical answer, two cautious corners that decide, and one drawn range that is shown and decides nothing.
Called by the solver; what the pH means for keeping is storage.py's.

The cautious corners. Both take every fruit at its high pH. `stiff` takes every titratable acidity at its high end:
more acid at the same pH is more buffer, so each spoon of juice moves it less. `lean` does the same except that
fruits sour enough to help the rest (high pH at or below the aim) come at their low end, since less of their acid
is there to help. For one fruit alone the two agree; the higher pH of the two counts.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache, lru_cache, partial
from typing import Any, Literal

from jamcalc import facts, spread
from jamcalc.acidity import (
    CITRIC_G_PER_EQUIVALENT,
    AcidPool,
    dose_for_ph,
    fruit_pool,
    pool_ph,
    pool_titratable_eq,
    pooled,
    pure_acid_pool,
)
from jamcalc.mixture import LEMON
from jamcalc.model import AcidPart, Acidulant, Batch, Estimate, Figure, Fruit, FruitPart, Reading, SweetenerPart, exactly
from jamcalc.outcome import Acidity
from jamcalc.storage import MOST_LEMON_G_PER_KG, SHELF_HIGH_SIDE_PH, SHELF_READING_PH

Corner = Literal["typical", "mild", "stiff", "lean"]
CAUTIOUS: tuple[Corner, Corner] = ("stiff", "lean")

MODEL_MARGIN_PH = facts.limit("model_margin_ph").typical
READING_MARGIN_PH = facts.limit("reading_margin_ph").typical
MINERAL_LIMIT = facts.limit("mineral_limit").typical
POTASSIUM_MG_PER_EQ = 39098.0
HARD_WATER_EQ_PER_KG = facts.limit("hard_water_meq_per_kg").typical / 1000.0
ODD_PH = facts.limit("odd_ph").typical
ODD_TITRATABLE = facts.limit("odd_titratable_times").typical
REPORTING_ROOM_PH = 0.003  # 4.003 is reported as 4.00, with room for what calcium water still dilutes


@cache
def lemon_pool(strength: Literal["typical", "weak"]) -> AcidPool:
    """The acids in one gram of bottled lemon juice; a dose may count on the weak one only (21 CFR 146.114)."""
    return _acidulant_pool(facts.acidulant(LEMON), strength).times(0.001)


def _acidulant_pool(acidulant: Acidulant, strength: Literal["typical", "weak"]) -> AcidPool:
    percent = acidulant.strength_percent.low if strength == "weak" else acidulant.strength_percent.typical
    water = acidulant.water_percent.typical / 100.0
    if acidulant.ph is None:
        return pure_acid_pool(acid=acidulant.titrated_as, percent=percent, water_kg_per_kg=water)
    return fruit_pool(
        ph=acidulant.ph.typical,
        titratable_percent=percent,
        titrated_as=acidulant.titrated_as,
        acid_share=acidulant.acid_share,
        water_kg_per_kg=water,
    )


def _acid_pool(part: AcidPart, strength: Literal["typical", "weak"]) -> AcidPool:
    """The acids of one acid line; a spoonful of powder is counted at its lightest where only the least is safe."""
    per_ml = part.acidulant.g_per_ml
    light = per_ml.low / per_ml.typical if strength == "weak" and part.ml is not None else 1.0
    return _acidulant_pool(part.acidulant, strength).times(light * part.grams / 1000.0)


@dataclass(frozen=True, kw_only=True)
class _Sourness:
    """What decides one fruit's acids: table ranges, or the cook's reading in their place."""

    ph: Estimate
    titratable: Estimate
    titrated_as: str
    limited: bool  # the mineral limit holds for table values, never for a measured acidity


def _sourness(fruit: Fruit, reading: Reading | None) -> _Sourness:
    ph: Estimate = fruit.ph
    titratable: Estimate = fruit.titratable_percent
    titrated_as = fruit.titrated_as
    limited = True
    if reading is not None and reading.ph is not None:
        ph = Estimate(low=reading.ph - READING_MARGIN_PH, typical=reading.ph, high=reading.ph + READING_MARGIN_PH)
    if reading is not None and reading.titratable_percent is not None:
        titratable = exactly(reading.titratable_percent)
        titrated_as = reading.titrated_as or titrated_as
        limited = False
    return _Sourness(ph=ph, titratable=titratable, titrated_as=titrated_as, limited=limited)


def mineral_limit_eq_per_kg(potassium_mg: Figure) -> float:
    """The most strong ions [eq/kg] of food with this much potassium [mg/100 g]."""
    return MINERAL_LIMIT * potassium_mg.typical * 10.0 / POTASSIUM_MG_PER_EQ


def _fruit_kilogram(fruit: Fruit, sourness: _Sourness, ph: Any, titratable: Any) -> AcidPool:
    return fruit_pool(
        ph=ph,
        titratable_percent=titratable,
        titrated_as=sourness.titrated_as,
        acid_share=fruit.acid_share,
        water_kg_per_kg=fruit.water_percent.typical / 100.0,
        strong_ion_limit_eq_per_kg=mineral_limit_eq_per_kg(fruit.potassium_mg) if sourness.limited else None,
    )


def _titratable_at(corner: Corner, ph: Estimate, titratable: Estimate) -> float:
    """The titratable acidity that goes with a corner: what helps the rest of the batch is least in the lean one."""
    if corner not in CAUTIOUS:
        return titratable.typical
    helps = ph.high <= SHELF_HIGH_SIDE_PH - MODEL_MARGIN_PH
    return titratable.low if corner == "lean" and helps else titratable.high


@lru_cache(maxsize=2000)  # one fruit at one corner never changes: worth keeping between rounds and batches
def _kilogram_at(key: str, reading: Reading | None, corner: Corner) -> AcidPool:
    fruit = facts.fruit(key)
    sourness = _sourness(fruit, reading)
    ph = {"typical": sourness.ph.typical, "mild": sourness.ph.low}.get(corner, sourness.ph.high)
    return _fruit_kilogram(fruit, sourness, ph, _titratable_at(corner, sourness.ph, sourness.titratable))


def _part_pool(part: FruitPart, corner: Corner) -> AcidPool:
    return _kilogram_at(part.fruit.key, part.reading, corner).times(part.grams / 1000.0)


def _sweetener_pool(part: SweetenerPart, grams: float, corner: Corner) -> AcidPool:
    """What a sweetener brings: water, the acid of a juice concentrate, the alkaline ash of maple and unrefined sugar."""
    sweetener = part.sweetener
    water = sweetener.water_percent.typical / 100.0
    cautious = corner in CAUTIOUS
    if sweetener.ph is not None and sweetener.titratable_percent is not None and sweetener.titrated_as is not None:
        limit = sweetener.potassium_mg
        pool = fruit_pool(
            ph=sweetener.ph.high if cautious else sweetener.ph.typical,
            titratable_percent=_titratable_at(corner, sweetener.ph, sweetener.titratable_percent),
            titrated_as=sweetener.titrated_as,
            acid_share=sweetener.acid_share,
            water_kg_per_kg=water,
            strong_ion_limit_eq_per_kg=None if limit is None else mineral_limit_eq_per_kg(limit),
        )
        return pool.times(grams / 1000.0)
    ash = sweetener.strong_ion_meq_per_kg
    ash_eq = 0.0 if ash is None else (ash.high if cautious else ash.typical) / 1000.0
    # Near pH 7 the ash stands against fully ionised acid; malic is the one that maple sap holds (judgement).
    acid_mol = {"malic": ash_eq / 2.0} if ash_eq else {}
    return AcidPool(acid_mol=acid_mol, strong_ion_eq=ash_eq, water_kg=water).times(grams / 1000.0)


def _strength(corner: Corner) -> Literal["typical", "weak"]:
    return "weak" if corner in CAUTIOUS else "typical"


@dataclass(frozen=True, kw_only=True)
class Sourables:
    """The amounts that pH is reckoned from. Water that boils off is counted as still there: the cautious way."""

    batch: Batch
    sweetener_g: tuple[float, ...]  # one for each sweetener of the batch
    added_water_g: float  # water and calcium water
    lemon_g: float = 0.0  # bottled juice, in all

    def pool(self, corner: Corner, *, acid: bool = True) -> AcidPool:
        """Everything poured together; without `acid`, nothing that was added for its acid."""
        pools = [_part_pool(part, corner) for part in self.batch.fruits]
        pools.append(self.rest_pool(corner, acid=acid))
        if acid:
            pools.append(lemon_pool(_strength(corner)).times(self.lemon_g))
        return pooled(pools)

    def rest_pool(self, corner: Corner, *, acid: bool) -> AcidPool:
        """All but the fruit and the bottled lemon juice."""
        pools = [_sweetener_pool(part, g, corner) for part, g in zip(self.batch.sweeteners, self.sweetener_g, strict=True)]
        alkaline_eq = HARD_WATER_EQ_PER_KG * self.batch.water_g / 1000.0 if corner in CAUTIOUS else 0.0
        pools.append(AcidPool(acid_mol={}, strong_ion_eq=alkaline_eq, water_kg=self.added_water_g / 1000.0))
        if acid:
            pools += [_acid_pool(part, _strength(corner)) for part in self.batch.acids if part.acidulant.key != LEMON]
        return pooled(pools)


def margin_ph(batch: Batch) -> float:
    """What is added on the high side: nothing where every fruit's pH was measured."""
    measured = all(part.reading is not None and part.reading.ph is not None for part in batch.fruits)
    return 0.0 if measured else MODEL_MARGIN_PH


def lemon_for_shelf_g(amounts: Sourables, most_g_per_kg: float = MOST_LEMON_G_PER_KG) -> float | None:
    """Grams of bottled juice, in all, that bring the high side to 4.00; None where it takes over `most_g_per_kg` of fruit."""
    target = SHELF_HIGH_SIDE_PH - margin_ph(amounts.batch)
    most = most_g_per_kg * fruit_g(amounts.batch) / 1000.0 * (1.0 + 1e-9)  # a dose at the limit is within it
    doses = [dose_for_ph(_without_lemon(amounts).pool(corner), lemon_pool("weak"), target, most) for corner in CAUTIOUS]
    values = [dose.value for dose in doses if dose is not None]
    return max(values) if len(values) == len(doses) else None


def sour_enough(amounts: Sourables) -> bool:
    """Whether the high side is at 4.00 without any lemon juice, to the precision that pH is reported in."""
    return high_side_ph(_without_lemon(amounts)) <= SHELF_HIGH_SIDE_PH + REPORTING_ROOM_PH


def lemon_for_taste_g(amounts: Sourables, target_ph: float, most_g_per_kg: float) -> float:
    """Grams of bottled juice that bring the typical pH to `target_ph`, at most `most_g_per_kg` of fruit."""
    most = most_g_per_kg * fruit_g(amounts.batch) / 1000.0
    dose = dose_for_ph(_without_lemon(amounts).pool("typical"), lemon_pool("typical"), target_ph, most)
    return most if dose is None else dose.value


def government_lemon_g(batch: Batch) -> float:
    """The doses that agencies print for some fruits, each by that fruit's share."""
    doses = [
        part.grams / 1000.0 * part.fruit.government_lemon_g_per_kg.typical
        for part in batch.fruits
        if part.fruit.government_lemon_g_per_kg is not None
    ]
    return math.fsum(doses)


def fruit_g(batch: Batch) -> float:
    """All fruit of a batch, ready for the pot [g]."""
    return math.fsum(part.grams for part in batch.fruits)


def _without_lemon(amounts: Sourables) -> Sourables:
    return replace(amounts, lemon_g=0.0)


def high_side_ph(amounts: Sourables, *, acid: bool = True) -> float:
    """The cautious end of pH, unrounded."""
    return max(pool_ph(amounts.pool(corner, acid=acid)) for corner in CAUTIOUS) + margin_ph(amounts.batch)


def acidity(amounts: Sourables, *, mass_g: float) -> Acidity:
    """pH before and after the acid, and titratable acidity as citric acid, for the batch as it will be made.

    `mass_g` is the finished mass that the acidity is spread over. pH is rounded to two decimals here, once:
    what is reported is what decisions are made on. A reading of the finished batch replaces the reckoned pH.
    """
    draw = _draw(amounts.batch)
    after = _range(amounts, draw, acid=True)
    before = _range(amounts, draw, acid=False)
    typical = amounts.pool("typical")
    titratable = pool_titratable_eq(typical, after.typical) * CITRIC_G_PER_EQUIVALENT / mass_g * 100.0
    titratable_range = _titratable_range(amounts, titratable, mass_g)
    reading = amounts.batch.settings.batch_ph
    if reading is not None:
        after = Estimate(low=reading - READING_MARGIN_PH, typical=reading, high=reading + READING_MARGIN_PH)
    ph = _reported(after)
    meter_needed = ph.high > SHELF_HIGH_SIDE_PH if reading is None else round(reading, 2) > SHELF_READING_PH
    return Acidity(ph=ph, ph_before_lemon=_reported(before), titratable_percent=titratable_range, meter_needed=meter_needed)


def _reported(ph: Estimate) -> Estimate:
    return Estimate(low=round(ph.low, 2), typical=round(ph.typical, 2), high=round(ph.high, 2))


def _range(amounts: Sourables, draw: spread.Draw | None, *, acid: bool) -> Estimate:
    typical = pool_ph(amounts.pool("typical", acid=acid))
    high = max(typical, high_side_ph(amounts, acid=acid))
    if draw is None or margin_ph(amounts.batch) == 0.0:  # of a measured fruit the whole reading is shown, 0.1 to either side
        low = pool_ph(amounts.pool("mild", acid=acid))
    else:
        rest = amounts.rest_pool("typical", acid=acid)
        low = draw.low_ph(rest, lemon_pool("typical").times(amounts.lemon_g) if acid else None, typical)
    return Estimate(low=min(low, typical), typical=typical, high=high)


def _draw(batch: Batch) -> spread.Draw | None:
    """Every fruit drawn from its ranges, or None where no draw is wanted."""
    draws = batch.settings.draws
    if not draws:
        return None
    pools = []
    for part in batch.fruits:
        sourness = _sourness(part.fruit, part.reading)
        kilogram = partial(_fruit_kilogram, part.fruit, sourness)
        pools.append(spread.drawn(part.fruit.key, draws, sourness.ph, sourness.titratable, kilogram).times(part.grams / 1000.0))
    return spread.Draw(draws=draws, fruits=pooled(pools), juice=facts.acidulant(LEMON).strength_percent)


def _titratable_range(amounts: Sourables, typical: float, mass_g: float) -> Estimate:
    """The range of titratable acidity: each fruit's own ends, taken together."""
    ends = [0.0, 0.0]
    for part in amounts.batch.fruits:
        sourness = _sourness(part.fruit, part.reading)
        for index, value in enumerate((sourness.titratable.low, sourness.titratable.high)):
            ends[index] += (value - sourness.titratable.typical) * part.grams / mass_g
    return Estimate(low=max(0.0, typical + ends[0]), typical=typical, high=typical + ends[1])


def odd_readings(amounts: Sourables) -> tuple[str, ...]:
    """Readings that are likelier a slip of the meter or the point than the fruit, each in a sentence."""
    odd = []
    for part in amounts.batch.fruits:
        fruit, reading = part.fruit, part.reading
        if reading is None:
            continue
        if reading.ph is not None and not fruit.ph.low - ODD_PH <= reading.ph <= fruit.ph.high + ODD_PH:
            odd.append(f"{fruit.name} at pH {reading.ph:g} is far from the {fruit.ph.low:g} to {fruit.ph.high:g} that is known of it")
        if reading.titratable_percent is not None and reading.titratable_percent < fruit.titratable_percent.low / ODD_TITRATABLE:
            odd.append(
                f"{fruit.name} with {reading.titratable_percent:g} % acid is far under the {fruit.titratable_percent.low:g} % "
                "that is known of it"
            )
    batch_ph = amounts.batch.settings.batch_ph
    if batch_ph is not None and batch_ph < (least := pool_ph(amounts.pool("mild"))) - ODD_PH:
        odd.append(f"a batch at pH {batch_ph:g} is far under the {least:.1f} that it should have at the least")
    return tuple(odd)


def citrate_mol_per_kg_water(pool: AcidPool) -> float:
    """Citric acid in the batch [mol/kg water]: it holds calcium back from the pectin."""
    return float(pool.acid_mol.get("citric", 0.0)) / float(pool.water_kg)
