"""How each number came about, step by step, for --working: what, by which sum, the value, and the sources.

Repeats the solver's numbers in words and computes none that decides.
"""

from __future__ import annotations

from jamcalc import facts
from jamcalc.chemistry import setting, sweetness
from jamcalc.formula import batch_acidity, storage
from jamcalc.formula.dosing import calcium_mg_per_ml
from jamcalc.formula.mixture import LEMON
from jamcalc.formula.solver import Solved
from jamcalc.nouns.asked import Batch, FruitPart
from jamcalc.nouns.outcome import AcidDose, WorkStep
from jamcalc.words import measures


def working(solved: Solved) -> tuple[WorkStep, ...]:
    """The steps from the fruit to the jars, in the order in which they rest on each other."""
    steps = [step for part in solved.pot.batch.fruits for step in _fruit(part)]
    return (*steps, *_acid(solved), *_sweetness(solved), *_mass(solved), *_set(solved), *_check(solved))


def _fruit(part: FruitPart) -> list[WorkStep]:
    fruit = part.fruit
    weighed = (
        f"{part.as_bought_g:.0f} g as bought less {fruit.refuse_percent.typical:g} %"
        if part.form == "as bought"
        else f"{part.form}, as given"
    )
    steps = [
        WorkStep(
            what=f"{fruit.plural}, ready for the pot",
            how=weighed,
            value=measures.grams_text(part.grams),
            sources=fruit.refuse_percent.sources,
        )
    ]
    ph, titratable = fruit.ph, fruit.titratable_percent
    if part.ph_read is not None:
        steps.append(WorkStep(what=f"pH of {fruit.plural}", how="your reading, +- 0.1", value=f"{part.ph_read:g}"))
    else:
        steps.append(
            WorkStep(
                what=f"pH of {fruit.plural}",
                how="from tables: low, typical, high",
                value=f"{ph.low:g}, {ph.typical:g}, {ph.high:g}",
                sources=ph.sources,
            )
        )
    if part.reading is not None and part.reading.titratable_percent is not None:
        acid = part.reading.titrated_as or fruit.titrated_as
        value = f"{part.reading.titratable_percent:g} % as {acid}"
        steps.append(WorkStep(what=f"titratable acidity of {fruit.plural}", how="your reading, never capped", value=value))
    else:
        limit = 1000.0 * batch_acidity.mineral_limit_eq_per_kg(fruit.potassium_mg)
        steps.append(
            WorkStep(
                what=f"titratable acidity of {fruit.plural}",
                how=f"from tables, as {fruit.titrated_as}; acids and salts together held to {batch_acidity.MINERAL_LIMIT} x its potassium, "
                f"{limit:.0f} meq/kg",
                value=f"{titratable.low:g}, {titratable.typical:g}, {titratable.high:g} %",
                sources=tuple(dict.fromkeys((*titratable.sources, *fruit.potassium_mg.sources))),
            )
        )
    return steps


def _acid(solved: Solved) -> list[WorkStep]:
    before, after = solved.acidity.ph_before_lemon, solved.acidity.ph
    batch = solved.pot.batch
    lemon = facts.acidulant(LEMON)
    high = (
        "the highest of all combinations of low and high acidity, every fruit at its high pH; "
        f"juice at {lemon.strength_percent.low:g} %; plus {batch_acidity.MODEL_MARGIN_PH} for the model"
    )
    steps = [
        WorkStep(
            what="pH before lemon juice",
            how="acids, salts and water of all parts added; charges balanced with activities (Davies)",
            value=f"typically {before.typical:.2f}, at most {before.high:.2f}",
            sources=("DAVIES-1962",),
        )
    ]
    if batch.dose_acid:
        aim = (
            f"to a high side of {storage.SHELF_HIGH_SIDE_PH:.2f}"
            if solved.shelf_open and after.high <= storage.SHELF_HIGH_SIDE_PH
            else f"for set and taste: typical pH {storage.TASTE_PH}, at most {storage.MOST_TASTE_LEMON_G_PER_KG:.0f} g per kg of fruit"
        )
        value = f"{solved.needed.lemon_g:.1f} g"
        if solved.acid is None:  # what is for taste alone may be measured down to its cap
            value += (
                f", measured {'up' if solved.pot.doses.lemon_g >= solved.needed.lemon_g else 'down'} to {solved.pot.doses.lemon_g:.1f} g"
            )
        steps.append(WorkStep(what="bottled lemon juice", how=aim, value=value, sources=lemon.strength_percent.sources))
        if solved.acid is not None:
            steps.append(_swap(solved.acid))
    if batch.settings.batch_ph is None:
        steps.append(WorkStep(what="high side of pH", how=high, value=f"{after.high:.2f}", sources=("CFR-114",)))
    else:
        steps.append(
            WorkStep(
                what="pH of the batch", how="your reading of the cooled batch", value=f"{batch.settings.batch_ph:.2f}", sources=("CFR-114",)
            )
        )
    return [*steps, WorkStep(what="low end of pH", how=f"{_low_end(batch)}; decides nothing", value=f"{after.low:.2f}")]


