"""From what was solved to what is said: one result that holds all of it.

Lists only; every number comes from the solver.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from jamcalc import facts
from jamcalc.answers import explain, keeping, measuring, order_of_work, remarks
from jamcalc.chemistry import sweetness
from jamcalc.formula.assemble import WATER_G_PER_ML
from jamcalc.formula.dosing import calcium_mg_per_ml
from jamcalc.formula.mixture import LEMON, solutes_g
from jamcalc.formula.solver import Solved
from jamcalc.nouns.asked import FruitPart
from jamcalc.nouns.known import Source
from jamcalc.nouns.outcome import BatchResult, CalciumWaterDose, Ingredient, LemonDose, PectinDose
from jamcalc.nouns.said import Finding
from jamcalc.words import measures
from jamcalc.words.phrases import joined, sentence

LONGEST_NAME = 100  # characters of the fruits in a title
FRESH_LEMON = "fresh_lemon_juice"
PECTIN_NAMES = {
    "calcium-set": "calcium-set pectin",
    "standard": "standard pectin",
    "no-sugar": "no-sugar pectin",
    "freezer": "no-cook freezer pectin",
    "liquid": "liquid pectin",
}


def _keeping(solved: Solved) -> str:
    """How and how long it keeps; in the cold a recipe's own weeks count, and whether it may be frozen."""
    batch = solved.pot.batch
    return keeping.kept(
        solved.verdict.keeping, units=batch.settings.units, standing=batch.standing, own_weeks=batch.keep_weeks, freezes=batch.freezes
    )


def answer(
    solved: Solved, *, command: str, findings: Iterable[Finding] = (), refused: str | None = None, pots_counted: bool = False
) -> BatchResult:
    """The whole answer of a command, ready to be shown.

    Parameters
    ----------
    solved : from solver.solve; command : batch, check or scale
    findings : what the command itself has found, before what was read cautiously; refused : why it must not be made so
    pots_counted : the caller says in how many pots it is cooked
    """
    pot, batch, doses = solved.pot, solved.pot.batch, solved.pot.doses
    title = batch.title or title_of(batch.fruits)
    citric_g = solved.acidity.titratable_percent.typical / 100.0 * pot.finished_g
    rescue = measuring.rescue(solved)
    all_findings = (
        *solved.verdict.findings,
        *solved.verdict.notes,
        *measuring.rescue_findings(solved, rescue),
        *findings,
        *measuring.worth_measuring(solved),
        *remarks.own_findings(solved, pots_counted=pots_counted),
        *batch.findings,
    )
    cautions = remarks.cautions(solved)
    working = explain.working(solved)
    work = order_of_work.in_general(solved)
    return BatchResult(
        command=command,
        title=title,
        standing=batch.standing,
        storage=solved.verdict.storage,
        ingredients=ingredients(solved),
        lemon_juice=_lemon(solved),
        pectin=PectinDose(
            grams=doses.pectin_g,
            teaspoons=solved.measured.pectin.ml / measures.TSP_ML if batch.pectin_kind == "calcium-set" else 0.0,
            measure=solved.measured.pectin.text,
            needed_g=solved.needed.pectin_g,
            by_tables_g=pot.pectin_needed_g(1.0) if batch.dose_acid and batch.pectin_g is None else None,
        ),
        calcium_water=CalciumWaterDose(
            ml=doses.calcium_water_ml,
            teaspoons=doses.calcium_water_ml / measures.TSP_ML,
            calcium_mg=doses.calcium_water_ml * calcium_mg_per_ml(batch),
            measure=solved.measured.calcium_water.text,
            optional=solved.calcium.optional,
        ),
        acidity=solved.acidity,
        gel_set=solved.gel_set,
        solids_percent=pot.mixture.soluble_g.times(100.0 / pot.finished_g),
        water_activity=sweetness.water_activity(pot.water_g, solutes_g(batch, doses, citric_g)),
        yield_=solved.yield_,
        process=solved.process,
        keeping=_keeping(solved),
        few_days=solved.verdict.keeping == "days",
        findings=all_findings,
        refused=refused or solved.verdict.refused,
        cautions=cautions,
        sources=_sources(solved, all_findings, cautions, (key for step in working for key in step.sources)),
        tasks=order_of_work.in_these_jars(
            work, order_of_work.to_heat(batch.settings.jar, solved.yield_.jars.heat), order_of_work.process_time(solved.process)
        ),
        working=working,
        solution=solved.solution,
        batch=replace(batch, title=title),
        acid=solved.acid,
        rescue=rescue,
    )


