"""How sour a batch is and how much lemon juice it needs: the chemistry of acidity.py applied to a whole batch.

One typical answer, and one cautious side that decides; what the pH means for keeping is storage.py's, and what is reported of it
is put together in sourness.py.

The cautious side takes every fruit at its high pH, sweetener ash and water at their most alkaline, bottled juice at its
weakest, and each fruit's titratable acidity once at its low and once at its high end, in every combination (and of what
was counted and not weighed, with the light and with the heavy weight, to which the charge is linear too): more acid
at the same pH is more buffer, which hinders in a mild fruit, but it is also what helps in a sour one, and which of them
helps depends on all the rest. The highest pH of all combinations counts, plus the margin. At a given pH the charge of a
fruit rises with its own pH and is linear in its acid, so no value between the ends and no lower pH gives more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any, Literal

from jamcalc import facts
from jamcalc.chemistry.acidity import AcidPool, fruit_pool, pooled, pure_acid_pool
from jamcalc.chemistry.many_pools import dose_for_ph, highest_of_each, none_above_ph
from jamcalc.formula.mixture import LEMON
from jamcalc.formula.storage import MOST_LEMON_G_PER_KG, SHELF_HIGH_SIDE_PH
from jamcalc.nouns.asked import AcidPart, Batch, FruitKind
from jamcalc.nouns.known import Acidulant, Estimate, Figure, Fruit, Sweetener, exactly
from jamcalc.nouns.said import Reading

Corner = Literal["typical", "mild"]
End = Literal["low", "high"]  # of the titratable acidity, at the high pH

MODEL_MARGIN_PH = facts.limit("model_margin_ph").typical
READING_MARGIN_PH = facts.limit("reading_margin_ph").typical
MINERAL_LIMIT = facts.limit("mineral_limit").typical
POTASSIUM_MG_PER_EQ = 39098.0
HARD_WATER_EQ_PER_KG = facts.limit("hard_water_meq_per_kg").typical / 1000.0
MOST_COMBINED = 12  # acidities and weights at both ends, 4,096 combinations: six counted fruits, as many as the shelf takes unread
_ACIDITY_ENDS: tuple[End, End] = ("low", "high")
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
class Sourness:
    """What decides one fruit's acids: table ranges, or the cook's reading in their place."""

    ph: Estimate
    titratable: Estimate
    titrated_as: str
    limited: bool  # the mineral limit holds for table values, never for a measured acidity


def sourness_of(fruit: Fruit, reading: Reading | None) -> Sourness:
    """What the tables, or the cook's reading in their place, say of a fruit."""
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
    return Sourness(ph=ph, titratable=titratable, titrated_as=titrated_as, limited=limited)


def mineral_limit_eq_per_kg(potassium_mg: Figure) -> float:
    """The most strong ions [eq/kg] of food with this much potassium [mg/100 g]."""
    return MINERAL_LIMIT * potassium_mg.typical * 10.0 / POTASSIUM_MG_PER_EQ


def fruit_kilogram(fruit: Fruit, sourness: Sourness, ph: Any, titratable: Any) -> AcidPool:
    """The acids of a kilogram of fruit at this pH and titratable acidity."""
    return fruit_pool(
        ph=ph,
        titratable_percent=titratable,
        titrated_as=sourness.titrated_as,
        acid_share=fruit.acid_share,
        water_kg_per_kg=fruit.water_percent.typical / 100.0,
        strong_ion_limit_eq_per_kg=mineral_limit_eq_per_kg(fruit.potassium_mg) if sourness.limited else None,
    )


@lru_cache(maxsize=2000)  # one fruit at one corner never changes: worth keeping between rounds and batches
def _kilogram_at(fruit: Fruit, reading: Reading | None, corner: Corner) -> AcidPool:
    sourness = sourness_of(fruit, reading)
    ph = sourness.ph.typical if corner == "typical" else sourness.ph.low
    return fruit_kilogram(fruit, sourness, ph, sourness.titratable.typical)


@lru_cache(maxsize=2000)
def _cautious_kilogram(fruit: Fruit, reading: Reading | None, end: End) -> AcidPool:
    """A kilogram of fruit at its high pH. An acidity read without a pH is held to the mineral limit: that pH was not read with it."""
    sourness = sourness_of(fruit, reading)
    limited = sourness.limited or reading is None or reading.ph is None
    return fruit_kilogram(fruit, replace(sourness, limited=limited), sourness.ph.high, getattr(sourness.titratable, end))


def uncertain_fruits(batch: Batch) -> int:
    """How many kinds of fruit have an acidity that nobody has measured, or a weight that nobody has weighed.

    As many as the shelf takes of them (limits.toml) are combined in every way; more are too many for a bound.
    """
    ranges = [sourness_of(kind.fruit, kind.reading).titratable for kind in batch.kinds]
    return sum(span.low < span.high or kind.light_g < kind.heavy_g for span, kind in zip(ranges, batch.kinds, strict=True))


@lru_cache(maxsize=200)  # asked in every round of a search
def _fruits(kinds: tuple[FruitKind, ...], corner: Corner) -> AcidPool:
    """All fruit at one corner of its ranges."""
    return pooled([_kilogram_at(kind.fruit, kind.reading, corner).times(kind.grams / 1000.0) for kind in kinds])


