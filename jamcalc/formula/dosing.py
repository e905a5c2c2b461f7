"""The doses that reproduce themselves: lemon juice, sweetener, pectin and calcium water, found together as one system.

Each changes the mass that the others are worked out on. What jumps in that system is decided before a search, by the pot that it starts
from (`Regime`), or the search would swing about the jump; within a regime the doses are a continuous function of themselves.
Exact amounts only: what a kitchen can measure is rounding's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from jamcalc.chemistry import setting, sweetness
from jamcalc.chemistry.acidity import AcidPool, pool_ph
from jamcalc.chemistry.roots import fixed_point
from jamcalc.formula import batch_acidity, storage
from jamcalc.formula.batch_acidity import Sourables, lemon_in_lines_g
from jamcalc.formula.mixture import Doses, Mixture, mix, sugars_g, texture_shares
from jamcalc.jars import filling
from jamcalc.nouns.asked import Batch
from jamcalc.nouns.outcome import Solution
from jamcalc.words.measures import TSP_ML

LOOK_BEYOND = 2.0  # times the most lemon juice that is in reach: far enough that the search never meets that limit on its way
BOILED_DOWN_FROM_FRACTION = 0.4  # a jam without added pectin that starts this sweet is boiled until it jells (judgement)
FIRST_PECTIN_FRACTION = 0.006  # of the fruit: where the search begins, and no more than that (judgement)


@dataclass(frozen=True, kw_only=True)
class Pot:
    """One set of doses and what they make."""

    batch: Batch
    doses: Doses
    mixture: Mixture
    finished_g: float
    solids_percent: float
    credit_percent: float
    amounts: Sourables

    @cached_property
    def pool(self) -> AcidPool:
        """The typical acids of the pot."""
        return self.amounts.pool("typical")

    @cached_property
    def ph(self) -> float:
        """The typical pH of the pot."""
        return pool_ph(self.pool)

    @property
    def sugars_percent(self) -> float:
        """What sugars alone make of the finished batch, at the low end."""
        return 100.0 * sugars_g(self.batch, self.doses).low / self.finished_g

    @property
    def water_g(self) -> float:
        """Water that is left after the boil."""
        return max(1e-6, self.finished_g - self.mixture.soluble_g.typical - self.mixture.insoluble_g)

    def pectin_needed_g(self, strength: float) -> float:
        """Calcium-set pectin that this pot asks for, where a gram does `strength` times what the tables have it do."""
        firmness = self.batch.settings.firmness
        return setting.pectin_percent(self.solids_percent, self.credit_percent, firmness, strength) / 100.0 * self.finished_g


def pot_of(batch: Batch, doses: Doses, *, boiled_down: bool | None = None) -> Pot:
    """The pot that holds these doses, boiled; `boiled_down` is whether until it jells, None: as `boils_down` says of it."""
    mixture = mix(batch, doses)
    settings = batch.settings
    lost = filling.boil_off_g(settings.boil_min, settings.simmer_min, settings.covered, mixture.mass_g, mixture.water_g)
    finished = mixture.mass_g - lost
    if boils_down(batch, mixture) if boiled_down is None else boiled_down:
        finished = min(finished, filling.finish_mass_g(mixture.soluble_g.typical, mixture.mass_g))
    return Pot(
        batch=batch,
        doses=doses,
        mixture=mixture,
        finished_g=finished,
        solids_percent=100.0 * mixture.soluble_g.typical / finished,
        credit_percent=setting.texture_credit_percent(texture_shares(batch, finished)),
        amounts=Sourables(
            batch=batch,
            sweetener_g=doses.sweetener_g,
            added_water_g=batch.water_g + doses.calcium_water_ml,
            lemon_g=doses.lemon_g,
        ),
    )


def boils_down(batch: Batch, mixture: Mixture) -> bool:
    """Whether a jam is boiled until it jells: no added pectin, no time given, and sweet enough to begin with."""
    return batch.boiled_to_finish and mixture.soluble_g.typical >= BOILED_DOWN_FROM_FRACTION * mixture.mass_g


@dataclass(frozen=True, kw_only=True)
class Regime:
    """The four decisions that the doses jump with, made before a search and kept to its end."""

    for_shelf: bool  # lemon juice is dosed to the high side; else for set and taste
    sour_enough: bool  # the high side is at 4.00 without bottled lemon juice
    calcium_left_out: bool  # the fruit brings so much that none is added
    boiled_down: bool  # until it jells
    least_lemon_g: float = 0.0  # never less, whatever the pot asks for


@dataclass(frozen=True, kw_only=True)
class Dosed:
    """The doses found, whether the lemon juice in them is for the shelf, and how the search went.

    Doses that did not settle (`solution.converged`) are measured out all the same: storage judges the pot that holds them, lemon juice
    is added where that pot is not sour enough, and every screen says that the search did not settle.
    """

    doses: Doses
    for_shelf: bool
    solution: Solution


def doses_of(batch: Batch, *, shelf_open: bool, least_lemon_g: float = 0.0) -> Dosed:
    """The doses of a batch, `None` in it for what is to be found; for the shelf where that is open and in reach, else for the cold.

    `dose_acid=False` in the batch takes its lemon juice as written.
    """
    dosed = _search(batch, for_shelf=shelf_open, least_lemon_g=least_lemon_g)
    fruit_g = batch_acidity.fruit_g(batch)
    if shelf_open and batch.dose_acid and storage.beyond_reach(dosed.doses.lemon_g, fruit_g):
        amounts = pot_of(batch, dosed.doses).amounts
        if storage.beyond_reach(_shelf_dose_g(amounts, sour_enough=False), fruit_g):  # and it is not only the cook's own line
            return _search(batch, for_shelf=False, least_lemon_g=least_lemon_g)
    return dosed


def _search(batch: Batch, *, for_shelf: bool, least_lemon_g: float) -> Dosed:
    """The doses that the pot which holds them asks for."""
    scale = batch_acidity.fruit_g(batch)
    written = tuple(part.grams or 0.0 for part in batch.sweeteners)
    empty = pot_of(
        batch,
        Doses(lemon_g=lemon_in_lines_g(batch), sweetener_g=written, pectin_g=FIRST_PECTIN_FRACTION * scale, calcium_water_ml=0.0),
    )
    start = asked(empty, regime_of(empty, for_shelf=for_shelf, sour_enough=False, least_lemon_g=least_lemon_g))
    with_all = pot_of(batch, start)  # sweetener and calcium water too
    regime = regime_of(with_all, for_shelf=for_shelf, least_lemon_g=least_lemon_g)

    def mapped(values: Sequence[float]) -> Sequence[float]:
        return _packed(asked(pot_of(batch, _unpacked(values, scale), boiled_down=regime.boiled_down), regime), scale)

    root = fixed_point(mapped, _packed(start, scale))
    solution = Solution(converged=root.converged, residual=root.residual, iterations=root.iterations)
    return Dosed(doses=_unpacked(root.values, scale), for_shelf=for_shelf, solution=solution)


def regime_of(pot: Pot, *, for_shelf: bool, sour_enough: bool | None = None, least_lemon_g: float = 0.0) -> Regime:
    """What is decided of the pot in which a search begins; `sour_enough` None: worked out where lemon juice is dosed for the shelf."""
    if sour_enough is None:
        sour_enough = for_shelf and pot.batch.dose_acid and batch_acidity.sour_enough(batch_acidity.without_lemon(pot.amounts))
    return Regime(
        for_shelf=for_shelf,
        sour_enough=sour_enough,
        calcium_left_out=calcium_need(pot, _pectin_g(pot)).left_out,
        boiled_down=boils_down(pot.batch, pot.mixture),
        least_lemon_g=least_lemon_g,
    )


def asked(pot: Pot, regime: Regime) -> Doses:
    """The doses that a pot asks for: continuous in those that it holds, since the regime has decided the rest."""
    pectin_g = _pectin_g(pot)
    return Doses(
        lemon_g=_lemon_g(pot.amounts, regime),
        sweetener_g=sweetener_grams(pot),
        pectin_g=pectin_g,
        calcium_water_ml=_calcium_water_ml(pot, pectin_g, regime.calcium_left_out),
    )


def _lemon_g(amounts: Sourables, regime: Regime) -> float:
    """Bottled lemon juice for these amounts: what the regime asks for, and never less than the batch's own lines."""
    batch = amounts.batch
    floor_g = lemon_in_lines_g(batch)
    if not batch.dose_acid:
        return floor_g
    floor_g = max(floor_g, regime.least_lemon_g)
    if regime.for_shelf:
        return max(floor_g, _shelf_dose_g(amounts, sour_enough=regime.sour_enough))
    for_taste_g = batch_acidity.lemon_for_taste_g(amounts, storage.TASTE_PH, storage.MOST_TASTE_LEMON_G_PER_KG)
    return max(floor_g, storage.taste_dose_g(for_taste_g, batch_acidity.fruit_g(batch)))


