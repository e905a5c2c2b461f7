"""From what was solved to what is said: ingredients, jars, findings, cautions, order of work.

Words and lists only; every number comes from the solver. Called by api, checking and guide.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from jamcalc import explain, facts, filling, measures, steps, sweetness
from jamcalc.assemble import WATER_G_PER_ML
from jamcalc.mixture import solutes_g
from jamcalc.model import Estimate, Finding, Source
from jamcalc.outcome import BatchResult, CalciumWaterDose, Ingredient, LemonDose, PectinDose, Yield
from jamcalc.process import process_notes
from jamcalc.solver import FULL_SUGAR_SOLIDS_PERCENT, Solved, calcium_mg_per_ml, equivalents_wanted_g
from jamcalc.souring import LEMON

FRESH_LEMON = "fresh_lemon_juice"
FRUIT_CUPS_PER_POT = 8.0  # mashed; more than this in one pot is slow to come back to the boil (common practice)
MOST_CUPS_PER_POT = 12.0
PECTIN_NAMES = {
    "calcium-set": "calcium-set pectin",
    "standard": "standard pectin",
    "no-sugar": "no-sugar pectin",
    "liquid": "liquid pectin",
}
GENERAL_CAUTIONS = ("tested-recipe", "acid", "bottled-lemon", "sound-fruit", "pan", "burns", "mould", "opened", "sale")
LONGEST_BOIL_MIN = 10.0  # judgement; packers warn of long boiling without a figure
SHELF_HEADSPACE_MM = (3.1, 12.8)  # 1/8 to 1/2 in (common practice)
SHELF_CAUTIONS = ("altitude", "jar-size", "hot-glass", "sealing", "seal-check")
TIMED_FRUITS = {"peach", "nectarine", "apricot", "plum", "yellow_plum", "prune_plum", "pineapple"}
STONE_FRUITS = {"apricot", "peach", "white_peach", "nectarine", "white_nectarine", "plum", "yellow_plum", "prune_plum", "sour_cherry", "sweet_cherry"}


def answer(solved: Solved, *, command: str, findings: Iterable[Finding] = (), refused: str | None = None) -> BatchResult:
    """The whole answer of a command, ready to be shown.

    Parameters
    ----------
    solved : from solver.solve; command : batch, check or scale
    findings : what the command itself has found, before what was read cautiously; refused : why it must not be made so
    """
    batch, pot = solved.pot.batch, solved.pot
    doses = pot.doses
    citric_g = solved.acidity.titratable_percent.typical / 100.0 * pot.finished_g
    all_findings = (*solved.verdict.findings, *findings, *_own_findings(solved), *batch.findings)
    cautions = _cautions(solved)
    working = explain.working(solved)
    jars = yield_of(solved)
    return BatchResult(
        command=command,
        title=batch.title,
        standing=batch.standing,
        storage=solved.verdict.storage,
        ingredients=ingredients(solved),
        lemon_juice=_lemon(solved),
        pectin=PectinDose(
            grams=doses.pectin_g,
            teaspoons=solved.measured.pectin.ml / measures.TSP_ML if batch.pectin_kind == "calcium-set" else 0.0,
            measure=solved.measured.pectin.text,
            needed_g=solved.needed.pectin_g,
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
        solids_percent=_solids(solved),
        water_activity=sweetness.water_activity(pot.water_g, solutes_g(batch, doses, LEMON, citric_g)),
        yield_=jars,
        process=solved.process,
        keeping=solved.verdict.keeping,
        findings=all_findings,
        refused=refused or solved.verdict.refused,
        cautions=cautions,
        sources=_sources(solved, all_findings, cautions, (key for step in working for key in step.sources)),
        order_of_work=steps.order_of_work(solved, jars.jars.heat),
        working=working,
        solution=solved.solution,
        batch=batch,
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
    return LemonDose(grams=sum(part[0] for part in parts), ml=sum(part[1] for part in parts), measure=text, needed_g=sum(part[3] for part in parts))


def _solids(solved: Solved) -> Estimate:
    scale = 100.0 / solved.pot.finished_g
    return solved.pot.mixture.soluble_g.times(scale)


def ingredients(solved: Solved) -> tuple[Ingredient, ...]:
    """Every line of the pot; `grams` is what `measure` holds."""
    batch, doses, measured = solved.pot.batch, solved.pot.doses, solved.measured
    metric = batch.settings.units == "metric"
    lines: list[Ingredient] = []
    for part in batch.fruits:
        fruit = part.fruit
        cups = part.grams / fruit.mashed_g_per_cup.typical * measures.CUP_ML
        form = "" if fruit.kind == "juice" else " mashed"
        text = f"{measures.metric(cups).text}{form}" if metric else f"{measures.cups_text(part.grams, fruit.mashed_g_per_cup.typical)}{form}"
        lines.append(Ingredient(item=fruit.key, name=fruit.plural, role="fruit", grams=part.grams, measure=text, as_bought_g=part.as_bought_g))
    for sweet, grams, measure in zip(batch.sweeteners, doses.sweetener_g, measured.sweeteners, strict=True):
        lines.append(
            Ingredient(item=sweet.sweetener.key, name=sweet.sweetener.name, role="sweetener", grams=grams, measure=measure.text, ml=measure.ml or None)
        )
    if doses.lemon_g > 0.0:
        lines.append(
            Ingredient(item=LEMON, name="bottled lemon juice", role="acid", grams=doses.lemon_g, measure=measured.lemon.text, ml=measured.lemon.ml)
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
            Ingredient(item="calcium water", name="calcium water", role="calcium water", grams=ml, measure=measured.calcium_water.text, ml=ml)
        )
    lines += [Ingredient(item="extra", name=extra, role="other", grams=0.0, measure="as written") for extra in (*batch.extras, *batch.unfit_extras)]
    return tuple(lines)


def yield_of(solved: Solved) -> Yield:
    """Hot volume that reaches the jars, jars as a range, and what is left over."""
    pot, settings = solved.pot, solved.pot.batch.settings
    jar = facts.jar(settings.jar)
    in_pot = filling.hot_volume_ml(pot.water_g, pot.mixture.soluble_g.typical, pot.mixture.insoluble_g)
    volume = filling.yield_range(filling.after_losses_ml(in_pot))
    each = filling.fill_ml(jar, settings.headspace_mm)
    full, over = filling.full_jars(volume.typical, each)
    share = pot.finished_g / volume.typical
    return Yield(
        mass_g=Estimate(low=volume.low * share, typical=pot.finished_g, high=volume.high * share),
        hot_volume_ml=volume,
        jar=jar.name,
        jars=filling.count_jars(volume.low, volume.typical, volume.high, each),
        full_jars=full,
        over_ml=over,
        headspace_mm=settings.headspace_mm,
    )


def _own_findings(solved: Solved) -> tuple[Finding, ...]:
    """What the amounts themselves call for."""
    batch, pot = solved.pot.batch, solved.pot
    found: list[Finding] = []

    def say(id: str, text: str) -> None:
        found.append(Finding(id=id, text=text[:1].upper() + text[1:]))

    if solved.gel_set.too_much_calcium:
        say("too-much-calcium", "Fruit and sweetener bring more calcium than the pectin can use: the set may weep or turn grainy.")
    dosed = batch.dose_acid and batch.pectin_kind == "calcium-set"
    left_out = pot.doses.calcium_water_ml <= 0.0 if batch.calcium_water_ml is None else solved.calcium.left_out
    if dosed and left_out:
        say("no-calcium-water", "Fruit and sweetener bring over four times the calcium that the pectin needs: leave the calcium water out.")
    elif dosed and solved.calcium.optional and pot.doses.calcium_water_ml > 0.0:
        say("calcium-optional", "The fruit alone brings enough calcium; the calcium water is a safeguard for poor fruit and may be halved.")
    cups = sum(part.grams / part.fruit.mashed_g_per_cup.typical for part in batch.fruits)
    if cups > MOST_CUPS_PER_POT:
        pots = math.ceil(cups / FRUIT_CUPS_PER_POT)
        say("split-pots", f"About {cups:.0f} cups of mashed fruit: cook it in {pots} equal pots, for a pot that is slow to boil again does not set.")
    elif cups > FRUIT_CUPS_PER_POT:
        say("large-pot", f"About {cups:.0f} cups of mashed fruit is much for one pot: use a wide one that boils again within minutes, or two.")
    if batch.settings.boil_min > LONGEST_BOIL_MIN and batch.pectin_kind == "calcium-set":
        say("long-boil", f"A boil of {batch.settings.boil_min:g} min breaks the set: a minute or two after the pectin is in is enough.")
    jar = facts.jar(batch.settings.jar)
    if jar.closure and solved.process is not None:
        say("jar-closure", f"The published times are for canning jars with two-piece lids, not for a {jar.closure} jar: ask its maker about both.")
    least_mm, most_mm = SHELF_HEADSPACE_MM
    if solved.process is not None and not least_mm <= batch.settings.headspace_mm <= most_mm:
        say("headspace", "Jam for the shelf takes 1/4 in headspace: with less it boils out and fouls the seal, with more air stays in.")
    for part in batch.sweeteners:
        if part.grams is None and sweetness.falls_short(part.sweetener, equivalents_wanted_g(batch), pot.finished_g, pot.water_g):
            say("sweetness-short", f"{part.sweetener.name} stops short of the sweetness aimed at: more would taste no sweeter, or crystallise cold.")
    for key in dict.fromkeys(part.fruit.key for part in batch.fruits):
        if note := facts.fruit(key).note:
            say(f"note-{key.replace('_', '-')}", note)
    return tuple(found)


def _cautions(solved: Solved) -> tuple[Finding, ...]:
    """The trade's usual cautions that bear on this batch."""
    pot = solved.pot
    ids = [key for key in GENERAL_CAUTIONS if key != "tested-recipe" or pot.batch.standing == "calculated"]
    if solved.process is not None:
        ids += SHELF_CAUTIONS
        if TIMED_FRUITS.intersection(part.fruit.key for part in pot.batch.fruits) and facts.jar(pot.batch.settings.jar).size_class == "half-pint":
            ids.append("tested-time")
    if any(finding.id == "measure" for finding in solved.verdict.findings):
        ids.append("meter")
    if STONE_FRUITS.intersection(part.fruit.key for part in pot.batch.fruits):
        ids.append("kernels")
    if pot.batch.pectin_kind == "standard" and pot.solids_percent < FULL_SUGAR_SOLIDS_PERCENT:
        ids.append("no-sugar-cut")
    for part, grams in zip(pot.batch.sweeteners, pot.doses.sweetener_g, strict=True):
        ids += sweetness.caution_ids(part.sweetener, grams, pot.finished_g, pot.water_g)
    found = [facts.caution(key) for key in dict.fromkeys(ids)]
    if solved.process is not None:
        found += process_notes(solved.process)
    return tuple(found)


def _sources(solved: Solved, findings: Iterable[Finding], cautions: Iterable[Finding], more: Iterable[str]) -> tuple[Source, ...]:
    """Every source that the answer rests on, once each."""
    keys = dict.fromkeys(more)
    for part in solved.pot.batch.fruits:
        fruit = part.fruit
        for figure in (fruit.ph, fruit.titratable_percent, fruit.potassium_mg, fruit.soluble_solids_percent, fruit.refuse_percent, fruit.calcium_mg):
            keys.update(dict.fromkeys(figure.sources))
    for finding in (*findings, *cautions):
        keys.update(dict.fromkeys(finding.sources))
    if solved.process is not None:
        keys.update(dict.fromkeys(solved.process.sources))
    return facts.sources(keys)
