"""The conductor: from a batch to its doses and their consequences. Holds no formula and no rule of its own.

Lemon juice, sweetener, pectin and calcium water change the mass that each of them is worked out on, so they are found
together, as the one set of amounts that reproduces itself. Then they are rounded to what a kitchen can measure,
and everything reported is worked out from the measured amounts. Called by api, checking, scaled and backwards.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from jamcalc import facts
from jamcalc.chemistry import setting, sweetness
from jamcalc.chemistry.acidity import AcidPool, pool_ph
from jamcalc.chemistry.roots import fixed_point
from jamcalc.formula import batch_acidity, ruling, sourness, storage, swapping
from jamcalc.formula.batch_acidity import Sourables
from jamcalc.formula.mixture import LEMON, Doses, Mixture, mix, sugars_g, texture_shares
from jamcalc.formula.rounding import Measured, as_written, lemon_said, measured
from jamcalc.jars import filling
from jamcalc.nouns.model import Batch
from jamcalc.nouns.outcome import AcidDose, Acidity, GelSet, Process, Solution
from jamcalc.words.measures import TSP_ML

LOOK_BEYOND = 2.0  # times the most lemon juice that is in reach: far enough that the search never meets that limit on its way
BOILED_DOWN_FROM_FRACTION = 0.4  # a jam without added pectin that starts this sweet is boiled until it jells (judgement)


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


@dataclass(frozen=True, kw_only=True)
class Solved:
    """Everything that is worked out of a batch; answer.py words it."""

    pot: Pot
    measured: Measured
    needed: Doses
    acidity: Acidity
    gel_set: GelSet
    calcium: setting.CalciumNeed
    process: Process | None
    verdict: storage.Verdict
    shelf_open: bool
    solution: Solution
    asked: Batch  # as it was put together: the pot's own has another acid's dose among its lines
    acid: AcidDose | None = None  # dosed in the place of lemon juice


def pot_of(batch: Batch, doses: Doses) -> Pot:
    """The pot that holds these doses, boiled down."""
    mixture = mix(batch, doses)
    settings = batch.settings
    lost = filling.boil_off_g(settings.boil_min, settings.simmer_min, settings.covered, mixture.mass_g, mixture.water_g)
    finished = mixture.mass_g - lost
    if batch.boiled_to_finish and mixture.soluble_g.typical >= BOILED_DOWN_FROM_FRACTION * mixture.mass_g:
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


def lemon_in_lines_g(batch: Batch) -> float:
    """Bottled lemon juice that the cook has written: a floor, or the amount itself where nothing is to be dosed."""
    return sum(part.grams for part in batch.acids if part.acidulant.key == LEMON)


class _System:
    """The doses as a function of themselves."""

    def __init__(self, batch: Batch, shelf_open: bool) -> None:
        self.batch = batch
        # The three jumps in the system are decided before the search, or it would swing about them.
        self.in_reach = shelf_open
        self.calcium_left_out: bool | None = None
        self.sour_enough: bool | None = None

    def step(self, doses: Doses) -> Doses:
        """The doses that the pot made of `doses` asks for."""
        batch, settings = self.batch, self.batch.settings
        pot = pot_of(batch, doses)
        pectin = batch.pectin_g
        if pectin is None:
            pectin = setting.pectin_percent(pot.solids_percent, pot.credit_percent, settings.firmness) / 100.0 * pot.finished_g
        return Doses(
            lemon_g=self.lemon_g(pot.amounts),
            sweetener_g=sweetener_grams(pot),
            pectin_g=pectin,
            calcium_water_ml=self._calcium_water_ml(pot, pectin),
        )

    def lemon_g(self, amounts: Sourables) -> float:
        """Bottled lemon juice for these amounts: what the batch asks for, and never less than its own lines."""
        floor = lemon_in_lines_g(self.batch)
        return max(floor, self._dose_g(amounts)) if self.batch.dose_acid else floor

    def _dose_g(self, amounts: Sourables) -> float:
        most = LOOK_BEYOND * storage.MOST_LEMON_G_PER_KG
        for_shelf = None
        if self.in_reach:
            if self.sour_enough is None:
                self.sour_enough = batch_acidity.sour_enough(batch_acidity.without_lemon(amounts))
            for_shelf = 0.0 if self.sour_enough else batch_acidity.lemon_for_shelf_g(amounts, most)
            self.in_reach = for_shelf is not None
        return storage.lemon_dose_g(
            for_shelf_g=for_shelf,
            government_g=batch_acidity.government_lemon_g(self.batch),
            for_taste_g=0.0
            if self.in_reach
            else batch_acidity.lemon_for_taste_g(amounts, storage.TASTE_PH, storage.MOST_TASTE_LEMON_G_PER_KG),
            fruit_g=batch_acidity.fruit_g(self.batch),
            shelf_open=self.in_reach,
            most_g_per_kg=most,
        )

    def _calcium_water_ml(self, pot: Pot, pectin_g: float) -> float:
        written = self.batch.calcium_water_ml
        if written is not None:
            return written
        if self.batch.pectin_kind != "calcium-set":
            return 0.0
        need = calcium_need(pot, pectin_g, self.calcium_left_out)
        if self.calcium_left_out is None:
            self.calcium_left_out = need.left_out
        return need.added_mg / calcium_mg_per_ml(self.batch)

    def solve(self) -> tuple[Doses, Solution]:
        """The doses that reproduce themselves, and how the search went."""
        doses, solution = self._search()
        most = storage.MOST_LEMON_G_PER_KG * batch_acidity.fruit_g(self.batch) / 1000.0 * (1.0 + 1e-6)
        over = self.in_reach and self.batch.dose_acid and doses.lemon_g > most
        if over and self._dose_g(pot_of(self.batch, doses).amounts) > most:  # and not only the cook's own line
            self.in_reach = False  # the shelf asks for more juice than the jam can bear
            doses, solution = self._search()
        return doses, solution

    def _search(self) -> tuple[Doses, Solution]:
        scale = batch_acidity.fruit_g(self.batch)
        written = tuple(part.grams or 0.0 for part in self.batch.sweeteners)
        start = self.step(Doses(lemon_g=lemon_in_lines_g(self.batch), sweetener_g=written, pectin_g=0.006 * scale, calcium_water_ml=0.0))
        self.calcium_left_out = self.sour_enough = None  # decided anew, now that sweetener and calcium water are in the pot

        def mapped(values: Sequence[float]) -> Sequence[float]:
            return _packed(self.step(_unpacked(values, scale)), scale)

        found = fixed_point(mapped, _packed(start, scale))
        return _unpacked(found.values, scale), Solution(converged=found.converged, residual=found.residual, iterations=found.iterations)

    def short_of_lemon(self, pot: Pot) -> bool:
        """Whether a pot dosed for the shelf has come out a little over 4.00, once all was rounded to spoons."""
        return self.in_reach and self.batch.dose_acid and not batch_acidity.sour_enough(pot.amounts)


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


def sweetener_grams(pot: Pot) -> tuple[float, ...]:
    """Grams of each sweetener: as written, or sized to the sweetness aimed at, less what the written ones bring."""
    batch = pot.batch
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


def calcium_mg_per_ml(batch: Batch) -> float:
    """Strength of the calcium water [mg/mL]: the cook's own, or the usual."""
    return setting.calcium_water_mg_per_tsp(batch.settings.calcium_water_mg_per_tsp) / TSP_ML