def _shelf_dose_g(amounts: Sourables, *, sour_enough: bool) -> float:
    """Bottled lemon juice that the shelf asks for; the end of the search where it asks for more than that."""
    high_side_g = 0.0
    if not sour_enough:
        most_g_per_kg = LOOK_BEYOND * storage.MOST_LEMON_G_PER_KG
        lemon_g = batch_acidity.lemon_for_shelf_g(amounts, most_g_per_kg)
        high_side_g = most_g_per_kg * batch_acidity.fruit_g(amounts.batch) / 1000.0 if lemon_g is None else lemon_g
    return storage.shelf_dose_g(high_side_g, batch_acidity.government_lemon_g(amounts.batch))


def _pectin_g(pot: Pot) -> float:
    """Pectin as written, or what the set asks for."""
    if pot.batch.pectin_g is not None:
        return pot.batch.pectin_g
    return pot.pectin_needed_g(pot.batch.learned.pectin_strength)


def _calcium_water_ml(pot: Pot, pectin_g: float, left_out: bool) -> float:
    """Calcium water as written, or what calcium-set pectin asks for."""
    if pot.batch.calcium_water_ml is not None:
        return pot.batch.calcium_water_ml
    if pot.batch.pectin_kind != "calcium-set":
        return 0.0
    return calcium_need(pot, pectin_g, left_out).added_mg / calcium_mg_per_ml(pot.batch)