def _lemon(solved: Solved) -> LemonDose:
    """The lemon juice in all: bottled, as dosed or written, and fresh as written."""
    parts = [(solved.pot.doses.lemon_g, solved.measured.lemon.ml, solved.measured.lemon.text, solved.needed.lemon_g)]
    for acid in solved.pot.batch.acids:
        if acid.acidulant.key == FRESH_LEMON:
            ml = acid.ml if acid.ml is not None else acid.grams / acid.acidulant.g_per_ml.typical
            parts.append((acid.grams, ml, f"{acid.said} fresh", acid.grams))
    parts = [part for part in parts if part[0] > 0.0] or parts[:1]
    text = " and ".join(part[2] for part in parts)
    return LemonDose(
        grams=sum(part[0] for part in parts),
        ml=sum(part[1] for part in parts),
        measure=text,
        needed_g=sum(part[3] for part in parts),
        replaced_by=None if solved.acid is None else solved.acid.item,
    )


def title_of(fruits: Sequence[FruitPart]) -> str:
    """ "Plum and blackberry spread": the fruits in falling order by weight."""
    names = list(dict.fromkeys(part.name for part in sorted(fruits, key=lambda part: -part.grams)))
    if len(joined(names)) > LONGEST_NAME:
        names = [*names[:3], f"{len(names) - 3} other fruits"]
    return sentence(f"{joined(names)} spread")


def ingredients(solved: Solved) -> tuple[Ingredient, ...]:
    """Every line of the pot; `grams` is what `measure` holds."""
    batch, doses, measured = solved.pot.batch, solved.pot.doses, solved.measured
    metric = batch.settings.units == "metric"
    lines: list[Ingredient] = []
    for part in batch.fruits:
        fruit = part.fruit
        cups = part.grams / fruit.mashed_g_per_cup.typical * measures.CUP_ML
        form = "" if fruit.kind == "juice" else " mashed"
        estimated = f"{(measures.metric if metric else measures.nearest)(cups).text}{form}"
        text = part.said if part.said and not metric else estimated  # what a cook has measured stands as she measured it
        lines.append(
            Ingredient(item=fruit.key, name=part.plural, role="fruit", grams=part.grams, measure=text, as_bought_g=part.as_bought_g)
        )
    for sweet, grams, measure in zip(batch.sweeteners, doses.sweetener_g, measured.sweeteners, strict=True):
        lines.append(
            Ingredient(
                item=sweet.sweetener.key,
                name=sweet.sweetener.name,
                role="sweetener",
                grams=grams,
                measure=measure.text,
                ml=measure.ml or None,
            )
        )
    if doses.lemon_g > 0.0:
        lines.append(
            Ingredient(
                item=LEMON, name="bottled lemon juice", role="acid", grams=doses.lemon_g, measure=measured.lemon.text, ml=measured.lemon.ml
            )
        )
    for acid in batch.acids:
        if acid.acidulant.key != LEMON:
            lines.append(
                Ingredient(item=acid.acidulant.key, name=acid.acidulant.name, role="acid", grams=acid.grams, measure=acid.said, ml=acid.ml)
            )
    if batch.water_g > 0.0:
        ml = batch.water_g / WATER_G_PER_ML
        said = [line.amount.text for line in batch.lines if line.role == "liquid"]
        text = said[0] if len(said) == 1 else measures.grams_text(batch.water_g)
        lines.append(Ingredient(item="water", name="water", role="liquid", grams=batch.water_g, measure=text, ml=ml))
    if doses.pectin_g > 0.0:
        name = PECTIN_NAMES[batch.pectin_kind]
        lines.append(Ingredient(item=name, name=name, role="pectin", grams=doses.pectin_g, measure=measured.pectin.text))
    if doses.calcium_water_ml > 0.0:
        ml = doses.calcium_water_ml
        lines.append(
            Ingredient(
                item="calcium water", name="calcium water", role="calcium water", grams=ml, measure=measured.calcium_water.text, ml=ml
            )
        )
    lines += [
        Ingredient(item="extra", name=extra, role="other", grams=0.0, measure="as written")
        for extra in (*batch.extras, *batch.unfit_extras)
    ]
    return tuple(lines)


def _sources(solved: Solved, findings: Iterable[Finding], cautions: Iterable[Finding], more: Iterable[str]) -> tuple[Source, ...]:
    """Every source that the answer rests on, once each."""
    keys = dict.fromkeys(more)
    for part in solved.pot.batch.fruits:
        fruit = part.fruit
        acids = (fruit.ph, fruit.titratable_percent, fruit.potassium_mg)
        for figure in (*acids, fruit.soluble_solids_percent, fruit.refuse_percent, fruit.calcium_mg):
            keys.update(dict.fromkeys(figure.sources))
    for finding in (*findings, *cautions):
        keys.update(dict.fromkeys(finding.sources))
    if solved.process is not None:
        keys.update(dict.fromkeys(solved.process.sources))
    return facts.sources(keys)