def calcium_need(pot: Pot, pectin_g: float, left_out: bool | None = None) -> setting.CalciumNeed:
    """What calcium this pot's pectin wants beyond what fruit and sweetener bring."""
    return setting.calcium_to_add(
        pectin_g,
        pot.solids_percent,
        pot.ph,
        batch_acidity.citrate_mol_per_kg_water(pot.pool),
        pot.mixture.calcium_available_mg,
        pot.batch.settings.firmness,
        left_out,
    )


def solve(batch: Batch) -> Solved:
    """The whole answer for one batch.

    Parameters
    ----------
    batch : what goes in the pot, with `None` for what is to be dosed; `dose_acid=False` takes everything as written

    Returns
    -------
    Solved : `solution` says whether the doses reproduce themselves and how closely [share of the fruit's mass]

    Range of validity: any batch that assemble.py lets through; low-sugar spreads of 5 to 55 % soluble solids.
    """
    bars, jar_bar = ruling.bars_of(batch), storage.jar_bar(facts.jar(batch.settings.jar))
    heat_shy = [part.sweetener.name for part in batch.sweeteners if not part.sweetener.stands_process]
    _, altitude_refused = ruling.process_of(batch, 0.0)
    shelf_open = not (bars or heat_shy or altitude_refused or jar_bar or batch.settings.store == "cold")

    system = _System(batch, shelf_open)
    needed, solution = system.solve()
    for_taste = None if system.in_reach else storage.MOST_TASTE_LEMON_G_PER_KG * batch_acidity.fruit_g(batch) / 1000.0 * (1.0 + 1e-9)
    in_measures = measured(batch, needed, for_taste) if batch.dose_acid else as_written(batch, needed)
    pot = pot_of(batch, in_measures.doses)
    if system.short_of_lemon(pot):  # whole spoons of the rest have thinned the acid
        needed = replace(needed, lemon_g=batch_acidity.lemon_for_shelf_g(pot.amounts) or needed.lemon_g)
        in_measures = measured(batch, needed)
        pot = pot_of(batch, in_measures.doses)
    acid = None
    replaced_g = pot.doses.lemon_g - lemon_in_lines_g(batch)
    if batch.dose_acid and batch.settings.acid != LEMON and replaced_g > 0.0:
        acid, in_measures, pot = _swapped(system, in_measures, replaced_g)
    acidity = sourness.acidity(pot.amounts, mass_g=pot.finished_g)
    process, _ = ruling.process_of(batch, pot.sugars_percent)
    verdict = storage.decide(
        high_side_ph=acidity.ph.high,
        typical_ph=acidity.ph.typical,
        batch_reading_ph=batch.settings.batch_ph,
        bars=(*bars, *ruling.late_bars(batch, pot.mixture, pot.finished_g)),
        unshown=ruling.unshown_of(batch),
        jar_bar=jar_bar,
        altitude_refused=altitude_refused,
        heat_shy_sweeteners=heat_shy,
        asked=batch.settings.store,
        tested=(batch.keep or "shelf") if batch.standing == "tested" else None,
    )
    looked_at = storage.second_look(batch.settings.batch_ph, sourness.above_what_was_worked_out(pot.amounts))
    calcium = calcium_need(pot, pot.doses.pectin_g)
    return Solved(
        pot=pot,
        measured=in_measures,
        needed=needed,
        acidity=acidity,
        gel_set=gel_set(pot, calcium),
        calcium=calcium,
        process=process if verdict.storage == "shelf" else None,
        verdict=replace(verdict, notes=looked_at),
        shelf_open=shelf_open,
        solution=solution,
        asked=batch,
        acid=acid,
    )


