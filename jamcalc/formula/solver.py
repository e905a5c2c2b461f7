"""The conductor: from a batch to its doses and their consequences. Holds no formula and no rule of its own.

The doses that `dosing` finds are rounded to what a kitchen can measure, and everything reported is worked out from the measured amounts.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from jamcalc import facts
from jamcalc.chemistry import setting
from jamcalc.formula import batch_acidity, ruling, sourness, storage, swapping
from jamcalc.formula.dosing import Dosed, Pot, calcium_mg_per_ml, calcium_need, doses_of, pot_of
from jamcalc.formula.into_jars import yield_of
from jamcalc.formula.mixture import LEMON, Doses
from jamcalc.formula.rounding import Measured, as_written, lemon_said, measured
from jamcalc.nouns.asked import Batch
from jamcalc.nouns.outcome import AcidDose, Acidity, GelSet, Solution, Yield
from jamcalc.nouns.said import Finding
from jamcalc.nouns.timing import Process


@dataclass(frozen=True, kw_only=True)
class Solved:
    """Everything that is worked out of a batch; answer.py words it."""

    pot: Pot
    measured: Measured
    needed: Doses
    acidity: Acidity
    gel_set: GelSet
    calcium: setting.CalciumNeed
    yield_: Yield
    process: Process | None
    verdict: storage.Verdict
    shelf_open: bool
    solution: Solution
    asked: Batch  # as it was put together: the pot's own has another acid's dose among its lines
    acid: AcidDose | None = None  # dosed in the place of lemon juice


@dataclass(frozen=True, kw_only=True)
class Floor:
    """Lemon juice to dose at the least, and a high side of pH that is reported at the least."""

    lemon_g: float = 0.0
    high_ph: float = 0.0


NO_FLOOR = Floor()


def solve(batch: Batch, floor: Floor = NO_FLOOR) -> Solved:
    """The whole answer for one batch.

    Parameters
    ----------
    batch : what goes in the pot, with `None` for what is to be dosed; `dose_acid=False` takes everything as written
    floor : what the answer must not be milder than

    Returns
    -------
    Solved : `solution` says whether the doses reproduce themselves and how closely [share of the fruit's mass]

    Range of validity: any batch that assemble.py lets through; low-sugar spreads of 5 to 55 % soluble solids.
    """
    barriers = _barriers_of(batch)
    dosed = doses_of(batch, shelf_open=not barriers.any, least_lemon_g=floor.lemon_g)
    needed, in_measures, pot = _measured_out(batch, dosed)
    acid = None
    replaced_g = pot.doses.lemon_g - batch_acidity.lemon_in_lines_g(batch)
    if batch.dose_acid and batch.settings.acid != LEMON and replaced_g > 0.0:
        acid, in_measures, pot = _swapped(pot, dosed, in_measures, replaced_g)
    jars = yield_of(pot)
    acidity = sourness.acidity(pot.amounts, mass_g=pot.finished_g, least_high_ph=floor.high_ph)
    process = ruling.process_of(batch, pot.sugars_percent)
    verdict = storage.decide(
        high_side_ph=acidity.ph.high,
        typical_ph=acidity.ph.typical,
        batch_reading_ph=batch.settings.batch_ph,
        bars=(*barriers.bars, *ruling.late_bars(pot)),
        unshown=ruling.unshown_of(batch),
        jar_bar=barriers.jar,
        altitude_refused=barriers.altitude,
        heat_shy_sweeteners=barriers.heat_shy,
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
        yield_=jars,
        process=process if verdict.storage == "shelf" else None,
        verdict=replace(verdict, notes=looked_at),
        shelf_open=not barriers.any,
        solution=dosed.solution,
        asked=batch,
        acid=acid,
    )


@dataclass(frozen=True, kw_only=True)
class _Barriers:
    """What keeps a batch off the shelf before anything is dosed."""

    bars: tuple[Finding, ...]
    jar: Finding | None
    altitude: str | None
    heat_shy: tuple[str, ...]  # names of sweeteners
    cold: bool  # it was asked for so

    @property
    def any(self) -> bool:
        """Whether the shelf is closed."""
        return bool(self.bars or self.jar or self.altitude or self.heat_shy or self.cold)


def _barriers_of(batch: Batch) -> _Barriers:
    jar = storage.jar_bar(facts.jar(batch.settings.jar))
    return _Barriers(
        bars=ruling.bars_of(batch),
        jar=jar,
        altitude=ruling.altitude_refused(batch.settings) if jar is None else None,
        heat_shy=tuple(part.sweetener.name for part in batch.sweeteners if not part.sweetener.stands_process),
        cold=batch.settings.store == "cold",
    )


def _measured_out(batch: Batch, dosed: Dosed) -> tuple[Doses, Measured, Pot]:
    """The doses needed, the same in measures, and the pot with these; more lemon juice where whole spoons of the rest thin the acid."""
    needed = dosed.doses
    if not batch.dose_acid:
        in_measures = as_written(batch, needed)
        return needed, in_measures, pot_of(batch, in_measures.doses)
    most_g = None if dosed.for_shelf else storage.most_taste_lemon_g(batch_acidity.fruit_g(batch)) * (1.0 + 1e-9)
    in_measures = measured(batch, needed, most_g)
    pot = pot_of(batch, in_measures.doses)
    if _short_of_lemon(pot, dosed):
        needed = replace(needed, lemon_g=max(needed.lemon_g, batch_acidity.lemon_for_shelf_g(pot.amounts) or 0.0))
        in_measures = measured(batch, needed)
        pot = pot_of(batch, in_measures.doses)
    return needed, in_measures, pot


def _short_of_lemon(pot: Pot, dosed: Dosed) -> bool:
    """Whether a pot dosed for the shelf has come out a little over 4.00, once all was rounded to spoons."""
    return dosed.for_shelf and not batch_acidity.sour_enough(pot.amounts)


def _swapped(pot: Pot, dosed: Dosed, in_measures: Measured, lemon_g: float) -> tuple[AcidDose, Measured, Pot]:
    """The dose in another acid, and the pot with it: a little more where it thins the pot more than lemon juice does."""
    batch = pot.batch
    for percent in range(100, 200, 2):
        acid = swapping.dose(lemon_g * percent / 100.0, batch.settings.acid, batch.settings.units)
        pot = pot_of(*swapping.in_its_place(batch, in_measures.doses, acid))
        if not _short_of_lemon(pot, dosed):
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
    learned = pot.batch.learned
    ratio = setting.calcium_ratio(pectin, all_mg) * learned.calcium_strength / learned.pectin_strength
    return GelSet(
        pectin_percent=percent,
        calcium_mg_per_g_pectin=all_mg / pectin if pectin > 0.0 else 0.0,
        calcium_from_fruit_mg=pot.mixture.calcium_from_fruit_mg,
        strength=setting.strength(percent * learned.pectin_strength, pot.credit_percent, pot.solids_percent, ratio, wanted),
        too_much_calcium=setting.too_much_calcium(
            pectin, pot.mixture.native_pectin_g, all_mg * learned.calcium_strength, pot.solids_percent
        ),
    )