@lru_cache(maxsize=200)
def _cautious_fruits(kinds: tuple[FruitKind, ...]) -> AcidPool:
    """All fruit at its high pH, in every combination of low and high acidity and of light and heavy weight, as arrays.

    Of more than twelve such choices, the twelve that span the most; the others the cautious way by themselves.
    """
    choices = [
        tuple(
            _cautious_kilogram(kind.fruit, kind.reading, end).times(grams / 1000.0)
            for grams in ((kind.light_g, kind.heavy_g) if kind.light_g < kind.heavy_g else (kind.light_g,))
            for end in _ACIDITY_ENDS
        )
        for kind in kinds
    ]
    spans = [sum(choice[-1].acid_mol.values()) - sum(choice[0].acid_mol.values()) for choice in choices]
    weightiest = sorted(range(len(choices)), key=lambda place: -spans[place])
    combined: list[tuple[AcidPool, ...]] = []
    room = MOST_COMBINED
    for place in weightiest:
        room -= len(choices[place]) // 2
        if room >= 0:
            combined.append(choices[place])
            continue
        helps = sourness_of(kinds[place].fruit, kinds[place].reading).ph.high < SHELF_HIGH_SIDE_PH
        combined.append(choices[place][:1] if helps else choices[place][-1:])
    return _combinations(combined)


def _combinations(choices: Sequence[Sequence[AcidPool]]) -> AcidPool:
    """One of each choice poured together, in every combination: a pool of arrays."""
    import numpy

    names = sorted({acid for choice in choices for pool in choice for acid in pool.acid_mol})
    rows = numpy.zeros((len(names) + 2, 1))
    for choice in choices:
        columns = numpy.array([[pool.strong_ion_eq, pool.water_kg, *(pool.acid_mol.get(name, 0.0) for name in names)] for pool in choice]).T
        rows = (rows[:, :, None] + columns[:, None, :]).reshape(len(names) + 2, -1)
    return AcidPool(acid_mol=dict(zip(names, rows[2:], strict=True)), strong_ion_eq=rows[0], water_kg=rows[1])


@lru_cache(maxsize=500)
def _sweetener_kilograms(sweetener: Sweetener, corner: Corner | None) -> tuple[AcidPool, ...]:
    """What a kilogram of a sweetener brings: water, the acid of a juice concentrate, the alkaline ash of maple and unrefined sugar.

    `corner` None is the cautious side; a concentrate then comes twice, with its low and its high acidity.
    """
    water = sweetener.water_percent.typical / 100.0
    if sweetener.ph is not None and sweetener.titratable_percent is not None and sweetener.titrated_as is not None:
        limit = sweetener.potassium_mg
        span = sweetener.titratable_percent
        return tuple(
            fruit_pool(
                ph=sweetener.ph.high if corner is None else sweetener.ph.typical,
                titratable_percent=titratable,
                titrated_as=sweetener.titrated_as,
                acid_share=sweetener.acid_share,
                water_kg_per_kg=water,
                strong_ion_limit_eq_per_kg=None if limit is None else mineral_limit_eq_per_kg(limit),
            )
            for titratable in ((span.low, span.high) if corner is None else (span.typical,))
        )
    ash = sweetener.strong_ion_meq_per_kg
    ash_eq = 0.0 if ash is None else (ash.high if corner is None else ash.typical) / 1000.0
    # Near pH 7 the ash stands against fully ionised acid; malic is the one that maple sap holds (judgement).
    acid_mol = {"malic": ash_eq / 2.0} if ash_eq else {}
    return (AcidPool(acid_mol=acid_mol, strong_ion_eq=ash_eq, water_kg=water),)


@dataclass(frozen=True, kw_only=True)
class Sourables:
    """The amounts that pH is worked out from. Water that boils off is counted as still there: the cautious way."""

    batch: Batch
    sweetener_g: tuple[float, ...]  # one for each sweetener of the batch
    added_water_g: float  # water and calcium water
    lemon_g: float = 0.0  # bottled juice, in all

    def pool(self, corner: Corner, *, acid: bool = True) -> AcidPool:
        """Everything poured together; without `acid`, nothing that was added for its acid."""
        pools = [_fruits(self.batch.kinds, corner), self.rest_pool(corner, acid=acid)]
        if acid:
            pools.append(lemon_pool("typical").times(self.lemon_g))
        return pooled(pools)

    def rest_pool(self, corner: Corner, *, acid: bool) -> AcidPool:
        """All but the fruit and the bottled lemon juice."""
        pools = [pool for pools in self._sweetener_pools(corner) for pool in pools]
        pools.append(AcidPool(acid_mol={}, strong_ion_eq=0.0, water_kg=self.added_water_g / 1000.0))
        if acid:
            pools += [_acid_pool(part, "typical") for part in self.batch.acids if part.acidulant.key != LEMON]
        return pooled(pools)

    def cautious_pool(self, *, acid: bool = True) -> AcidPool:
        """Everything poured together at its most alkaline, in every combination of low and high acidity: a pool of arrays."""
        choices = self._sweetener_pools(None)
        varied = [choice for choice in choices if len(choice) > 1]
        rest = [choice[0] for choice in choices if len(choice) == 1]
        alkaline_eq = HARD_WATER_EQ_PER_KG * self.batch.water_g / 1000.0
        rest.append(AcidPool(acid_mol={}, strong_ion_eq=alkaline_eq, water_kg=self.added_water_g / 1000.0))
        if acid:
            rest += [_acid_pool(part, "weak") for part in self.batch.acids if part.acidulant.key != LEMON]
            rest.append(lemon_pool("weak").times(self.lemon_g))
        fruits = _cautious_fruits(self.batch.kinds)
        if varied:
            fruits = _each_with_each(fruits, _combinations(varied))
        return pooled([fruits, *rest])

    def _sweetener_pools(self, corner: Corner | None) -> list[tuple[AcidPool, ...]]:
        """What each sweetener brings, as `_sweetener_kilograms`."""
        return [
            tuple(kilogram.times(grams / 1000.0) for kilogram in _sweetener_kilograms(part.sweetener, corner))
            for part, grams in zip(self.batch.sweeteners, self.sweetener_g, strict=True)
        ]