def _swapped(system: _System, in_measures: Measured, lemon_g: float) -> tuple[AcidDose, Measured, Pot]:
    """The dose in another acid, and the pot with it: a little more where it thins the pot more than lemon juice does."""
    batch = system.batch
    for percent in range(100, 200, 2):
        acid = swapping.dose(lemon_g * percent / 100.0, batch.settings.acid, batch.settings.units)
        pot = pot_of(*swapping.in_its_place(batch, in_measures.doses, acid))
        if not system.short_of_lemon(pot):
            break
    written_g = pot.doses.lemon_g
    ml_per_g = in_measures.lemon.ml / in_measures.doses.lemon_g
    left = replace(in_measures.lemon, text=lemon_said(batch, written_g), ml=written_g * ml_per_g)
    return acid, replace(in_measures, doses=pot.doses, lemon=left), pot


def gel_set(pot: Pot, calcium: setting.CalciumNeed) -> GelSet:
    """What set to expect of the doses in a pot; of calcium-set pectin only."""
    pectin = pot.doses.pectin_g if pot.batch.pectin_kind == "calcium-set" else 0.0
    added_mg = pot.doses.calcium_water_ml * calcium_mg_per_ml(pot.batch)
    all_mg = pot.mixture.calcium_available_mg + added_mg
    percent = 100.0 * pectin / pot.finished_g
    wanted = setting.wanted_ratio(pot.solids_percent, pot.ph, batch_acidity.citrate_mol_per_kg_water(pot.pool), "medium")
    ratio = setting.calcium_ratio(pectin, all_mg)
    return GelSet(
        pectin_percent=percent,
        calcium_mg_per_g_pectin=all_mg / pectin if pectin > 0.0 else 0.0,
        calcium_from_fruit_mg=pot.mixture.calcium_from_fruit_mg,
        strength=setting.strength(percent, pot.credit_percent, pot.solids_percent, ratio, wanted),
        too_much_calcium=setting.too_much_calcium(pectin, pot.mixture.native_pectin_g, all_mg, pot.solids_percent),
    )