def calcium_mg_per_ml(batch: Batch) -> float:
    """Strength of the calcium water [mg/mL]: the cook's own, or the usual."""
    return setting.calcium_water_mg_per_tsp(batch.settings.calcium_water_mg_per_tsp) / TSP_ML


def calcium_need(pot: Pot, pectin_g: float, left_out: bool | None = None) -> setting.CalciumNeed:
    """What calcium this pot's pectin wants beyond what fruit and sweetener bring."""
    learned = pot.batch.learned
    return setting.calcium_to_add(
        pectin_g,
        pot.solids_percent,
        pot.ph,
        batch_acidity.citrate_mol_per_kg_water(pot.pool),
        pot.mixture.calcium_available_mg,
        pot.batch.settings.firmness,
        left_out,
        strength=learned.calcium_strength / learned.pectin_strength,
    )


def sweetener_grams(pot: Pot) -> tuple[float, ...]:
    """Grams of each sweetener: as written, or sized to the sweetness aimed at, less what the written ones bring."""
    batch = pot.batch
    if all(part.grams is not None for part in batch.sweeteners):
        return tuple(part.grams or 0.0 for part in batch.sweeteners)
    wanted = equivalents_wanted_g(batch)
    for part in batch.sweeteners:
        if part.grams is not None:
            wanted -= sweetness.sugar_equivalents_g(part.sweetener, part.grams, pot.finished_g)
    sized = max(0.0, wanted)
    return tuple(
        part.grams if part.grams is not None else sweetness.grams_for(part.sweetener, sized, pot.finished_g, pot.mixture.water_g)
        for part in batch.sweeteners
    )


def equivalents_wanted_g(batch: Batch) -> float:
    """Sugar, or its equal in sweetness, that is aimed at."""
    percent = batch.settings.sweetness_percent
    return batch_acidity.fruit_g(batch) / 100.0 * (sweetness.default_percent_of_fruit().typical if percent is None else percent)


def _packed(doses: Doses, scale: float) -> list[float]:
    return [
        doses.lemon_g / scale,
        doses.pectin_g * 100.0 / scale,
        doses.calcium_water_ml * 10.0 / scale,
        *(g / scale for g in doses.sweetener_g),
    ]


def _unpacked(values: Sequence[float], scale: float) -> Doses:
    lemon, pectin, calcium_water, *sweeteners = (max(0.0, value) * scale for value in values)
    return Doses(lemon_g=lemon, sweetener_g=tuple(sweeteners), pectin_g=pectin / 100.0, calcium_water_ml=calcium_water / 10.0)