def _each_with_each(one: AcidPool, other: AcidPool) -> AcidPool:
    """Two pools of arrays poured together, each combination of the one with each of the other."""
    import numpy

    size, times = len(one.strong_ion_eq), len(other.strong_ion_eq)
    wide = AcidPool(
        acid_mol={acid: numpy.repeat(mol, times) for acid, mol in one.acid_mol.items()},
        strong_ion_eq=numpy.repeat(one.strong_ion_eq, times),
        water_kg=numpy.repeat(one.water_kg, times),
    )
    tall = AcidPool(
        acid_mol={acid: numpy.tile(mol, size) for acid, mol in other.acid_mol.items()},
        strong_ion_eq=numpy.tile(other.strong_ion_eq, size),
        water_kg=numpy.tile(other.water_kg, size),
    )
    return pooled([wide, tall])


def lemon_for_shelf_g(amounts: Sourables, most_g_per_kg: float = MOST_LEMON_G_PER_KG) -> float | None:
    """Grams of bottled juice, in all, that bring the high side to 4.00; None where it takes over `most_g_per_kg` of fruit."""
    target = SHELF_HIGH_SIDE_PH - MODEL_MARGIN_PH
    most = most_g_per_kg * fruit_g(amounts.batch) / 1000.0 * (1.0 + 1e-9)  # a dose at the limit is within it
    return dose_for_ph(without_lemon(amounts).cautious_pool(), lemon_pool("weak"), target, most)


def sour_enough(amounts: Sourables) -> bool:
    """Whether the high side is at 4.00 as it is, to the precision that pH is reported in."""
    target = SHELF_HIGH_SIDE_PH + REPORTING_ROOM_PH - MODEL_MARGIN_PH
    return none_above_ph(amounts.cautious_pool(), target)


def lemon_for_taste_g(amounts: Sourables, target_ph: float, most_g_per_kg: float) -> float:
    """Grams of bottled juice that bring the typical pH to `target_ph`, at most `most_g_per_kg` of fruit."""
    most = most_g_per_kg * fruit_g(amounts.batch) / 1000.0
    dose = dose_for_ph(without_lemon(amounts).pool("typical"), lemon_pool("typical"), target_ph, most)
    return most if dose is None else dose


def government_lemon_g(batch: Batch) -> float:
    """The doses that agencies print for some fruits, each by that fruit's share."""
    doses = [
        part.grams / 1000.0 * part.fruit.government_lemon_g_per_kg.typical
        for part in batch.fruits
        if part.fruit.government_lemon_g_per_kg is not None
    ]
    return math.fsum(doses)


def lemon_in_lines_g(batch: Batch) -> float:
    """Bottled lemon juice that the cook has written: a floor, or the amount itself where nothing is to be dosed."""
    return sum(part.grams for part in batch.acids if part.acidulant.key == LEMON)


def fruit_g(batch: Batch) -> float:
    """All fruit of a batch, ready for the pot [g]."""
    return math.fsum(part.grams for part in batch.fruits)


def without_lemon(amounts: Sourables) -> Sourables:
    """The same without bottled lemon juice."""
    return replace(amounts, lemon_g=0.0)


def high_side_ph(amounts: Sourables, *, acid: bool = True) -> float:
    """The cautious end of pH, unrounded: the highest of all combinations, and the margin; 10.1 where it lies beyond the search."""
    return high_sides_ph([amounts.cautious_pool(acid=acid)])[0]


def high_sides_ph(cautious_pools: Sequence[AcidPool]) -> list[float]:
    """The same of several cautious pools, worked out side by side."""
    return [highest + MODEL_MARGIN_PH for highest in highest_of_each(cautious_pools)]


def citrate_mol_per_kg_water(pool: AcidPool) -> float:
    """Citric acid in the batch [mol/kg water]: it holds calcium back from the pectin."""
    return float(pool.acid_mol.get("citric", 0.0)) / float(pool.water_kg)