def _low_end(batch: Batch) -> str:
    """Where the low end of pH comes from: of what was read, no batch is drawn."""
    if batch.settings.batch_ph is not None:
        return f"your reading less {batch_acidity.READING_MARGIN_PH}"
    if batch.settings.draws and any(part.ph_read is None for part in batch.fruits):
        return f"5th percentile of {batch.settings.draws} drawn batches"
    return "every fruit at its low pH"


def _swap(dose: AcidDose) -> WorkStep:
    """The acid in the place of the lemon juice."""
    acid = facts.acidulant(dose.item)
    printed = acid.instead_of_lemon
    weak = f"equal acid, it at {acid.strength_percent.low:g} % and in its lightest measure"
    how = f"in its place: the larger of {weak}, and the swap that agencies print"
    sources = (*acid.strength_percent.sources, *(printed.sources if printed is not None else ()))
    return WorkStep(what=dose.name, how=how, value=f"{dose.measure}, {dose.grams:.1f} g", sources=sources)


def _sweetness(solved: Solved) -> list[WorkStep]:
    aim = sweetness.default_percent_of_fruit()
    steps = []
    for part, grams in zip(solved.pot.batch.sweeteners, solved.pot.doses.sweetener_g, strict=True):
        sweetener = part.sweetener
        if part.grams is not None:
            how = "as written"
        else:
            percent = solved.pot.batch.settings.sweetness_percent
            aimed = aim.typical if percent is None else percent
            how = f"as sweet as sugar at {aimed:g} % of the fruit; {sweetener.sweetness.typical:g} x sugar by weight"
        steps.append(
            WorkStep(what=sweetener.name, how=how, value=measures.grams_text(grams), sources=(*aim.sources, *sweetener.sweetness.sources))
        )
    return steps


def _mass(solved: Solved) -> list[WorkStep]:
    pot, settings = solved.pot, solved.pot.batch.settings
    lost = pot.mixture.mass_g - pot.finished_g
    assumed = "" if pot.batch.boil_given else " (assumed: the recipe names none)"
    return [
        WorkStep(what="mass in the pot", how="all parts added", value=measures.grams_text(pot.mixture.mass_g)),
        WorkStep(
            what="boiled off",
            how=f"heating, {settings.boil_min:g} min boil{assumed}, {settings.simmer_min:g} min simmer",
            value=measures.grams_text(lost),
            sources=("YIELD-RECIPES",),
        ),
        WorkStep(
            what="soluble solids",
            how=f"{pot.mixture.soluble_g.typical:.0f} g dissolved in {pot.finished_g:.0f} g",
            value=f"{pot.solids_percent:.0f} %",
        ),
    ]


def _set(solved: Solved) -> list[WorkStep]:
    pot, calcium = solved.pot, solved.calcium
    per_tsp = setting.pectin_g_per_tsp(pot.batch.settings.pectin_g_per_tsp)
    water_mg = calcium_mg_per_ml(pot.batch) * measures.TSP_ML
    needed_tsp, measured_tsp = (ml / measures.TSP_ML for ml in (solved.needed.calcium_water_ml, pot.doses.calcium_water_ml))
    demand = f"demand of a {pot.batch.settings.firmness} set at {pot.solids_percent:.0f} % solids"
    if pot.batch.pectin_kind != "calcium-set":
        return []
    return [
        WorkStep(
            what="calcium-set pectin",
            how=f"{demand} less {pot.credit_percent:.2f} % that the fruit does; {per_tsp:g} g a teaspoon",
            value=f"{solved.needed.pectin_g:.1f} g, measured as {pot.doses.pectin_g:.1f} g ({solved.gel_set.pectin_percent:.2f} %)",
            sources=("LM-HOUSEHOLD",),
        ),
        WorkStep(
            what="calcium on hand",
            how="what the pectin can reach of the calcium in fruit, juice and sweetener",
            value=f"{calcium.on_hand_mg:.0f} mg of {calcium.wanted_mg:.0f} mg wanted",
            sources=("MA-REN-2015",),
        ),
        WorkStep(
            what="calcium water",
            how=f"5 to 16 mg calcium per g of pectin, none where the fruit brings four times the need; {water_mg:.1f} mg a teaspoon",
            value=f"{needed_tsp:.2f} tsp, measured as {measured_tsp:.2f} tsp",
            sources=("LM-HOUSEHOLD", "MCP-SHEETS"),
        ),
    ]


def _check(solved: Solved) -> list[WorkStep]:
    solution = solved.solution
    how = "doses put back into the sums that made them" if solved.pot.batch.dose_acid else "nothing dosed: the recipe as written"
    value = f"{'settled' if solution.converged else 'NOT SETTLED'}, residual {solution.residual:.1e}, {solution.iterations} rounds"
    return [WorkStep(what="the system", how=how, value=value)]
